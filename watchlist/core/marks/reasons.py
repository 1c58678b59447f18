"""The sentences behind a mark, plain and with their figures."""

from __future__ import annotations

from datetime import date
from decimal import Decimal

from watchlist.core.coins.scale import grade_word
from watchlist.core.money.amount import Money
from watchlist.core.prices.record import Band


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
    at = " at the bid so far" if so_far else " at the low estimate" if estimate else ""
    said = f"{figure(all_in.amount)} {all_in.currency} all in{at}"
    return f"{said} ({note})." if note else f"{said}."


def band_sentence(band: Band, low: int | None, high: int | None, today: date) -> str:
    """What the grade has sold for, by how many sales and how long ago."""
    grade = grade_words(low, high)
    span = f"{figure(band.low)} to {figure(band.high)}, middle {figure(band.mid)}"
    if band.basis == "own":
        return f"Your own band is {span}."
    if band.basis == "parent":
        return f"No sale of this variety; those of the plain issue put {grade} at {span}, wide."
    if band.basis == "similar" or not band.sales:
        source = "A price guide puts" if band.basis == "guide" else "No sale of its own; similar issues put"
        return f"{source} {grade} at {span}."
    sales = "1 sale" if band.sales == 1 else f"{band.sales} sales"
    newest = f", newest {ago(band.newest_sale, today)}" if band.newest_sale else ""
    return f"{grade} has sold for {span}, {sales}{newest}."


def gap_sentence(gap: Decimal) -> str:
    """How the lot stands to the band's middle."""
    share = abs(round(gap * 100))
    if not share:
        return "This lot is at the middle."
    return f"This lot is {share}% {'under' if gap < 0 else 'over'} the middle."


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
    """`limit 240, now 60`: the room that is left under the ceiling; `missing` says why no limit could be reckoned."""
    if missing:
        return f"No bid limit can be reckoned for your ceiling of {ceiling} ({want}): {missing}."
    if limit is None:
        return f"No bid keeps under your ceiling of {ceiling} ({want})."
    if now is not None and now.currency != limit.currency:
        return f"Bid limit {limit} for your ceiling of {ceiling} ({want}), now {now}."
    at = f", now {str(now).removesuffix(f' {now.currency}')}" if now is not None else ""
    return f"Bid limit {limit}{at} (ceiling {ceiling}, {want})."
