"""Very many prices made ready for the market model, straight from their cells. Whatever is not plain takes the road of
`realised.to_sale`, which says why a price is set aside."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date
from decimal import Decimal
from functools import lru_cache
from typing import NamedTuple

from watchlist.core.fees.terms import Terms
from watchlist.core.money.amount import Money
from watchlist.core.prices.realised import Exchange, Sale, in_kind, worst_problem


class Cells(NamedTuple):
    """A price realised as cells of text and figures, one a column, in the order in which they are kept."""

    id: int
    issue: str
    sale_date: str
    """ISO 8601."""
    amount: str
    currency: str
    kind: str
    grade_low: int | None
    grade_high: int | None
    grade_text: str
    certified: int
    service: str
    cert: str
    problems: str
    """With commas between."""
    venue: str
    status: str
    title: str
    quantity: int
    replica: int
    origin: str
    weight: float
    note: str
    lot: str
    traits: str = ""
    """With commas between."""


PRICES = 20_000
"""Amounts remembered with what they count: hammer prices stand on a venue's increments, a few hundred of them."""


class _Asked(NamedTuple):
    """What `in_kind` asks of a price."""

    price: Money
    kind: str
    venue: str


class Many:
    """Makes prices ready one after the other; what they share is worked out once."""

    def __init__(self, terms: Mapping[str, Terms], rates: Exchange, *, home: str, kind: str, today: date) -> None:
        self._terms, self._rates, self._home, self._kind = terms, rates, home, kind
        self._last = today.isoformat()
        self._days: dict[str, date] = {}
        self._factors: dict[tuple[str, str], Decimal | None] = {}
        self._problems: dict[str, str] = {"": ""}
        self._in_kind = lru_cache(PRICES)(self._counted)

    def sale(self, cells: Cells) -> Sale | None:
        """The price as the model takes it; None for one that has to be looked at: it may not count."""
        low, high = cells.grade_low, cells.grade_high
        plain = cells.status == "sold" and cells.issue and cells.quantity <= 1 and cells.weight > 0
        if not plain or cells.replica or low is None or high is None or cells.sale_date > self._last:
            return None
        day = self._day(cells.sale_date)
        factor = self._factor(cells.currency, day)
        amount, note = self._in_kind(cells.amount, cells.currency, cells.kind, cells.venue, factor)
        if amount <= 0:
            return None
        terms = self._terms.get(cells.venue)
        house = (terms.kind if terms is not None else "") or "auction"
        problem, raw = self._problem(cells.problems), not cells.certified
        return Sale(
            cells.id,
            cells.issue,
            (low + high) / 2,
            amount,
            day,
            raw,
            problem,
            house,
            cells.weight,
            note,
            (low, high) if low != high else None,
            tuple(cells.traits.split(",")) if cells.traits else (),
        )

    def _counted(self, amount: str, currency: str, kind: str, venue: str, factor: Decimal | None) -> tuple[float, str]:
        """What a price counts, with a note where it counts as written; 0 where it may not count."""
        price = Decimal(amount)
        if factor is None or price <= 0:
            return 0.0, ""
        asked = _Asked(Money(price, currency), kind, venue)
        counts, note = in_kind(asked, self._terms.get(venue), factor, home=self._home, kind=self._kind)
        return float(counts), note

    def _day(self, text: str) -> date:
        if text not in self._days:
            self._days[text] = date.fromisoformat(text)
        return self._days[text]

    def _factor(self, currency: str, day: date) -> Decimal | None:
        """Home units for one unit; rates are given by the month."""
        key = currency, f"{day:%Y-%m}" if currency != self._home else ""
        if key not in self._factors:
            self._factors[key] = Decimal(1) if not key[1] else self._rates.to_home_factor(currency, day)
        return self._factors[key]

    def _problem(self, problems: str) -> str:
        if problems not in self._problems:
            self._problems[problems] = worst_problem(problems.split(","))
        return self._problems[problems]
