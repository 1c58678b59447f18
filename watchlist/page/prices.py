"""The market of one issue as text: the sentence, the curve, the sales behind the band."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from datetime import date

from watchlist.core.coins.catalogue import Issue
from watchlist.core.prices.bands import Band, Contribution, Explanation
from watchlist.page import wording
from watchlist.page.charts import Rung
from watchlist.page.columns import table, wrap

SHOWN = 12
"""Sales listed one by one."""


def rungs(
    curve: Sequence[tuple[int, Band]], sales: Sequence[Contribution], *, around: int | None = None, most: int = 9
) -> list[Rung]:
    """The steps of a plot: the grades that have sales and the lot's own, thinned out to at most `most`."""
    sold = Counter(_nearest(sale.grade, curve) for sale in sales)
    steps = [Rung(grade, band.low, band.mid, band.high, sold.get(grade, 0)) for grade, band in curve]
    if len(steps) <= most:
        return steps
    wanted = {_nearest(float(around), curve)} if around is not None else set()
    ranked = sorted(steps, key=lambda rung: (rung.grade not in wanted, -rung.sales, abs(rung.grade - 40)))
    keep = {rung.grade for rung in ranked[:most]}
    return [rung for rung in steps if rung.grade in keep]


def _nearest(grade: float, curve: Sequence[tuple[int, Band]]) -> int:
    return min((node for node, _ in curve), key=lambda node: abs(node - grade), default=round(grade))


def headline(issue: Issue, sales: int, newest: date | None, today: date) -> str:
    """What the issue is, how many were struck and how many sales are known."""
    struck = f", {issue.mintage:,} struck" if issue.mintage else ""
    age = f", newest {wording.ago(newest, today)}" if newest else ""
    copied = " Copies of this issue are known." if issue.copied else ""
    return f"{wording.coin_name(issue)}{struck}: {wording.count(sales, 'price')} realised{age}.{copied}"


def account(found: Explanation, grade: int, currency: str, width: int) -> list[str]:
    """What the band rests on, in words and as a table of sales."""
    drift = (found.drift_five_years - 1) * 100
    moved = "hardly moved" if abs(drift) < 1 else f"moved by {drift:+.0f}%"
    text = wrap(
        f"{found.similar:.0%} of the middle comes from similar issues, a guide and older sales; the market {moved} "
        f"over five years; the evidence is {found.evidence_age:.1f} years old on average; a guide counts as "
        f"{found.guide_worth:.1f} sales.", width,
    )
    return [*text, *_sales(found.sales, grade, currency)]


def _sales(sales: Sequence[Contribution], grade: int, currency: str) -> list[str]:
    if not sales:
        return []
    today = f"as {wording.grades(grade, grade)} today"
    rows: list[tuple[str, ...]] = [("sale", "day", "grade", "", f"price {currency}", today, "weight", "trust")]
    rows += [
        (
            str(sale.sale), sale.day.isoformat(), wording.grades(round(sale.grade), round(sale.grade)),
            "raw" if sale.raw else "certified", wording.figure(sale.price), wording.figure(sale.adjusted),
            f"{round(sale.weight * 100)}%", f"{sale.trust:.2f}",
        )
        for sale in sales[:SHOWN]
    ]
    more = [f"and {len(sales) - SHOWN} older sales"] if len(sales) > SHOWN else []
    return ["", *table(rows, right=frozenset({0, 4, 5, 6, 7})), *more]
