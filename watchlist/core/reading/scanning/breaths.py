"""A breath of a text: the words about a token up to the next sign, or the end of a line, that parts them from it."""

from __future__ import annotations

from collections.abc import Container, Iterator

from watchlist.core.reading.scanning.scan import Scan
from watchlist.core.reading.vocabulary.phrases import ABBREVIATION

STOPS = frozenset(".;!?|•")
"""Signs that end a sentence."""
BREAKS = STOPS | {",", "(", ")"}


def back(scan: Scan, start: int, most: int, stops: Container[str] = ()) -> Iterator[int]:
    """Places before a token, in its breath, the nearest first; none beyond a word that stops."""
    for at in range(start - 1, max(start - 1 - most, -1), -1):
        if _ends(scan, at) or scan.them[at].low in stops or on_new_line(scan, at + 1):
            return
        yield at


def ahead(scan: Scan, end: int, most: int) -> Iterator[int]:
    """Places from a token on, in its breath."""
    for at in range(end, min(end + most, len(scan.them))):
        if _ends(scan, at) or on_new_line(scan, at):
            return
        yield at


def _ends(scan: Scan, at: int) -> bool:
    """Whether a sign ends a breath; the stop of an abbreviation does not."""
    low, after = scan.them[at].low, scan.tok(at + 1)
    if low != ".":
        return low in BREAKS
    return len(scan.tok(at - 1).low) > ABBREVIATION or (not after.glued and after.text[:1].isupper())


def on_new_line(scan: Scan, at: int) -> bool:
    """Whether a line of a description ends before a token."""
    return scan.quiet and "\n" in scan.text[scan.tok(at - 1).end : scan.tok(at).start]
