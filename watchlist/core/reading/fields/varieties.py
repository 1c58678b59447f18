"""Varieties: die marriages, overdates, letters over letters, named types of one issue."""

from __future__ import annotations

import re

from watchlist.core.reading.fields.dates import Year
from watchlist.core.reading.fields.mints import Mints
from watchlist.core.reading.scanning.noise import die_codes
from watchlist.core.reading.scanning.scan import Mark, Scan
from watchlist.core.reading.vocabulary.tokens import NUMBER, WORD

LETTERS = 3
"""Short words for a variety (SD, DDO) that may be initials in a title of another language."""
STARS = frozenset(("*", "estrella", "estrellas"))
"""Spanish pieces carry the year they were struck in their stars."""
DOUBLED = "doubled die obverse"
FINE = 300
"""Least fineness, in thousandths, of a silver alloy that a title gives."""
EDGE = re.compile(r"[LXVI]{2,6}")


def find_varieties(scan: Scan, years: list[Year], mint: Mints, kind: str) -> list[str]:
    """The varieties a title names, each once, in the words of the trade."""
    found: dict[str, bool] = {}
    for mark in scan.by.get("variety", ()):
        if scan.used[mark.start] and mark.value not in ("no D",):
            continue
        if mark.value != "no D" and scan.negated(mark.start, mark.end) and not mark.value.startswith("no "):
            continue
        if mark.end - mark.start == 1 and (_initials(scan, mark) or _fineness(scan, mark)):
            continue
        found[mark.value] = scan.tok(mark.end).low == "?" or _hedged(scan, mark.end)
        if _by_percent(scan, mark):
            found["mint error"] = False
        scan.rest("variety", mark.start, mark.end, 0.8)
    over = next((year for year in years if year.over and year.year == years[0].year), None)
    if over is not None:
        _overdate(over, found)
    if mint.over and mint.mint:
        found[f"{mint.mint} over {mint.over}"] = False
    _over_letters(scan, found, mint)
    for start, end, code in die_codes(scan):
        found[code] = False
        scan.rest("variety", start, end, 0.85)
        scan.take(start, end)
    _numbers_over(scan, found)
    if years:
        _figure_over(scan, years[0], found)
    _edge_years(scan, found)
    _reverse_of(scan, found)
    _planchet(scan, found)
    found.pop("undated", None)
    if kind in ("medal", "token") and not found:
        found[kind] = False
    if "small date over large date" in found:
        found.pop("repunched mint mark", None)
    return [f"{name}?" if doubted else name for name, doubted in found.items()]


def _fineness(scan: Scan, mark: Mark) -> bool:
    """Polish `próba 750` and German `Probe 900` are a fineness, no pattern."""
    return mark.value == "pattern" and FINE <= scan.tok(mark.end).number <= 1000


def _by_percent(scan: Scan, mark: Mark) -> bool:
    """`15% off center` is an error of the mint; an old piece a little off its flan is none."""
    near = [*range(mark.start - 3, mark.start), *range(mark.end, mark.end + 4)]
    return mark.value == "struck off center" and any(scan.tok(at).low == "%" for at in near)


def _initials(scan: Scan, mark: Mark) -> bool:
    """`SD` in a title of another language is a mint master, no small date."""
    foreign = mark.lang == "en" and max(scan.votes.values()) > scan.votes["en"]
    return foreign and len(scan.them[mark.start].low) <= LETTERS


def _hedged(scan: Scan, end: int) -> bool:
    return scan.tok(end).low == "?" or (
        scan.tok(end).kind == WORD and scan.tok(end + 1).low == "?" and scan.tok(end + 2).low == "?"
    )


def _overdate(year: Year, found: dict[str, bool]) -> None:
    """`1942/1` is an overdate, `1955/55` a doubled die."""
    figures = str(year.year)
    if figures.endswith(year.over):
        found.setdefault(DOUBLED, False)
        found.pop("doubled die", None)
        return
    found.pop("overdate", None)
    count = len(year.over)
    found[f"overdate {figures[-count:] if count < 4 else figures}/{year.over}"] = False


def _over_letters(scan: Scan, found: dict[str, bool], mint: Mints) -> None:
    """`D/S`, `45-D/S`, `S over D`."""
    for at, token in enumerate(scan.them if "/" in scan.lows or "over" in scan.lows else ()):
        if token.low not in ("/", "over") or scan.used[at]:
            continue
        one, two = scan.tok(at - 1), scan.tok(at + 1)
        if one.kind != WORD or two.kind != WORD or not one.text.isupper() or not two.text.isupper():
            continue
        if (
            len(one.text) <= 2
            and len(two.text) <= 2
            and one.text in ["P", "D", "S", "O", "CC"]
            and two.text in ["P", "D", "S", "O", "CC"]
        ):
            found[f"{one.text} over {two.text}"] = False
            found.pop("over mint mark", None)
            scan.take(at - 1, at + 2)
            if mint.mint is None:
                mint.mint, mint.start, mint.end, mint.score = one.text, at - 1, at, 0.7


def _numbers_over(scan: Scan, found: dict[str, bool]) -> None:
    """`50/20`, `3/2`: figures cut over others."""
    for at in range(1, len(scan.them) - 1 if "/" in scan.lows else 0):
        sign = scan.them[at]
        one, two = scan.them[at - 1], scan.them[at + 1]
        if sign.low != "/" or not sign.glued or one.kind != NUMBER or two.kind != NUMBER or not two.glued:
            continue
        if scan.used[at - 1] or scan.used[at + 1] or scan.has(at + 2, "unit") or one.number <= 0 or one.number >= 100:
            continue
        if one.number == two.number:
            found.setdefault(f"{one.low}/{two.low}", False)
        elif one.number > 1 and (len(one.low) == 2 or one.number <= 9):
            found[f"{one.low} over {two.low}"] = False
        scan.take(at - 1, at + 2)


def _figure_over(scan: Scan, year: Year, found: dict[str, bool]) -> None:
    """`6 über 5`: the last figure of the date over another."""
    over = scan.lex.sets["over"]
    for at in range(1, len(scan.them) - 1 if not over.isdisjoint(scan.lows) else 0):
        one, two = scan.them[at - 1], scan.them[at + 1]
        single = one.number == year.year % 10 != two.number and two.kind == NUMBER and len(two.low) == 1
        if scan.them[at].low in over and single and scan.free(at - 1, at + 2) and not scan.has(at + 2, "unit"):
            found.pop("overdate", None)
            found[f"overdate {one.low}/{two.low}"] = False
            scan.take(at - 1, at + 2)


def _edge_years(scan: Scan, found: dict[str, bool]) -> None:
    """Regnal years on the edge (`LVI`) and Spanish star dates (`*18-88`)."""
    crown = any(mark.value == "crown" for mark in scan.by.get("unit", ()))
    for at, token in enumerate(scan.them if crown or not scan.lows.isdisjoint(STARS) else ()):
        if token.low == "*" and scan.tok(at + 1).kind == NUMBER and scan.tok(at + 1).glued:
            sign, second = scan.tok(at + 2), scan.tok(at + 3)
            if sign.low in ("-", "*") and second.kind == NUMBER:
                found[f"stars {scan.them[at + 1].low}-{second.low}"] = False
                scan.take(at, at + 4)
            elif len(scan.tok(at + 1).low) == 4 or len(scan.tok(at + 1).low) == 2:
                scan.take(at, at + 2)
        if token.low in STARS and token.low != "*" and len(scan.tok(at + 1).low) == 2 and scan.tok(at + 1).number > 0:
            found[f"star {scan.tok(at + 1).low}"] = False
            scan.take(at, at + 2)
        before = scan.has(at - 1, "unit") or (len(scan.tok(at - 1).low) == 4 and scan.has(at - 2, "unit"))
        if before and before.value == "crown" and EDGE.fullmatch(token.text):
            found[f"{token.text} edge"] = False
    for mark in scan.by.get("edge", ()):
        found[f"{mark.value} edge"] = False


def _planchet(scan: Scan, found: dict[str, bool]) -> None:
    """`1c on 10c planchet`: struck on the blank of another piece."""
    for at, token in enumerate(scan.them if "planchet" in scan.lows or "flan" in scan.lows else ()):
        if token.low in ("planchet", "flan") and scan.tok(at - 1).low in ("c", "¢", "cent", "dime", "quarter"):
            found[f"wrong planchet ({scan.words(at - 2, at)})"] = False


def _reverse_of(scan: Scan, found: dict[str, bool]) -> None:
    """`REV OF 78`, `reverse of 1879`: the dies of another year."""
    for at, token in enumerate(scan.them if "of" in scan.lows else ()):
        if token.low not in ("rev", "reverse", "obv", "obverse"):
            continue
        here = at + 1 + (scan.tok(at + 1).low == ".")
        if scan.tok(here).low == "of" and scan.tok(here + 1).kind == NUMBER:
            figure = scan.tok(here + 1)
            year = figure.number + 1800 if len(figure.low) == 2 else figure.number
            side = "reverse" if token.low.startswith("rev") else "obverse"
            found[f"{side} of {year}"] = False
            scan.take(at, here + 2)
