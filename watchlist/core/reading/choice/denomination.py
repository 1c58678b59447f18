"""Which of the face values of a title is the piece's denomination."""

from __future__ import annotations

from itertools import pairwise

from watchlist.core.reading.choice.draft import Draft
from watchlist.core.reading.fields.denominations import canonical
from watchlist.core.reading.fields.facevalues import Value
from watchlist.core.reading.scanning.scan import Scan

STATED = frozenset(("half penny", "2 pence", "3 pence", "6 pence", "half crown"))
"""Values that a token states by the name of a coin."""
OTHERWISE_VALUED = frozenset(("medal", "token", "bar", "round"))
"""Things that are named by a coin at times, and seldom state a value."""
SURE = 0.7
"""A value surer than that counts beside another."""
SURER = 0.9
MOST = 1000
"""The largest figure of a list of values."""


def take_values(draft: Draft) -> None:
    """Keep the values whose words are not spoken for, the best one first, and take their tokens."""
    scan = draft.scan
    values = [value for value in draft.values if scan.free(value.start, value.end)]
    if values:
        best = max(values, key=lambda value: (_rank(value), -value.start)) if len(values) > 1 else values[0]
        values.remove(best)
        scan.take(best.start, best.end)
        for value in values:
            if value.end - value.start > 1 or value.number is not None:
                scan.take(value.start, value.end)
        values.insert(0, best)
    draft.values = values


def _rank(value: Value) -> float:
    """How good a value is; one written out in several words is a little better."""
    written_out = value.end - value.start > 1 and not value.short and value.score > 0.5
    return round(value.score + (0.06 if written_out else 0), 2)


def choose_denomination(draft: Draft, kind: str) -> str | None:
    """The denomination, `set` for a set of several, or None when the title gives none or more than one."""
    scan, many = draft.scan, draft.many
    values = [value for value in draft.values if _may_have(kind, value)]
    if many.multiple and (_several_values(scan, values) or _each_its_year(draft, values)):
        return None
    if not values:
        return "set" if many.is_set and kind == "coin" else None
    best = values[0]
    if many.is_set and best.number is None and best.unit == "euro":
        return "set"  # `euro` says only which money the set is of
    scan.rest("denomination", best.start, best.end, round(best.score, 2))
    name = _named(draft, best)
    if not many.multiple:
        _doubt_by_others(draft, name, values[1:])
    return name


def _may_have(kind: str, value: Value) -> bool:
    """Whether a thing of this kind may state a value: a medal only by number and unit, an object none."""
    if kind not in OTHERWISE_VALUED:
        return kind != "object"
    return (value.number is not None and bool(value.unit)) or (kind == "token" and value.coin in STATED)


def _named(draft: Draft, value: Value) -> str:
    """The denomination as the catalogue spells it; a unit that was renewed has its later name from that year on."""
    since, later = draft.scan.lex.later.get(value.unit, (0, ""))
    renewed = later and value.number is None and draft.year is not None and draft.year >= since
    return draft.vocabulary.spelt[later if renewed else canonical(value, draft.country, draft.scan)]


def _doubt_by_others(draft: Draft, name: str, others: list[Value]) -> None:
    """Another denomination in the title, unless it only says the same again."""
    for value in others:
        if value.score >= SURER and value.number is not None:
            other = draft.vocabulary.spelt[canonical(value, draft.country, draft.scan)]
            if other != name:
                draft.doubt("denomination", other)


def _several_values(scan: Scan, values: list[Value]) -> bool:
    """`1/2 Mark - 5 Mark`, `5-10-25 pesetas`, `cents and stivers`: a lot of more than one denomination."""
    if any(value.number and _ends_a_list(scan, value) for value in values):
        return True
    return any(_are_joined(scan, one, two) for one, two in pairwise(sorted(values, key=lambda value: value.start)))


def _ends_a_list(scan: Scan, value: Value) -> bool:
    """`5-10-25 pesetas`: two more figures stand before it, parted by one sign."""
    figures = [scan.tok(value.start - back).number for back in (2, 4)]
    signs = {scan.tok(value.start - back).low for back in (1, 3)}
    return len(signs) == 1 and signs <= {"-", ",", "+"} and all(0 < number <= MOST for number in figures)


def _are_joined(scan: Scan, one: Value, two: Value) -> bool:
    """`1/2 Mark - 5 Mark`, `cents and stivers`."""
    if _are_same(one, two) or two.start - one.end != 1:
        return False
    sign, sets = scan.tok(one.end).low, scan.lex.sets
    return sign == "-" or sign in sets["until"] or (sign in sets["and"] and one.unit != two.unit)


def _each_its_year(draft: Draft, values: list[Value]) -> bool:
    """`1858 half dollar and 1876 quarter`: two values, a year with each."""
    sure = sorted((value for value in values if value.score >= SURE), key=lambda value: value.start)
    years = [year.start for year in draft.single_years]
    return len(years) > 1 and any(
        not _are_same(one, two) and any(one.end <= at < two.start for at in years) for one, two in pairwise(sure)
    )


def _are_same(one: Value, two: Value) -> bool:
    return (one.unit, one.number, one.coin) == (two.unit, two.number, two.coin)
