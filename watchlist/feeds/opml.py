"""Lists of feeds in OPML 2.0 (opml.org/spec2.opml), read with the caps that every hostile document meets."""

from __future__ import annotations

from dataclasses import dataclass
from xml.parsers import expat

from watchlist.core.clean import clean
from watchlist.core.lots.source import is_web
from watchlist.feeds.bodies import decode, xml_bytes

MOST, DEPTH, ADDRESS, BYTES = 2_000, 50, 2_000, 5_000_000


class NoOpml(ValueError):
    """The document is no list of feeds; the message says why."""


@dataclass(frozen=True, slots=True)
class Outline:
    """One feed of a list."""

    title: str
    address: str


class _Stop(Exception):
    """Ends the pass: the document is not for us."""


class _Pass:
    def __init__(self) -> None:
        self.root, self.depth = "", 0
        self.found: list[Outline] = []
        self.strange = 0

    def on_start(self, name: str, attributes: dict[str, str]) -> None:
        self.root = self.root or name.lower()
        self.depth += 1
        if self.root != "opml" or self.depth > DEPTH:
            raise _Stop
        told = {each.lower(): text for each, text in attributes.items()}
        address = told.get("xmlurl", "").strip()
        if name.lower() == "outline" and address:
            if is_web(address) and len(address) <= ADDRESS and clean(address, ADDRESS) == address:
                self.found.append(Outline(clean(told.get("text") or told.get("title") or "", 80), address))
            else:
                self.strange += 1
        if len(self.found) > MOST:
            raise _Stop

    def on_end(self, _: str) -> None:
        self.depth -= 1

    def on_doctype(self, *_: object) -> None:
        raise _Stop  # OPML has none, and an entity may blow up a small text


def read_opml(data: bytes) -> tuple[list[Outline], int]:
    """The feeds of a list in its order, folders flattened, and how many outlines have no web address. Raises NoOpml."""
    if len(data) > BYTES:
        raise NoOpml(f"it is larger than {BYTES // 1_000_000} MB")
    walk = _Pass()
    parser = expat.ParserCreate("utf-8")
    parser.StartElementHandler = walk.on_start
    parser.EndElementHandler = walk.on_end
    parser.StartDoctypeDeclHandler = walk.on_doctype
    try:
        parser.Parse(xml_bytes(decode(data)), True)
    except _Stop:
        raise NoOpml("it is not an OPML list, or one with more in it than a list of feeds has") from None
    except (expat.ExpatError, ValueError) as error:
        raise NoOpml(f"it is not well-formed XML ({error})") from error
    return walk.found, walk.strange
