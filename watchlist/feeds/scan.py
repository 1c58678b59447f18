"""One cheap expat pass over an XML feed: where each item lies, its id, its hash. Hostile documents stop here.

The pass also holds the caps that make it safe to hand the items on in this process. feedparser takes over 30 s for an
element with 100,000 attributes, and an entity or a default attribute of a document type can blow up a small text;
expat meets them first, in a stream, and the pass ends itself at the first element past a cap. So no worker process,
no thread and no clock is needed: what passes is bounded by its length.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from xml.parsers import expat
from xml.sax.saxutils import quoteattr

from watchlist.feeds.listing import digest, stable_id

DEPTH = 100
"""Levels of elements; a lot's description in XHTML has about ten."""
ATTRIBUTES = 100
ATTRIBUTE_TEXT = 256_000
"""Characters of all attributes of one element: room for a small picture written into its address."""
NAMESPACE_TEXT = 500
"""A namespace's name is copied into the name of every element under it."""
NAME = 200
"""Characters of an element's name."""
ITEM_ELEMENTS = 2_000
ITEM_BYTES = 2_000_000
ITEMS = 50_000
ELEMENTS = 1_000_000
"""Elements of a whole document: 5,000 lots of 200."""

ROOTS = {"rss": "rss", "rdf": "rss", "feed": "atom"}
ITEM_NAMES = frozenset(("item", "entry"))
IDS = {"guid": 0, "id": 0, "g:id": 2, "dc:identifier": 3, "title": 8, "link": 9}
"""Where an item's id is looked for, best first; title and link make one where there is none. rdf:about is 1."""

SHORTER = {"not well-formed (invalid token)": "invalid token"}
"""What expat calls an error, where the sentence around it says already that the feed is not well formed."""


class Stop(Exception):
    """Ends a pass from within: a cap is passed."""


@dataclass(frozen=True, slots=True)
class Frame:
    """The opening and closing tags around the items, rebuilt, so that items can be wrapped again a batch at a time."""

    head: bytes = b""
    tail: bytes = b""

    def around(self, body: bytes) -> bytes:
        """A document of its own with these items."""
        return self.head + body + self.tail


@dataclass(frozen=True, slots=True)
class Piece:
    """The bytes of one item, with its id and hash."""

    id: str
    digest: str
    data: bytes
    broken: bool = False
    """Not well formed: only feedparser's forgiving parser may read it."""
    refused: str = ""
    """The cap of ours that it passes: it is not read."""


@dataclass(frozen=True, slots=True)
class Scan:
    """What the pass found. `refused` says why it ended before the end of the document, `at` which byte it reached."""

    root: str
    """Name of the root element without prefix, lower case."""
    frame: Frame
    items: Sequence[Piece]
    refused: str = ""
    at: int = 0
    capped: bool = False
    """Refused by a cap of ours, not by the rules of XML."""
    hostile: bool = False
    """It declares entities or the like: nothing of it is used."""

    @property
    def kind(self) -> str:
        """ "rss" or "atom", empty when it is neither."""
        return ROOTS.get(self.root, "")


def scan(document: bytes) -> Scan:
    """Find the items of a document in UTF-8 without XML declaration. Never raises on any bytes."""
    return _Pass(document).run()


class _Pass:
    """State of one pass. Handlers are called for every element, so they do as little as they can."""

    def __init__(self, document: bytes) -> None:
        self.document = document
        self.items: list[Piece] = []
        self.open: list[tuple[str, list[str]]] = []
        self.root = ""
        self.frame = Frame()
        self.prefix = ""
        self.depth = self.elements = 0
        self.inside = 0  # depth of the item that is open, 0 outside
        self.start = self.first_element = 0
        self.texts: dict[int, str] = {}
        self.heard: list[str] = []
        self.rank = -1
        self.hostile = False
        self.parser = parser = expat.ParserCreate("utf-8")
        parser.ordered_attributes = True  # a list: no dictionary is built for elements that nobody looks at
        parser.buffer_text = True
        parser.StartElementHandler = self.on_start
        parser.EndElementHandler = self.on_end
        parser.StartDoctypeDeclHandler = self.on_doctype

    def run(self) -> Scan:
        """Parse to the end or to the first refusal."""
        try:
            self.parser.Parse(self.document, True)
        except Stop as stop:
            return self.found(str(stop), self.at_item(self.parser.CurrentByteIndex), capped=True)
        except expat.ExpatError as error:
            said = SHORTER.get(name := expat.ErrorString(error.code) or "an error", name)
            return self.found(f"{said} in line {error.lineno}", self.at_item(self.parser.ErrorByteIndex))
        return self.found("", len(self.document))

    def at_item(self, reached: int) -> int:
        return self.start if self.inside else reached

    def found(self, refused: str, at: int, capped: bool = False) -> Scan:
        return Scan(self.root, self.frame, self.items, refused, at, capped, self.hostile)

    def on_doctype(self, name: str, system: str | None, public: str | None, internal: int) -> None:
        """Only a bare document type passes (RSS 0.91 has one); nothing outside is ever opened."""
        if internal:
            self.hostile = True
            raise Stop("it declares entities or attributes of its own")

    def on_start(self, name: str, attributes: list[str]) -> None:
        self.depth += 1
        self.elements += 1
        if attributes or self.depth > DEPTH or len(name) > NAME or self.elements > ELEMENTS:
            self.check(name, attributes)
        if self.inside:
            if self.depth == self.inside + 1:
                self.on_child(name, attributes)
            return
        local = name.rpartition(":")[2].lower()
        if self.depth == 1:
            self.on_root(name, local)
        elif local in ITEM_NAMES and self.root in ROOTS:
            self.on_item(attributes)
            return
        self.open.append((name, attributes))

    def check(self, name: str, attributes: list[str]) -> None:
        if self.depth > DEPTH:
            raise Stop(f"elements lie more than {DEPTH} levels deep")
        if self.elements > ELEMENTS:
            raise Stop(f"it holds more than {ELEMENTS:,} elements")
        if len(attributes) > 2 * ATTRIBUTES or len(name) > NAME or sum(map(len, attributes)) > ATTRIBUTE_TEXT:
            raise Stop("an element has too many or too long attributes")
        for key, value in zip(attributes[::2], attributes[1::2], strict=True):
            if len(value) > NAMESPACE_TEXT and key.startswith("xmlns"):
                raise Stop("a namespace has too long a name")

    def on_root(self, name: str, local: str) -> None:
        self.root = local
        self.prefix = name.partition(":")[0].lower() + ":" if ":" in name else ""

    def on_item(self, attributes: list[str]) -> None:
        if len(self.items) >= ITEMS:
            raise Stop(f"it holds more than {ITEMS:,} entries")
        if not self.items:
            head = "".join(_tag(name, given) for name, given in self.open)
            tail = "".join(f"</{name}>" for name, _ in reversed(self.open))
            self.frame = Frame(head.encode("utf-8", "replace"), tail.encode("utf-8", "replace"))
        self.inside, self.start = self.depth, self.parser.CurrentByteIndex
        self.first_element, self.texts, self.rank = self.elements, {}, -1
        if attributes and "rdf:about" in attributes:
            self.texts[1] = attributes[attributes.index("rdf:about") + 1]

    def on_child(self, name: str, attributes: list[str]) -> None:
        """A direct child of an item: listen to it when an id can be made of it."""
        rank = IDS.get(name.lower().removeprefix(self.prefix), -1)
        if rank < 0:
            return
        if rank == 9 and "href" in attributes:
            self.texts.setdefault(9, attributes[attributes.index("href") + 1])
            return
        self.rank, self.heard = rank, []
        self.parser.CharacterDataHandler = self.heard.append

    def on_end(self, name: str) -> None:
        if self.inside:
            if self.depth == self.inside:
                self.close_item()
            elif self.rank >= 0 and self.depth == self.inside + 1:
                self.parser.CharacterDataHandler = None
                self.texts.setdefault(self.rank, "".join(self.heard))
                self.rank = -1
        else:
            self.open.pop()
        self.depth -= 1

    def close_item(self) -> None:
        at = self.parser.CurrentByteIndex
        # expat says where a closing tag begins, not where it ends.
        end = self.document.find(b">", at) + 1 if self.document.startswith(b"<", at) else at  # else: <item/>
        if self.elements - self.first_element > ITEM_ELEMENTS:
            raise Stop(f"an entry holds more than {ITEM_ELEMENTS:,} elements")
        if end - self.start > ITEM_BYTES:
            raise Stop(f"an entry is longer than {ITEM_BYTES // 1_000_000} MB")
        own = next((text for rank in (0, 1, 2, 3) if (text := self.texts.get(rank, "").strip())), "")
        data = self.document[self.start : end]
        hashed = digest(data)
        title, link = self.texts.get(8, ""), self.texts.get(9, "")
        name = stable_id(own, title, link) if own or title.strip() or link.strip() else hashed[:16]
        self.items.append(Piece(name, hashed, data))
        self.inside = 0


def _tag(name: str, attributes: list[str]) -> str:
    pairs = zip(attributes[::2], attributes[1::2], strict=True)
    return f"<{name}{''.join(f' {key}={quoteattr(value)}' for key, value in pairs)}>"
