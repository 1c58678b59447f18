"""RSS 0.9x, 1.0, 2.0 and Atom 0.3, 1.0: items found by the scan, read by feedparser a batch at a time.

feedparser gets bytes in a BytesIO, never an address or a path, for it would open them; and only what the scan has
passed. Its dates are not used: it reads unknown zones as UTC. Sanitising is off, for it empties some descriptions and
takes half the time; our own extractor takes the words out of the markup.
"""

from __future__ import annotations

import io
from collections.abc import Callable, Iterator, Mapping, Sequence
from typing import Any
from xml.parsers import expat

from watchlist.core.clean import clean, clean_lines, unescape
from watchlist.core.lots.entry import Entry
from watchlist.core.lots.source import Source, is_web
from watchlist.core.lots.trouble import Trouble, TroubleKind
from watchlist.feeds.bodies import xml_bytes
from watchlist.feeds.elements import own_elements
from watchlist.feeds.failures import Unlistable
from watchlist.feeds.fields import canonical
from watchlist.feeds.links import LINK_CAP, web_link
from watchlist.feeds.listing import Item, Listing, Outcome
from watchlist.feeds.markup import LEFT_OVER, words_of
from watchlist.feeds.plain import Row
from watchlist.feeds.rescue import bind, mend, rescue
from watchlist.feeds.scan import ROOTS, Frame, Piece, Scan, scan
from watchlist.feeds.slim import LONG, slim

BATCH = 500
BATCH_BYTES = 1_000_000
LOOSE_BYTES = 16_000
"""Length of a broken entry that feedparser's forgiving parser may try: its time grows with the square of it."""
LOOSE_ENTRIES = 100
DECLARATION = b'<?xml version="1.0" encoding="utf-8"?>\n'


def list_xml(source: Source, text: str) -> Listing:
    """The items of an RSS or Atom document. Raises Unlistable when it is neither, or declares entities."""
    document = xml_bytes(text)
    found = scan(document)
    if found.hostile:
        raise Unlistable("hostile", why=found.refused)
    if found.refused:
        return _rescued(source, document, found)
    if not found.kind:
        raise _neither(found.root)
    return _listing(source, found.kind, found.frame, found.items)


def _neither(root: str) -> Unlistable:
    return Unlistable("other xml", root=clean(root, 40)) if root else Unlistable("no xml")


def _rescued(source: Source, document: bytes, found: Scan) -> Listing:
    """The listing of a document that broke off or is not well formed."""
    won = rescue(document, found)
    if not won.kind:
        raise _neither(found.root if found.root not in ROOTS else "")
    if not won.items:
        raise Unlistable("beyond mending", why=found.refused)
    partial = won.cut or won.broken
    read: TroubleKind = "one by one" if found.capped else "mended"
    kind: TroubleKind = "cut off" if won.cut else "part mended" if won.broken else read
    told = Trouble(kind, facts={"why": found.refused, "entries": len(won.items)}, source=source.name)
    return _listing(source, won.kind, won.frame, won.items, (told,), partial)


def _listing(
    source: Source,
    kind: str,
    frame: Frame,
    pieces: Sequence[Piece],
    troubles: tuple[Trouble, ...] = (),
    partial: bool = False,
) -> Listing:
    items = [Item(piece.id, piece.digest, f"entry {n}") for n, piece in enumerate(pieces, 1)]
    return Listing(kind, items, _Reader(source, frame, items, pieces).build, troubles, partial)


class _Reader:
    """Reads chosen items of one document."""

    def __init__(self, source: Source, frame: Frame, items: Sequence[Item], pieces: Sequence[Piece]) -> None:
        self.source, self.frame, self.items, self.pieces = source, frame, items, pieces
        self.loose_left = LOOSE_ENTRIES

    def build(self, indexes: Sequence[int]) -> Iterator[list[tuple[int, Outcome]]]:
        """Entries in order; a batch that cannot be read as one is read entry by entry."""
        for batch in _batches(indexes, lambda index: len(self.pieces[index].data)):
            if not any(map(self._stands_alone, batch)) and (read := self._batch(batch)):
                yield list(zip(batch, read, strict=True))
            else:
                yield from ([(index, self._single(index))] for index in batch)

    def _stands_alone(self, index: int) -> bool:
        piece = self.pieces[index]
        return piece.broken or bool(piece.refused) or len(piece.data) > LONG

    def _batch(self, batch: Sequence[int]) -> list[Outcome] | None:
        bodies = [slim(self.pieces[index].data) for index in batch]
        own, plain = self._own(b"".join(bodies))
        if len(own) != len(batch):
            return None
        strange = [body for body, row in zip(bodies, plain, strict=True) if row is None]
        read = _parse(self._wrapped(b"".join(strange))) if strange else []
        if len(read) != len(strange):
            return None
        others = iter(read)
        rows = (row if row is not None else next(others) for row in plain)
        return [self._entry(index, row, extra) for index, row, extra in zip(batch, rows, own, strict=True)]

    def _own(self, body: bytes) -> tuple[list[dict[str, str]], list[Row | None]]:
        """What our own pass reads of some items; nothing where expat refuses them."""
        try:
            return own_elements(self._wrapped(body))
        except expat.ExpatError:
            return [], []

    def _single(self, index: int) -> Outcome:
        """An item on its own: as it is, mended, or by feedparser's forgiving parser."""
        piece = self.pieces[index]
        if piece.refused:
            return Trouble("refused item", facts={"why": piece.refused})
        if piece.broken:
            return self._loose(index, piece.data)
        data = slim(piece.data)
        return self._alone(index, data) or self._alone(index, mend(data)) or self._loose(index, data)

    def _alone(self, index: int, data: bytes) -> Outcome | None:
        """One well-formed item; of items inside it, the first counts."""
        own, plain = self._own(data)
        rows = plain[:1] if plain and plain[0] is not None else _parse(self._wrapped(data)) if own else []
        return self._entry(index, rows[0], own[0]) if rows and rows[0] is not None else None

    def _loose(self, index: int, data: bytes) -> Outcome:
        if len(data) <= LOOSE_BYTES and self.loose_left > 0:
            self.loose_left -= 1
            parsed = _parse(self._wrapped(data))
            if parsed and parsed[0].get("title"):
                return self._entry(index, parsed[0], {})
        return "broken item"

    def _wrapped(self, body: bytes) -> bytes:
        head = bind(self.frame.head, self.frame.head + body)
        return DECLARATION + Frame(head, self.frame.tail).around(body)

    def _entry(self, index: int, row: Row, own: Mapping[str, str]) -> Outcome:
        return entry_of(self.source, self.items[index], row, own)


def _batches(indexes: Sequence[int], length: Callable[[int], int]) -> Iterator[list[int]]:
    batch: list[int] = []
    size = 0
    for index in indexes:
        if batch and (len(batch) >= BATCH or size + length(index) > BATCH_BYTES):
            yield batch
            batch, size = [], 0
        batch.append(index)
        size += length(index)
    if batch:
        yield batch


def _parse(document: bytes) -> list[Row]:
    """feedparser's rows; none when it raises, which it does on a few malformed feeds."""
    import feedparser  # 60 ms: only when there is something to read

    try:  # no base address for it: joining addresses costs a quarter of its time, and web_link does it where needed
        parsed = feedparser.parse(io.BytesIO(document), sanitize_html=False, resolve_relative_uris=False)
    except Exception:
        return []
    return [dict(row) for row in parsed.entries]  # its own dictionaries look a name up ten times as long


def entry_of(source: Source, item: Item, row: Row, own: Mapping[str, str]) -> Outcome:
    """One row of feedparser and the item's own elements as an entry, or the reason why it is none."""
    description = _description(row)
    title = clean(_words(row.get("title_detail")).replace("\n", " ")) or clean(description.partition("\n")[0], 200)
    if not title:
        return "untitled item"
    fields = {**_standard_fields(row), **canonical(own, source.columns)}
    extra = dict(own)
    if published := clean(str(row.get("published") or row.get("updated") or ""), 100):
        extra["published"] = published
    return Entry(source.name, item.place, item.id, title, description, web_link(row.get("link"), source), fields, extra)


def _description(row: Row) -> str:
    """Summary and full text; a summary that the full text repeats is left out."""
    texts = [_words(part) for part in [row.get("summary_detail"), *(row.get("content") or [])[:3]]]
    kept: list[str] = []
    for text in sorted(filter(None, texts), key=len, reverse=True):
        if not any(text in longer for longer in kept):
            kept.append(text)
    return clean_lines("\n".join(text for text in dict.fromkeys(texts) if text in kept)) if kept[1:] else "".join(kept)


def _words(detail: Any) -> str:
    """Plain text of a text construct, by its type; titles of RSS are plain text that may hold references."""
    value = detail.get("value") if detail else None
    if not isinstance(value, str):
        return ""
    if detail.get("type") in ("text/html", "application/xhtml+xml"):
        return words_of(value)
    text = clean_lines(unescape(value))
    return words_of(text) if LEFT_OVER.search(text) else text


def _standard_fields(row: Row) -> dict[str, str]:
    """Category, seller and picture where the feed's own words give them."""
    terms = [clean(str(tag.get("term") or ""), 100) for tag in (row.get("tags") or [])[:10]]
    pictures = [link.get("href") for link in (row.get("links") or [])[:20] if link.get("rel") == "enclosure"]
    found = {
        "category": ", ".join(filter(None, terms)),
        "seller": clean(str(row.get("author") or ""), 200),
        "image": next((clean(str(link), LINK_CAP) for link in pictures if link and is_web(str(link))), ""),
    }
    return {name: text for name, text in found.items() if text}
