"""Sources from and to lists that other readers of feeds know, and the feeds that a web page links to."""

from __future__ import annotations

import re
from collections.abc import Iterable
from dataclasses import dataclass

from watchlist.core.folding import folded
from watchlist.core.lots.address import bare, shown
from watchlist.core.lots.source import Source, is_web
from watchlist.desk.changes import entry
from watchlist.desk.desk import Desk
from watchlist.desk.errors import DeskError
from watchlist.desk.gather.fetching import Fetching
from watchlist.desk.typed.sources import typed_source
from watchlist.feeds.answers import Ask
from watchlist.feeds.opml import NoOpml, Outline, read_opml
from watchlist.feeds.pages import FeedLink
from watchlist.page.opml import opml
from watchlist.page.troubles import sentence

NAME = 24
"""Letters of a name that is made of a title."""


@dataclass(frozen=True, slots=True)
class Listed:
    """What came of a list."""

    added: tuple[Source, ...]
    there: int
    """Feeds that are sources already."""
    strange: int
    """Outlines without a web address."""


def add_listed(desk: Desk, data: bytes, file: str, venue: str = "") -> Listed:
    """Add the feeds of an OPML list that are no sources yet, as one entry. Raises DeskError; then nothing was added."""
    try:
        outlines, strange = read_opml(data)
    except NoOpml as error:
        raise DeskError(f"{file} cannot be read: {error}. Nothing was changed.") from error
    known = {source.address for source in desk.sources.values()}
    new = list({each.address: each for each in outlines if each.address not in known}.values())
    names = set(desk.sources)
    made = []
    for outline in new:
        name = _free_name(outline, names)
        names.add(name)
        made.append(typed_source(desk, {"name": name, "address": outline.address, "venue": venue}))
    if made:
        with entry(desk, f"{len(made)} sources of {file} added") as change:
            change.put("source", *made)
    return Listed(tuple(made), len(outlines) - len(new), strange)


def _free_name(outline: Outline, taken: Iterable[str]) -> str:
    """A short name of letters, figures and dashes that no source has."""
    words = outline.title or bare(outline.address).partition("://")[2]
    name = re.sub(r"[^a-z0-9]+", "-", folded(words)).strip("-")[:NAME].strip("-") or "source"
    names, number = set(taken), 2
    free = name
    while free in names:
        free, number = f"{name}-{number}", number + 1
    return free


def as_list(desk: Desk) -> tuple[str, tuple[str, ...]]:
    """The sources as an OPML list, and the names of those left out: files, and addresses that may hold a secret."""
    told = [source for source in desk.sources.values() if is_web(source.address) and not _secret(source)]
    return opml(told, desk.now), tuple(name for name in desk.sources if name not in {each.name for each in told})


def _secret(source: Source) -> bool:
    return bool(source.headers) or source.address != bare(source.address)


def feeds_on(desk: Desk, address: str) -> tuple[FeedLink, ...]:
    """The feeds that a web page links to; the address itself where it is a feed. Raises DeskError."""
    ((_, came),) = Fetching([Ask("page", address)], desk.now)
    if not isinstance(came, Exception):
        return (FeedLink(address, ""),)
    feeds = came.trouble.facts.get("feeds")
    if isinstance(feeds, tuple) and feeds:
        return feeds
    raise DeskError(f"{shown(address)}: {sentence(came.trouble)}.")
