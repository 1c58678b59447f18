"""What kind of thing a piece is; things that are not coins, though one is named: paper money, an empty case, a book."""

from __future__ import annotations

from watchlist.core.reading.scanning.scan import BREAKS, Mark, Scan
from watchlist.core.reading.vocabulary.tokens import FRACTION, NUMBER, YEARS

THINGS = ("thing.sure", "thing.object", "thing.container", "thing.shy")
"""Kinds of words for a thing that is no coin, the surest first."""
HEAD = 3
"""Words at the head of a title: only there is a `box for` something what is sold."""
REACH = 3
"""Words before a thing among which `with` or `in` say that it only comes along."""
MARK = 2
"""Letters of a mint mark or a grade that may stand between the year and the thing."""


def find_kind(scan: Scan) -> str:
    """coin, medal, token, bar, round or object; a love token is a coin."""
    if thing := other_thing(scan):
        scan.rest("kind", thing.start, thing.end, 0.9)
        return "object"
    for mark in scan.told("kind"):
        if scan.tok(mark.start - 1).low in scan.lex.sets["no_kind_behind"] or not _is_weighed(scan, mark.value):
            continue
        scan.rest("kind", mark.start, mark.end, 0.9)
        return mark.value
    return "coin"


def _is_weighed(scan: Scan, kind: str) -> bool:
    """A bar and a round are sold by their weight: a measure, an ounce or a fineness stands in the title."""
    if kind == "round":
        return not scan.lows.isdisjoint(scan.lex.sets["fine_ounce"])
    measures, measured = scan.lex.sets["measure"], (NUMBER, FRACTION)
    return kind != "bar" or any(
        token.low in measures and scan.tok(at - 1).kind in measured for at, token in enumerate(scan.them)
    )


def other_thing(scan: Scan, kinds: tuple[str, ...] = THINGS) -> Mark | None:
    """The words for a thing that is no coin, whatever else stands there: paper money, a weight, an empty case."""
    for kind in kinds:
        for mark in scan.by.get(kind, ()):
            if scan.used[mark.start] or scan.negated(mark.start, mark.end, 1) or _comes_along(scan, mark):
                continue
            shy, container = kind == "thing.shy", kind == "thing.container"
            if (not shy or _is_named(scan, mark)) and (not container or mark.start < HEAD):
                return mark
    return None


def _comes_along(scan: Scan, mark: Mark) -> bool:
    """`with keyring`, `in a book`: the coin has it beside or around it."""
    for at in range(mark.start - 1, max(mark.start - REACH - 1, -1), -1):
        if scan.them[at].low in scan.lex.sets["along"]:
            return True
        if scan.them[at].low in BREAKS:
            break
    return False


def _is_named(scan: Scan, mark: Mark) -> bool:
    """Whether a common word names the thing: behind a unit (`5 tor note`), a year, or alone in its breath.

    `note the die crack`, `billet argent` and `stamp of` are none."""
    before, after = scan.tok(mark.start - 1), scan.tok(mark.end)
    if after.low in scan.lex.sets["no_thing_before"] or before.low in scan.lex.sets["no_thing_behind"]:
        return False
    dated = before.number >= YEARS[0] or (len(before.low) <= MARK and scan.tok(mark.start - 2).number >= YEARS[0])
    beside = (*scan.marks_at.get(mark.start - 1, ()), *scan.marks_at.get(mark.start - 2, ()))
    if dated or any(m.kind in ("unit", "coin") and m.end == mark.start for m in beside):
        return True
    return after.low in ("", ",", ";", ")") and not scan.negated(mark.start, mark.end)
