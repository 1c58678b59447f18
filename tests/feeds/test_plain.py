"""Plain items read without feedparser are read as feedparser (its own rows are the check) reads them."""

from __future__ import annotations

from unittest.mock import patch
from xml.sax.saxutils import escape, quoteattr

import feedparser.mixin
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from watchlist.core.lots.source import Source
from watchlist.feeds.names import listed
from watchlist.feeds.plain import ONCE, READ_AS_OTHERS, PlainItem
from watchlist.feeds.rss import list_xml

SOURCE = Source("north", "https://lindmoor.example/feed", venue="Lindmoor Sales")
HEAD = '<rss version="2.0" xmlns:lot="https://lindmoor.example/ns"><channel><title>Sales</title>'
WORDS = (
    "Orvany 5 tor 1890-V VF", "20<30 tor", "1 & 2", "&amp;", "<b>Hammer</b> 40 EUR", "schön", "sch\xc3\xb6n", "\x95",
    "\u20ac 12", " ", "", "\n", "Closes 14 March 2026", "&#8364;", "</p>", "Złoty", "12;50", "\u202e", "a" * 300,
)  # fmt: skip
ADDRESSES = (
    "https://lindmoor.example/lot/1", "/lot/1", "https://lindmoor.example/a?b=1&c=2", "http://x.example/&amp;y;", "",
    "https://", "https://lindmoor.example//lot", "HTTPS://lindmoor.example", "https:///a", "javascript:alert(1)",
    "https://lindmoor.example/ü", " https://lindmoor.example/1 ", "https://a.example/b c",
)  # fmt: skip
texts = st.lists(st.sampled_from(WORDS), max_size=3).map(" ".join) | st.text(max_size=12)
names = st.sampled_from(
    ["title", "description", "link", "guid", "pubDate", "category", "comments", "author", "price", "lot:price", "name"]
)


@st.composite
def element(draw: st.DrawFn) -> str:
    name = draw(names)
    text = draw(st.sampled_from(ADDRESSES) if name in ("link", "guid", "comments") else texts)
    text = "".join(letter for letter in text if letter.isprintable() or letter in "\n\x95")
    body = escape(text) if draw(st.booleans()) else f"<![CDATA[{text.replace(']]>', '')}]]>"
    mark = draw(st.sampled_from(["", "", "", "", ' isPermaLink="false"', ' domain="x"', ' xml:lang="de"']))
    return f"<{name}{mark}>{body}</{name}>"


pictures = st.sampled_from(ADDRESSES).map(lambda url: f'<enclosure url={quoteattr(url)} length="1" type="image/png"/>')
items = st.lists(element() | pictures, max_size=7).map(lambda parts: f"<item>{''.join(parts)}</item>")
usual = st.tuples(texts, texts, st.lists(element() | pictures, max_size=3)).map(
    lambda told: (
        f"<item><title>{escape(''.join(filter(str.isprintable, told[0])))}</title>"
        "<link>https://lindmoor.example/lot/1</link>"
        f"<description>{escape(''.join(filter(str.isprintable, told[1])))}</description>{''.join(told[2])}</item>"
    )
)


def outcomes(document: str) -> list[object]:
    listing = list_xml(SOURCE, document)
    return [told for batch in listing.build(range(len(listing.items))) for told in batch]


@settings(max_examples=300, deadline=None)
@given(st.lists(items | usual, min_size=1, max_size=4).map("".join))
def test_plain_items_are_read_as_feedparser_reads_them(body: str) -> None:
    document = f"{HEAD}{body}</channel></rss>"
    with patch.object(PlainItem, "row", lambda _: None):
        expected = outcomes(document)
    assert outcomes(document) == expected


def test_a_list_of_plain_items_needs_no_feedparser(monkeypatch: pytest.MonkeyPatch) -> None:
    def never(*_: object, **__: object) -> None:
        raise AssertionError("feedparser was asked")

    monkeypatch.setattr("feedparser.parse", never)
    item = (
        "<item><title>Orvany 5 tor 1890-V schön</title><link>https://lindmoor.example/{0}</link><guid>{0}</guid>"
        "<description>&lt;p&gt;Price: 12 EUR&lt;/p&gt;</description><price>12</price></item>"
    )
    found = outcomes(f"{HEAD}{''.join(map(item.format, range(3)))}</channel></rss>")
    assert len(found) == 3


def test_no_element_that_feedparser_reads_is_taken_for_a_sources_own() -> None:
    mixin = feedparser.mixin._FeedParserMixin
    known = {name.partition("_")[2].partition("_")[2] for name in dir(mixin) if name.startswith(("_start_", "_end_"))}
    ours = {name.lower() for name in known if "_" not in name} - READ_AS_OTHERS
    assert ours <= listed("standard", "xml") | {""}
    assert listed("standard", "xml") >= ONCE
