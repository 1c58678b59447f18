"""Years: one, two, a range, an overdate, another era."""

from __future__ import annotations

import re
from dataclasses import dataclass, field

from watchlist.core.reading.scanning.scan import Mark, Scan
from watchlist.core.reading.vocabulary.tokens import NUMBER, WORD, YEARS

FIRST, LAST = YEARS[0], YEARS[-1]
COUNTED = ("unit", "coin", "multiple.counted", "multiple.words")
"""Kinds of words that a number before them counts."""
MONEY = frozenset("$€£#")
TIES = frozenset("-/")
FARTHEST = 20
"""Years between a date and the one it was cut over, at most."""
LONGEST = 200
"""Years of a range that is written out."""
BICENTENNIAL = (1776, 1976)
"""Both years stand on each piece of the United States of 1975 and 1976; it is dated 1976."""
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


@dataclass(slots=True)
class Year:
    """One date of a title."""

    year: int
    start: int
    end: int
    """Token after the date's last figure; a mint letter may follow."""
    last: int | None = None
    """Last year of a range."""
    over: str = ""
    """Figures under the date: `1` of 1942/1."""
    bracketed: bool = False
    denied: bool = False
    score: float = 0.95


@dataclass(slots=True)
class Dates:
    """All dates of a title."""

    found: list[Year] = field(default_factory=list)
    era: Year | None = None
    """A year of another era, converted."""
    ancient: bool = False
    """BC or an early AD date stands in the title."""
    before_christ: int | None = None
    restruck: bool = False
    """A later year says when the piece was struck again."""


def find_dates(scan: Scan, country: str | None) -> Dates:
    """Every date, in order; their tokens are taken."""
    dates = Dates()
    _ancient(scan, dates)
    _eras(scan, dates, country)
    at = 0
    while at < len(scan.them):
        token = scan.them[at]
        if token.kind == NUMBER and not scan.used[at] and (year := _year_at(scan, at)):
            dates.found.append(year)
            scan.take(year.start, year.end)
            at = year.end
        else:
            at += 1
    if len(dates.found) > 1:
        _restruck(scan, dates)
    if not dates.found and dates.era is None:
        _roman_year(scan, dates)
        if country in ISLAMIC:
            _bare_hijri(scan, dates)
    return dates


def _restruck(scan: Scan, dates: Dates) -> None:
    """`1786, official restrike of 1905`, `1853 (struck 1953)`: when a piece was struck again is no second date."""
    first = min(year.year for year in dates.found)
    if len({year.year for year in dates.found}) != 2 or any(year.last for year in dates.found if year.year == first):
        return
    again = [mark for mark in scan.by.get("variety", ()) if mark.value == "restrike"]
    said = any(not scan.negated(mark.start, mark.end) for mark in again)
    if said or any(year.year > first and _told_struck(scan, year) for year in dates.found):
        dates.found = [year for year in dates.found if year.year == first]
        dates.restruck = True


def _told_struck(scan: Scan, year: Year) -> bool:
    """`struck 1953`, `geprägt in 1953`, `restrike from 1953` behind the date that the piece carries."""
    return any(scan.tok(year.start - back).low in scan.lex.sets["struck"] for back in (1, 2))


def _year_at(scan: Scan, at: int) -> Year | None:
    token, before = scan.them[at], scan.tok(at - 1).low
    if len(token.low) != 4 or token.number not in YEARS or _is_value(scan, at) or _is_no_date(scan, at):
        return None
    if _is_age(scan, at) or _is_of_another(scan, at):
        scan.take(at, at + 1)
        return None
    year = Year(token.number, at, at + 1, bracketed=before in ("(", "["))
    year.denied = scan.negated(at, at + 1, 1) and before not in (".", ":")
    _tail(scan, year)
    return year


def _is_no_date(scan: Scan, at: int) -> bool:
    """`$1900`, `#1900`, `1900s`: an amount, a number, a century."""
    token, after = scan.them[at], scan.tok(at + 1)
    century = token.number % 100 == 0 and after.text == "s" and after.glued
    return century or (scan.tok(at - 1).low in MONEY and token.glued)


def _is_age(scan: Scan, at: int) -> bool:
    """`2000 years old`."""
    return scan.them[at].number % 100 == 0 and scan.tok(at + 1).low in scan.lex.sets["age"]


def _is_value(scan: Scan, at: int) -> bool:
    """`2000 lire`, `1500 réis`: a round number before a unit that is counted in thousands."""
    unit = scan.has(at + 1, "unit")
    if unit is None:
        return False
    number, its = scan.them[at].number, scan.lex.units[unit.value]
    return not its.alone and number % (100 if its.name in ("reis", "lira") else 500) == 0


def _is_of_another(scan: Scan, at: int) -> bool:
    """`pre-1965`, `reverse of 1878`, `auction 2015`: not the year of this piece."""
    ends = (at, at - 1) if scan.tok(at - 1).low in ("-", ".", ":") else (at,)
    die = scan.tok(at - 2).low == "." or scan.tok(at - 2).low in scan.lex.sets["sides"]
    return (scan.tok(at - 1).low == "of" and die) or any(m.end in ends for m in scan.by.get("stop.before_year", ()))


def _tail(scan: Scan, year: Year) -> None:
    """What is tied to the figures: `/1`, `/55`, `-69`, `-2008`, ` bis 1913`."""
    sign, at = scan.tok(year.end).low, year.end + 1
    if sign == "t" and scan.tok(at).low == "/" and scan.tok(at + 1).low == "m":  # Dutch `t/m`
        sign, at = "t/m", at + 2
    if not scan.lows.isdisjoint(scan.lex.sets["over"]) and _over(scan, year):
        return
    figures = scan.tok(at)
    if figures.number < 0:
        return
    if sign == "/" and scan.tok(year.end).glued:
        _slash(year, figures.low, figures.number)
    elif (year.year, figures.number) == BICENTENNIAL and sign in TIES:
        year.year, year.end = figures.number, at + 1
    elif sign == "-" or sign in scan.lex.sets["until"]:
        _range(scan, year, sign, at)


def _slash(year: Year, figures: str, number: int) -> None:
    """An overdate has the older figures below; a later second year is a range: 1866/67."""
    count = len(figures)
    if count > 4:
        return
    under = number if count == 4 else year.year - year.year % 10**count + number
    year.end += 2
    if under > year.year and under - year.year <= 15 and count > 1:
        year.last = under
    else:
        year.over = figures


def _over(scan: Scan, year: Year) -> bool:
    """`1886 über 1885`, `1886-K over 5`, `1886 (sur 85)`: an overdate in words; `1886 over 20 years old` is none."""
    at = year.end + (scan.tok(year.end).low in ("-", "(", "[", ","))
    letter = scan.tok(at).text
    at += letter.isupper() and len(letter) <= 2  # the mint mark may stand between
    figures = scan.tok(at + 1)
    if scan.tok(at).low not in scan.lex.sets["over"] or figures.kind != NUMBER or _is_counted(scan, at + 2):
        return False
    count, number = len(figures.low), figures.number
    apart = year.year - number if count == 4 else abs(year.year % 10**count - number)
    if number < 0 or count > 4 or not 0 < apart <= FARTHEST:
        return False
    year.over = figures.low
    year.end = at + 2 if at == year.end else year.end
    scan.take(at, at + 2)
    return True


def _is_counted(scan: Scan, at: int) -> bool:
    """Whether the number before this word counts something: `20 years`, `5 francs`, `12 bids`."""
    word, marks = scan.tok(at), scan.marks_at.get(at, ())
    if word.kind != WORD:
        return False
    unlisted = not marks and word.text.islower() and len(word.low) > 2
    return unlisted or word.low in scan.lex.sets["age"] or any(mark.kind in COUNTED for mark in marks)


def _range(scan: Scan, year: Year, sign: str, at: int) -> None:
    """`1869-1913`, `1869 bis 1913`, `1869-72`; two figures are a year only where they are tied, and no percentage."""
    figures, century = scan.tok(at), year.year - year.year % 100
    tied = sign == "-" and scan.tok(at - 1).glued and figures.glued and scan.tok(at + 1).low != "%"
    if len(figures.low) == 4 and year.year < figures.number <= LAST:
        year.last, year.end = figures.number, at + 1
    elif len(figures.low) == 2 and tied and figures.number > year.year % 100:
        year.last, year.end = century + figures.number, at + 1


def _eras(scan: Scan, dates: Dates, country: str | None) -> None:
    """`Meiji 3`, `AH 1327`, `BE 2505`, `AH 1293/33`, `Year 3` of the Chinese republic."""
    for mark in scan.by.get("era", ()):
        at = _year_of_era(scan, mark)
        if at is None:
            continue
        start, end = min(at, mark.start), max(at + 1, mark.end)
        if mark.value == HIJRI and country in ACCESSION and _reign(scan, at):
            _of_reign(scan, dates, at, mark.start)
        elif found := common_year(mark.value, scan.them[at].number):
            _set_era(scan, dates, found[0], start, end, found[1])
    if country in ACCESSION and dates.era is None and "/" in scan.lows:
        for at, token in enumerate(scan.them):
            if token.number in ACCESSIONS and not scan.used[at] and len(token.low) == 4 and _reign(scan, at):
                _of_reign(scan, dates, at, at)
    for mark in scan.by.get("era.republic_year", ()):
        if figure := _republican(scan, mark, country):
            _set_era(scan, dates, figure[0], mark.start, figure[1], figure[2])


def _set_era(scan: Scan, dates: Dates, year: int, start: int, end: int, score: float) -> None:
    dates.era = Year(year, start, end, score=score)
    scan.take(start, end)


def _year_of_era(scan: Scan, mark: Mark) -> int | None:
    """Where the year of an era stands: `AH 1327`, or behind it `1293 AH`, where the letters are no other word."""
    ahead, at = _figure(scan, mark.end), mark.start - 1
    behind = scan.tok(at).kind == NUMBER and not scan.used[at] and _is_behind(scan, mark, scan.them[at].number)
    return at if ahead is None and behind else ahead


def _is_behind(scan: Scan, mark: Mark, number: int) -> bool:
    """`1293 AH`, `1304 SH`, `2450 BE`: an era behind its year; the other letters may be much else there."""
    written = scan.them[mark.start].text.isupper() and len(str(number)) == len("1304")
    return mark.value in BEHIND and (written or mark.value == HIJRI)


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


def _ancient(scan: Scan, dates: Dates) -> None:
    """BC and early AD dates: no year of ours, but a year after AD alone counts."""
    for mark in scan.by.get("era.before_common", ()):
        at = mark.start - 1
        if scan.tok(at).kind == NUMBER and scan.them[at].number < FIRST:
            start = _back(scan, at)
            if start == at:
                dates.before_christ = -scan.them[at].number
            dates.ancient = True
            scan.take(start, mark.end)
    for mark in scan.by.get("era.common", ()):
        at, ahead = mark.start - 1, _figure(scan, mark.end)
        if 0 < scan.tok(at).number < FIRST and not scan.used[at]:
            _early(scan, dates, _back(scan, at), mark.end, at)
        elif ahead is not None and scan.them[ahead].number < FIRST:
            ranged = scan.tok(ahead + 1).low == "-" and scan.tok(ahead + 2).kind == NUMBER
            _early(scan, dates, mark.start, ahead + (3 if ranged else 1), ahead)


def _early(scan: Scan, dates: Dates, start: int, end: int, at: int) -> None:
    """`AD 98`, `98 AD` is a year; of `AD 98-117` and `about 98 AD` only the time is known."""
    dates.ancient = True
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
