"""Years of other eras: the hijra, the Buddha, reigns and republics, Roman figures, before and after Christ."""

from __future__ import annotations

import re

from watchlist.core.reading.fields.years import Dates, Year
from watchlist.core.reading.scanning.scan import Mark, Scan
from watchlist.core.reading.vocabulary.tokens import NUMBER, WORD, YEARS

FIRST, LAST = YEARS[0], YEARS[-1]
TIES = frozenset("-/")
HIJRI, HEBREW = "hijri", "hebrew"
HIJRI_SLOPE, HIJRI_BASE = 0.970224, 621.5774
"""The hijri year is eleven days shorter than ours."""
HIJRI_YEARS = range(1, 1501)
HEBREW_YEARS, HEBREW_BASE = range(5001, 6000), -3760
BEHIND = (HIJRI, "621", "-543")
"""Eras met behind their years: the lunar and the solar hijra and the Buddha's."""
ACCESSION = frozenset(("TR", "EG", "TN"))
"""Their pieces carry the hijri year of the accession and the year of the reign: 1293/33 was struck in 1325."""
ACCESSIONS = range(1100, 1451)
ISLAMIC = frozenset(("IR", "MA", "AF", "SA", "TR", "EG", "TN", "SD", "IQ", "ZNZ"))
"""A year of four figures from 1150 to 1450 is hijri there, with or without AH."""
BARE_HIJRI = range(1150, 1451)
LONGEST_REIGN = 45
CHINESE_REPUBLIC, CHINESE_YEARS = 1911, range(1, 41)
FRENCH_REPUBLIC, FRENCH_YEARS = 1791, range(1, 15)
FRENCH_FIGURES = range(4, 15)
"""Years of the French republic that its pieces write in Roman figures; I to III may number a ruler."""
ROMAN = re.compile(r"m{0,4}(cm|cd|d?c{0,4})(xc|xl|l?x{0,4})(ix|iv|v?i{0,4})")
LETTERS = {"m": 1000, "d": 500, "c": 100, "l": 50, "x": 10, "v": 5, "i": 1}
SHORTEST_ROMAN = 5
"""Letters of a date in Roman figures, at least: `MDCCC`."""


def find_eras(scan: Scan, dates: Dates, country: str | None) -> None:
    """Set the year of another era; years before and soon after Christ are taken too."""
    _of_old(scan, dates)
    _eras(scan, dates, country)
    if country in ACCESSION and dates.era is None and "/" in scan.lows:
        _reigns(scan, dates)
    for mark in scan.by.get("era.republic_year", ()):
        if found := _republican(scan, mark, country):
            _set_era(scan, dates, found[0], mark.start, found[1], found[2])


def find_bare_year(scan: Scan, dates: Dates, country: str | None) -> None:
    """A year in Roman figures, or a hijri year without its letters, in a title without any other date."""
    _roman_year(scan, dates)
    if country in ISLAMIC:
        _bare_hijri(scan, dates)


def _eras(scan: Scan, dates: Dates, country: str | None) -> None:
    """`Meiji 3`, `AH 1327`, `BE 2505`, `AH 1293/33`."""
    for mark in scan.by.get("era", ()):
        at = _year_of_era(scan, mark)
        if at is None:
            continue
        if mark.value == HIJRI and country in ACCESSION and _reign(scan, at):
            _of_reign(scan, dates, at, mark.start)
        elif found := common_year(mark.value, scan.them[at].number):
            _set_era(scan, dates, found[0], min(at, mark.start), max(at + 1, mark.end), found[1])


def _reigns(scan: Scan, dates: Dates) -> None:
    """`1293/33` without the letters of the era."""
    for at, token in enumerate(scan.them):
        if token.number in ACCESSIONS and not scan.used[at] and len(token.low) == 4 and _reign(scan, at):
            _of_reign(scan, dates, at, at)


def _set_era(scan: Scan, dates: Dates, year: int, start: int, end: int, score: float) -> None:
    dates.era = Year(year, start, end, score=score)
    scan.take(start, end)


def _year_of_era(scan: Scan, mark: Mark) -> int | None:
    """Where the year of an era stands: `AH 1327`, or before it `1304 SH`, where the letters are no other word."""
    at, token = mark.start - 1, scan.tok(mark.start - 1)
    written = mark.value == HIJRI or (scan.them[mark.start].text.isupper() and len(token.low) == len("1304"))
    ahead = _figure(scan, mark.end)
    before = token.number >= 0 and not scan.used[at] and mark.value in BEHIND and written
    return at if ahead is None and before else ahead


def common_year(era: str, number: int) -> tuple[int, float] | None:
    """The common year of a year of another era, and how sure it is; None for a number that era never writes.

    `era`: `hijri`, `hebrew`, or the years between its beginning and ours."""
    if era == HIJRI:
        return (_of_hijri(number), 0.7) if number in HIJRI_YEARS else None
    if era == HEBREW:
        written, base, score = HEBREW_YEARS, HEBREW_BASE, 0.85
    else:
        base, score = int(era), 0.9
        written = _written_years(base)
    year = number + base
    return (year, score) if number in written and 0 < year <= LAST else None


def _written_years(base: int) -> range:
    """The years met in an era that began so many years after ours: a reign is short, the Buddha long ago."""
    if base < -500:
        return range(2301, 2700)
    if base < 0:
        return range(1701, 2150)
    return range(1, 141) if base > 1000 else range(1, LAST + 1)


def _of_hijri(year: int) -> int:
    return int(HIJRI_SLOPE * year + HIJRI_BASE)


def _republican(scan: Scan, mark: Mark, country: str | None) -> tuple[int, int, float] | None:
    """`Year 3` of the Chinese republic, `An 12` and `An XII` of the French: the year, the token behind it, how sure."""
    at, roman_text = _figure(scan, mark.end), scan.tok(mark.end).text
    if at is not None:
        number = scan.them[at].number
        if country in scan.lex.china and number in CHINESE_YEARS:
            return CHINESE_REPUBLIC + number, at + 1, 0.85
        if country == "FR" and number in FRENCH_YEARS and scan.them[mark.start].low in scan.lex.sets["french_year"]:
            return FRENCH_REPUBLIC + number, at + 1, 0.6
    elif country == "FR" and roman_text.isupper() and (number := roman(roman_text.lower())) in FRENCH_FIGURES:
        return FRENCH_REPUBLIC + number, mark.end + 1, 0.6
    return None


def _reign(scan: Scan, at: int) -> int:
    """The year of the reign tied behind a hijri accession year by a slash or a word for year, or 0."""
    sign, year, named = scan.tok(at + 1), scan.tok(at + 2), scan.has(at + 1, "era.republic_year")
    tied = (named is not None and named.end == at + 2) or (sign.low == "/" and sign.glued and year.glued)
    return year.number if tied and 1 <= year.number <= LONGEST_REIGN else 0


def _of_reign(scan: Scan, dates: Dates, at: int, start: int) -> None:
    """`1293/33`: the accession year is the first year of the reign."""
    _set_era(scan, dates, _of_hijri(scan.them[at].number + _reign(scan, at) - 1), start, at + 3, 0.6)


def _figure(scan: Scan, at: int) -> int | None:
    """The number that follows an era word, past a stop or the word for year."""
    at = scan.past(at, scan.lex.sets["before_era_year"])
    return at if 0 < scan.tok(at).number < 6000 and not scan.used[at] else None


def _of_old(scan: Scan, dates: Dates) -> None:
    """Years before and soon after Christ: no date of the modern coinages, but a year after AD alone counts."""
    for mark in scan.by.get("era.before_common", ()):
        if 0 <= scan.tok(mark.start - 1).number < FIRST:
            scan.take(_back(scan, mark.start - 1), mark.end)
    for mark in scan.by.get("era.common", ()):
        at, ahead = mark.start - 1, _figure(scan, mark.end)
        if 0 < scan.tok(at).number < FIRST and not scan.used[at]:
            _early(scan, dates, _back(scan, at), mark.end, at)
        elif ahead is not None and scan.them[ahead].number < FIRST:
            ranged = scan.tok(ahead + 1).low == "-" and scan.tok(ahead + 2).kind == NUMBER
            _early(scan, dates, mark.start, ahead + (3 if ranged else 1), ahead)


def _early(scan: Scan, dates: Dates, start: int, end: int, at: int) -> None:
    """`AD 98`, `98 AD` is a year; of `AD 98-117` and `ca 98 AD` only the time is known."""
    ranged = scan.tok(at - 1).low in TIES or (end > at + 1 and scan.tok(at + 1).low == "-")
    if ranged or any(mark.end in (start, start - 1) for mark in scan.by.get("stop.about", ())):
        scan.take(start, end)
    else:
        _set_era(scan, dates, scan.them[at].number, start, end, 0.7)


def _back(scan: Scan, at: int) -> int:
    """Where a range that ends at a number starts: `98-117`."""
    return at - 2 if scan.tok(at - 1).low in TIES and scan.tok(at - 2).kind == NUMBER else at


def _bare_hijri(scan: Scan, dates: Dates) -> None:
    """`Iran 5000 dinars 1342`: a hijri year without its letters."""
    for at, token in enumerate(scan.them):
        free = not scan.used[at] and not scan.has(at + 1, "unit")
        if token.number in BARE_HIJRI and len(token.low) == 4 and free:
            _set_era(scan, dates, _of_hijri(token.number), at, at + 1, 0.6)
            return


def _roman_year(scan: Scan, dates: Dates) -> None:
    """`MDCCCLXXXIX`."""
    for at, token in enumerate(scan.them):
        written = token.kind == WORD and len(token.low) >= SHORTEST_ROMAN and token.low[0] == "m"
        if written and (year := roman(token.low)) in YEARS:
            dates.found.append(Year(year, at, at + 1, score=0.8))
            scan.take(at, at + 1)
            return


def roman(text: str) -> int:
    """The value of Roman figures in small letters, or 0: `iiii` counts as four, as on old pieces."""
    if not ROMAN.fullmatch(text):
        return 0
    values = [LETTERS[letter] for letter in text]
    return sum(-value if value < max(values[at:], default=0) else value for at, value in enumerate(values))
