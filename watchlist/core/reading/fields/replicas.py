"""Whether a piece is a copy: the words for it, and what else they may speak of."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import chain

from watchlist.core.reading.scanning.scan import Mark, Scan

KNOWN_WITHIN = 3
"""Words behind `copies` within which they are said to exist."""
PAPERS_WITHIN = 4
"""Words behind `copy` among which papers are what it is a copy of."""


def is_replica(scan: Scan) -> bool:
    """Whether a word of copying stands that is not denied; restrikes of a state are none."""
    denied = (m for m in scan.by.get("replica.denied", ()) if not scan.used[m.start] and not _of_belongings(scan, m))
    copies = (m for m in scan.told("replica.words") if not (_of_papers(scan, m) or _are_known(scan, m)))
    found = next(chain(denied, copies, _new_made(scan)), None)
    if found:
        scan.rest("replica", found.start, found.end, 0.95)
    return found is not None


def _are_known(scan: Scan, mark: Mark) -> bool:
    """`Fälschungen sind bekannt`, `copies exist`, `esistono falsi`: of the kind of piece, said of few false ones."""
    exist = scan.lex.sets["exists"]
    behind = {scan.tok(mark.end + step).low for step in range(KNOWN_WITHIN)}
    return not {*behind, scan.tok(mark.start - 1).low, scan.tok(mark.start - 2).low}.isdisjoint(exist)


def _new_made(scan: Scan) -> Iterator[Mark]:
    """`Nachprägung in Feinsilber`, `restrike, .999 silver`: no state struck an old coin anew in such a metal."""
    fine = not scan.lows.isdisjoint(scan.lex.sets["fine_metal"])
    return (mark for mark in scan.by.get("variety", ()) if fine and mark.value == "restrike")


def _of_papers(scan: Scan, mark: Mark) -> bool:
    """`copy of the invoice included`."""
    near = {scan.tok(mark.end + step).low for step in range(PAPERS_WITHIN)}
    return not near.isdisjoint(scan.lex.sets["papers"])


def _of_belongings(scan: Scan, mark: Mark) -> bool:
    """`not original packaging`, `Etui nicht original`: what comes with the piece, or its skin, is denied."""
    near = {scan.tok(at).low for at in (mark.start - 2, mark.start - 1, mark.end, mark.end + 1)}
    return not near.isdisjoint(scan.lex.sets["belongings"])
