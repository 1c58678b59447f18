"""RSS 0.9x, 1.0, 2.0 and Atom 0.3, 1.0: items found by the scan, read by feedparser a batch at a time.

feedparser gets bytes in a BytesIO, never an address or a path, for it would open them; and only what the scan has
passed. Its dates are not used: it reads unknown zones as UTC. Sanitising is off, for it empties some descriptions and
takes half the time; our own extractor takes the words out of the markup.
"""

from __future__ import annotations

import io
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Any
from xml.parsers import expat

from watchlist.core.clean import clean, clean_lines, unescape
from watchlist.core.lots.entry import Entry, Trouble
from watchlist.core.lots.source import Source, is_web
from watchlist.feeds import scan as scanning
from watchlist.feeds.bodies import xml_bytes
from watchlist.feeds.links import LINK_CAP, web_link
from watchlist.feeds.listing import Item, Listing, Outcome, Unlistable, digest, nothing, stable_id
from watchlist.feeds.markup import LEFT_OVER, words_of
from watchlist.feeds.own import canonical, own_elements
from watchlist.feeds.rescue import bind, mend, rescue

BATCH = 500
BATCH_BYTES = 1_000_000
LOOSE_BYTES = 16_000
"""Length of a broken entry that feedparser's forgiving parser may try: its time grows with the square of it."""
LOOSE_ENTRIES = 100
STANDS = "nothing was taken, what is kept stands; check the address"
DECLARATION = b'<?xml version="1.0" encoding="utf-8"?>\n'


@dataclass(frozen=True, slots=True)
class _Raw:
    """Bytes of an item, and whether only the forgiving parser can read them."""

    data: bytes
    loose: bool = False


def list_xml(source: Source, text: str) -> Listing:
    """The items of an RSS or Atom document. Raises Unlistable when it is neither, or declares entities."""
    document = xml_bytes(text)
    found = scanning.scan(document)
    if found.hostile:
        raise Unlistable(f"is refused because {found.refused}; nothing was taken, what is kept stands; ask who runs it")
    if found.refused:
        return _rescued(source, document, found)
    if not found.kind:
        raise Unlistable(_neither(found.root))
    raws = [_Raw(document[item.start : item.end]) for item in found.items]
    return _listing(source, found.kind, found.head, found.tail, found.items, raws)


def _neither(root: str) -> str:
    what = f"is XML (`{clean(root, 40)}`)" if root else "is not well-formed XML"
    return f"{what}, but neither RSS nor Atom; {STANDS}"


def _rescued(source: Source, document: bytes, found: scanning.Scan) -> Listing:
    """The listing of a document that broke off or is not well formed."""
    won = rescue(document, found)
    if not won.kind:
        raise Unlistable(_neither(found.root if found.root not in scanning.ROOTS else ""))
    if not won.items and not won.broken:
        raise Unlistable(f"is not well formed ({found.refused}) and no entry could be read; {STANDS}")
    items, raws = [item for item, _ in won.items], [_Raw(raw) for _, raw in won.items]
    for place, raw, _ in won.broken:
        name = digest(raw)
        items.insert(place, scanning.Scanned(0, 0, stable_id("", name, ""), name))
        raws.insert(place, _Raw(raw, loose=True))
    told = f"{found.refused}; " + ("the end is missing" if won.cut else "the entries were read one by one")
    said = f"not well formed ({told}): {len(items)} entries could be told apart, the rest may be missing (partial)"
    whole = Trouble(source.name, "", said if won.cut or won.broken else f"not well formed ({told}); nothing is lost")
    partial = won.cut or bool(won.broken)
    return _listing(source, won.kind, won.head, won.tail, items, raws, (whole,), partial)


def _listing(
    source: Source,
    kind: str,
    head: bytes,
    tail: bytes,
    found: Sequence[scanning.Scanned],
    raws: Sequence[_Raw],
    troubles: tuple[Trouble, ...] = (),
    partial: bool = False,
) -> Listing:
    items = tuple(Item(item.id, item.digest, f"entry {n}") for n, item in enumerate(found, 1))
    reader = _Reader(source, head, tail, items, raws)
    return Listing(kind, items, reader.build if items else nothing, troubles, partial)


class _Reader:
    """Reads chosen items of one document."""

    def __init__(self, source: Source, head: bytes, tail: bytes, items: Sequence[Item], raws: Sequence[_Raw]) -> None:
        self.source, self.head, self.tail, self.items, self.raws = source, head, tail, items, raws
        self.loose_left = LOOSE_ENTRIES

    def build(self, indexes: Sequence[int]) -> Iterator[tuple[int, Outcome]]:
        """Entries in order; a batch that cannot be read as one is read entry by entry."""
        for batch in _batches(indexes, lambda index: len(self.raws[index].data)):
            read = None if any(self.raws[index].loose for index in batch) else self._batch(batch)
            if read is None:
                read = [outcome for index in batch for outcome in self._single(index)]
            yield from zip(batch, read, strict=True)

    def _batch(self, batch: Sequence[int]) -> list[Outcome] | None:
        body = b"".join(self.raws[index].data for index in batch)
        document = self._wrapped(body)
        try:
            own = own_elements(document)
        except expat.ExpatError:
            return None
        parsed = _parse(document)
        if len(parsed) != len(batch) or len(own) != len(batch):
            return None
        return [self._entry(index, row, extra) for index, row, extra in zip(batch, parsed, own, strict=True)]

    def _single(self, index: int) -> list[Outcome]:
        raw = self.raws[index]
        for data in (raw.data, mend(raw.data)):
            if not raw.loose and (one := self._alone(index, data)):
                return [one]
        return [self._loose(index, raw.data)]

    def _alone(self, index: int, data: bytes) -> Outcome | None:
        """One well-formed item; of items inside it, the first counts."""
        document = self._wrapped(data)
        try:
            own = own_elements(document)
        except expat.ExpatError:
            return None
        parsed = _parse(document)
        return self._entry(index, parsed[0], own[0] if own else {}) if parsed else None

    def _loose(self, index: int, data: bytes) -> Outcome:
        if len(data) <= LOOSE_BYTES and self.loose_left > 0:
            self.loose_left -= 1
            parsed = _parse(self._wrapped(data))
            if parsed and parsed[0].get("title"):
                return self._entry(index, parsed[0], {})
        return "is not well formed and was set aside; the other entries stand"

    def _wrapped(self, body: bytes) -> bytes:
        return DECLARATION + bind(self.head, self.head + body) + body + self.tail

    def _entry(self, index: int, row: Mapping[str, Any], own: Mapping[str, str]) -> Outcome:
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


def _parse(document: bytes) -> list[Mapping[str, Any]]:
    """feedparser's rows; none when it raises, which it does on a few malformed feeds."""
    import feedparser  # 60 ms: only when there is something to read

    try:  # no base address for it: joining addresses costs a quarter of its time, and web_link does it where needed
        parsed = feedparser.parse(io.BytesIO(document), sanitize_html=False, resolve_relative_uris=False)
    except Exception:
        return []
    return [dict(row) for row in parsed.entries]  # its own dictionaries look a name up ten times as long


def entry_of(source: Source, item: Item, row: Mapping[str, Any], own: Mapping[str, str]) -> Outcome:
    """One row of feedparser and the item's own elements as an entry, or the reason why it is none."""
    description = _description(row)
    title = clean(_words(row.get("title_detail")).replace("\n", " ")) or clean(description.partition("\n")[0], 200)
    if not title:
        return "has neither title nor description and was set aside"
    fields = {**_standard_fields(row), **canonical(own, source.columns)}
    extra = dict(own)
    if published := clean(str(row.get("published") or row.get("updated") or ""), 100):
        extra["published"] = published
    return Entry(source.name, item.place, item.id, title, description, web_link(row.get("link"), source), fields, extra)


def _description(row: Mapping[str, Any]) -> str:
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


def _standard_fields(row: Mapping[str, Any]) -> dict[str, str]:
    """Category, seller and picture where the feed's own words give them."""
    terms = [clean(str(tag.get("term") or ""), 100) for tag in (row.get("tags") or [])[:10]]
    pictures = [link.get("href") for link in (row.get("links") or [])[:20] if link.get("rel") == "enclosure"]
    found = {
        "category": ", ".join(filter(None, terms)),
        "seller": clean(str(row.get("author") or ""), 200),
        "image": next((clean(str(link), LINK_CAP) for link in pictures if link and is_web(str(link))), ""),
    }
    return {name: text for name, text in found.items() if text}
