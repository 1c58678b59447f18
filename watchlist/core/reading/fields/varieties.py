"""Varieties: die marriages, overdates, letters over letters, named types of one issue."""

from __future__ import annotations

import re

from watchlist.core.reading.fields.mints import OVER, Mints
from watchlist.core.reading.fields.years import Year
from watchlist.core.reading.scanning.scan import Mark, Scan
from watchlist.core.reading.vocabulary.tokens import NUMBER, WORD, YEARS

LETTERS = 3
"""Short words for a variety (SD, DDO) that may be initials in a title of another language."""
MARKS = frozenset(("P", "D", "S", "O", "CC"))
"""Mint marks that are met cut over each other."""
DOUBLED = "doubled die obverse"
FINE = range(300, 1001)
"""Finenesses, in thousandths, of a silver alloy that a title gives."""
EDGE = re.compile(r"[LXVI]{2,6}")
NEAR = 4
"""Words between an error of the mint and its per cent, at most."""

Found = dict[str, bool]
"""Varieties in the words of the trade, and whether the title doubts them."""


def find_varieties(scan: Scan, years: list[Year], mint: Mints, kind: str) -> list[str]:
    """The varieties a title names, each once, in the words of the trade."""
    found: Found = {}
    _named(scan, found)
    over = next((year for year in years if year.over and year.year == years[0].year), None)
    if over is not None:
        _overdate(over, found)
    if mint.over and mint.mint:
        found[f"{mint.mint} over {mint.over}"] = False
    _over_letters(scan, found, mint)
    _dies(scan, found)
    _numbers_over(scan, found)
    if years:
        _figure_over(scan, years[0], found)
    _stars(scan, found)
    _edges(scan, found)
    _dies_of_another_year(scan, found)
    _planchet(scan, found)
    found.pop("undated", None)
    if kind in ("medal", "token") and not found:
        found[kind] = False
    if "small date over large date" in found:
        found.pop("repunched mint mark", None)
    return [f"{name}?" if doubted else name for name, doubted in found.items()]


def _named(scan: Scan, found: Found) -> None:
    """Varieties that have a name."""
    for mark in scan.by.get("variety", ()):
        if _believed(scan, mark):
            found[mark.value] = _hedged(scan, mark.end)
            if _by_percent(scan, mark):
                found["mint error"] = False
            scan.rest("variety", mark.start, mark.end, 0.8)


def _believed(scan: Scan, mark: Mark) -> bool:
    """Whether the name of a variety is one here; `no D`, `no motto` deny by themselves, and the mint has read `D`."""
    taken = scan.used[mark.start] and mark.value != "no D"
    denied = not mark.value.startswith("no ") and scan.negated(mark.start, mark.end)
    other = mark.end - mark.start == 1 and (_initials(scan, mark) or _fineness(scan, mark))
    return not (taken or denied or other)


def _fineness(scan: Scan, mark: Mark) -> bool:
    """Polish `próba 750` and German `Probe 900` are a fineness, no pattern."""
    return mark.value == "pattern" and scan.tok(mark.end).number in FINE


def _by_percent(scan: Scan, mark: Mark) -> bool:
    """`15% off center` is an error of the mint; an old piece a little off its flan is none."""
    near = [*range(mark.start - NEAR + 1, mark.start), *range(mark.end, mark.end + NEAR)]
    return mark.value == "struck off center" and any(scan.tok(at).low == "%" for at in near)


def _initials(scan: Scan, mark: Mark) -> bool:
    """`SD` in a title of another language is a mint master, no small date."""
    foreign = mark.lang == "en" and max(scan.votes.values()) > scan.votes["en"]
    return foreign and len(scan.them[mark.start].low) <= LETTERS


def _hedged(scan: Scan, end: int) -> bool:
    """`small date?`, `small date variety ??`."""
    after, word = scan.tok(end), scan.tok(end).kind == WORD
    return after.low == "?" or (word and scan.tok(end + 1).low == scan.tok(end + 2).low == "?")


def _overdate(year: Year, found: Found) -> None:
    """`1942/1` is an overdate, `1955/55` a doubled die."""
    figures = str(year.year)
    if figures.endswith(year.over):
        found.setdefault(DOUBLED, False)
        found.pop("doubled die", None)
        return
    found.pop("overdate", None)
    count = len(year.over)
    found[f"overdate {figures[-count:] if count < 4 else figures}/{year.over}"] = False


def _over_letters(scan: Scan, found: Found, mint: Mints) -> None:
    """`D/S`, `45-D/S`, `S over D`; the upper letter is the mint mark, where no other stands."""
    for at, token in enumerate(scan.them if not scan.lows.isdisjoint(OVER) else ()):
        if token.low not in OVER or scan.used[at]:
            continue
        one, two = scan.tok(at - 1).text, scan.tok(at + 1).text
        if one not in MARKS or two not in MARKS:
            continue
        found[f"{one} over {two}"] = False
        found.pop("over mint mark", None)
        scan.take(at - 1, at + 2)
        if mint.mint is None:
            mint.mint, mint.start, mint.end, mint.score = one, at - 1, at, 0.7


def _dies(scan: Scan, found: Found) -> None:
    """Die numbers of specialists: `O-107`, `VAM 34`, `S-44`; a letter alone needs its hyphen, and none is a year."""
    for mark in scan.by.get("ref.die", ()):
        at, word = mark.start, scan.them[mark.start]
        sign, figure = scan.tok(at + 1), scan.tok(at + 2)
        known = word.low in scan.lex.prefixes or word.low in scan.lex.sets["no_die"]
        if known or scan.used[at] or word.glued or not (word.text.isupper() or len(word.low) > 2):
            continue
        if sign.low == "-" and sign.glued and figure.glued and figure.kind == NUMBER and figure.number < YEARS[0]:
            code, end = f"{word.text}-{figure.low}", at + 3
        elif len(word.low) > 2 and sign.kind == NUMBER and sign.number < YEARS[0]:
            code, end = f"{word.text.upper()}-{sign.low}", at + 2
        else:
            continue
        found[code] = False
        scan.rest("variety", at, end, 0.85)
        scan.take(at, end)


def _numbers_over(scan: Scan, found: Found) -> None:
    """`50/20`, `3/2`: figures cut over others; `3/3` is cut twice."""
    for at in range(1, len(scan.them) - 1 if "/" in scan.lows else 0):
        one, sign, two = scan.them[at - 1 : at + 2]
        tied = sign.low == "/" and sign.glued and two.glued and two.kind == NUMBER and 0 < one.number < 100
        if not tied or scan.used[at - 1] or scan.used[at + 1] or scan.has(at + 2, "unit"):
            continue
        if one.number == two.number:
            found.setdefault(f"{one.low}/{two.low}", False)
        elif one.number > 1 and (len(one.low) == 2 or one.number <= 9):
            found[f"{one.low} over {two.low}"] = False
        scan.take(at - 1, at + 2)


def _figure_over(scan: Scan, year: Year, found: Found) -> None:
    """`6 über 5`: the last figure of the date over another."""
    over = scan.lex.sets["over"]
    for at in range(1, len(scan.them) - 1 if not over.isdisjoint(scan.lows) else 0):
        one, two = scan.them[at - 1], scan.them[at + 1]
        single = one.number == year.year % 10 != two.number and two.kind == NUMBER and len(two.low) == 1
        if scan.them[at].low in over and single and scan.free(at - 1, at + 2) and not scan.has(at + 2, "unit"):
            found.pop("overdate", None)
            found[f"overdate {one.low}/{two.low}"] = False
            scan.take(at - 1, at + 2)


def _stars(scan: Scan, found: Found) -> None:
    """`*18-88`, `estrella 62`: Spanish pieces carry the year they were struck in their stars."""
    words = scan.lex.sets["spanish_star"]
    for at, token in enumerate(scan.them if "*" in scan.lows or not scan.lows.isdisjoint(words) else ()):
        first, sign, second = (scan.tok(at + step) for step in (1, 2, 3))
        starred = token.low == "*" and first.kind == NUMBER and first.glued
        if starred and sign.low in ("-", "*") and second.kind == NUMBER:
            found[f"stars {first.low}-{second.low}"] = False
            scan.take(at, at + 4)
        elif starred and len(first.low) in (2, 4):
            scan.take(at, at + 2)
        elif token.low in words and len(first.low) == 2 and first.number > 0:
            found[f"star {first.low}"] = False
            scan.take(at, at + 2)


def _edges(scan: Scan, found: Found) -> None:
    """`Crown LVI`, `Crown 1893 LVII`: the regnal year on the edge, in figures or in words."""
    for unit in scan.by.get("unit", ()):
        if unit.value == "crown":
            for at in (unit.start + 1, unit.start + 2):
                dated = at == unit.start + 1 or len(scan.tok(at - 1).low) == 4
                if dated and EDGE.fullmatch(scan.tok(at).text):
                    found[f"{scan.tok(at).text} edge"] = False
    for mark in scan.by.get("edge", ()):
        found[f"{mark.value} edge"] = False


def _planchet(scan: Scan, found: Found) -> None:
    """`1c on 10c planchet`: struck on the blank of another piece."""
    words, units = scan.lex.sets["planchet"], scan.lex.sets["planchet_of"]
    for at, token in enumerate(scan.them if not scan.lows.isdisjoint(words) else ()):
        if token.low in words and scan.tok(at - 1).low in units:
            found[f"wrong planchet ({scan.words(at - 2, at)})"] = False


def _dies_of_another_year(scan: Scan, found: Found) -> None:
    """`REV OF 78`, `reverse of 1879`: the dies of another year."""
    for at, token in enumerate(scan.them if "of" in scan.lows else ()):
        here = at + 1 + (scan.tok(at + 1).low == ".")
        figure = scan.tok(here + 1)
        if token.low in scan.lex.sets["sides"] and scan.tok(here).low == "of" and figure.kind == NUMBER:
            year = figure.number + 1800 if len(figure.low) == 2 else figure.number
            found[f"{'reverse' if token.low.startswith('rev') else 'obverse'} of {year}"] = False
            scan.take(at, here + 2)
