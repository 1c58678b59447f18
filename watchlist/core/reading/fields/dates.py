"""Years: one, two, a range, an overdate, another era."""

from __future__ import annotations

import re
from dataclasses import dataclass, field

from watchlist.core.reading.scanning.scan import Mark, Scan
from watchlist.core.reading.vocabulary.tokens import NUMBER, WORD

FIRST, LAST = 1500, 2099
COUNTED = ("unit", "coin", "multiple.counted", "multiple.words")
"""Kinds of words that a number before them counts."""
FARTHEST = 20
"""Years between a date and the one it was cut over, at most."""
LONGEST = 200
"""Years of a range that is written out."""
BICENTENNIAL = (1776, 1976)
"""Both years stand on each piece of the United States of 1975 and 1976; it is dated 1976."""
BEHIND = ("621", "-543")
"""Eras met behind their years: the solar hijra and the Buddha's."""
HIJRI_SLOPE, HIJRI_BASE = 0.970224, 621.5774
ACCESSION = frozenset(("TR", "EG", "TN"))
"""Their pieces carry the hijri year of the accession and the year of the reign: 1293/33 was struck in 1325."""
ISLAMIC = frozenset(("IR", "MA", "AF", "SA", "TR", "EG", "TN", "SD", "IQ", "ZNZ"))
"""A year of four figures from 1150 to 1450 is hijri there, with or without AH."""
LONGEST_REIGN = 45
FRENCH_REPUBLIC = 1791
REPUBLICAN = {
    "IV": 4,
    "V": 5,
    "VI": 6,
    "VII": 7,
    "VIII": 8,
    "IX": 9,
    "X": 10,
    "XI": 11,
    "XII": 12,
    "XIII": 13,
    "XIV": 14,
}
"""Years of the French republic as its pieces write them."""
ROMAN = re.compile(r"m{0,4}(cm|cd|d?c{0,4})(xc|xl|l?x{0,4})(ix|iv|v?i{0,4})")
LETTERS = {"m": 1000, "d": 500, "c": 100, "l": 50, "x": 10, "v": 5, "i": 1}


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
    token = scan.them[at]
    if len(token.low) != 4 or not FIRST <= token.number <= LAST or _is_value(scan, at):
        return None
    before = scan.tok(at - 1)
    if before.low in "$€£#" and before.low and token.glued:
        return None
    if token.number % 100 == 0 and scan.tok(at + 1).text == "s" and scan.tok(at + 1).glued:
        return None
    if scan.tok(at + 1).low in scan.lex.sets["age"] and token.number % 100 == 0:
        scan.take(at, at + 1)
        return None
    year = Year(token.number, at, at + 1)
    if _other_years(scan, at):
        scan.take(at, at + 1)
        return None
    year.bracketed = before.low in "([" and before.low != ""
    year.denied = scan.negated(at, at + 1, 1) and before.low not in (".", ":")
    _tail(scan, year)
    return year


def _is_value(scan: Scan, at: int) -> bool:
    """`2000 lire`, `1500 réis`: a round number before a unit that is counted in thousands."""
    unit = scan.has(at + 1, "unit")
    if unit is None:
        return False
    token = scan.them[at]
    its = scan.lex.units[unit.value]
    return (token.number % 500 == 0 or (token.number % 100 == 0 and its.name in ("reis", "lira"))) and not its.alone


def _other_years(scan: Scan, at: int) -> bool:
    """`pre-1965`, `reverse of 1878`, `auction 2015`: not the year of this piece."""
    for mark in scan.by.get("stop.before_year", ()):
        if mark.end == at or (mark.end == at - 1 and scan.tok(at - 1).low in "-.:"):
            return True
    return scan.tok(at - 1).low == "of" and scan.tok(at - 2).low in ("rev", "reverse", "obv", "obverse", ".")


def _tail(scan: Scan, year: Year) -> None:
    """What is tied to the figures: `/1`, `/55`, `-69`, `-2008`, ` bis 1913`."""
    sign, follows = scan.tok(year.end), scan.tok(year.end + 1)
    if sign.low == "t" and follows.low == "/" and scan.tok(year.end + 2).low == "m":
        _range_to(scan, year)  # Dutch `t/m`
        return
    if not scan.lows.isdisjoint(scan.lex.sets["over"]) and _over(scan, year):
        return
    if follows.kind != NUMBER or follows.number < 0:
        return
    if sign.low == "/" and sign.glued:
        _slash(year, follows.low, follows.number)
    elif (year.year, follows.number) == BICENTENNIAL and sign.low in ("-", "/"):
        year.year, year.end = follows.number, year.end + 2
    elif sign.low == "-" or sign.low in scan.lex.sets["until"]:
        _range(scan, year, sign.low, follows.low, follows.number)


def _range_to(scan: Scan, year: Year) -> None:
    last = scan.tok(year.end + 3)
    if len(last.low) == 4 and year.year < last.number <= LAST:
        year.last, year.end = last.number, year.end + 4


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


def _range(scan: Scan, year: Year, sign: str, figures: str, number: int) -> None:
    glued = scan.tok(year.end + 1).glued
    if len(figures) == 4 and year.year < number <= LAST:
        year.last, year.end = number, year.end + 2
    elif len(figures) == 2 and sign == "-" and glued and scan.tok(year.end).glued and number > year.year % 100:
        if scan.tok(year.end + 2).low == "%":
            return
        year.last, year.end = year.year - year.year % 100 + number, year.end + 2


def _eras(scan: Scan, dates: Dates, country: str | None) -> None:
    """`Meiji 3`, `AH 1327`, `BE 2505`, `Year 3` of the Chinese republic."""
    for mark in scan.by.get("era", ()):
        ahead, behind = _figure(scan, mark.end), scan.tok(mark.start - 1)
        if ahead is not None:
            at, end = ahead, ahead + 1
        elif behind.kind == NUMBER and not scan.used[mark.start - 1] and _era_behind(scan, mark, behind.number):
            at, end = mark.start - 1, mark.end
        else:
            continue
        if mark.value == "hijri" and country in ACCESSION and _reign(scan, at):
            _of_reign(scan, dates, at, mark.start)
        else:
            _convert(scan, dates, mark.value, at, min(at, mark.start), end, mark)
    if country in ACCESSION and dates.era is None and "/" in scan.lows:
        for at, token in enumerate(scan.them):
            if 1100 <= token.number <= 1450 and not scan.used[at] and len(token.low) == 4 and _reign(scan, at):
                _of_reign(scan, dates, at, at)
    for mark in scan.by.get("era.republic_year", ()):
        figure = _figure(scan, mark.end)
        if figure is None and country == "FR" and scan.tok(mark.end).text in REPUBLICAN:
            dates.era = Year(FRENCH_REPUBLIC + REPUBLICAN[scan.tok(mark.end).text], mark.start, mark.end + 1, score=0.6)
            scan.take(mark.start, mark.end + 1)
        if figure is None or not 1 <= scan.them[figure].number <= 40:
            continue
        at = figure
        if country in scan.lex.china:
            dates.era = Year(1911 + scan.them[at].number, mark.start, at + 1, score=0.85)
            scan.take(mark.start, at + 1)
        elif country == "FR" and scan.them[mark.start].low in ("an", "l'an") and scan.them[at].number <= 14:
            dates.era = Year(FRENCH_REPUBLIC + scan.them[at].number, mark.start, at + 1, score=0.6)
            scan.take(mark.start, at + 1)


def _era_behind(scan: Scan, mark: Mark, number: int) -> bool:
    """`1293 AH`, `1304 SH`, `2450 BE`: an era behind its year; the other letters may be much else there."""
    written = scan.them[mark.start].text.isupper() and len(str(number)) == len("1304")
    return mark.value == "hijri" or (written and mark.value in BEHIND)


def _reign(scan: Scan, at: int) -> int:
    """The year of the reign tied behind a hijri accession year by a slash, or 0."""
    sign, year = scan.tok(at + 1), scan.tok(at + 2)
    named = any(mark.start == at + 1 and mark.end == at + 2 for mark in scan.by.get("era.republic_year", ()))
    tied = year.kind == NUMBER and (named or (sign.low == "/" and sign.glued and year.glued))
    return year.number if tied and 1 <= year.number <= LONGEST_REIGN else 0


def _of_reign(scan: Scan, dates: Dates, at: int, start: int) -> None:
    """`1293/33`: the accession year is the first year of the reign."""
    number = scan.them[at].number + _reign(scan, at) - 1
    dates.era = Year(int(HIJRI_SLOPE * number + HIJRI_BASE), start, at + 3, score=0.6)
    scan.take(start, at + 3)


def _figure(scan: Scan, at: int) -> int | None:
    """The number that follows an era word, past a stop or the word for year."""
    while scan.tok(at).low in (".", "-", ":", "year", "yr", "no", "nen"):
        at += 1
    token = scan.tok(at)
    return at if token.kind == NUMBER and 0 < token.number < 6000 and not scan.used[at] else None


def _convert(scan: Scan, dates: Dates, value: str, at: int, start: int, end: int, mark: object) -> None:
    number = scan.them[at].number
    if value == "hijri":
        if not 1 <= number <= 1500:
            return
        year, score = int(HIJRI_SLOPE * number + HIJRI_BASE), 0.7
    elif value == "hebrew":
        if not 5000 < number < 6000:
            return
        year, score = number - 3760, 0.85
    else:
        years = int(value)
        year, score = number + years, 0.9
        buddhist = years < -500
        if years < 0 and not (2300 < number < 2700 if buddhist else 1700 < number < 2150):
            return
        if years > 1000 and number > 140:
            return
    if not 0 < year <= LAST:
        return
    dates.era = Year(year, start, end, score=score)
    scan.take(start, end)


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
        at = mark.start - 1
        if scan.tok(at).kind == NUMBER and 0 < scan.them[at].number < FIRST and not scan.used[at]:
            _early(scan, dates, _back(scan, at), mark.end, at)
        elif (ahead := _figure(scan, mark.end)) is not None and scan.them[ahead].number < FIRST:
            end = ahead + 1
            if scan.tok(end).low == "-" and scan.tok(end + 1).kind == NUMBER:
                end += 2
            _early(scan, dates, mark.start, end, ahead, ranged=end > ahead + 1)


def _early(scan: Scan, dates: Dates, start: int, end: int, at: int, ranged: bool = False) -> None:
    dates.ancient = True
    scan.take(start, end)
    if (
        not ranged
        and scan.tok(at - 1).low not in ("-", "/")
        and not any(m.end in (start, start - 1) for m in scan.by["stop.about"])
    ):
        dates.era = Year(scan.them[at].number, start, end, score=0.7)


def _back(scan: Scan, at: int) -> int:
    """Where a range that ends at a number starts: `98-117`."""
    if scan.tok(at - 1).low in ("-", "/") and scan.tok(at - 2).kind == NUMBER:
        return at - 2
    return at


def _bare_hijri(scan: Scan, dates: Dates) -> None:
    for at, token in enumerate(scan.them):
        free = not scan.used[at] and not scan.has(at + 1, "unit")
        if len(token.low) == 4 and 1150 <= token.number <= 1450 and free:
            dates.era = Year(int(HIJRI_SLOPE * token.number + HIJRI_BASE), at, at + 1, score=0.6)
            scan.take(at, at + 1)
            return


def _roman_year(scan: Scan, dates: Dates) -> None:
    for at, token in enumerate(scan.them):
        if token.kind == WORD and len(token.low) >= 5 and token.low[0] == "m" and ROMAN.fullmatch(token.low):
            values = [LETTERS[letter] for letter in token.low]
            year = sum(-v if v < max(values[i:], default=0) else v for i, v in enumerate(values))
            if FIRST <= year <= LAST:
                dates.found.append(Year(year, at, at + 1, score=0.8))
                scan.take(at, at + 1)
                return
