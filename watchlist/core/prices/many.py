"""Very many prices made ready for the market model, straight from their cells. Whatever is not plain takes the road of
`realised.to_sale`, which says why a price is set aside."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date
from decimal import Decimal
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

    def sale(self, cells: Cells) -> Sale | None:
        """The price as the model takes it; None for one that has to be looked at: it may not count."""
        low, high = cells.grade_low, cells.grade_high
        plain = cells.status == "sold" and cells.issue and cells.quantity <= 1 and cells.weight > 0
        if not plain or cells.replica or low is None or high is None or cells.sale_date > self._last:
            return None
        day = self._day(cells.sale_date)
        terms, factor, price = self._terms.get(cells.venue), self._factor(cells.currency, day), Decimal(cells.amount)
        if factor is None or price <= 0:
            return None
        asked = _Asked(Money(price, cells.currency), cells.kind, cells.venue)
        amount, note = in_kind(asked, terms, factor, home=self._home, kind=self._kind)
        if amount <= 0:
            return None
        house = (terms.kind if terms is not None else "") or "auction"
        problem, raw = self._problem(cells.problems), not cells.certified
        return Sale(
            cells.id,
            cells.issue,
            (low + high) / 2,
            float(amount),
            day,
            raw,
            problem,
            house,
            cells.weight,
            note,
            (low, high) if low != high else None,
            tuple(cells.traits.split(",")) if cells.traits else (),
        )

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
