"""Who holds the piece: a grading service named as holding it now, or a code nobody here knows."""

from __future__ import annotations

from dataclasses import dataclass

from watchlist.core.reading.fields.grades import QUOTES
from watchlist.core.reading.scanning.scan import Scan
from watchlist.core.reading.vocabulary.gradegrammar import Grade
from watchlist.core.reading.vocabulary.tokens import WORD


@dataclass(slots=True)
class Holder:
    """The service of a title."""

    service: str | None = None
    start: int = 0
    end: int = 0
    sure: float = 0.0
    unknown: str | None = None
    """A code in capitals by a grade that is no configured service."""
    doubted: bool = False


def find_service(scan: Scan, services: frozenset[str]) -> Holder:
    """A configured service named as holding the piece now."""
    out = Holder()
    loose = _loose(scan)
    for at, token in enumerate(scan.them):
        if token.kind != WORD or token.low not in services:
            continue
        start, end = at, at + 1
        out.start, out.end = start, end
        if loose or _only_alike(scan, start, end) or scan.negated(start, end) or scan.used[at]:
            scan.take(start, end)
            continue
        scan.take(start, end)
        if scan.tok(end).low == "?" and scan.has(end + 1, "negation.before"):
            continue
        out.service, out.sure = token.text, 0.97
        out.doubted = scan.tok(end).low == "?"
        return out
    return out


def _loose(scan: Scan) -> bool:
    """Out of its holder, or only thought to grade so: `cracked out`, `would grade`, `holder cracked, sold raw`."""
    marks = [
        m
        for m in scan.by.get("raw.words", ())
        if m.end - m.start > 1 or scan.them[m.start].low not in ("ex", "cracked")
    ]
    marks = [m for m in marks if scan.words(m.start, m.end).lower() not in ("not in", "not by", "never graded")]
    return bool(marks or scan.by.get("raw.home_made"))


def _only_alike(scan: Scan, start: int, end: int) -> bool:
    """`QCG-style`, `"QCG"`, `QCG type`, `ex-QCG`."""
    after = scan.tok(end + 1) if scan.tok(end).low == "-" else scan.tok(end)
    at = end + 1 if scan.tok(end).low == "-" else end
    if scan.tok(start - 1).low in QUOTES and scan.tok(end).low in QUOTES:
        return True
    if scan.has(at, "raw.no_service") and not (after.low == "type" and after.text != after.low):
        return True
    before = scan.tok(start - 2).low if scan.tok(start - 1).low == "-" else scan.tok(start - 1).low
    return before in ("ex", "not", "formerly", "aus", "uit", "previously", "from", "like", "by") and (
        before != "by" or scan.tok(start - 2).low in ("not", "never") or scan.tok(start - 3).low in ("not", "never")
    )


def unknown_service(scan: Scan, grades: list[Grade], holder: Holder) -> None:
    """An all-capitals code beside a numbered grade may be a service the person has not named."""
    for grade in grades:
        if not grade.numbered:
            continue
        for at in (grade.start - 1, grade.end, grade.start - 2, grade.end + 1):
            token = scan.tok(at)
            if _code(scan, at) and scan.tok(at - 1).low not in QUOTES:
                holder.unknown, holder.start, holder.end, holder.sure = token.text, at, at + 1, 0.45
                scan.take(at, at + 1)
                return


def _code(scan: Scan, at: int) -> bool:
    token = scan.tok(at)
    if token.kind != WORD or not 3 <= len(token.text) <= 5 or not token.text.isascii() or not token.text.isupper():
        return False
    shouted = scan.text.isupper()
    return not (shouted or scan.used[at] or at in scan.marks_at or (token.glued and scan.tok(at - 1).low == "-"))
