"""A long item made short: each of its texts is cut far behind what is kept of it, so that it takes no time."""

from __future__ import annotations

import re
from collections.abc import Mapping
from xml.parsers import expat
from xml.sax.saxutils import escape, quoteattr

LONG = 200_000
"""Bytes of an item from which on it is made short: no lot that people wrote is as long."""
TEXT = 100_000
"""Characters of one element that are kept: five times what is kept of a description."""
NAME = 500
"""Characters of a person's name: feedparser looks for an address in it, in time that grows by the square of its length;
12,000 letters take it a second."""
NAMES = "author|contributor|creator|email|managingeditor|name|owner|publisher|webmaster"
HAS_A_NAME = re.compile(rb"<(?:[\w.-]{1,200}:)?(?:%s)\b" % NAMES.encode(), re.IGNORECASE)
IS_A_NAME = re.compile(rf"(?:.*:)?(?:{NAMES})", re.IGNORECASE)


def slim(item: bytes) -> bytes:
    """The same item with its texts cut; a short one, and one that is not well formed, as it is."""
    if len(item) <= NAME or (len(item) <= LONG and not HAS_A_NAME.search(item)):
        return item
    try:
        return _Slim().run(item)
    except expat.ExpatError:
        return item


class _Slim:
    def __init__(self) -> None:
        self.out: list[str] = []
        self.room: list[int] = [TEXT]
        """Characters that each open element may still have."""
        self.parser = parser = expat.ParserCreate("utf-8")
        parser.buffer_text = True
        parser.StartElementHandler = self.on_start
        parser.EndElementHandler = self.on_end
        parser.CharacterDataHandler = self.on_text

    def run(self, item: bytes) -> bytes:
        self.parser.Parse(item, True)
        return "".join(self.out).encode("utf-8", "replace")

    def on_start(self, name: str, attributes: Mapping[str, str]) -> None:
        pairs = "".join(f" {key}={quoteattr(value[:TEXT])}" for key, value in attributes.items())
        self.out.append(f"<{name}{pairs}>")
        self.room.append(min(self.room[-1], NAME if IS_A_NAME.fullmatch(name) else TEXT))

    def on_text(self, text: str) -> None:
        self.out.append(escape(text[: self.room[-1]]))
        self.room[-1] = max(0, self.room[-1] - len(text))

    def on_end(self, name: str) -> None:
        self.out.append(f"</{name}>")
        self.room.pop()
