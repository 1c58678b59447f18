"""What can still be read of an XML feed that expat refuses: every item on its own, mended where that is enough.

A bare ampersand in one title must not cost the other 249 lots, and a download that broke off keeps what came. Each
item is wrapped in the head and scanned again, so the caps of the scan hold here too.
"""

from __future__ import annotations

import html.entities
import re
from collections.abc import Iterator
from dataclasses import dataclass
from xml.sax.saxutils import quoteattr

from watchlist.feeds.listing import digest, stable_id
from watchlist.feeds.scan import ITEM_BYTES, ITEMS, Frame, Piece, Scan, scan

MENDED = 500_000
"""Ampersands of a document that are looked at: 10,000 lots with 50 each. Only these make mending slow."""
EDGE = re.compile(rb"<(?:[\w.-]{1,40}:)?(?:item|entry)(?=[\s>])|</(?:[\w.-]{1,40}:)?(?:item|entry)\s*>")
END = re.compile(rb"</(?:rss|rdf:RDF|[\w.-]{0,40}:?feed)\s*>\s*$")
ROOT = re.compile(rb"<(rss|rdf:RDF|feed)\b[^<>]{0,20000}>")
SECTION = re.compile(rb"(<!\[CDATA\[.*?\]\]>)", re.DOTALL)
REFERENCE = re.compile(rb"&(?:#([0-9]{1,7});|#[xX]([0-9A-Fa-f]{1,6});|([A-Za-z][A-Za-z0-9]{1,30};))?")
NOT_XML = re.compile(rb"[\x00-\x08\x0b\x0c\x0e-\x1f]|\xef\xbf[\xbe\xbf]")
OF_XML = frozenset((b"amp;", b"lt;", b"gt;", b"quot;", b"apos;"))
BARE = re.compile(rb"&(?![#A-Za-z])")
LOOSE_ANGLE = re.compile(rb"<(?![A-Za-z/!?_])")
PREFIX = re.compile(rb"</?([A-Za-z_][\w.-]{0,39}):[A-Za-z_]")
BOUND = re.compile(rb"xmlns:([\w.-]{1,40})\s*=")


@dataclass(frozen=True, slots=True)
class Rescued:
    """Items won back and items that could not be mended, in order; whether the end is missing."""

    kind: str
    frame: Frame
    items: list[Piece]
    cut: bool
    """The end of the document or of an item is missing."""

    @property
    def broken(self) -> bool:
        """Whether an item could not be mended."""
        return any(piece.broken for piece in self.items)


def rescue(document: bytes, found: Scan) -> Rescued:
    """Items of the document from where the scan stopped, besides those it had."""
    frame = found.frame if found.items else _frame_of(document)
    items = list(found.items)
    if not frame.head:
        return Rescued(found.kind, frame, items, True)
    cut = not END.search(document[-200:])
    to_mend = MENDED
    for raw, whole in _pieces(document, found.at):
        if len(items) >= ITEMS:
            break
        if not whole:
            cut = True
            continue
        piece = _one(frame, raw, raw.count(b"&") <= to_mend)
        to_mend -= raw.count(b"&") if piece.broken or piece.refused or piece.data != raw else 0
        items.append(piece)
    return Rescued(scan(frame.around(b"")).kind, frame, items, cut)


def bind(head: bytes, body: bytes) -> bytes:
    """The head with a namespace for every prefix that the items use and nobody declared."""
    used = set(PREFIX.findall(body)) - set(BOUND.findall(head)) - {b"xml"}
    if not used or not head.startswith(b"<"):
        return head
    declared = b"".join(b' xmlns:%s="urn:undeclared:%s"' % (prefix, prefix) for prefix in sorted(used)[:50])
    end = re.match(rb"<[^\s/>]+", head)
    return head[: end.end()] + declared + head[end.end() :] if end else head


def mend(raw: bytes) -> bytes:
    """Bare ampersands and angles, names of HTML characters, and characters that XML forbids, put right."""
    parts = SECTION.split(NOT_XML.sub(b"", raw))
    parts[::2] = [LOOSE_ANGLE.sub(b"&lt;", REFERENCE.sub(_reference, BARE.sub(b"&amp;", part))) for part in parts[::2]]
    return b"".join(parts)


def _reference(found: re.Match[bytes]) -> bytes:
    """A reference that XML knows: numbers of its characters, and its five names."""
    decimal, hexadecimal, name = found.groups()
    if decimal or hexadecimal:
        code = int(decimal) if decimal else int(hexadecimal, 16)
        allowed = code in (9, 10, 13) or 32 <= code < 0xD800 or 0xE000 <= code < 0xFFFE or 0x10000 <= code < 0x110000
        return b"&#%d;" % code if allowed else b""
    if name in OF_XML:
        return found.group()
    letters = html.entities.html5.get((name or b"").decode("ascii"), "")
    return b"".join(b"&#%d;" % ord(letter) for letter in letters) or b"&amp;" + found.group()[1:]


def _one(frame: Frame, raw: bytes, may_mend: bool) -> Piece:
    """An item read on its own, as it is or mended; broken when neither will do."""
    refused = f"it is longer than {ITEM_BYTES // 1_000_000} MB"
    if len(raw) <= ITEM_BYTES:
        alone = scan(frame.around(raw))
        refused = alone.refused.replace("an entry", "it") if alone.capped else ""
        if piece := _only(alone):
            return piece
        if may_mend and not alone.capped and (piece := _only(scan(frame.around(mend(raw))))):
            return piece
    name = digest(raw)
    return Piece(stable_id("", name, ""), name, raw, broken=not refused, refused=refused)


def _only(found: Scan) -> Piece | None:
    """The one item of a document that is well formed."""
    return found.items[0] if not found.refused and len(found.items) == 1 else None


def _pieces(document: bytes, start: int) -> Iterator[tuple[bytes, bool]]:
    """`<item ...>...</item>` from a place on; False with a piece whose end is missing."""
    opened = -1
    for edge in EDGE.finditer(document, start):
        closing = edge.group().startswith(b"</")
        if opened >= 0:
            yield document[opened : edge.end() if closing else edge.start()], closing
        opened = -1 if closing else edge.start()
    if opened >= 0:
        yield document[opened:], False


def _frame_of(document: bytes) -> Frame:
    """Tags rebuilt from the root's own when the document is refused before its first item."""
    root = ROOT.search(document[:100_000])
    if not root or root.group().endswith(b"/>"):
        return Frame()
    name = root[1]
    head = root.group()
    if scan(head + b"</" + name + b">").refused:
        head = b"<" + name + _spaces(head) + b">"
    middle = (b"<channel>", b"</channel>") if name == b"rss" else (b"", b"")
    return Frame(head + middle[0], middle[1] + b"</" + name + b">")


def _spaces(tag: bytes) -> bytes:
    """Only the namespace declarations of a tag that is not well formed."""
    found = re.findall(rb"""(xmlns(?::[\w.-]{1,40})?)\s*=\s*["']([^"'<>]{1,300})["']""", tag)
    pairs = {key: quoteattr(value.decode("utf-8", "replace")).encode() for key, value in found}
    return b"".join(b" " + key + b"=" + value for key, value in pairs.items())
