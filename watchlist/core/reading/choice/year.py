"""Which of the dates of a title is the piece's, and when it is a lot of several."""

from __future__ import annotations

from watchlist.core.reading.choice.draft import Draft
from watchlist.core.reading.fields.dates import LONGEST


def mark_several_years(draft: Draft) -> None:
    """Years listed, or a range with a unit in the plural: a lot of several."""
    found = [year for year in draft.dates.found if not year.denied and not year.bracketed]
    listed = len({year.year for year in found if year.last is None}) > 1
    plural = any(
        v.unit
        and v.number is None
        and v.end - v.start == 1
        and draft.scan.them[v.start].low.endswith("s")
        and draft.scan.them[v.start].low != v.unit
        for v in draft.values
    )
    draft.many.multiple |= listed or (plural and any(year.last for year in found))


def choose_year(draft: Draft) -> int | None:
    """The one year, or None when there are several or none."""
    found = [year for year in draft.dates.found if not year.denied]
    single = [year for year in found if year.last is None]
    if draft.dates.era is not None and not single:
        era = draft.dates.era
        draft.scan.rest("year", era.start, era.end, era.score)
        if era.score < 0.65:
            draft.unsure["year"] = None
        return era.year
    plain = [year for year in single if not year.bracketed] or single
    if len({year.year for year in plain}) == 1:
        year = plain[0]
        if draft.many.multiple and any(y.last and not y.bracketed for y in found):
            return None
        others = {y.year for y in single} - {year.year}
        for other in sorted(others):
            draft.unsure["year"] = None
            draft.other.append(("year", str(other)))
        draft.scan.rest("year", year.start, year.end, 0.75 if others else year.score)
        return year.year
    if not found and draft.dates.before_christ is not None:
        return None
    return None


def all_years(draft: Draft, year: int | None) -> tuple[int, ...]:
    """All years of a lot of several; ranges written out."""
    found = [y for y in draft.dates.found if not y.denied]
    out: dict[int, None] = {}
    if year is not None or not found:
        return ()
    listed = len({y.year for y in found if y.last is None}) > 1
    if not draft.many.multiple and not listed:
        return ()
    for y in found:
        if y.last is not None and y.last - y.year <= LONGEST:
            out.update(dict.fromkeys(range(y.year, y.last + 1)))
        elif y.last is None and not (y.bracketed and len(found) > 1):
            out[y.year] = None
    if any(y.last for y in found) and draft.many.multiple:
        first = next(y for y in found if y.last)
        out = (
            dict.fromkeys(range(first.year, min(first.last or first.year, first.year + LONGEST) + 1))
            if len(found) > 1 and not listed
            else out
        )
    return tuple(sorted(out))
