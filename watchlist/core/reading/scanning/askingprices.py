"""What is asked for a piece, beside what it is worth by its face: `€ 125`, `4,90€ Versand`, `start 1 EUR`."""

from __future__ import annotations

from watchlist.core.reading.scanning.scan import Scan
from watchlist.core.reading.vocabulary.tokens import FRACTION, NUMBER, YEARS

ASKED = frozenset(("dollar", "pound", "euro"))
"""Units in which sellers ask."""
FACES = frozenset((1, 1.5, 2, 2.5, 3, 4, 5, 8, 10, 12, 15, 20, 25, 30, 40, 50))
"""Face values of dollars, pounds and euros under a hundred; from there on round hundreds and 250."""
POUNDS = FACES - {1.5, 2.5, 3, 4, 8, 12, 15, 30, 40}


def claim_prices(scan: Scan) -> None:
    """Take the amounts that no coin has, and those by a word of price or postage."""
    for mark in scan.by.get("unit", ()):
        if mark.value not in ASKED or scan.used[mark.start]:
            continue
        start, end = _span(scan, mark.start, mark.end)
        if end - start == mark.end - mark.start:
            continue
        figure = start if start < mark.start else mark.end
        if _by_word(scan, start, end) or not is_face(scan.them[figure].low, scan.tok(figure + 1).kind, mark.value):
            scan.take(start, end)


def _span(scan: Scan, start: int, end: int) -> tuple[int, int]:
    """The unit with its number: behind a sign that stands before, else in front."""
    sign = scan.them[start].kind != "w"
    ahead = scan.tok(end).kind == NUMBER and not is_behind(scan, start, end)
    if sign and ahead:
        return start, end + 1
    figure = scan.tok(start - 1)
    dated = not sign and figure.number in YEARS
    if figure.kind == NUMBER and not dated and not scan.used[start - 1] and scan.tok(start - 2).low not in ("/", "-"):
        return start - 1, end
    return start, end


def is_behind(scan: Scan, start: int, end: int) -> bool:
    """`2€`, `10 € 2003`: the sign stands behind its number; what follows is the year."""
    before, after = scan.tok(start - 1), scan.tok(end)
    year = not after.glued and len(after.low) == 4 and after.number in YEARS
    return before.kind == NUMBER and (scan.them[start].glued or year)


def _by_word(scan: Scan, start: int, end: int) -> bool:
    before, after = scan.lex.sets["before_price"], scan.lex.sets["behind_price"]
    here = start - 1 - (scan.tok(start - 1).low in (":", "="))
    if scan.tok(here).low in before and not scan.used[here]:
        return True
    here = end + (scan.tok(end).low in ("+", ","))
    return scan.tok(here).low in after and not scan.used[here]


def is_face(text: str, following: str, unit: str) -> bool:
    """Whether an amount may be the face of a coin: `2.50`, `1 1/2`, `100`; not `85`, `49.99`."""
    whole, _, part = text.replace(",", ".").partition(".")
    if following == FRACTION or len(part) == 3 or not whole.isdigit() or (part and not part.isdigit()):
        return True
    amount = float(f"{whole}.{part or 0}")
    faces = POUNDS if unit == "pound" else FACES
    return amount in faces or amount == 250 or (amount >= 100 and amount % 100 == 0) or amount in (0.5, 0.25)
