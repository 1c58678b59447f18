"""Where a title corrects itself: `1899-O - sorry, 1900-O`, `2 Mark 1888 A, nein, 1888 D`. Its last word counts."""

from __future__ import annotations

from watchlist.core.reading.scanning.scan import Mark, Scan
from watchlist.core.reading.vocabulary.tokens import NUMBER, SIGN, WORD, YEARS, Token

SIGNS = frozenset(",;:-.!?(/…")
"""What stands around the words of a correction."""
DATED = len(("1900", "-", "O"))
"""Tokens of a year with its mint mark."""
BREATH = frozenset(",;.!?(")
LETTERS = 2
"""Letters of a mint mark that is corrected, at most."""


def claim_corrected(scan: Scan) -> None:
    """Take what a title takes back, with the words that say so."""
    _claim_denied(scan)
    if "correction.words" not in scan.by and "correction.parted" not in scan.by:
        return
    for mark in scan.kinds("correction.words", "correction.parted"):
        start, end = _before(scan, mark.start), _behind(scan, mark.end)
        dated = _is_year(scan.tok(end)) and any(map(_is_year, scan.them[max(start - DATED, 0) : start]))
        dated = dated and not scan.has(mark.start, "correction.denies")  # `1861, non 1867`
        # `1912, no, 1913`, `1912, nein 1913`; but `, no mint mark`
        commas = mark.kind == "correction.words" or end > mark.end or dated
        if start < mark.start and commas and (old := _old(scan, start, end)) is not None:
            scan.take(old, end)
            if _is_mark(scan.tok(end).text):
                scan.by["mint.before"].append(Mark(old, end, "mint.before", "", ""))


def _claim_denied(scan: Scan) -> None:
    """`1908 Proof set? No: a single 1908 cent`: what is asked and denied at once, with another piece behind."""
    for at, token in enumerate(scan.them if "?" in scan.lows else ()):
        if token.low == "?" and scan.has(at + 1, "negation.before"):
            start = _breath(scan, at)
            if _names_two(scan, start, at):
                _take_but_year(scan, start, at + 2)
            elif any(map(_is_year, scan.them[at:])):
                _take_years(scan, start if start < at else at - 2, at)  # `1930?? no`


def _breath(scan: Scan, at: int) -> int:
    """Where what is asked before a token begins."""
    return next((here + 1 for here in range(at - 1, -1, -1) if scan.them[here].low in BREATH), 0)


def _take_years(scan: Scan, start: int, end: int) -> None:
    """`penny, 1930? No: 1931`: of what is asked only the year is denied."""
    for at in range(start, end):
        if _is_year(scan.them[at]):
            scan.take(at, at + 1)


def _names_two(scan: Scan, start: int, at: int) -> bool:
    """Whether a piece is named before a query, and another one behind it."""
    kinds = ("unit", "coin", "multiple.set", "multiple.words"), ("country",)
    found = ([mark.start for mark in scan.kinds(*some)] for some in kinds)
    return any(min(places) < at < max(places) and any(start <= n < at for n in places) for places in found if places)


def _take_but_year(scan: Scan, start: int, end: int) -> None:
    """Take some tokens; the year stays where no other one stands behind: it is of both pieces."""
    dated = any(map(_is_year, scan.them[end:]))
    for at in range(start, end):
        if dated or not _is_year(scan.them[at]):
            scan.take(at, at + 1)


def _before(scan: Scan, at: int) -> int:
    """Where the signs before the words begin."""
    while at > 0 and scan.them[at - 1].kind == SIGN and scan.them[at - 1].low in SIGNS:
        at -= 1
    return at


def _behind(scan: Scan, at: int) -> int:
    """Behind the signs after the words."""
    while scan.tok(at).kind == SIGN and scan.tok(at).low in SIGNS:
        at += 1
    return at


def _old(scan: Scan, start: int, new: int) -> int | None:
    """Where begins what the word at `new` takes the place of: a year with its mint mark, a value, a grade, a mint
    mark."""
    for alike in (_is_any_year, _is_value, _is_grade):
        if alike(scan, new):
            return next((at for at in range(start - 1, -1, -1) if alike(scan, at)), None)
    last = scan.tok(start - 1)
    return start - 1 if _is_mark(scan.tok(new).text) and last.kind == WORD and _is_mark(last.text) else None


def _is_value(scan: Scan, at: int) -> bool:
    """`5 Mark`: a number with its unit."""
    return scan.tok(at).kind == NUMBER and scan.has(at + 1, "unit") is not None


def _is_any_year(scan: Scan, at: int) -> bool:
    return _is_year(scan.tok(at))


def _is_year(token: Token) -> bool:
    return token.number in YEARS and len(token.low) == 4


def _is_grade(scan: Scan, at: int) -> bool:
    """`MS62`: a prefix with its number."""
    return scan.tok(at).low in scan.lex.prefixes and scan.tok(at + 1).kind == NUMBER


def _is_mark(text: str) -> bool:
    return 0 < len(text) <= LETTERS and text.isalpha() and text.isupper()
