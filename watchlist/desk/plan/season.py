"""Budgets with dates, sums set aside, either-or groups: kept as typed, dropped, and shown over the season."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from decimal import Decimal

from watchlist.core.clean import clean
from watchlist.core.money.amount import Money
from watchlist.core.plan.budgets import Aside, Budget, BudgetError, Group, Held, check_group, check_nested
from watchlist.desk.changes import entry
from watchlist.desk.desk import Desk
from watchlist.desk.errors import DeskError
from watchlist.desk.in_hand.committed import season
from watchlist.desk.naming import lot_key

LONGEST = 40
"""Letters of a name."""


@dataclass(frozen=True, slots=True)
class BudgetLine:
    """One budget with what it holds; home currency."""

    name: str
    first: date | None
    last: date | None
    amount: Money
    paid: Money
    owed: Money
    placed: Money
    undecided: Money
    planned: Money
    aside: Money
    left: Money


@dataclass(frozen=True, slots=True)
class GroupLine:
    """One either-or group."""

    id: str
    need: int
    lots: tuple[str, ...]
    """Keys."""


def budgets(desk: Desk) -> tuple[BudgetLine, ...]:
    """The season view: every budget whose days are not over, or the running one."""
    return tuple(_line(desk, each) for each in season(desk))


def groups(desk: Desk) -> tuple[GroupLine, ...]:
    """The either-or groups."""
    return tuple(GroupLine(each.id, each.need, each.lots) for each in desk.shelf.notebook.groups.list())


def asides(desk: Desk) -> tuple[Aside, ...]:
    """What is set aside today."""
    return tuple(each for each in desk.shelf.notebook.asides.list() if each.until >= desk.local_today())


def put_group(desk: Desk, name: str, need: int, lots: Sequence[str]) -> str:
    """Keep an either-or group in the place of one of the same name; a sentence on it. Raises DeskError."""
    name = _name(name, "group")
    keys = tuple(_lot(desk, each) for each in lots)
    if len(set(keys)) < max(2, len(keys)):
        raise DeskError("A group needs two lots or more, each named once. Nothing was changed.")
    group = Group(name, need, keys)
    try:
        beside = check_group(group, desk.shelf.notebook.groups.list(), named=lots)
    except BudgetError as error:
        raise DeskError(f"{error} Nothing was changed.") from None
    said = f"group {name}: {need} of {', '.join(lots)}"
    _keep(desk, "group", said, group)
    return said + (f". {beside}" if beside else "")


def put_budget(desk: Desk, name: str, amount: str, first: date, last: date) -> str:
    """Keep a budget with dates in the place of one of the same name; a sentence on it. Raises DeskError."""
    if last < first:
        raise DeskError(f"A budget from {first} to {last} has no day. Nothing was changed.")
    budget = Budget(_name(name, "budget"), _amount(desk, amount), first, last)
    others = [each for each in desk.shelf.notebook.budgets.list() if each.id != budget.id]
    try:
        check_nested([*others, budget])
    except BudgetError as error:
        raise DeskError(f"{error} Nothing was changed.") from None
    said = f"budget {budget.id}: {Money(budget.amount, desk.home)} from {first} to {last}"
    _keep(desk, "budget", said, budget)
    return said


def put_aside(desk: Desk, amount: str, what: str, until: date) -> str:
    """Set a sum aside until a day; a sentence on it. Raises DeskError."""
    if until < desk.local_today():
        raise DeskError(f"{until} is over: nothing is set aside until then. Nothing was changed.")
    id = desk.shelf.notebook.asides.free_id("s")
    aside = Aside(id, _amount(desk, amount), clean(what, 4 * LONGEST), until)
    said = f"{aside.id}: {Money(aside.amount, desk.home)} set aside for {aside.what} until {until}"
    _keep(desk, "set-aside", said, aside)
    return said


def drop(desk: Desk, kind: str, name: str) -> str:
    """Drop a group, a budget or a sum set aside; a sentence on it. Raises DeskError."""
    drawer = desk.shelf.notebook.places[kind]
    if drawer.get(name) is None:
        known = ", ".join(sorted(drawer.ids())) or "none"
        raise DeskError(f"There is no {kind} {name}; known: {known}. Nothing was changed.")
    with entry(desk, f"{kind} {name} removed") as change:
        change.drop(kind, name)
    return f"{kind} {name} removed"


def _keep(desk: Desk, place: str, said: str, record: object) -> None:
    with entry(desk, said) as change:
        change.put(place, record)


def _lot(desk: Desk, end: str) -> str:
    try:
        return lot_key(desk.shelf.store, end)
    except DeskError as error:
        if "There is no lot" in str(error):
            raise DeskError(f"No lot `{end}`: `lot add` first. Nothing was changed.") from None
        raise


def _name(text: str, what: str) -> str:
    name = clean(text, LONGEST + 1)
    if not name or len(name) > LONGEST:
        raise DeskError(f"A {what} needs a name of 1 to {LONGEST} letters. Nothing was changed.")
    return name


def _amount(desk: Desk, text: str) -> Decimal:
    found = Money.parse(text, default=desk.home, codes=desk.currencies)
    if found.currency != desk.home:
        raise DeskError(f"{found} is not in {desk.home}, in which budgets are. Nothing was changed.")
    if found.amount <= 0:
        raise DeskError(f"An amount is above zero, not {found}. Nothing was changed.")
    return found.amount


def _line(desk: Desk, each: Held) -> BudgetLine:
    sums = (each.amount, each.paid, each.owed, each.placed, each.undecided, each.planned, each.aside, each.left)
    return BudgetLine(each.name, each.first, each.last, *(Money(amount, desk.home) for amount in sums))
