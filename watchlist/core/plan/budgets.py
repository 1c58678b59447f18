"""Budgets with dates, money set aside, and lots of which only some are needed."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from decimal import Decimal
from itertools import combinations
from typing import Literal

PAID_DAYS = 7
"""The running budget is for about a week: what was paid within it counts."""


class BudgetError(ValueError):
    """A budget, a group or a sum set aside that cannot be; the message is one clear sentence."""


@dataclass(frozen=True, slots=True)
class Budget:
    """Money for the sales of some days: a week, a month, a season."""

    id: str
    """Its name."""
    amount: Decimal
    """Home currency, all in."""
    first: date
    last: date

    def covers(self, day: date | None) -> bool:
        """Whether a sale of that day counts; one without a day counts in every budget."""
        return day is None or self.first <= day <= self.last


@dataclass(frozen=True, slots=True)
class Aside:
    """Money kept for something else until a day."""

    id: str
    amount: Decimal
    """Home currency."""
    what: str
    until: date


@dataclass(frozen=True, slots=True)
class Group:
    """Either-or: lots of which only some are needed."""

    id: str
    need: int
    lots: tuple[str, ...]
    """Keys."""


@dataclass(frozen=True, slots=True)
class Joined:
    """A lot that a person put into another lot's parcel, or took out of its own."""

    id: str
    """Key of the lot."""
    to: str = ""
    """Key of a lot of the parcel it was put into; empty: it goes alone."""


Stand = Literal["planned", "placed", "undecided", "owed", "paid"]
"""How money is bound: by a bid planned or placed, by one whose sale is over, by a piece won, by what was paid."""


@dataclass(frozen=True, slots=True)
class Bound:
    """One sum that a budget holds."""

    stands: Stand
    amount: Decimal
    """Home currency: the worst case of a bid, the cost of what is won, what was paid."""
    day: date | None
    """Of the sale; of the payment for what is paid."""


@dataclass(frozen=True, slots=True)
class Held:
    """One budget with all that it holds, and what is left."""

    name: str
    first: date | None
    last: date | None
    amount: Decimal
    paid: Decimal
    owed: Decimal
    placed: Decimal
    undecided: Decimal
    planned: Decimal
    aside: Decimal

    def covers(self, day: date | None) -> bool:
        """Whether a sale of that day counts: in a budget without dates every one does."""
        return self.first is None or self.last is None or day is None or self.first <= day <= self.last

    @property
    def committed(self) -> Decimal:
        """All that it holds."""
        return self.paid + self.owed + self.placed + self.undecided + self.planned + self.aside

    @property
    def gone(self) -> tuple[tuple[Decimal, str], ...]:
        """What of it no bid holds, and for what."""
        return (self.paid + self.owed, "spent"), (self.aside, "set aside")

    @property
    def left(self) -> Decimal:
        """Below 0 where more is committed than there is."""
        return self.amount - self.committed


def check_nested(budgets: Iterable[Budget]) -> None:
    """Raise BudgetError for two budgets of which the days overlap and neither holds the other."""
    for one, other in combinations(sorted(budgets, key=lambda each: (each.first, each.last)), 2):
        apart = one.last < other.first or other.last < one.first
        inside = _holds(one, other) or _holds(other, one)
        if not apart and not inside:
            raise BudgetError(f"{one.id} and {other.id} overlap and do not nest.")


def _holds(one: Budget, other: Budget) -> bool:
    return one.first <= other.first and other.last <= one.last


def check_group(group: Group, groups: Iterable[Group], *, named: Sequence[str] = ()) -> str:
    """What to say beside a group that may be kept; raises BudgetError for a lot of another one.

    `named`: the lots as the person wrote them."""
    for other in groups:
        if other.id != group.id and (both := [lot for lot in group.lots if lot in other.lots]):
            names = dict(zip(group.lots, named, strict=False))
            raise BudgetError(f"{names.get(both[0], both[0])} is in group {other.id} already.")
    if group.need < 1:
        raise BudgetError("Of a group one lot at least is needed.")
    if group.need >= len(group.lots):
        return f"Group {group.id} has {len(group.lots)} lots, take {group.need} is all of them"
    return ""


def held(budget: Budget, bound: Iterable[Bound], asides: Iterable[Aside], today: date) -> Held:
    """A budget with dates: every sum whose day is in it."""
    sums = _sums(each for each in bound if budget.covers(each.day))
    kept = sum((each.amount for each in asides if today <= each.until and budget.first <= each.until), Decimal(0))
    return Held(budget.id, budget.first, budget.last, budget.amount, aside=kept, **sums)


def running(amount: Decimal, bound: Iterable[Bound], asides: Iterable[Aside], today: date) -> Held:
    """The budget without dates: all open money, wins not paid whatever their age, and what was paid of late."""
    late = today - timedelta(days=PAID_DAYS)
    sums = _sums(each for each in bound if each.stands != "paid" or each.day is None or late < each.day)
    kept = sum((each.amount for each in asides if today <= each.until), Decimal(0))
    return Held("running", None, None, amount, aside=kept, **sums)


def _sums(bound: Iterable[Bound]) -> dict[str, Decimal]:
    sums: dict[str, Decimal] = dict.fromkeys(("paid", "owed", "placed", "undecided", "planned"), Decimal(0))
    for each in bound:
        sums[each.stands] += each.amount
    return sums
