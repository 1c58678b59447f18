"""A web page where a feed was looked for: the feeds that it links to (HTML Living Standard, 4.6.7.1, `alternate`)."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from html.parser import HTMLParser
from urllib.parse import urljoin

from watchlist.core.clean import clean
from watchlist.core.lots.source import is_web
from watchlist.core.lots.trouble import TroubleKind

FEEDS = frozenset({"application/rss+xml", "application/atom+xml", "application/feed+json"})
"""Types of a link that leads to a feed of a kind that is read."""
LOOK = 500_000
"""Characters looked through: such links stand in a page's head."""
MOST = 20
ADDRESS = 2_000


@dataclass(frozen=True, slots=True)
class FeedLink:
    """A feed that a page names."""

    address: str
    title: str


class _Links(HTMLParser):
    def __init__(self, base: str) -> None:
        super().__init__()
        self._base = base
        self.found: dict[str, FeedLink] = {}

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        """Note a link to a feed."""
        told: Mapping[str, str] = {name: value or "" for name, value in attrs}
        kind = told.get("type", "").partition(";")[0].strip().lower()
        if tag != "link" or kind not in FEEDS or "alternate" not in told.get("rel", "").lower().split():
            return
        try:
            address = urljoin(self._base, told.get("href", "").strip())
        except ValueError:
            return
        if (
            is_web(address)
            and len(address) <= ADDRESS
            and clean(address, ADDRESS) == address
            and len(self.found) < MOST
        ):
            self.found.setdefault(address, FeedLink(address, clean(told.get("title", ""), 100)))


def linked_feeds(page: str, base: str) -> tuple[FeedLink, ...]:
    """The feeds a page links to, in its order; relative addresses are made whole by the page's own."""
    links = _Links(base)
    links.feed(page[:LOOK])
    return tuple(links.found.values())


def page_trouble(page: str, base: str) -> tuple[TroubleKind, Mapping[str, object]]:
    """What to say of a page that came for a feed."""
    feeds = linked_feeds(page, base)
    return ("page with feeds", {"feeds": feeds, "count": len(feeds)}) if feeds else ("web page", {})
