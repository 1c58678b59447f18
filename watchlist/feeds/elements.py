"""Elements of a source's own, with their texts and attributes.

feedparser keeps the attributes of an element it does not know and loses its text, `12.50` of
`<lot:price currency="GBP">12.50</lot:price>`, and of repeated ones it keeps the last; a second expat pass over the same
batch keeps all of them, for a twentieth of feedparser's time.
"""

from __future__ import annotations

from collections.abc import Mapping
from xml.parsers import expat

from watchlist.core.clean import clean
from watchlist.feeds.markup import words_of
from watchlist.feeds.names import listed
from watchlist.feeds.plain import READ_AS_OTHERS, PlainItem, Row
from watchlist.feeds.scan import ITEM_NAMES

OWN_CAP = 60
"""Elements kept of one item."""
VALUE_CAP = 1_000
SPACES = frozenset(
    (
        "",
        "http://purl.org/rss/1.0/",
        "http://purl.org/rss/1.0/modules/content/",
        "http://my.netscape.com/rdf/simple/0.9/",
        "http://www.w3.org/2005/Atom",
        "http://purl.org/atom/ns#",
        "http://backend.userland.com/rss2",
        "http://backend.userland.com/rss",
    )
)
"""Namespaces of RSS and Atom, old ones among them."""


def own_elements(document: bytes) -> tuple[list[dict[str, str]], list[Row | None]]:
    """For each item of a batch its own elements, `{"lot:price": "12.50", "lot:price@currency": "GBP"}`, and of a plain
    one what feedparser would read.

    A nested element is named with its path (`g:shipping/g:price`), a repeated one numbered (`lot:price#2`).
    Raises expat.ExpatError when the batch is not well formed or uses a prefix that is not declared.
    """
    found = _Own()
    found.run(document)
    return found.items, [each.row() for each in found.plain]


class _Own:
    def __init__(self) -> None:
        self.items: list[dict[str, str]] = []
        self.plain: list[PlainItem] = []
        self.path: list[str] = []
        self.texts: list[list[str]] = []
        self.depth = self.inside = self.skipped = 0
        self.root = ""
        self.standard = listed("standard", "xml")
        self.parser = parser = expat.ParserCreate("utf-8", " ")
        parser.namespace_prefixes = True  # names come as `namespace name prefix`, for the prefix is what people know
        parser.buffer_text = True  # else a text comes in a piece for each line and each reference
        parser.StartElementHandler = self.on_start
        parser.EndElementHandler = self.on_end

    def run(self, document: bytes) -> None:
        self.parser.Parse(document, True)

    def on_start(self, name: str, attributes: dict[str, str]) -> None:
        self.depth += 1
        if self.skipped:
            self.plain[-1].spoil()
            return
        space, _, rest = name.rpartition(" ") if name.count(" ") < 2 else _triple(name)
        if not self.inside:
            if rest.lower() in ITEM_NAMES and self.depth > 1:
                self.inside = self.depth
                self.items.append({})
                self.plain.append(PlainItem(plain=self.root == "rss" and name.lower() == "item"))
            elif self.depth == 1:
                self.root = name
            return
        plain = self.plain[-1]
        if space or self.path or rest.lower() in READ_AS_OTHERS:
            plain.spoil()
        if self._is_standard(space, rest):
            self.skipped = self.depth
            self.parser.CharacterDataHandler = plain.begin(rest.lower(), attributes)
            return
        self.path.append(rest)
        self.texts.append([])
        self.parser.CharacterDataHandler = self.texts[-1].append
        self._keep("/".join(self.path), "", attributes)

    def _is_standard(self, space: str, name: str) -> bool:
        """Whether feedparser reads this element: it is one of RSS or Atom, right below the item."""
        return not self.path and name.rpartition(":")[2].lower() in self.standard and space in SPACES

    def on_end(self, name: str) -> None:
        if self.skipped:
            if self.depth == self.skipped:
                self.skipped = 0
                self.parser.CharacterDataHandler = None
        elif self.path:
            self._keep("/".join(self.path), "".join(self.texts.pop()), {})
            self.path.pop()
            self.parser.CharacterDataHandler = self.texts[-1].append if self.texts else None
        elif self.depth == self.inside:
            self.inside = 0
        self.depth -= 1

    def _keep(self, key: str, text: str, attributes: Mapping[str, str]) -> None:
        kept = self.items[-1]
        if len(kept) >= OWN_CAP:
            return
        if text and (text := clean(words_of(text[: 4 * VALUE_CAP]), VALUE_CAP)):
            kept[_numbered(kept, key)] = text
        for name, value in attributes.items():
            value = clean(value, VALUE_CAP)
            if value and len(kept) < OWN_CAP:
                kept[_numbered(kept, f"{key}@{name.rpartition(' ')[2]}")] = value


def _triple(name: str) -> tuple[str, str, str]:
    """expat's `namespace name prefix` as namespace and `prefix:name`."""
    space, local, prefix = name.rsplit(" ", 2)
    return space, " ", f"{prefix}:{local}"


def _numbered(kept: Mapping[str, str], key: str) -> str:
    if key not in kept:
        return key
    return next(name for n in range(2, OWN_CAP + 3) if (name := f"{key}#{n}") not in kept)
