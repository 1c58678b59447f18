"""From loopback HTTP to marks and back to prices: real RSS, Atom, JSON Feed and CSV over real sockets.

Formats: RSS 2.0 specification; RFC 4287 (Atom); JSON Feed 1.1; RFC 4180 (CSV); RFC 9110, 13.1 (conditional requests).
"""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest

from tests.cli.conftest import Run
from tests.cli.test_own_files import CATALOGUE, TERMS, WANTS, prices
from tests.feeds.feed_server import Site, site

RSS = """<?xml version="1.0"?><rss version="2.0"><channel><title>Vessick</title>
<item><title>Talmark 2 krane 1875 VF-30</title><link>https://vessick.example/1</link><guid>q1</guid>
<description>Current bid: 40 EUR. Closes 2026-03-03 18:00 CET.</description></item>
<item><title>Talmark 2 krane 1874-H XF-40</title><link>https://vessick.example/2</link><guid>q2</guid>
<description>Current bid: 300 EUR. Closes 2026-03-09 18:00 CET.</description></item></channel></rss>"""
ATOM = """<?xml version="1.0"?><feed xmlns="http://www.w3.org/2005/Atom"><title>Pier</title><id>urn:pier</id>
<updated>2026-03-03T05:00:00Z</updated>
<entry><id>urn:pier:7</id><title>Talmark 2 krane 1875, XF-40</title><updated>2026-03-03T05:00:00Z</updated>
<link href="https://pier.example/7"/><summary>Price: EUR 95.00</summary></entry></feed>"""
JSON = """{"version": "https://jsonfeed.org/version/1.1", "title": "Fair", "items": [
{"id": "f1", "url": "https://fair.example/1", "title": "Talmark 10 pell 1874 F", "content_text": "Price: 9 EUR"}]}"""
CSV = 'id,title,price,currency\r\nc1,"Talmark 2 krane 1875, VF",85.00,EUR\r\n'


@pytest.fixture
def web() -> Iterator[Site]:
    with site() as served:
        yield served


@pytest.fixture
def shelf(run: Run, web: Site, tmp_path: Path) -> Run:
    for kind, text in (("catalogue", CATALOGUE), ("terms", TERMS), ("prices", prices()), ("wants", WANTS)):
        path = tmp_path / f"{kind}.csv"
        path.write_text(text, "utf-8")
        assert run("import", kind, str(path)).code == 0
    changed = "Mon, 02 Mar 2026 05:00:00 GMT"
    addresses = {
        "vessick": web.serve_tagged("/lots.rss", RSS.encode(), '"a"', changed),
        "pier": web.serve_tagged("/lots.atom", ATOM.encode(), '"b"', changed),
        "fair": web.serve("/lots.json", JSON.encode(), headers={"Content-Type": "application/feed+json"}),
        "list": web.serve("/lots.csv", CSV.encode(), headers={"Content-Type": "text/csv"}),
    }
    venues = {"vessick": "Vessick Auctions", "pier": "Fair Table", "fair": "Fair Table", "list": "Fair Table"}
    for name, address in addresses.items():
        assert run("source", "add", name, address, "--venue", venues[name]).code == 0
    return run


def test_every_lot_is_found_once_and_the_second_gather_brings_nothing(shelf: Run, web: Site) -> None:
    first = shelf("gather")
    assert first.code == 0, first.err
    lots = shelf("lots", "--json").rows
    assert sorted(row["key"] for row in lots) == ["fair:f1", "list:c1", "pier:urn:pier:7", "vessick:q1", "vessick:q2"]
    assert all(row["mark"] for row in lots)
    second = shelf("gather", now="2026-03-03T08:00:00+01:00")
    assert second.code == 0
    assert second.err.count(" 0 new") == 4
    assert second.err.count("unchanged") == 4
    tagged = [headers for path, headers in web.asked[-4:] if path in ("/lots.rss", "/lots.atom")]
    assert {headers.get("If-None-Match") for headers in tagged} == {'"a"', '"b"'}
    assert len(shelf("lots", "--json").rows) == 5


def test_one_broken_source_stops_no_other(shelf: Run, web: Site) -> None:
    web.serve("/lots.json", b"<html><title>Sign in</title></html>")
    done = shelf("gather")
    assert done.code == 3
    assert "fair: failed." in done.err
    assert len(shelf("lots", "--json").rows) == 4
    assert "fair:" in done.out, "the morning names the source that failed"


def test_a_decision_is_kept_undone_and_done_again(shelf: Run) -> None:
    shelf("gather")
    assert shelf("decide", "q2", "bid", "320").code == 0
    bids = shelf("bids", "--json").rows
    assert [row["key"] for row in bids] == ["vessick:q2"]
    # 320 + 20 per cent + 19 per cent VAT on the premium + 12.50 post
    assert bids[0]["worst"] == {"amount": "408.66", "currency": "EUR"}
    assert shelf("undo").code == 0
    assert shelf("bids", "--json").rows == []
    assert shelf("redo").code == 0
    assert len(shelf("bids", "--json").rows) == 1
    assert shelf("undo").code == 0
    assert "Undone: source list added" in shelf("undo").err, "the change before the bid comes next"


def test_a_bid_over_the_ceiling_needs_a_second_word(shelf: Run) -> None:
    shelf("gather")
    refused = shelf("decide", "q2", "bid", "900")
    assert refused.code == 2
    assert "above your ceiling" in refused.err
    assert shelf("bids", "--json").rows == []
    assert shelf("decide", "q2", "bid", "900", "--anyway").code == 0


def test_a_result_is_tomorrows_price_and_undo_takes_it_back(shelf: Run) -> None:
    shelf("gather")
    before = len(shelf("price", "T3", "--json").rows[0]["sales"])
    assert shelf("result", "q1", "62", "--won", now="2026-03-04T09:00:00+01:00").code == 0
    after = shelf("price", "T3", "--grade", "30", "--json", now="2026-03-04T09:00:00+01:00").rows[0]["sales"]
    assert len(after) == before + 1
    assert shelf("lots", "state:won", "--json").rows[0]["key"] == "vessick:q1"
    assert "1/1" in shelf("want", "list").out
    assert shelf("undo").code == 0
    assert len(shelf("price", "T3", "--json").rows[0]["sales"]) == before
    assert "0/1" in shelf("want", "list").out


def test_a_dearer_bid_later_is_seen_and_the_history_kept(shelf: Run, web: Site) -> None:
    shelf("gather")
    web.serve_tagged("/lots.rss", RSS.replace("300 EUR", "340 EUR").encode(), '"c"', "Tue, 03 Mar 2026 09:00:00 GMT")
    shelf("gather", now="2026-03-03T11:00:00+01:00")
    lot = next(row for row in shelf("lots", "--json").rows if row["id"] == "q2")
    assert lot["price"]["amount"] == "340.00"
    assert "Price history" in shelf("lot", "q2").out


def test_a_relisted_lot_keeps_its_key(shelf: Run, web: Site) -> None:
    shelf("gather")
    web.serve_tagged("/lots.atom", ATOM.replace("urn:pier:7", "urn:pier:8").encode(), '"z"', "")
    done = shelf("gather", now="2026-03-03T11:00:00+01:00")
    assert "pier: 1 lots, 0 new" in done.err
    assert len(shelf("lots", "--json").rows) == 5
