"""The cheapest way to fill a series: the plan over lots open now, one of each issue, and lots at a fixed price."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import replace
from decimal import Decimal

from watchlist.core.coins.issue import Issue
from watchlist.core.held.series import Act, Way
from watchlist.core.money.amount import Money
from watchlist.core.plan.budgets import running
from watchlist.core.plan.offers import Option
from watchlist.core.prices.record import Band
from watchlist.core.sift.filter import Filter
from watchlist.desk.desk import Desk
from watchlist.desk.held.parcels import costs as lot_costs
from watchlist.desk.naming import short_key
from watchlist.desk.plan.planning import exact_worst, standing_bids
from watchlist.desk.plan.prospects import Field, Prospect, field_of
from watchlist.page.wording import grades
from watchlist.shelf.store.rows import LotRow

NOT_MEANT = {"copy": "marked Copy", "doubt": "marked Doubt"}
"""Marks of lots that are no way to fill a series."""
Ways = tuple[dict[str, Way], dict[str, str], Decimal, Decimal]
"""By issue the way and why there is none, what they are expected to cost, and at worst."""


def ways(desk: Desk, lacks: Sequence[Issue], grade: int, values: Mapping[str, Band | None]) -> Ways:
    """The ways to these issues in the grade or finer, without a budget. `values`: of each issue in the grade."""
    rows = _open_lots(desk, lacks, grade)
    buys, most = _buys(desk, rows), _most(rows, values)
    choice = field_of(desk, [_asked(desk, row, most) for row in rows if row.lot.price_kind != "fixed"])
    plan = standing_bids(desk, choice, [running(_enough(choice), (), (), desk.local_today())])
    found = dict(_placed(desk, choice, rows))
    for each, option in plan.bids:
        found.setdefault(_issue(each.row), _bid(desk, each, option))
    bought = {issue: way for issue, way in buys.items() if issue not in found}
    paid = sum((way.worst.amount for way in bought.values()), Decimal(0))
    why = {_issue(each.row): _why(each.why) for each in choice.passed}
    why |= {_issue(row): mark for row in rows if (mark := NOT_MEANT.get(row.judgement.mark if row.judgement else ""))}
    return found | bought, why, round(Decimal(plan.spending), 2) + paid, exact_worst(desk, choice, plan.bids) + paid


def _open_lots(desk: Desk, lacks: Sequence[Issue], grade: int) -> list[LotRow]:
    """Lots of missing issues that can be had now, in the grade or finer."""
    if not lacks:
        return []
    store = desk.shelf.store
    wanted = Filter(open_at=desk.now, issues=tuple(issue.key for issue in lacks))
    lines = [line for line in store.listing.each(wanted) if line.state != "skipped" and (line.grade_low or 0) >= grade]
    return [row for row in store.lots.by_key(line.key for line in lines).values() if row.judgement is not None]


def _why(passed: str) -> str:
    """In a word why no bid is thought of."""
    return "bids too high" if "bid" in passed else passed


def _most(rows: Iterable[LotRow], values: Mapping[str, Band | None]) -> dict[str, Decimal]:
    """By issue the most that is paid for it: the ceiling of its want, else what its cheapest lot costs at a fixed price
    or is worth at its high. One for all lots of an issue, so that the plan takes the cheapest, not the finest."""
    found: dict[str, Decimal] = {}
    for row in rows:
        judged, issue = row.judgement, _issue(row)
        value = (judged.value if judged else None) or values.get(issue)
        if judged is None or judged.mark in NOT_MEANT or (value is None and judged.ceiling is None):
            continue
        fixed = judged.all_in if row.lot.price_kind == "fixed" else None
        most = judged.ceiling or fixed
        amount = most.amount if most else value.high if value else Decimal(0)
        found[issue] = min(amount, found.get(issue, amount))
    return found


def _issue(row: LotRow) -> str:
    return (row.judgement.issue or "") if row.judgement else ""


def _buys(desk: Desk, rows: Iterable[LotRow]) -> dict[str, Way]:
    """The cheapest piece of each issue that is offered at a fixed price."""
    found: dict[str, Way] = {}
    for row in rows:
        judged, price = row.judgement, row.lot.price
        if row.lot.price_kind != "fixed" or judged is None or judged.all_in is None or price is None:
            continue
        way = _way(desk, row, "buy", price, judged.all_in, 1.0)
        known = found.get(_issue(row))
        if judged.mark not in NOT_MEANT and (known is None or way.worst.amount < known.worst.amount):
            found[_issue(row)] = way
    return found


def _asked(desk: Desk, row: LotRow, most: Mapping[str, Decimal]) -> LotRow:
    """An auction lot as if its issue were wanted."""
    assert row.judgement is not None
    issue = _issue(row)
    ceiling = Money(most[issue], desk.home) if issue in most else None
    return replace(row, judgement=replace(row.judgement, ceiling=ceiling, ceiling_want=issue))


def _enough(choice: Field) -> Decimal:
    """More than all bids can cost."""
    once = Decimal(sum(each.budget for each in choice.once.values())) / 100
    return sum((each.ceiling for each in choice.prospects), 1 + once)


def _placed(desk: Desk, choice: Field, rows: Iterable[LotRow]) -> Iterator[tuple[str, Way]]:
    """Lots with a bid that their venue has."""
    for row in rows:
        hand = choice.hands.lots.get(row.lot.key)
        costs = lot_costs(desk, row, hand.price) if hand and hand.stands != "planned" else None
        if hand and costs:
            yield _issue(row), _way(desk, row, "placed", hand.price, Money(costs.alone, desk.home), 0.0)


def _bid(desk: Desk, each: Prospect, option: Option) -> Way:
    price, worst = Money(option.bid, each.limit.currency), Money(Decimal(option.alone) / 100, desk.home)
    return _way(desk, each.row, "bid", price, worst, option.chance)


def _way(desk: Desk, row: LotRow, act: Act, price: Money, worst: Money, chance: float) -> Way:
    judged = row.judgement
    grade = grades(judged.grade_low, judged.grade_high, details=row.reading.details) if judged else ""
    lot = short_key(desk.shelf.store, row.lot.key)
    return Way(lot, row.lot.venue, grade, act, price, worst, chance, judged.value if judged else None)
