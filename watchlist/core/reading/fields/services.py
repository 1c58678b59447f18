"""Who holds the piece: a grading service named as holding it now, or a code nobody here knows."""

from __future__ import annotations

from dataclasses import dataclass

from watchlist.core.reading.scanning.scan import BREAKS, Mark, Scan
from watchlist.core.reading.vocabulary.gradegrammar import Grade
from watchlist.core.reading.vocabulary.tokens import QUOTES, WORD


@dataclass(slots=True)
class Holder:
    """The service of a title."""

    service: str | None = None
    named: bool = False
    """A service is named at all, if only to deny that it holds the piece."""
    unknown: str | None = None
    """A code in capitals by a grade that is no configured service."""
    doubted: bool = False
    at: int = -1
    """The token that names the service."""


LEFT_WITHIN = 5
"""Words between `removed from` and the holder or the service that is left, at most."""


def find_service(scan: Scan, services: frozenset[str]) -> Holder:
    """A configured service named as holding the piece now."""
    out = Holder()
    if services.isdisjoint(scan.lows):
        return out
    loose = _is_loose(scan)
    for at, token in enumerate(scan.them):
        if token.low not in services or token.kind != WORD:
            continue
        out.named, taken = True, scan.used[at]
        scan.take(at, at + 1)
        denied = scan.negated(at, at + 1) or scan.answered_no(at + 1)
        if not (loose or taken or denied or _is_only_alike(scan, at)):
            out.service, out.doubted, out.at = token.text, scan.tok(at + 1).low == "?", at
            scan.rest("service", at, at + 1, 0.6 if out.doubted else 0.95)
            break
    return out


def _is_loose(scan: Scan) -> bool:
    """Out of its holder, or only thought to grade so: `cracked out`, `would grade`, `holder cracked, sold raw`.

    `ex` and `not in` speak of the service that follows, not of the piece."""
    told = [mark for mark in scan.by.get("raw.words", ()) if not scan.used[mark.start]]
    said = (scan.words(mark.start, mark.end).lower() for mark in told)
    if bool(scan.by.get("raw.home_made")) or any(words not in scan.lex.sets["of_service"] for words in said):
        return True
    return any(_is_left(scan, mark) for mark in scan.by.get("raw.left", ()))


def _is_left(scan: Scan, mark: Mark) -> bool:
    """`formerly in an HNS slab`, `sortie de sa coque`: the words speak of a holder or a service close behind."""
    for at in range(mark.end, mark.end + LEFT_WITHIN):
        low = scan.tok(at).low
        if low in BREAKS:
            return False
        if low in scan.lex.services or scan.has(at, "holder.slab") or low in scan.lex.sets["keeping"]:
            return True
    return False


def _is_only_alike(scan: Scan, at: int) -> bool:
    """`QCG-style`, `"QCG"`, `QCG type`, `ex-QCG`, `not by QCG`."""
    sets, before = scan.lex.sets, at - 1 - (scan.tok(at - 1).low == "-")
    behind = at + 1 + (scan.tok(at + 1).low == "-")
    after = scan.tok(behind)
    quoted = scan.tok(at - 1).low in QUOTES and scan.tok(at + 1).low in QUOTES
    variety = after.low == "type" and after.text != after.low  # `QCG Type 2`: of the coin
    alike = scan.has(behind, "raw.no_service") is not None and not variety
    never = scan.tok(before).low == "by" and not sets["never"].isdisjoint((scan.tok(at - 2).low, scan.tok(at - 3).low))
    return quoted or alike or never or scan.tok(before).low in sets["no_longer"]


def unknown_service(scan: Scan, grades: list[Grade], holder: Holder) -> None:
    """An all-capitals code beside a numbered grade may be a service the person has not named."""
    numbered = (grade for grade in grades if grade.numbered)
    near = (at for g in numbered for at in (g.start - 1, g.end, g.start - 2, g.end + 1))
    at = next((at for at in near if _is_code(scan, at)), None)
    if at is not None:
        holder.unknown = scan.them[at].text
        scan.take(at, at + 1)


def _is_code(scan: Scan, at: int) -> bool:
    """Three to five capitals that no list knows, in a title not all in capitals; not in quotation marks, not tied."""
    token, before = scan.tok(at), scan.tok(at - 1).low
    lettered = token.kind == WORD and 3 <= len(token.text) <= 5 and token.text.isascii() and token.text.isupper()
    if not lettered or scan.text.isupper() or scan.used[at] or at in scan.marks_at:
        return False
    return before not in QUOTES and not (token.glued and before == "-")
