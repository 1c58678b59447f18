"""Lists of feeds, pages that link to feeds, rows set aside, items cut short: what is refused, what is left alone."""

from __future__ import annotations

import pytest

from watchlist.feeds import opml
from watchlist.feeds.opml import NoOpml, Outline, read_opml
from watchlist.feeds.pages import FeedLink, linked_feeds
from watchlist.feeds.rejects import rejects
from watchlist.feeds.slim import slim
from watchlist.feeds.widths import MOST, Widths
from watchlist.words import load

OUTLINE = '<outline text="Lindmoor" xmlUrl="https://lindmoor.example/feed"/>'


def listed(inside: str) -> bytes:
    return f'<opml version="2.0"><body>{inside}</body></opml>'.encode()


def test_a_list_of_feeds() -> None:
    assert read_opml(listed(OUTLINE + '<outline text="x" xmlUrl="file:///etc"/>')) == (
        [Outline("Lindmoor", "https://lindmoor.example/feed")],
        1,
    )


@pytest.mark.parametrize(
    ("body", "why"),
    [
        (b" " * (opml.BYTES + 1), "larger than 5 MB"),
        (listed(OUTLINE * (opml.MOST + 1)), "more in it"),
        (listed("<outline>" * opml.DEPTH + "</outline>" * opml.DEPTH), "more in it"),
        (b"<!DOCTYPE opml><opml/>", "not an OPML list"),
        (b"<rss/>", "not an OPML list"),
        (b"<opml><body>", "not well-formed"),
    ],
)
def test_what_is_no_list_of_feeds_says_why(body: bytes, why: str) -> None:
    with pytest.raises(NoOpml, match=why):
        read_opml(body)


def test_a_link_that_is_no_address_hides_none_of_the_others() -> None:
    link = '<link rel="alternate" type="application/rss+xml" href="{}" title="Sale">'
    page = link.format("https://[half.example/feed") + link.format("/feed")
    assert linked_feeds(page, "https://lindmoor.example/news") == (FeedLink("https://lindmoor.example/feed", "Sale"),)


def test_a_file_of_blank_lines_has_no_rows_to_set_aside() -> None:
    assert rejects(b"\n \n", [], "lots", synonyms=load("columns"))[1] == []


def test_an_item_that_is_not_well_formed_is_not_cut() -> None:
    item = b"<item><author>" + b"a" * 20_000 + b"</item>"
    assert slim(item) == item


def test_a_line_with_far_too_many_cells_has_no_likely_reading() -> None:
    assert Widths({}, [0], 2, ",").fitted(["1893"] * (3 + MOST)) is None
