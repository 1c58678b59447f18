"""Certificate numbers: `44.719.13H`, `Q418-2907`, `88.120.44H`, behind any usual word for them or by a holder."""

from __future__ import annotations

from watchlist.core.reading.scanning.scan import Scan
from watchlist.core.reading.vocabulary.tokens import NUMBER, WORD, YEARS

NAMED = 4
"""Fewest figures of a number that is named as one."""
PLAIN = 5
"""... of one that is figures alone."""
HASHED = 6
"""Fewest figures of one behind a `#`."""
LONG = 7
"""Figures from which a bare number by a holder is its certificate."""
SHAPED = 5
"""Fewest figures of a bare one by a holder that has the shape of a code: `Q418-2907`."""
CODED = 4
"""Fewest figures behind capital letters: `Q4471`."""
LETTERS = 3
"""Letters that stand together in a code, at most."""
PARTS = 9
"""Words, figures and signs of a code, at most."""
JOINTS = frozenset("-./")
PRICED = frozenset("€$£")


def certificate(scan: Scan, held: bool) -> str | None:
    """The certificate number; `held`: a holder is named, so that a bare number with the look of one is one."""
    for mark in scan.by.get("holder.cert", ()):
        if scan.used[mark.start]:
            continue
        at = scan.past(mark.end, scan.lex.sets["number_signs"])
        if end := _named_end(scan, at):
            return _certified(scan, mark.start, at, end, 0.95)
        if at > mark.end and scan.tok(at).kind == NUMBER:
            scan.take(mark.start, at + 1)
    return _bare_certificate(scan, held) if held or "#" in scan.lows else None


def _named_end(scan: Scan, at: int) -> int:
    """The end of the code at a token that is named as one; 0 where none is."""
    end = code_end(scan, at)
    figures = _figures(scan, at, end)
    plain = all(token.kind != WORD for token in scan.them[at:end])
    return end if figures >= (PLAIN if plain else NAMED) else 0


def _bare_certificate(scan: Scan, held: bool) -> str | None:
    """`#4471902`, or by a holder a long number or a code that is no price and no grade."""
    for at, token in enumerate(scan.them):
        long = len(token.low) >= SHAPED or scan.tok(at + 1).glued or (token.glued and len(token.low) >= CODED)
        if token.kind != NUMBER or not long or token.number in YEARS:
            continue
        start = _start(scan, at)
        before = scan.tok(start - 1).low
        if scan.used[start] or before in PRICED:
            continue
        end = code_end(scan, start)
        if end and _looks_like_one(scan, start, end, before == "#", held):
            return _certified(scan, start - (before == "#"), start, end, 0.9 if before == "#" else 0.8)
    return None


def _start(scan: Scan, at: int) -> int:
    """Where a code begins whose first figures are at a token: with the letters before them."""
    letters = scan.tok(at - 1)
    tied = scan.them[at].glued and letters.kind == WORD and len(letters.low) <= LETTERS
    return at - 1 if tied else at


def _looks_like_one(scan: Scan, at: int, end: int, hashed: bool, held: bool) -> bool:
    """Whether a code that no word names is a certificate's."""
    them, figures = scan.them[at:end], _figures(scan, at, end)
    if all(token.kind != WORD for token in them):
        dotted = "." in them[0].low or "," in them[0].low
        return not dotted and ((hashed and figures >= HASHED) or (held and figures >= LONG))
    first = them[0]
    tied = (len(them) > 2 or "." in first.low) and first.number not in YEARS  # `1942/1-D`
    booked = scan.has(at, "ref.words") is not None
    if len(them) == 2 and first.text.isupper():  # `Q4471`; a grade has two figures
        return held and not booked and figures >= CODED and them[1].number not in YEARS
    graded = first.low in scan.lex.prefixes or booked
    return (hashed or held) and tied and not graded and figures >= SHAPED


def code_end(scan: Scan, at: int) -> int:
    """The end of the letters, figures and signs without a blank that start at a token; 0 where none do."""
    if not _is_part(scan, at) or (at and scan.them[at].glued and scan.tok(at - 1).kind == NUMBER):
        return 0
    end = at + 1
    while end < at + PARTS:
        joint = end + (scan.tok(end).low in JOINTS and scan.tok(end).glued)
        if not (scan.tok(joint).glued and _is_part(scan, joint)):
            break
        end = joint + 1
    return end


def _is_part(scan: Scan, at: int) -> bool:
    token = scan.tok(at)
    return token.kind == NUMBER or (token.kind == WORD and len(token.low) <= LETTERS)


def _figures(scan: Scan, start: int, end: int) -> int:
    """How many figures the tokens of a code have."""
    return sum(letter.isdecimal() for token in scan.them[start:end] for letter in token.low)


def _certified(scan: Scan, start: int, at: int, end: int, sure: float) -> str:
    scan.take(start, end)
    scan.rest("cert_number", at, end, sure)
    return scan.words(at, end)
