"""Sources by the command line: nothing that was set is lost by a second `add`."""

from __future__ import annotations

from pathlib import Path
from xml.etree import ElementTree

import pytest

from tests.cli.conftest import Run
from tests.feeds.feed_server import Site, site


def test_a_name_that_is_there_is_not_written_over(run: Run, tmp_path: Path) -> None:
    run("venue", "add", "Lindmoor Sales", "--currency", "EUR")
    first, second = tmp_path / "a.csv", tmp_path / "b.csv"
    assert run("source", "add", "north", str(first), "--venue", "Lindmoor Sales", "--column", "price=Ausruf").code == 0
    refused = run("source", "add", "north", str(second))
    assert refused.code == 2
    assert refused.err == (
        f"watchlist: There is a source north already, of Lindmoor Sales: {first}. Nothing was changed; --replace "
        "changes what you name of it and keeps the rest, or give another name.\n"
    )
    assert run("source", "list", "--json").rows[0]["address"] == str(first)
    done = run("source", "add", "north", str(second), "--currency", "gbp", "--replace")
    assert done.err.startswith("north: changed; kept: venue Lindmoor Sales, columns. ")
    row = run("source", "list", "--json").rows[0]
    assert (row["address"], row["venue"], row["columns"], row["currency"]) == (
        str(second),
        "Lindmoor Sales",
        {"price": "Ausruf"},
        "GBP",
    )


def test_an_edit_changes_what_it_names_and_keeps_the_rest(run: Run, tmp_path: Path) -> None:
    """Dates that can stand either way say how to settle it; what they say is done, and the hour is read."""
    lots = tmp_path / "lots.csv"
    lots.write_text("Lot,Title,Price,Ends\n11,Orvany 5 tor 1893 VF,95 EUR,05/12/2026 20:00\n", "utf-8")
    run("venue", "add", "Lindmoor Sales", "--currency", "EUR", "--time-zone", "Europe/Berlin")
    run("source", "add", "north", str(lots), "--venue", "Lindmoor Sales")
    assert "`watchlist source edit NAME --date-order dmy` (or mdy) says which" in " ".join(run("gather").err.split())
    done = run("source", "edit", "north", "--date-order", "dmy")
    assert done.err.startswith("north: changed; kept: venue Lindmoor Sales. ")
    assert "cannot be read" not in run("gather").err
    assert run("lots", "--json").rows[0]["closes"] == "2026-12-05T19:00:00+00:00"
    assert run("source", "edit", "south").code == 2
    assert run("source", "remove", "north").code == 0
    assert run("source", "list", "--json").rows == []


def test_a_dropped_source_leaves_its_lots_and_the_bids_on_them(on_sample: Run) -> None:
    assert on_sample("decide", "LM-101", "bid", "90").code == 0
    before = on_sample("bids").out
    lots = on_sample("lots", "--json").out
    assert on_sample("source", "drop", "lindmoor").code == 0
    assert on_sample("lots", "--json").out == lots
    assert on_sample("bids").out == before


OPML = """<?xml version="1.0" encoding="UTF-8"?>
<opml version="2.0"><head><title>Mine</title></head><body>
  <outline text="Houses"><outline text="Wexby &amp; Daughters: gold" type="rss" xmlUrl="https://wexby.example/lots.rss"/>
  <outline text="Wexby &amp; Daughters: gold" xmlUrl="https://wexby.example/books.rss" type="rss"/></outline>
  <outline text="" type="rss" xmlUrl="https://lindmoor.example/feed?kind=coins"/>
  <outline text="evil" xmlUrl="javascript:alert(1)"/><outline text="no feed at all"/>
</body></opml>
"""


def test_sources_come_from_a_list_and_go_out_as_one(run: Run, tmp_path: Path) -> None:
    path, back = tmp_path / "mine.opml", tmp_path / "back.opml"
    path.write_text(OPML, "utf-8")
    done = run("source", "import", str(path))
    assert (done.code, "3 sources added, 1 rejected: not a web address" in done.err) == (0, True)
    names = [row["name"] for row in run("source", "list", "--json").rows]
    assert names == ["wexby-daughters-gold", "wexby-daughters-gold-2", "lindmoor-example-feed"]
    assert "no sources added, 3 duplicates" in run("source", "import", str(path)).err
    run("source", "add", "file", str(tmp_path / "own.csv"))
    done = run("source", "export", str(back))
    assert "Left out" in done.err
    assert [(each.get("text"), each.get("xmlUrl")) for each in ElementTree.parse(back).iter("outline")] == [
        ("wexby-daughters-gold", "https://wexby.example/lots.rss"),
        ("wexby-daughters-gold-2", "https://wexby.example/books.rss"),
    ]  # a query may hold a key, and a file is no address
    assert run("source", "export", str(back)).code == 2
    assert run("undo").code == run("undo").code == 0
    assert run("source", "list", "--json").rows == []


@pytest.mark.parametrize(
    "text",
    [
        "<opml><body><outline",
        "<rss><channel/></rss>",
        "",
        '<!DOCTYPE opml [<!ENTITY a "b">]><opml><body><outline text="&a;" xmlUrl="https://a.example/"/></body></opml>',
        "<opml>" + "<outline>" * 90,
    ],
)
def test_what_is_no_list_of_feeds_changes_nothing(run: Run, tmp_path: Path, text: str) -> None:
    path = tmp_path / "list.opml"
    path.write_text(text, "utf-8")
    done = run("source", "import", str(path))
    assert (done.code, done.err.count("\n")) == (2, 1)
    assert "list.opml cannot be read: " in done.err
    assert "Nothing was changed." in done.err


def test_a_web_page_leads_to_the_feeds_it_links_to(run: Run) -> None:
    with site() as made:
        _page_leads_on(run, made)


def _page_leads_on(run: Run, served: Site) -> None:
    page = served.serve(
        "/shop",
        b"""<!DOCTYPE html><html><head><title>Shop</title>
        <link rel="stylesheet" href="/a.css"><link rel="alternate" type="application/rss+xml" title="New &lt;lots&gt;"
        href="lots.rss?kind=new"><link rel="ALTERNATE" type="application/atom+xml" href="https://other.example/a">
        <link rel="alternate" type="text/html" hreflang="de" href="/de"><link rel="alternate"
        type="application/rss+xml" href="javascript:x"></head><body>""",
    )
    told = run("source", "test", page)
    assert (told.code, "it links to 2 of them" in told.err, "watchlist source find" in told.err) == (3, True, True)
    found = run("source", "find", page, "--json").rows
    assert [(row["address"], row["title"]) for row in found] == [
        (f"{served.address}/lots.rss?kind=new", "New <lots>"),
        ("https://other.example/a", ""),
    ]
    bare = served.serve("/login", b"<!doctype html><title>Log in</title>")
    assert "sent a web page, not a feed" in run("source", "find", bare).err
    assert run("source", "find", "shop").code == 2


def test_a_feed_that_is_not_well_formed_loses_nothing_and_says_so(run: Run, tmp_path: Path) -> None:
    """Entries that were read one by one are neither failed nor rejected."""
    feed = tmp_path / "lots.rss"
    items = "".join(f"<item><title>Orvany 5 tor 189{n} VF & more</title><guid>{n}</guid></item>" for n in (3, 4))
    feed.write_text(f'<rss version="2.0"><channel><title>x</title>{items}</channel></rss>', "utf-8")
    tried = run("source", "test", str(feed))
    assert tried.code == 0
    assert "lots.rss: 2 lots, 0 rejected" in tried.err
    assert "not well formed (invalid token in line 1; the entries were read one by one); nothing is lost" in tried.err
    run("source", "add", "north", str(feed))
    gathered = run("gather")
    assert gathered.code == 0
    assert "north: 2 lots, 2 new, 1 problem\n" in gathered.err
