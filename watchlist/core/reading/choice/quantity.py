"""How many pieces a lot holds. A number before the country may be a count or part of the denomination:
`3 Orvanian 2 tor 1877` is three pieces, `20 Orvanian tor` may be one of twenty."""

from __future__ import annotations

from dataclasses import replace

from watchlist.core.reading.choice.draft import Draft
from watchlist.core.reading.fields.denominations import canonical
from watchlist.core.reading.fields.facevalues import ROUND, Value
from watchlist.core.reading.scanning.scan import Mark, Scan
from watchlist.core.reading.vocabulary.tokens import NUMBER, WORD

MOST = 1000
"""A larger number before a country is a date or a lot number."""
APART = 2
"""Words between a count and the country, at most: `3 old silver Orvanian tor`."""
NAMED = ("number", "unit", "coin", "country")
LEADS = frozenset((":", "|", "*", "!", "of", "-"))
"""What may stand before a count that is not the first word."""
US_CENTS = {"dime": 10, "quarter dollar": 25, "half dollar": 50, "dollar": 100, "cent": 1, "5 cent": 5}
"""Pieces that are sold by their face value: `$10 face of dimes`."""


def quantity_of(draft: Draft, denomination: str | None, years: tuple[int, ...]) -> int | None:
    """The number of pieces as counted, by their face value, or as one for each of the years named."""
    many = draft.many
    if many.quantity is not None:
        return many.quantity
    if many.face and draft.values:
        cents = US_CENTS.get(denomination or "", 0)
        return round(many.face * 100 / cents) if cents else None
    single = {year.year for year in draft.single_years}
    one_each = many.multiple and len(single) == len(years) > 1 and not draft.scan.by.get("multiple.set")
    return len(years) if one_each else None


def count_before_country(draft: Draft) -> None:
    """Set the quantity that a number before the country says, or the denomination it is part of.

    Where it may be either, `denomination` is unsure."""
    scan = draft.scan
    for mark in scan.by.get("country", ()):
        found = _number(scan, mark)
        value = _behind(draft, mark) if found else None
        if found is None or value is None:
            continue
        start, number = found
        counts = _counts(draft, value, number)
        if counts:
            draft.many.multiple, draft.many.quantity = True, number
            scan.rest("quantity", start, mark.start, 0.9)
        else:
            value.number, value.start = number, start
            if counts is None:
                draft.doubt("denomination")
                draft.other.append(("quantity", str(number)))
        scan.take(start, mark.start)
        return


def _number(scan: Scan, mark: Mark) -> tuple[int, int] | None:
    """Where a whole number right before a country starts, and the number; only at the head of a title or a part."""
    at = mark.start - 1
    while mark.start - at <= APART and scan.tok(at).kind == WORD and not any(scan.has(at, kind) for kind in NAMED):
        at -= 1
    if at < 0 or scan.used[at]:
        return None
    token = scan.them[at]
    number = token.number if token.kind == NUMBER else -1
    if number < 0 and (word := scan.has(at, "number")) and word.end == at + 1:
        number = int(float(word.value))
    leads = at == 0 or scan.tok(at - 1).low in LEADS
    return (at, number) if leads and 1 < number < MOST else None


def _behind(draft: Draft, mark: Mark) -> Value | None:
    """The value right behind a country, past the metal and the date."""
    low, sets = draft.scan.tok(mark.end).low, draft.scan.lex.sets
    at = mark.end + (low in sets["silver"] or low in sets["gold"])
    at = next((year.end for year in draft.dates.found if year.start == at), at)
    return next((value for value in draft.values if value.start == at), None)


def _counts(draft: Draft, value: Value, number: int) -> bool | None:
    """Whether the number counts pieces (True) or is the value's own (False); None: it may be either."""
    if value.number is not None:
        return True
    if value.coin:
        return True if draft.scan.them[value.end - 1].low.endswith("s") else None
    whole, one = (
        draft.vocabulary.spellings.find(canonical(each, draft.country, draft.scan)) is not None
        for each in (replace(value, number=float(number)), value)
    )
    if whole or one:
        return None if whole and one else one
    return None if number in ROUND else True
