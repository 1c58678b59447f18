"""Items of RSS 2.0 that need no feed parser: a few elements of RSS, each once, with nothing but text in it.

Most lots come so. The row that is made of one is the one that feedparser makes (a test holds the two together), for a
tenth of its time; an item with anything beside that, or of which feedparser would guess, is left to it.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping
from typing import Any

Row = Mapping[str, Any]

ONCE = frozenset(("title", "link", "description", "pubdate", "guid", "comments"))
OFTEN = frozenset(("category", "enclosure"))
READ_AS_OTHERS = frozenset(
    (
        "abstract", "body", "channel", "cloud", "copyright", "email", "expirationdate", "feed", "fullitem", "generator",
        "geom", "georssgeom", "height", "homepage", "image", "info", "keywords", "language", "lastbuilddate",
        "managingeditor", "name", "newlocation", "rss", "subtitle", "tagline", "tags", "textinput", "uri", "url",
        "webmaster", "where", "width",
    )
)  # fmt: skip
"""Names outside RSS 2.0 of which feedparser makes something in an item."""
ADDRESS = re.compile(r"https?://[^\s/<>\"\\;\x80-\U0010ffff][^\s<>\"\\;\x80-\U0010ffff]*")
"""Of an address anything else is joined, mended or translated by feedparser."""
MARKUP = re.compile(r"[<&]")
"""In a title feedparser guesses by it whether the title is HTML."""
CONTROLS = re.compile(r"[\x80-\x9f]")
"""Characters of a Windows code page that were taken for Latin-1: feedparser translates them."""


class PlainItem:
    """What the elements of one item say, as long as it is plain. Names come in lower case."""

    def __init__(self, *, plain: bool) -> None:
        self._plain = plain
        self._texts: dict[str, list[str]] = {}
        self._categories: list[list[str]] = []
        self._pictures: list[str] = []

    def spoil(self) -> None:
        """The item holds what only feedparser reads."""
        self._plain = False

    def begin(self, name: str, attributes: Mapping[str, str]) -> Callable[[str], None] | None:
        """An element of RSS begins; what takes its text, None where nothing does."""
        if name == "enclosure" and attributes.keys() <= {"url", "length", "type"}:
            self._pictures.append(attributes.get("url", ""))
            return None
        allowed = {"isPermaLink"} if name == "guid" else set()
        if name in self._texts or name not in ONCE | OFTEN or name == "enclosure" or attributes.keys() > allowed:
            self.spoil()
            return None
        heard: list[str] = []
        if name == "category":
            self._categories.append(heard)
        else:
            self._texts[name] = heard
        return heard.append

    def row(self) -> Row | None:
        """The item as feedparser has it; None where it is not plain."""
        said = {name: "".join(heard).strip() for name, heard in self._texts.items()}
        terms = ["".join(heard).strip() for heard in self._categories]
        if not self._plain or not self._is_plain(said, terms):
            return None
        row: dict[str, Any] = {"link": said["link"], "published": said.get("pubdate", "")}
        row["title_detail"] = {"type": "text/plain", "value": said.get("title")}
        row["summary_detail"] = {"type": "text/html", "value": said.get("description")}
        row["tags"] = [{"term": term} for term in dict.fromkeys(filter(None, terms))]
        row["links"] = [{"rel": "enclosure", "href": url} for url in self._pictures]
        return row

    def _is_plain(self, said: Mapping[str, str], terms: list[str]) -> bool:
        addresses = [said.get("link", ""), *self._pictures]
        return (
            all(map(ADDRESS.fullmatch, addresses))
            and not MARKUP.search(said.get("title", ""))
            and all(map(_is_sound, (*said.values(), *terms)))
        )


def _is_sound(text: str) -> bool:
    """It is not UTF-8 that was read as Latin-1, nor holds what a code page would change."""
    if text.isascii():
        return True
    if CONTROLS.search(text):
        return False
    try:
        text.encode("iso-8859-1").decode("utf-8")
    except UnicodeError:
        return True
    return False
