"""The sentences behind a mark, plain and with their figures."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date
from decimal import Decimal

from watchlist.core.coins.scale import grade_word
from watchlist.core.money.amount import Money
from watchlist.core.prices.record import Band
from watchlist.core.prices.traits import trait_words


def grade_words(low: int | None, high: int | None) -> str:
    """A grade or range in the trade's words: `VF-30`, `VF-20 to VF-35`; `this issue` without a grade."""
    if low is None or high is None:
        return "this issue"
    return grade_word(low) if low == high else f"{grade_word(low)} to {grade_word(high)}"


def figure(amount: Decimal) -> str:
    """An amount without its currency: whole from 20 up, else with cents."""
    return f"{amount:,.0f}" if amount >= 20 or amount == amount.to_integral_value() else f"{amount:,.2f}"


def cost_sentence(all_in: Money, *, so_far: bool, estimate: bool, note: str) -> str:
    """`310 EUR all in.`, with what it rests on."""
    at = " at the current bid" if so_far else " at the low estimate" if estimate else ""
    said = f"{figure(all_in.amount)} {all_in.currency} all in{at}"
    return f"{said} ({note})." if note else f"{said}."


def piece_words(low: int | None, high: int | None, *, raw: bool, beyond: Sequence[str] = ()) -> str:
    """`VF-30 raw, strike weak`, `MS-63 certified`; `this issue` without a grade. `beyond`: faults and traits."""
    if low is None or high is None:
        return grade_words(low, high)
    said = f"{grade_words(low, high)} {'raw' if raw else 'certified'}"
    return f"{said}, {trait_words(beyond)}" if beyond else said


def value_sentence(value: Band, price: Band | None, piece: str, today: date) -> str:
    """What a piece is worth, what that rests on, and what a single sale may bring: `VF-30 raw: worth 380 to 460 EUR
    all in, median 420 (14 sales of the issue, newest 3 weeks ago); a single sale may bring 340 to 510.`"""
    span = f"{figure(value.low)} to {figure(value.high)} {value.currency} {KINDS.get(value.kind, value.kind)}"
    if value.basis == "own":
        return f"Your own band: {span}, median {figure(value.mid)}."
    span += f", median {figure(value.mid)} ({rests_on(value, today)})"
    swing = f"; a single sale may bring {figure(price.low)} to {figure(price.high)}" if price is not None else ""
    return f"{piece[:1].upper()}{piece[1:]}: worth {span}{swing}."


KINDS = {"all-in": "all in"}
"""What a band holds, as people say it."""


def rests_on(band: Band, today: date) -> str:
    """`14 sales of the issue in all grades, newest 3 weeks ago`; a guide, or similar issues."""
    if band.basis == "parent":
        return "no sale of this variety: estimate from the regular issue, wide"
    if band.basis == "similar" or not band.sales:
        return "by a price guide" if band.basis == "guide" else "no sales; estimate from similar issues"
    sales = "1 sale" if band.sales == 1 else f"{band.sales} sales in all grades"
    return sales + (f", newest {ago(band.newest_sale, today)}" if band.newest_sale else "")


def chance_sentence(chance: float, cost: Decimal | None, margin: Decimal, home: str) -> str:
    """The chance of the bargain rule in tenths, as the estimate that it is."""
    tenths = round(10 * chance)
    said = "under 1" if tenths < 1 else "over 9" if tenths > 9 else f"about {tenths}"
    least = f"{figure(cost / margin)} {home} or more" if cost is not None else "its cost"
    return f"Rough estimate, not a verdict: {said} in 10 that it is genuine and worth {least}."


def gap_sentence(gap: Decimal, before: Money | None = None) -> str:
    """How the lot's cost stands to the median of its value; `before`: its cost before postage, where that counts."""
    share = abs(round(gap * 100))
    if before is not None:
        stands = f"{share}% {'below' if gap < 0 else 'above'}" if share else "at"
        return f"Before postage this lot costs {figure(before.amount)} {before.currency}, {stands} the median."
    if not share:
        return "This lot is at the median."
    return f"This lot is {share}% {'below' if gap < 0 else 'above'} the median."


def problem_words(problem: str) -> str:
    """A problem as people say it: `environmental damage` for env_damage."""
    return problem.replace("env_", "environmental ").replace("_", " ")


def ago(day: date, today: date) -> str:
    """How long ago a day was, in words."""
    days = (today - day).days
    if days < 2:
        return "1 day ago" if days == 1 else "today"
    size, unit = next(each for each in ((365, "year"), (30, "month"), (7, "week"), (1, "day")) if days >= 2 * each[0])
    return f"{days // size} {unit}s ago"


def room_sentence(limit: Money | None, now: Money | None, ceiling: Money, want: str, *, missing: str = "") -> str:
    """`Bid limit 240 EUR hammer, current bid 60`: the room that is left under the ceiling; `missing` says why no limit
    could be calculated."""
    if missing:
        return f"No bid limit can be calculated for your ceiling of {ceiling} ({want}): {missing}."
    if limit is None:
        return f"Even the lowest bid exceeds your ceiling of {ceiling} all in ({want})."
    if now is not None and now.currency != limit.currency:
        return f"Bid limit {limit} hammer for your ceiling of {ceiling} all in ({want}), current bid {now}."
    at = f", current bid {str(now).removesuffix(f' {now.currency}')}" if now is not None else ""
    return f"Bid limit {limit} hammer{at} (ceiling {ceiling} all in, {want})."
