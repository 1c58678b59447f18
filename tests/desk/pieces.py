"""A small shelf in memory for the tests of the desk: one coin, one venue, lots read from rows of text."""

from __future__ import annotations

import csv
import io
import sqlite3
from collections.abc import Iterable
from dataclasses import replace
from datetime import UTC, date, datetime, timedelta
from decimal import Decimal
from pathlib import Path

import pytest

from watchlist.core.coins.issue import Issue
from watchlist.core.fees.ladders import Ladder
from watchlist.core.fees.premiums import Premium
from watchlist.core.fees.terms import Terms
from watchlist.core.lots.source import Source
from watchlist.core.marks.record import Want
from watchlist.core.money.amount import Money
from watchlist.core.prices.realised import PriceRealised
from watchlist.desk.desk import Desk
from watchlist.desk.gather.intake import Found, SourceReport, read_body, take
from watchlist.feeds.answers import Fetched
from watchlist.shelf import store as shelf_store
from watchlist.shelf.disk import RealDisk
from watchlist.shelf.notebook import Notebook
from watchlist.shelf.settings import Settings
from watchlist.shelf.shelf import Shelf
from watchlist.shelf.store import Store
from watchlist.shelf.store.connection import Connection
from watchlist.shelf.store.rows import LotRow

NOW = datetime(2026, 11, 25, 9, 0, tzinfo=UTC)
COIN = Issue("orvany-5t-1893v", "Orvany", "5 tor", 1893, "V")
OTHER = Issue("orvany-1t-1889", "Orvany", "1 tor", 1889)
NORTH = Source("north", "https://north.example/lots.csv", venue="Lindmoor Sales")
HEADS = "id,title,price,currency,ends_at,seller,cert_number,service,description,hammer"
TITLE = "Orvany 5 tor 1893-V VF-30"


class InMemory(Connection):
    """A store that is never on the disk."""

    def _open(self) -> sqlite3.Connection:
        return sqlite3.connect(":memory:", isolation_level=None, check_same_thread=False)


class NoWait(RealDisk):
    """A disk that is not waited for."""

    def fsync(self, handle: int) -> None:
        """At once."""

    def fsync_folder(self, folder: Path) -> None:
        """At once."""


def open_shelf(path: Path, patch: pytest.MonkeyPatch) -> Shelf:
    """An empty shelf: the store in memory, the notebook in a file."""
    patch.setattr(shelf_store, "Connection", InMemory)
    notebook = Notebook(path / "notebook.json", write=True, today=NOW.date, disk=NoWait())
    return Shelf(path, True, notebook, Store(path / "shelf.db", write=True), Settings(), None)


def furnish(shelf: Shelf) -> None:
    """A catalogue of two coins, a venue that takes 20 per cent, and a want."""
    shelf.store.catalogue.merge([COIN, OTHER])
    steps = Ladder.parse("floor_euro")
    shelf.notebook.venues.put(Terms("Lindmoor Sales", "EUR", premium=Premium(pct=Decimal(20)), ladder=steps))
    shelf.notebook.sources.put(NORTH)
    shelf.notebook.wants.put(Want("w1", "Orvany", "5 tor", 1893, "V", min_grade=20, ceiling=eur(400)))


def eur(amount: int | str) -> Money:
    return Money(Decimal(amount), "EUR")


def row(id: str, title: str = TITLE, price: str = "200", *, hours: float | None = 48, **cells: str) -> str:
    """One line of a feed; it closes so many hours from now."""
    closes = (NOW + timedelta(hours=hours)).isoformat() if hours is not None else ""
    given = {"id": id, "title": title, "price": price, "currency": "EUR", "ends_at": closes} | cells
    line = io.StringIO()
    csv.writer(line, lineterminator="").writerow([given.get(name, "") for name in HEADS.split(",")])
    return line.getvalue()


def feed(*rows: str) -> bytes:
    return "\n".join((HEADS, *rows, "")).encode()


def come(desk: Desk, *rows: str, source: Source = NORTH, found: Found | None = None) -> SourceReport:
    """Take in what a source lists now."""
    seen = desk.shelf.store.feeds.seen(source.name)
    body = read_body(source, Fetched(200, feed(*rows), "text/csv"), seen)
    return take(desk, source, body, found or Found())


def lot(desk: Desk, key: str) -> LotRow:
    """A lot as it is kept."""
    found = desk.shelf.store.lots.get(key)
    assert found is not None
    return found


def mark(desk: Desk, key: str) -> str:
    """How a lot is marked."""
    judged = lot(desk, key).judgement
    return judged.mark if judged else ""


def sale(number: int, amount: int = 300, issue: str = COIN.key, **fields: object) -> PriceRealised:
    """One of a row of sales, a week apart."""
    day = date(2026, 11, 20) - timedelta(days=7 * number)
    made = PriceRealised(0, issue, day, eur(amount), "hammer", 30, 30, origin=f"p:{number}", venue="Lindmoor Sales")
    return replace(made, **fields)  # type: ignore[arg-type]


def sales(amounts: Iterable[int] = range(280, 330, 5)) -> list[PriceRealised]:
    return [sale(number, amount) for number, amount in enumerate(amounts)]
