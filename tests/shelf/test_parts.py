"""Each part of the store made alone, over a connection and nothing else."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from datetime import timedelta
from decimal import Decimal
from pathlib import Path

import pytest

from tests.shelf.pieces import NOW, TODAY, euro, judged, row, sold
from watchlist.core.coins.issue import Issue
from watchlist.core.decisions.review import Decision
from watchlist.core.prices.realised import GuideRow
from watchlist.core.reading.record import Reading
from watchlist.shelf.errors import ShelfTorn
from watchlist.shelf.store.before import Before
from watchlist.shelf.store.catalogue import Catalogue
from watchlist.shelf.store.certificates import Certificates
from watchlist.shelf.store.connection import Connection
from watchlist.shelf.store.decisions import Decisions
from watchlist.shelf.store.facts import Facts
from watchlist.shelf.store.feeds import Feeds
from watchlist.shelf.store.findings import Findings
from watchlist.shelf.store.listing import Listing
from watchlist.shelf.store.lots import Lots
from watchlist.shelf.store.market import Market
from watchlist.shelf.store.prices import Prices
from watchlist.shelf.store.purchases import Purchase, Purchases
from watchlist.shelf.store.results import Results
from watchlist.shelf.store.schema import Schema


@pytest.fixture
def db(tmp_path: Path) -> Iterator[Connection]:
    opened = Connection(tmp_path / "parts.db", write=True)
    Schema(opened).make(1)
    yield opened
    opened.close()


def test_lots(db: Connection) -> None:
    lots = Lots(db)
    lots.save([row(1, fingerprint="f1"), row(2, fingerprint="f2"), row(3), row(4, source="south", key="south:4")])
    assert lots.known(["north:1", "north:9", *(f"north:{n}" for n in range(10, 1200)), "north:3"]) == {
        "north:1",
        "north:3",
    }
    assert lots.gone("north", {"1"}) == {"f2": {"north:2": "2"}}
    assert lots.gone("south", ()) == {}
    assert set(lots.by_key(["north:1", "north:9"])) == {"north:1"}


def test_lots_that_name_their_seller_and_issue(db: Connection) -> None:
    lots = Lots(db)
    lots.save(
        [
            row(1, judgement=judged(), seller="anna"),
            row(2, judgement=judged(), seller="anna", hours=-9),
            row(3, judgement=judged()),
            row(4, seller="ben"),
        ]
    )
    assert lots.open_sellers(NOW) == [("north:1", "orvany-5t-1893", "anna")]


def test_a_lot_never_dated_is_kept(db: Connection) -> None:
    lots, listing = Lots(db), Listing(db)
    lots.save([row(1, first_seen=None, last_seen=None, hours=None)])
    (line,) = listing.lines()
    assert (line.first_seen, line.last_seen, line.closes) == (None, None, None)


def test_listing(db: Connection) -> None:
    Lots(db).save([row(1, seller="anna"), row(2, seller="ben", source="south", state="seen")])
    listing = Listing(db)
    assert listing.count() == 2
    assert listing.count_by("source") == {"north": 1, "south": 1}
    line = listing.line("north:1")
    assert line is not None
    assert line.title == "5 tor 1893 1"
    assert listing.line("north:9") is None
    with pytest.raises(ValueError, match="title"):
        listing.count_by("title")


def test_prices_and_what_stands_on_them(db: Connection) -> None:
    prices = Prices(db)
    results, catalogue = Results(db, prices), Catalogue(db, prices)
    assert (prices.newest(), prices.count(), prices.by_issue()) == (0, 0, {})
    prices.add([sold(), sold(issue="other")])
    number = results.put("north:1", sold(price=euro("55")), won=True, at=NOW)
    assert (prices.newest(), prices.count(), *results.prices()) == (number, 3, number)
    assert [price.price for price in prices.behind(2)] == [euro("55")]
    assert prices.by_issue() == {
        "orvany-5t-1893": (2, sold().sale_date),
        "other": (1, sold().sale_date),
    }
    assert catalogue.supersede({"other": "orvany-5t-1893"}) == 1
    assert len(prices.of("orvany-5t-1893")) == prices.count() == 3
    prices.drop(1)
    assert prices.get(1) is None


def test_catalogue(db: Connection) -> None:
    catalogue = Catalogue(db, Prices(db))
    catalogue.merge([Issue("a", "Orvany", "5 tor", 1893)])
    catalogue.put_guides([GuideRow("a", 20, 30, 90.0, 150.0, TODAY)])
    catalogue.put_rates({("GBP", "2026-05"): Decimal("0.86")})
    assert (catalogue.has_guide("a"), catalogue.has_guide("b")) == (True, False)
    catalogue.move_guides({"b": "c"})  # no row is of b
    assert (catalogue.has_guide("a"), catalogue.has_guide("c")) == (True, False)
    catalogue.move_guides({"a": "c"})
    assert (catalogue.has_guide("a"), catalogue.has_guide("c")) == (False, True)
    assert [issue.key for issue in catalogue.issues()] == ["a"]
    assert catalogue.rates() == {("GBP", "2026-05"): Decimal("0.86")}


def test_a_lot_of_concern_as_it_was(db: Connection) -> None:
    lots, before = Lots(db), Before(db)
    lots.save([row(1), row(2)])
    before.add(["north:1", "north:2"], NOW)
    assert not before.has_changed("north:1", NOW)
    lots.save([row(1, price=euro("90"))])
    assert (before.has_changed("north:1", NOW), before.has_changed("north:2", NOW)) == (True, False)
    assert [was.key for was in before.changed(NOW)] == ["north:1"]


def test_a_line_that_holds_what_it_cannot_is_named(db: Connection) -> None:
    Lots(db).save([row(1)])
    db.run("UPDATE lots SET price = 'x'")
    with pytest.raises(ShelfTorn, match="a lot's line holds what it cannot"):
        Listing(db).line("north:1")


def test_certificates_on_lots_and_prices(db: Connection) -> None:
    Lots(db).save([row(1, reading=Reading("x", service="QCG", cert_number="77"))])
    Prices(db).add([sold(service="QCG", cert_number="77")])
    seen = Certificates(db).seen("77")
    assert [(each.where, each.key) for each in seen] == [("lot", "north:1"), ("price", "1")]
    assert Certificates(db).seen("77", "HNS") == []


def test_decisions_are_told_whole_by_lot_and_by_stroke(db: Connection) -> None:
    decisions = Decisions(db)
    first = Decision(0, "b1", NOW, "follow", "north:1")
    kept = decisions.add([first, replace(first, lot="north:2"), replace(first, batch="b2", verb="skip")])
    assert decisions.all() == kept
    assert decisions.of("north:1") == [kept[0], kept[2]]
    assert decisions.batch("b1") == kept[:2]
    assert list(decisions.batches().done) == ["b1", "b2"]
    assert decisions.review().lots["north:1"].state == "skipped"
    assert decisions.snapshot(99).lot is None


def test_purchases_and_findings(db: Connection) -> None:
    purchases, findings = Purchases(db), Findings(db)
    purchases.put(Purchase("north:1", "a", euro("80"), NOW))
    assert [purchase.paid for purchase in purchases.all()] == [euro("80")]
    assert findings.add("relisted", "north:1", NOW + timedelta(seconds=1), {"to": "north:2"}) == 1
    (found,) = findings.of("relisted")
    assert (found.lot, found.at, found.data) == ("north:1", NOW + timedelta(seconds=1), {"to": "north:2"})


def test_what_the_desk_notes_of_lots_is_no_more_durable_than_they_are(db: Connection) -> None:
    findings = Findings(db)
    with db.writing():
        Lots(db).save([row(1), row(2)])
        findings.note("called", NOW, {"north:1": {"mid": "90"}, "north:2": {"mid": "80"}})
        with pytest.raises(RuntimeError):
            findings.add("bench", "north:1", NOW, {})
    assert [(found.lot, found.at, found.data["mid"]) for found in findings.of("called")] == [
        ("north:1", NOW, "90"),
        ("north:2", NOW, "80"),
    ]


def test_feeds_market_and_facts(db: Connection) -> None:
    feeds, market, facts = Feeds(db), Market(db), Facts(db)
    feeds.remember("north", ["a"])
    market.put({"day": "2026-06-01"}, [("a", {"mu": 1.0})])
    facts.put("last", [1, None])
    assert (feeds.seen("north"), market.row("a"), market.row("b"), facts.get("last")) == (
        {"a"},
        {"mu": 1.0},
        None,
        [1, None],
    )
