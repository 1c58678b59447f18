"""A breath of a text: the words about a token up to the next sign, or the end of a line, that parts them from it."""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Sequence

from watchlist.core.reading.scanning.scan import Scan
from watchlist.core.reading.vocabulary.phrases import ABBREVIATION

STOPS = frozenset(".;!?|•")
"""Signs that end a sentence."""
BREAKS = STOPS | {",", "(", ")"}


class Breaths:
    """Where the breaths of a text begin and end, found once a text."""

    __slots__ = ("_edges",)

    def __init__(self, scan: Scan) -> None:
        self._edges = edges = [0]
        them, lines = scan.them, scan.quiet and "\n" in scan.text
        for at, token in enumerate(them):
            if token.low in BREAKS and (token.low != "." or _is_full(scan, at)):
                edges += (at, at + 1)
            elif lines and at and "\n" in scan.text[scan.end(at - 1) : scan.begin(at)]:
                edges.append(at)
        edges.append(len(them))

    def bounds(self, at: int) -> tuple[int, int]:
        """The breath of a token: its first token and the one behind its last. A sign is one of its own."""
        here = min(bisect_right(self._edges, at), len(self._edges) - 1)
        return self._edges[here - 1], self._edges[here]

    def before(self, start: int, most: int) -> Sequence[int]:
        """Places before a token, in its breath, the nearest first."""
        return range(start - 1, max(start - 1 - most, self.bounds(start)[0] - 1), -1)

    def behind(self, end: int, most: int) -> Sequence[int]:
        """Places from a token on, in the breath of the one before it."""
        return range(end, min(end + most, self.bounds(end - 1)[1]))


def _is_full(scan: Scan, at: int) -> bool:
    """A full stop; not that of an abbreviation."""
    after = scan.tok(at + 1)
    return len(scan.tok(at - 1).low) > ABBREVIATION or (not after.glued and after.text[:1].isupper())
