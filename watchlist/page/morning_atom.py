"""The morning as an Atom feed (RFC 4287), for a reader on the phone: what was read once does not come as new again."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import datetime
from uuid import NAMESPACE_URL, UUID, uuid5
from xml.etree import ElementTree

from watchlist.core.clean import clean
from watchlist.core.lots.address import safe_link
from watchlist.page.columns import cut
from watchlist.page.morning import Paper, sentences
from watchlist.page.wording import about, mark_words

ATOM = "http://www.w3.org/2005/Atom"
TITLE = 100
"""Cells of a title."""


@dataclass(frozen=True, slots=True)
class _Entry:
    about: str
    title: str
    text: str
    part: str
    updated: datetime
    link: str = ""


def feed(paper: Paper, shelf: str) -> str:
    """The feed; `shelf` is what tells its ids from those of another. The same morning gives the same bytes."""
    own = uuid5(NAMESPACE_URL, f"watchlist:{shelf}")
    root = ElementTree.Element("feed", xmlns=ATOM)
    _add(root, "id", own.urn)
    _add(root, "title", "Watchlist")
    _add(root, "subtitle", paper.title)
    _add(root, "updated", paper.made.isoformat())
    _add(_add(root, "author"), "name", "Watchlist")
    told: set[str] = set()
    for entry in _entries(paper):
        if entry.about not in told:  # a lot stands under several headings
            told.add(entry.about)
            _add_entry(root, entry, own)
    ElementTree.indent(root)
    whole: bytes = ElementTree.tostring(root, "us-ascii", xml_declaration=True)
    return whole.decode("ascii") + "\n"


def _entries(paper: Paper) -> Iterator[_Entry]:
    for part in paper.parts:
        for seen in part.seen:
            cost = f", {about(seen.judgement.all_in)} all in" if seen.judgement.all_in else ""
            title = f"{mark_words(seen.judgement)}: {seen.piece}{cost}"
            text, link = sentences(seen, paper), safe_link(seen.lot.link)
            yield _Entry(f"lot:{seen.lot.key}", title, text, part.title, seen.since, link)
        for said in part.said:
            yield _Entry(said.about, said.text, said.text, part.title, paper.made)


def _add_entry(root: ElementTree.Element, entry: _Entry, own: UUID) -> None:
    made = _add(root, "entry")
    _add(made, "id", uuid5(own, entry.about).urn)
    _add(made, "title", cut(clean(entry.title), TITLE))
    _add(made, "updated", entry.updated.isoformat())
    _add(made, "category", term=entry.part)
    _add(made, "content", clean(entry.text, len(entry.text)), type="text")
    if entry.link:
        _add(made, "link", rel="alternate", href=entry.link)


def _add(parent: ElementTree.Element, name: str, text: str | None = None, **attributes: str) -> ElementTree.Element:
    made = ElementTree.SubElement(parent, name, attributes)
    made.text = text
    return made
