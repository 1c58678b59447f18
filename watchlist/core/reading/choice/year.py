"""Which of the dates of a title is the piece's, and when it is a lot of several."""

from __future__ import annotations

from collections.abc import Sequence

from watchlist.core.reading.choice.draft import Draft
from watchlist.core.reading.fields.dates import LONGEST
from watchlist.core.reading.fields.facevalues import Value
from watchlist.core.reading.fields.years import Year
from watchlist.core.reading.scanning.scan import Scan

SURE = 0.65
"""A year of another era under this is doubted."""


def mark_several_years(draft: Draft) -> None:
    """Years listed, or a range with a unit in the plural: a lot of several."""
    found = [year for year in draft.dates.found if not year.denied and not year.bracketed]
    ranged = any(year.last for year in found) and any(_is_plural(draft.scan, value) for value in draft.values)
    draft.many.multiple |= ranged or _is_list(found)


def _is_plural(scan: Scan, value: Value) -> bool:
    """`Kronen 1893-1900` has none, `marks 1893-1900` has: a unit alone, in the plural."""
    word = scan.them[value.start].low
    alone = value.unit and value.number is None and value.end - value.start == 1
    return bool(alone) and word.endswith("s") and word != value.unit


def _is_list(found: Sequence[Year]) -> bool:
    """`1890, 1891, 1893`."""
    return len({year.year for year in found if year.last is None}) > 1


def choose_year(draft: Draft) -> int | None:
    """The one year, or None when there are several or none."""
    found, era = [year for year in draft.dates.found if not year.denied], draft.dates.era
    single = [year for year in found if year.last is None]
    if era is not None and not single:
        draft.scan.rest("year", era.start, era.end, round(era.score, 2))
        if era.score < SURE:
            draft.doubt("year")
        return era.year
    plain = [year for year in single if not year.bracketed] or single
    ranged = draft.many.multiple and any(year.last and not year.bracketed for year in found)
    if ranged or len({year.year for year in plain}) != 1:
        return None
    year = plain[0]
    others = sorted({other.year for other in single} - {year.year})
    if others:
        draft.doubt("year", *map(str, others))
    draft.scan.rest("year", year.start, year.end, 0.75 if others else round(year.score, 2))
    return year.year


def all_years(draft: Draft, year: int | None) -> tuple[int, ...]:
    """All years of a lot of several; ranges written out."""
    found = [each for each in draft.dates.found if not each.denied]
    listed, many = _is_list(found), draft.many.multiple
    if year is not None or not (many or listed):
        return ()
    ranged = next((each for each in found if each.last), None)
    if ranged and many and len(found) > 1 and not listed:
        return tuple(_written_out(ranged))  # the other year is in brackets, or one of the range
    return tuple(sorted({number for each in found if _is_listed(each, found) for number in _written_out(each)}))


def _is_listed(year: Year, found: Sequence[Year]) -> bool:
    """A range that is not too long to be one, or a year that is no second one in brackets."""
    if year.last:
        return year.last - year.year <= LONGEST
    return not year.bracketed or all(other.bracketed for other in found)


def _written_out(year: Year) -> range:
    return range(year.year, min(year.last or year.year, year.year + LONGEST) + 1)
