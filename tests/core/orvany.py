"""An invented country's coins, lots and market for the tests of the core. Nothing here is real."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field, replace
from datetime import UTC, date, datetime, timedelta
from decimal import Decimal
from math import log
from typing import Any

from watchlist.core.coins.catalogue import Catalogue
from watchlist.core.coins.issue import Issue
from watchlist.core.coins.varietywords import variety_words
from watchlist.core.fees.premiums import Premium
from watchlist.core.fees.terms import Terms
from watchlist.core.lots.record import Lot
from watchlist.core.marks.context import Context
from watchlist.core.marks.pricesign import Part
from watchlist.core.marks.record import Want
from watchlist.core.marks.signs import Signs, signs_from
from watchlist.core.marks.valuation import Piece
from watchlist.core.marks.wants import WantIndex
from watchlist.core.marks.weighing import Spec, specs_from
from watchlist.core.money.amount import Money, Rates
from watchlist.core.prices.record import Band
from watchlist.core.reading.record import Reading
from watchlist.words import load

NOW = datetime(2026, 11, 25, 9, 0, tzinfo=UTC)


TONGUES = variety_words(load("varieties"))
SIGNS: Signs = signs_from(load("signs"))
SPECS: tuple[Spec, ...] = specs_from(load("specs"))


def eur(amount: str | int) -> Money:
    return Money(Decimal(amount), "EUR")


def issue(year: int, mint: str = "", variety: str = "", denomination: str = "5 tor", **more: Any) -> Issue:
    key = f"{denomination.replace(' ', '')}-{year}{mint}{variety}"
    values: dict[str, Any] = {"weight_g": 27.2, "metal": "silver .900", "type": "Eagle"} | more
    return Issue(key, "Orvany", denomination, year, mint, variety, **values)


ISSUES = (
    *(issue(year) for year in range(1888, 1900)),
    issue(1893, "M", copied=True, note="struck at Mersa; counterfeits known"),
    issue(1893, "V"),
    issue(1894, "S"),
    issue(1895, "M"),
    issue(1896, "", "wide date"),
    issue(1897, "", "overdate 7/6"),
    *(issue(year, denomination="1 tor", weight_g=5.4, type="Crown") for year in range(1890, 1896)),
    issue(1897, "V", denomination="1 tor", weight_g=5.4, type="Crown"),
)
CATALOGUE = Catalogue(ISSUES, TONGUES)
RATES = Rates("EUR", {("GBP", "2026-11"): Decimal("0.80")})
LINDMOOR = Terms("Lindmoor Sales", "EUR", premium=Premium("flat", Decimal(20)))
WEXBY = Terms("Wexby Coin Market", "EUR", kind="marketplace")
TERMS = {terms.venue: terms for terms in (LINDMOOR, WEXBY)}


def reading(title: str = "5 tor 1893, VF", **more: Any) -> Reading:
    values: dict[str, Any] = {
        "country": "Orvany",
        "denomination": "5 tor",
        "year": 1893,
        "grade_low": 30,
        "grade_high": 30,
        "confidence": 0.9,
    }
    return Reading(title, **(values | more))


def lot(price: str | int | None = 310, kind: str | None = "fixed", **more: Any) -> Lot:
    values: dict[str, Any] = {"venue": "Wexby Coin Market", "title": "5 tor 1893, VF"}
    money = None if price is None else eur(price)
    return Lot("north:1", "north", "1", **(values | {"price": money, "price_kind": kind} | more))


def want(id: str = "w1", year: int = 1893, **more: Any) -> Want:
    return Want(id, "Orvany", "5 tor", year, **more)


BAND = Band(Decimal(380), Decimal(420), Decimal(460), "EUR", "all-in", 14, date(2026, 11, 4))


@dataclass
class OneBand:
    """A market that answers every question with one band."""

    found: Band | None = BAND
    held: Band | None = None
    """What a piece is worth, where it is not the band of the next price."""
    usual: Decimal | None = Decimal(400)
    asked: list[Piece] = field(default_factory=list)

    def band(self, piece: Piece) -> Band | None:
        self.asked.append(piece)
        return self.found

    def value(self, piece: Piece) -> Band | None:
        return self.held or self.found

    def worth(self, piece: Piece) -> tuple[Band | None, Sequence[Part]]:
        parts = ((1.0, log(float(self.found.mid)), 0.08),) if self.found else ()
        return self.value(piece), parts

    def series_middle(self, piece: Piece) -> Decimal | None:
        return self.usual


def context(*wants: Want, band: Band | None = BAND, **more: Any) -> Context:
    base = Context(CATALOGUE, WantIndex(wants, TONGUES), OneBand(band), RATES, SIGNS, NOW, TERMS, SPECS)
    return replace(base, **more)


def later(hours: float) -> datetime:
    return NOW + timedelta(hours=hours)
