"""How complete a series is, in lines."""

from __future__ import annotations

from collections.abc import Iterator

from watchlist.core.coins.scale import grade_word
from watchlist.core.held.series import Complete, Missing
from watchlist.core.prices.record import Band
from watchlist.page.columns import table, wrap
from watchlist.page.wording import about, count

HEADS = ("missing", "have", "lot", "grade", "do", "up to", "wins", "worth today")
WIDE = 100
"""Cells from which venue, grade and chance have room too."""
NOTE = (
    "Bids are those of a plan over lots open now, one of each issue and without a budget: up to the ceiling of a want, "
    "else to what its cheapest lot is offered for or worth at its high. Values are estimates, not offers."
)


def head(shown: Complete) -> str:
    """`Orvany 5 tor at VF-20 or finer: 12 of 38 issues held (32%), 3 more below`."""
    grade, share = grade_word(shown.grade), shown.held / shown.issues
    below = f", {shown.below} more below" if shown.below else ""
    return f"{shown.name} at {grade} or finer: {shown.held} of {count(shown.issues, 'issue')} held ({share:.0%}){below}"


def lines(shown: Complete, width: int) -> Iterator[str]:
    """What is missing, with the way to each, under its head."""
    if not shown.missing:
        return
    rows = [HEADS, *map(_row, shown.missing)]
    if width >= WIDE:
        yield from table(rows, right=frozenset({5, 6, 7}), width=width, give=(2, 3))
    else:
        few = [(coin, have, lot.partition("  ")[0], do, most, worth) for coin, have, lot, _, do, most, _, worth in rows]
        yield from table(few, right=frozenset({4, 5}), width=width, give=(2, 0))
    yield ""
    yield from wrap(f"{foot(shown)} {NOTE}", width)


def _row(each: Missing) -> tuple[str, ...]:
    way = each.way
    have = "-" if each.finest is None else grade_word(each.finest) if each.finest > 1 else "?"
    if way is None:
        return each.coin, have, each.why or "none open", "", "", "", "", _worth(each.value)
    chance = f"{way.chance:.0%}" if way.act == "bid" else ""
    lot = f"{way.lot}  {way.venue}"
    return each.coin, have, lot, way.grade, f"{way.act} {way.price}", about(way.worst), chance, _worth(way.value)


def _worth(value: Band | None) -> str:
    return f"{value.low:,.0f}-{value.high:,.0f}" if value else "no band"


def foot(shown: Complete) -> str:
    """What lots open now can fill and what that costs; what the rest is worth."""
    value, unknown = shown.rest
    left = len(shown.missing) - shown.open
    said = f"Lots open now can fill {shown.open} of {len(shown.missing)}"
    said += (
        f": some {about(shown.spending)} expected, up to {about(shown.worst)} all in if every bid wins. "
        if shown.open
        else ". "
    )
    if not left:
        return said.rstrip()
    but = f" ({unknown} have no band)" if unknown else ""
    rest = f"For the other {left} no lot is open or within reach"
    return f"{said}{rest}: by their medians they are worth {about(value)}{but}."
