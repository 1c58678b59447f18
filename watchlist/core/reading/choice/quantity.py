"""A count before the country: `3 Orvanian 2 tor 1877` is three pieces, `20 Orvanian tor` may be one of twenty."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from watchlist.core.reading.choice.draft import Draft
from watchlist.core.reading.fields.facevalues import ROUND, Value
from watchlist.core.reading.scanning.scan import Mark, Scan
from watchlist.core.reading.vocabulary.tokens import NUMBER, WORD

if TYPE_CHECKING:
    from watchlist.core.reading.reader import Reader

MOST = 1000
"""A larger number before a country is a date or a lot number."""
APART = 2
"""Words between a count and the country, at most: `3 old silver Orvanian tor`."""
NAMED = ("number", "unit", "coin", "country")
LEADS = frozenset((":", "|", "*", "!", "of", "-"))
"""What may stand before a count that is not the first word."""


def count_before_country(draft: Draft, reader: Reader) -> None:
    """Set the quantity that a number before the country says, or the denomination it is part of.

    Where it may be either, `denomination` is unsure."""
    scan = draft.scan
    for mark in scan.by.get("country", ()):
        found = _number(scan, mark)
        value = _behind(draft, mark) if found else None
        if found is None or value is None:
            continue
        start, number = found
        many = _is_many(draft, reader, value, number)
        if many:
            draft.many.multiple, draft.many.quantity = True, number
            scan.rest("quantity", start, mark.start, 0.9)
        else:
            value.number, value.start = number, start
            if many is None:
                draft.unsure["denomination"] = None
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
    scan, sets = draft.scan, draft.scan.lex.sets
    at = mark.end + (scan.tok(mark.end).low in sets["silver"] or scan.tok(mark.end).low in sets["gold"])
    at = next((year.end for year in draft.dates.found if year.start == at), at)
    return next((value for value in draft.values if value.start == at), None)


def _is_many(draft: Draft, reader: Reader, value: Value, number: int) -> bool | None:
    """Whether the number counts pieces (True) or is the value's own (False); None: it may be either."""
    scan = draft.scan
    if value.coin or value.number is not None:
        return True if value.number is not None or scan.them[value.end - 1].low.endswith("s") else None
    whole = reader.canonical(replace(value, number=float(number)), draft.country, scan)
    one = reader.canonical(value, draft.country, scan)
    listed = (reader.spellings.find(whole) is not None, reader.spellings.find(one) is not None)
    if any(listed):
        return None if all(listed) else listed[1]
    return None if number in ROUND else True
