"""Elements of a source's own: kept with their text, and mapped onto the canonical fields where their name is known.

feedparser keeps the attributes of an element it does not know and loses its text, `12.50` of
`<lot:price currency="GBP">12.50</lot:price>`; a second expat pass over the same batch keeps both.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from functools import cache, lru_cache
from typing import Any
from xml.parsers import expat

from watchlist.core.clean import clean
from watchlist.core.money.codes import known_codes
from watchlist.feeds.amounts import plain_amounts
from watchlist.feeds.markup import words_of
from watchlist.feeds.scan import ITEM_NAMES
from watchlist.words import load

OWN_CAP = 60
"""Elements kept of one item."""
VALUE_CAP = 1_000
PLAIN_SPACES = frozenset(
    (
        "",
        "http://purl.org/rss/1.0/",
        "http://my.netscape.com/rdf/simple/0.9/",
        "http://www.w3.org/2005/Atom",
        "http://purl.org/atom/ns#",
        "http://backend.userland.com/rss2",
        "http://backend.userland.com/rss",
    )
)
# Elements of RSS, Atom and content:encoded: feedparser reads these.
STANDARD = frozenset(
    (
        "author",
        "category",
        "comments",
        "content",
        "contributor",
        "created",
        "description",
        "enclosure",
        "encoded",
        "entry",
        "guid",
        "id",
        "issued",
        "item",
        "link",
        "modified",
        "pubdate",
        "published",
        "rights",
        "source",
        "summary",
        "title",
        "updated",
    )
)
CONTENT = "http://purl.org/rss/1.0/modules/content/"
END = ("end=", "/")
DATE_PARTS = frozenset(("date", "$date", "datetime", "time", "iso", "utc", "timestamp", "value"))
"""Parts of a closing time that is an element of elements."""
FIGURE = re.compile(r"\d+(?:[.,]\d+)*", re.ASCII)
CLOCK = re.compile(r"\d{1,2}[:.h]\d\d(?::\d\d)?(?:\s?(?:[ap]\.?m\.?|uhr|uur|h))?", re.IGNORECASE | re.ASCII)


def own_elements(document: bytes) -> list[dict[str, str]]:
    """For each item of a batch its own elements: `{"lot:price": "12.50", "lot:price@currency": "GBP"}`.

    A nested element is named with its path (`g:shipping/g:price`), a repeated one numbered (`lot:price#2`).
    Raises expat.ExpatError when the batch is not well formed or uses a prefix that is not declared.
    """
    return _Own().run(document)


class _Own:
    def __init__(self) -> None:
        self.items: list[dict[str, str]] = []
        self.path: list[str] = []
        self.texts: list[list[str]] = []
        self.depth = self.inside = self.skipped = 0
        self.parser = parser = expat.ParserCreate("utf-8", " ")
        parser.namespace_prefixes = True
        parser.buffer_text = True
        parser.StartElementHandler = self.on_start
        parser.EndElementHandler = self.on_end

    def run(self, document: bytes) -> list[dict[str, str]]:
        self.parser.Parse(document, True)
        return self.items

    def on_start(self, name: str, attributes: dict[str, str]) -> None:
        self.depth += 1
        if self.skipped:
            return
        space, _, rest = name.rpartition(" ") if name.count(" ") < 2 else _triple(name)
        if not self.inside:
            if rest.lower() in ITEM_NAMES and self.depth > 1:
                self.inside = self.depth
                self.items.append({})
            return
        if self._is_standard(space, rest):
            self.skipped = self.depth
            return
        self.path.append(rest)
        self.texts.append([])
        self.parser.CharacterDataHandler = self.texts[-1].append
        self._keep("/".join(self.path), "", attributes)

    def _is_standard(self, space: str, name: str) -> bool:
        if self.path or name.rpartition(":")[2].lower() not in STANDARD:
            return False
        return space in PLAIN_SPACES or space == CONTENT

    def on_end(self, name: str) -> None:
        if self.skipped:
            if self.depth == self.skipped:
                self.skipped = 0
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


# From a source's own names to canonical fields.


def canonical(own: Mapping[str, str], columns: Mapping[str, str] | None = None) -> dict[str, str]:
    """Canonical fields found among a source's own names; `columns` is the person's own map and comes first."""
    if not own:
        return {}
    fields = _fields(own, columns or {})
    for again in _repeats(own):
        fields = _contested(fields, _fields(again, {}))
    return fields


def _repeats(own: Mapping[str, str]) -> list[dict[str, str]]:
    """Elements that stand again, under their own names: the second ones, the third ones, ..."""
    made: dict[str, dict[str, str]] = {}
    for key, text in own.items():
        name, numbered, number = key.rpartition("#")
        if numbered:
            made.setdefault(number, {})[name] = text
    return list(made.values())


def _contested(fields: dict[str, str], again: Mapping[str, str]) -> dict[str, str]:
    """Fields where an amount that stands again is another one: both are told, so that neither is taken silently."""
    own, other = fields.get("currency", ""), again.get("currency", "") or fields.get("currency", "")
    for name in load("feeds")["money"]:
        text, more = fields.get(name, ""), again.get(name, "")
        if text and more and (_figure(text) != _figure(more) or own != other):
            first = text if " | " in text else _named(text, own)
            fields = {**fields, name: f"{first} | {_named(more, other)}"}
    return fields


def _named(text: str, currency: str) -> str:
    return f"{text} {currency}" if currency and FIGURE.fullmatch(text) else text


def _figure(text: str) -> str:
    """The first figure of a text without the noughts of its cents."""
    found = FIGURE.search(text)
    return re.sub(r"\.0{1,2}$", "", found[0].replace(",", ".")) if found else text


def _fields(own: Mapping[str, str], columns: Mapping[str, str]) -> dict[str, str]:
    found: dict[str, tuple[int, str, str]] = {}
    rivals: dict[str, str] = {}
    table = _names()
    given, own = own, _with_codes(plain_amounts(own))
    for key, text in _with_values(own):
        place = next((table[name] for name in _forms(key) if name in table), None)
        if place and place[0] == "ends_at" and CLOCK.fullmatch(text):  # the day stands in an element of its own
            place = ("ends_time", place[1])
        if place and (place[0] not in found or place[1] < found[place[0]][0]):
            found[place[0]] = (place[1], key, text)
            rivals.pop(place[0], None)
        elif place and place[1] == found[place[0]][0]:
            rivals[place[0]] = text
    for field, key in columns.items():
        if given.get(key):
            found[field] = (-1, key, given[key])
            rivals.pop(field, None)
    fields = {field: _end_of(key, text) for field, (_, key, text) in found.items()}
    if "currency" not in fields and (currency := _currency(own, found)):
        fields["currency"] = currency
    return _contested(fields, rivals) if rivals else fields


def field_of(name: str) -> str:
    """The canonical field that an element or heading of this name fills; empty for none."""
    return _names().get(_fold(name).replace(" ", ""), ("", 0))[0]


@cache
def _names() -> dict[str, tuple[str, int]]:
    """Folded name to canonical field and rank."""
    elements: Mapping[str, list[str]] = load("feeds")["elements"]
    return {_fold(name): (field, rank) for field, names in elements.items() for rank, name in enumerate(names)}


@cache
def _words(name: str) -> frozenset[str]:
    words: Any = load("feeds")[name]
    return frozenset(words)


@lru_cache(maxsize=4096)
def _fold(name: str) -> str:
    return name.lower().replace("_", "").replace("-", "")


@cache
def _intervals() -> frozenset[str]:
    return frozenset(map(_fold, _words("intervals")))


def _forms(key: str) -> list[str]:
    """The names under which a path is looked for: whole, and without the groups and the extension it begins with."""
    key, _, attribute = key.partition("@")
    parts = [_fold(part) for part in key.split("/")]
    at = f"@{_fold(attribute)}" if attribute else ""
    local = [part.rpartition(":")[2].lstrip("_") for part in parts]
    forms = ["/".join(parts) + at, "/".join(local) + at]
    start = 1 if key.startswith("_") and len(local) > 1 else 0  # JSON Feed 1.1: `_north` holds what north adds
    while start < len(local) - 1 and local[start] in _words("groups"):
        start += 1
    if len(local) > 1 and _names().get(local[-2], ("",))[0] == "ends_at":  # `closes/date` and `closes/time`
        forms += local[-2:-1] if local[-1] in DATE_PARTS else local[-1:]
    if start:
        forms += ["/".join(parts[start:]) + at, "/".join(local[start:]) + at]
    return forms


def _with_codes(own: Mapping[str, str]) -> dict[str, str]:
    """`price_eur` of 45.50 as a `price` with its currency."""
    made = dict(own)
    for key, text in own.items():
        bare, found, code = key.rpartition("_")
        if found and code.upper() in _codes() and field_of(bare.rpartition("/")[2]) in load("feeds")["money"]:
            made.setdefault(bare, text)
            made.setdefault(f"{bare}@currency", code.upper())
    return made


@cache
def _codes() -> frozenset[str]:
    return known_codes(load("money"))


def _with_values(own: Mapping[str, str]) -> list[tuple[str, str]]:
    """Keys with their texts; an empty element speaks through its `value` or `amount`."""
    rows = [(key, text) for key, text in own.items() if "#" not in key]
    for key, text in own.items():
        name, _, attribute = key.partition("@")
        if attribute and name not in own and _fold(attribute) in _words("values"):
            rows.append((name, text))
    return rows


def _currency(own: Mapping[str, str], found: Mapping[str, tuple[int, str, str]]) -> str:
    """The currency that stands as an attribute of an amount."""
    for field in load("feeds")["money"]:
        for key, text in own.items():
            name, _, attribute = key.partition("@")
            if field in found and name == found[field][1] and _fold(attribute) in _words("currencies"):
                return text
    return ""


def _end_of(key: str, text: str) -> str:
    """The end of an interval; any other text as it is."""
    if _fold(key) not in _intervals():
        return text
    for mark in END:
        before, found, after = text.partition(mark)
        if found and (mark != "/" or len(before) >= 8):
            return after.partition(";")[0].strip()
    return text
