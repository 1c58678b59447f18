"""Which listed year of another era a title means, where the catalogue lists a coin by one."""

from __future__ import annotations

import re
from dataclasses import dataclass

from watchlist.core.coins.eras import written
from watchlist.core.coins.index import Index
from watchlist.core.reading.record import Reading

_BARE = re.compile(r"(?<![\w.,/#-])(1[0-4]\d\d|2[1-6]\d\d)(?![\w%]|[.,/-]\d)")


@dataclass(frozen=True, slots=True)
class Dated:
    """Years of the catalogue's own era that a title means."""

    denomination: str
    years: tuple[int, ...]
    why: str


def dated(index: Index, reading: Reading, country: str | None, struck: bool) -> Dated | None:
    """The listed years of an era that a title means, where the catalogue lists this coin by one; else None.

    `struck`: the catalogue lists the western year too; then only a year with its era's name counts."""
    series = index.series(reading.denomination or "", country)
    if series is None or not series.listed or reading.years:
        return None
    era = index.era(series)
    if not era and not series.bare:
        return None
    named = {number for name, number, _, _ in written(reading.title) if era in ("", name)}
    if years := sorted(named & series.by_year.keys() - {reading.year}):
        return Dated(series.denomination, tuple(years), f"The catalogue lists it by its own era, as {years[0]}.")
    if struck:
        return None
    if reading.year is None:
        years = sorted({int(hit[1]) for hit in _BARE.finditer(reading.title)} & series.by_year.keys())
        return Dated(series.denomination, tuple(years), "") if years else None
    years = index.era_years(series, reading.year)
    why = f"{reading.year} is {' or '.join(map(str, years))} of the era that the catalogue lists it by."
    return Dated(series.denomination, tuple(years), why) if years else None
