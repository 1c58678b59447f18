"""Years of our era from 1500 on: one, two, a range, an overdate."""

from __future__ import annotations

from itertools import pairwise

from watchlist.core.reading.fields.eras import find_bare_year, find_eras
from watchlist.core.reading.fields.years import Dates, Year
from watchlist.core.reading.scanning.scan import Scan
from watchlist.core.reading.vocabulary.tokens import NUMBER, WORD, YEARS

FIRST, LAST = YEARS[0], YEARS[-1]
COUNTED = ("unit", "coin", "multiple.counted", "multiple.words")
"""Kinds of words that a number before them counts."""
MONEY = frozenset("$€£#")
BREAKS = frozenset(("", ",", "(", ";", "-", "."))
PAUSES = frozenset(",;()|!?")
"""Signs beyond which a word tells nothing of a year."""
DECADE = "er"
"""Behind a year in German: `1890er`."""
TOLD_WITHIN = 6
"""Words between what happened and the year in which it did, at most."""
TIES = frozenset("-/")
FARTHEST = 20
"""Years between a date and the one it was cut over, at most."""
LONGEST = 200
"""Years of a range that is written out."""
BICENTENNIAL = (1776, 1976)
"""Both years stand on each piece of the United States of 1975 and 1976; it is dated 1976."""


def find_dates(scan: Scan, country: str | None) -> Dates:
    """Every date, in order; their tokens are taken."""
    dates = Dates()
    find_eras(scan, dates, country)
    for at, token in enumerate(scan.them):
        if token.number >= FIRST and not scan.used[at] and (year := _year_at(scan, at)):
            dates.found.append(year)
            scan.take(year.start, year.end)
    if len(dates.found) > 1:
        _bracketed_together(scan, dates)
        _named(scan, dates)
        _collected(scan, dates)
        _restruck(scan, dates)
    if not dates.found and dates.era is None:
        find_bare_year(scan, dates, country)
    return dates


def _bracketed_together(scan: Scan, dates: Dates) -> None:
    """`(1890 M und 1896 M)`: both years stand in the brackets."""
    for one, other in pairwise(dates.found):
        if one.bracketed and all(token.low not in (")", "]") for token in scan.them[one.end : other.start]):
            other.bracketed = True


def _named(scan: Scan, dates: Dates) -> None:
    """`Dated 1900. Bought at a fair in 2003 and again in 2011`: of the years of a description the one that is named as
    the date is the piece's."""
    told = scan.lex.sets["dated"] if scan.quiet else frozenset[str]()
    named = [year for year in dates.found if scan.tok(year.start - 1).low in told]
    dates.found = named or dates.found


def _restruck(scan: Scan, dates: Dates) -> None:
    """`1786, official restrike of 1905`, `1853 (struck 1953)`: when a piece was struck again is no second date."""
    first = min(year.year for year in dates.found)
    if len({year.year for year in dates.found}) != 2 or any(year.last for year in dates.found if year.year == first):
        return
    again = (mark for mark in scan.by.get("variety", ()) if mark.value == "restrike")
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
    aged = token.number % 100 == 0 and scan.tok(at + 1).low in scan.lex.sets["age"]  # `2000 years old`
    if aged or _is_decade(scan, at) or _is_of_another(scan, at) or _is_told_of(scan, at):
        scan.take(at, _end_of_span(scan, at))
        return None
    year = Year(token.number, at, at + 1, bracketed=before in ("(", "["))
    year.denied = scan.negated(at, at + 1, 1) and before not in (".", ":") and not scan.used[at - 1]
    _tail(scan, year)
    return year


def _is_no_date(scan: Scan, at: int) -> bool:
    """`$1900`, `#1900`, `1900s`: an amount, a number, a century."""
    token = scan.them[at]
    century = token.number % 100 == 0 and scan.tok(at + 1).text == "s" and scan.tok(at + 1).glued
    return century or (token.glued and scan.tok(at - 1).low in MONEY)


def _is_value(scan: Scan, at: int) -> bool:
    """`2000 lire`, `1500 réis`: a round number before a unit that is counted in thousands."""
    unit = scan.has(at + 1, "unit")
    if unit is None:
        return False
    number, its = scan.them[at].number, scan.lex.units[unit.value]
    return not its.alone and number % (100 if its.name in ("reis", "lira") else 500) == 0


def _is_of_another(scan: Scan, at: int) -> bool:
    """`pre-1965`, `reverse of 1878`, `auction 2015`: not the year of this piece."""
    before = scan.tok(at - 1).low
    if before == "of" and (scan.tok(at - 2).low == "." or scan.tok(at - 2).low in scan.lex.sets["sides"]):
        return True
    ends = (at, at - 1) if before in ("-", ".", ":") else (at,)
    return any(mark.end in ends for mark in scan.by.get("stop.before_year", ()))


def _is_decade(scan: Scan, at: int) -> bool:
    """`1890er`; `the 1840s`; `25 cents, 1880s`: of several pieces, where a single one may carry a mint mark `s`."""
    end = scan.tok(at + 1)
    if scan.them[at].number % 10 or not end.glued or end.low not in (DECADE, "s"):
        return False
    if end.low == DECADE or scan.tok(at - 1).low in scan.lex.sets["decade"]:
        return True
    return end.text == "s" and (any(kind.startswith("multiple.") for kind in scan.by) or _are_counted(scan))


def _are_counted(scan: Scan) -> bool:
    """`25 Indian cents`: a number at the head, and coins in the plural."""
    return scan.tok(0).number > 1 and any(scan.plural(mark) for mark in scan.kinds("coin", "unit"))


def _is_told_of(scan: Scan, at: int) -> bool:
    """`geb. 1903`, `bought at a fair in 1954`, `1985 erworben`: what happened in a year, to a person or the piece."""
    happened, owned = scan.lex.sets["happened"], scan.lex.sets["collected"]
    if scan.lows.isdisjoint(happened) and scan.lows.isdisjoint(owned):
        return False
    behind = scan.tok(at + 1).low
    if behind in happened and len(behind) > 1 and scan.tok(at - 1).low in BREAKS:  # `5 Fr. 1931 B` has a mint
        return True
    second = any(token.number in YEARS for token in scan.them[:at])  # `Crown 1663, bought at a fair at Millbeck, 1962`
    telling = happened | owned if second else happened
    for here in range(at - 1, max(at - 1 - TOLD_WITHIN - second, -1), -1):
        if scan.them[here].low in telling and not scan.used[here] and not _is_mark(scan, here):
            return not (scan.has(here - 1, "kind") or scan.has(here - 2, "kind"))  # `medal of a wedding, 1848`
        if _parts(scan, here, second):
            return False
    return False


def _is_mark(scan: Scan, at: int) -> bool:
    """`1931 B, 1932 B`: a mint mark; `b. 1903` has a stop."""
    return len(scan.them[at].low) == 1 and scan.tok(at + 1).low != "."


def _parts(scan: Scan, at: int, second: bool) -> bool:
    """Whether a token parts a year from what is told before it; a comma does not where it is the second year."""
    token = scan.them[at]
    pause = token.low in PAUSES and not (second and token.low == ",")
    return bool(pause or token.number in YEARS or scan.has(at, "unit") or scan.has(at, "coin"))


def _end_of_span(scan: Scan, at: int) -> int:
    """Behind a year, or behind both of a span of years that are not the piece's: `collected 1950-1985`."""
    sign, last = scan.tok(at + 1).low, scan.tok(at + 2)
    joined = sign == "-" or sign in scan.lex.sets["until"]
    return at + 3 if joined and last.number in YEARS and len(last.low) == 4 else at + 1


def _collected(scan: Scan, dates: Dates) -> None:
    """`5 Mark 1875, Sammlung 1930-1980`: the span of a collection beside a date is not the piece's."""
    spans = [year for year in dates.found if year.last and _behind_collection(scan, year.start)]
    if spans and any(not year.last for year in dates.found):
        dates.found = [year for year in dates.found if year not in spans]


def _behind_collection(scan: Scan, at: int) -> bool:
    near = {scan.tok(at - back).low for back in (1, 2, 3)}
    return not near.isdisjoint(scan.lex.sets["collected"])


def _tail(scan: Scan, year: Year) -> None:
    """What is tied to the figures: `/1`, `/55`, `-69`, `-2008`, ` bis 1913`."""
    sign, at = scan.tok(year.end).low, year.end + 1
    if scan.tok(at).low == "/" and f"{sign}/{scan.tok(at + 1).low}" in scan.lex.sets["until"]:  # Dutch `t/m`
        sign, at = f"{sign}/{scan.tok(at + 1).low}", at + 2
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
