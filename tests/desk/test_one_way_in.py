"""The same words by command, by form and by a file give the same record."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import replace
from pathlib import Path

import pytest

from tests.screens.pieces import NOW
from watchlist.cli import main
from watchlist.core.fees.terms import Terms
from watchlist.core.marks.record import Want
from watchlist.desk.desk import Desk
from watchlist.desk.own_files.importing import import_file
from watchlist.desk.typed.venues import put_venue
from watchlist.desk.typed.wants import put_want
from watchlist.screens.forms.venue import HINTS as TERMS_ASKED
from watchlist.screens.forms.want import HINTS as WANT_ASKED
from watchlist.shelf.shelf import Shelf

COIN = {"country": "Orvany", "denomination": "5 tor", "year": "1893", "mint": "V"}


@pytest.fixture
def shelves(tmp_path: Path) -> Iterator[tuple[Path, Desk, Desk]]:
    """The folder of one shelf for commands, and desks on two more."""
    with Shelf.open(tmp_path / "form", write=True) as form, Shelf.open(tmp_path / "file", write=True) as file:
        yield tmp_path / "command", Desk(form, NOW), Desk(file, NOW)


def command(shelf: Path, *words: str) -> Shelf:
    assert main([*words, "--shelf", str(shelf), "--now", NOW.isoformat()]) == 0
    return Shelf.open(shelf, write=False)


def options(said: Mapping[str, str]) -> list[str]:
    return [f"--{name.replace('_', '-')}={text}" for name, text in said.items()]


def filled_in(asked: Mapping[str, str], said: Mapping[str, str]) -> dict[str, str]:
    """A form sends all its fields, those left empty too."""
    return dict.fromkeys(asked, "") | dict(said)


def row(desk: Desk, kind: str, said: Mapping[str, str]) -> None:
    text = f"{';'.join(said)}\n{';'.join(said.values())}\n"
    report = import_file(desk, kind, text.encode(), "mine.csv")
    assert (report.taken, report.set_aside) == (1, ())


@pytest.mark.parametrize(
    "said",
    [
        {"ceiling": "300 EUR"},
        {"ceiling": "300", "grade": "40-55"},
        {"ceiling": "USD 300", "grade": "40", "low": "100", "high": "200"},
        {"ceiling": "1,250.50 GBP", "low": "90 EUR", "high": "70 GBP", "quantity": "3", "filled": "1"},
        {"ceiling": "12,50", "certified": "yes", "upgrade": "yes", "note": "for the album"},
        {"ceiling": "300", "certified": "any", "upgrade": "no", "quantity": "1", "filled": "0"},
    ],
)
def test_a_want(shelves: tuple[Path, Desk, Desk], said: dict[str, str]) -> None:
    shelf, form, file = shelves
    coin = {"coin": "Orvany 5 tor 1893-V"}
    typed, _ = put_want(form, filled_in(WANT_ASKED, coin | said))
    cells = {"min_grade": ""} | {"min_grade" if name == "grade" else name: text for name, text in said.items()}
    row(file, "wants", COIN | cells)
    with command(shelf, "want", "add", *options(coin | said)) as kept:
        assert kept.notebook.wants.list() == [typed]
    assert [_told(want) for want in file.shelf.notebook.wants.list()] == [_told(typed)]


def _told(want: Want) -> Want:
    """A file says `any variety` as no variety."""
    return replace(want, variety=want.variety or None)


@pytest.mark.parametrize(
    "said",
    [
        {"currency": "EUR"},
        {"currency": "GBP", "premium_pct": "20", "min_premium": "5", "shipping": "12,50"},
        {"currency": "EUR", "kind": "dealer", "payment_fee_pct": "3 %", "time_zone": "Europe/Berlin"},
        {"currency": "EUR", "bid_steps": "0:5", "checked": "2026-11-01", "handling": "2 EUR"},
    ],
)
def test_a_venue(shelves: tuple[Path, Desk, Desk], said: dict[str, str]) -> None:
    shelf, form, file = shelves
    typed = put_venue(form, filled_in(TERMS_ASKED, {"venue": "Vessick Rooms"} | said))
    row(file, "terms", {"venue": "Vessick Rooms"} | said)
    expected: list[Terms] = [typed]
    with command(shelf, "venue", "add", "Vessick Rooms", *options(said)) as kept:
        assert kept.notebook.venues.list() == expected
    assert file.shelf.notebook.venues.list() == expected
