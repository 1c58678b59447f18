"""Prices, results, decisions, purchases, feeds and the market state in the store."""

from __future__ import annotations

import json
import sqlite3
from collections.abc import Iterator
from dataclasses import replace
from datetime import date, timedelta
from decimal import Decimal
from pathlib import Path
from typing import Any

import pytest

from tests.shelf.pieces import NOW, euro, judged, row, sold
from watchlist.core.coins.issue import Issue
from watchlist.core.decisions.review import Decision
from watchlist.core.prices.realised import GuideRow
from watchlist.shelf.errors import RecordError, ShelfError
from watchlist.shelf.store import Store, price_columns, prices, schema
from watchlist.shelf.store.purchases import Purchase


@pytest.fixture
def store(tmp_path: Path) -> Iterator[Store]:
    opened = Store(tmp_path / "shelf.db", write=True)
    yield opened
    opened.close()


def test_the_same_import_again_adds_nothing(store: Store) -> None:
    rows = [sold(), sold(origin="prices.csv:3"), sold(grade_low=40, origin="prices.csv:4")]
    assert store.prices.add(rows) == (3, 0)  # two equal rows of one file may be two pieces
    assert store.prices.add([replace(r, origin=f"other.csv:{n}") for n, r in enumerate(rows)]) == (0, 3)
    assert store.prices.add([*rows, sold(price=euro("5"))]) == (1, 3)
    assert [p.origin for p in store.prices.each()] == ["prices.csv:2", "prices.csv:3", "prices.csv:4", "prices.csv:2"]


def test_prices_of_an_issue_and_behind_a_number(store: Store) -> None:
    store.prices.add([sold(), sold(issue="orvany-5t-1901"), sold(sale_date=date(2020, 1, 1))])
    assert [p.id for p in store.prices.of("orvany-5t-1893")] == [1, 3]
    assert [p.id for p in store.prices.behind(1)] == [2, 3]
    assert store.prices.by_issue() == {"orvany-5t-1893": (2, date(2026, 3, 1)), "orvany-5t-1901": (1, date(2026, 3, 1))}


def test_the_persons_own_weight(store: Store) -> None:
    store.prices.add([sold()])
    assert store.prices.set_weight(1, 0.0)
    assert not store.prices.set_weight(9, 0.0)
    assert store.prices.get(1) == sold(id=1, weight=0.0)
    assert store.prices.add([sold()]) == (0, 1)  # a second import does not bring it back


def test_a_result_is_a_price_realised(store: Store) -> None:
    first = store.results.put("north:1", sold(price=euro("300")), won=False, at=NOW)
    second = store.results.put("north:1", sold(price=euro("310")), won=True, at=NOW)
    assert second != first
    result = store.results.of("north:1")
    assert result is not None
    assert (result.won, result.at, result.price.price, result.price.origin) == (True, NOW, euro("310"), "north:1")
    assert [p.price for p in store.prices.each()] == [euro("310")]
    assert store.results.prices() == {result.price.id}
    assert store.results.drop("north:1")
    assert not store.results.drop("north:1")
    assert store.prices.count() == 0
    assert store.results.of("north:1") is None


def test_two_lots_with_equal_results_are_two_prices(store: Store) -> None:
    for key in ("north:1", "north:2"):
        store.results.put(key, sold(), won=False, at=NOW)
    assert store.prices.count() == 2


def test_catalogue_guides_and_rates(store: Store) -> None:
    one, two = Issue("a", "Orvany", "5 tor", 1893), Issue("b", "Orvany", "5 tor", 1901, "M")
    assert store.catalogue.merge([one, two]) == 2
    store.catalogue.merge([replace(one, mintage=1200)])
    assert store.catalogue.issues() == [replace(one, mintage=1200), two]
    guide = GuideRow("a", 20, 30, 200.0, 300.0, date(2026, 1, 1))
    assert store.catalogue.put_guides([guide, guide]) == 2
    assert store.catalogue.put_guides([guide]) == 1
    assert store.catalogue.guides() == [guide]
    store.catalogue.put_rates({("GBP", "2026-05"): Decimal("0.8512")})
    store.catalogue.put_rates({("GBP", "2026-05"): Decimal("0.8600"), ("CHF", "2026-05"): Decimal("0.94")})
    assert store.catalogue.rates() == {("GBP", "2026-05"): Decimal("0.8600"), ("CHF", "2026-05"): Decimal("0.94")}


def test_certificates_of_prices(store: Store) -> None:
    store.prices.add([sold(service="QCG", cert_number="77")])
    (seen,) = store.certificates.seen("77", "QCG")
    assert (seen.where, seen.key, seen.grade_low, seen.when) == ("price", "1", 30, date(2026, 3, 1))


def decision(number: int, verb: str = "follow", **fields: object) -> Decision:
    return Decision(0, f"b{number}", NOW, verb, f"north:{number}", **fields)  # type: ignore[arg-type]


def test_decisions_only_grow(store: Store) -> None:
    kept = store.decisions.add([decision(1), decision(2, "bid", amount=euro("120.50"))])
    assert [d.seq for d in kept] == [1, 2]
    more = store.decisions.add([Decision(0, "b3", NOW, "undo", "", target="b1")])
    assert store.decisions.all() == [*kept, *more]
    assert store.decisions.of("north:2") == kept[1:]
    for sql in ("DELETE FROM decisions", "UPDATE decisions SET data = ''"):
        with pytest.raises(ShelfError, match="only grow"):
            store.db.run(sql)


def test_each_decision_holds_its_lot_as_it_was(store: Store) -> None:
    before = row(1, judgement=judged("bargain"))
    store.lots.save([before])
    store.decisions.add([decision(1), decision(9)])
    store.lots.save([row(1, title="changed", judgement=judged("over"))])
    then = store.decisions.snapshot(1)
    assert (then.lot, then.judgement) == (before.lot, before.judgement)
    assert store.decisions.snapshot(2).lot is None


def test_purchases_and_findings(store: Store) -> None:
    one = Purchase("north:1", "orvany-5t-1893", euro("310"), NOW, 30, 30, want="w1")
    store.purchases.put(replace(one, paid=euro("1")))
    store.purchases.put(one)
    assert store.purchases.all() == [one]
    assert store.purchases.drop("north:1")
    assert not store.purchases.drop("north:1")
    store.findings.add("bench", "north:1", NOW, {"weight_g": 25.8})
    store.findings.add("outcome", "north:1", NOW, {"what": "returned"})
    (bench,) = store.findings.of("bench")
    assert (bench.data, bench.at) == ({"weight_g": 25.8}, NOW)
    assert store.findings.of("other") == []
    assert store.findings.lots("bench", ["north:1", "north:2"]) == {"north:1"}
    assert store.findings.lots("other", ["north:1"]) == set()


def test_what_each_feed_has_shown(store: Store) -> None:
    assert store.feeds.state("north") == {}
    store.feeds.put_state("north", {"etag": '"x"', "lots": 212})
    store.feeds.remember("north", ["a", "b", "a"])
    store.feeds.remember("north", ["c"])
    store.feeds.remember("south", ["a"])
    assert store.feeds.state("north") == {"etag": '"x"', "lots": 212}
    assert store.feeds.seen("north") == {"a", "b", "c"}
    store.feeds.remember("north", ["c", "d"], only=True)
    assert store.feeds.seen("north") == {"c", "d"}
    store.feeds.forget("north")
    assert (store.feeds.seen("north"), store.feeds.seen("south"), store.feeds.state("north")) == (set(), {"a"}, {})


def test_facts(store: Store) -> None:
    assert store.facts.get("last_morning") is None
    store.facts.put("last_morning", NOW.isoformat())
    assert store.facts.get("last_morning") == NOW.isoformat()


def test_the_market_is_put_as_a_whole(store: Store) -> None:
    assert store.market.header() is None
    store.market.put({"currency": "EUR"}, [("a", {"mu": 1.5}), ("b", {"mu": 2.5})])
    store.market.put({"currency": "EUR", "day": "2026-06-01"}, [("b", {"mu": 3.0})])
    assert store.market.header() == {"currency": "EUR", "day": "2026-06-01"}
    assert store.market.row("a") is None
    store.market.put_row("c", {"mu": 4})
    assert [store.market.row(key) for key in "abc"] == [None, {"mu": 3.0}, {"mu": 4}]

    def broken() -> Iterator[tuple[str, dict[str, float]]]:
        yield "z", {}
        raise KeyError

    with pytest.raises(KeyError):
        store.market.put({}, broken())
    assert [store.market.row(key) for key in "bz"] == [{"mu": 3.0}, None]


def test_what_was_typed_is_synced_before_it_is_acknowledged(store: Store) -> None:
    def level() -> int:
        return store.db.number("PRAGMA synchronous")

    store.decisions.add([decision(1)])
    assert level() == 2
    store.lots.save([row(1)])
    assert level() == 1
    store.results.put("north:1", sold(), won=True, at=NOW + timedelta(days=1))
    assert level() == 2


def test_it_is_an_ordinary_sqlite_file(store: Store, tmp_path: Path) -> None:
    store.decisions.add([decision(1)])
    other = sqlite3.connect(tmp_path / "shelf.db")
    assert other.execute("SELECT lot FROM decisions").fetchall() == [("north:1",)]
    other.close()


def test_prices_move_to_another_issue(store: Store) -> None:
    store.catalogue.merge([Issue("old", "Orvany", "5 tor", 1893, implied=True)])
    store.prices.add([sold(issue="old"), sold(issue="other", grade_low=20)])
    assert store.catalogue.supersede({"old": "new", "none": "new"}) == 1
    assert [price.issue for price in store.prices.each()] == ["new", "other"]
    assert [price.issue for price in store.prices.of("new")] == ["new"]
    assert store.catalogue.issues() == []
    assert store.prices.add([sold(issue="new")]) == (0, 1)
    assert store.prices.count() == 2


def test_a_source_lists_its_lots_again(store: Store) -> None:
    store.lots.save([row(1), row(2)])
    store.lots.seen_again("north", ["1", "9"], NOW + timedelta(days=2))
    assert [line.last_seen for line in store.listing.lines()] == [NOW + timedelta(days=2), NOW]


def test_equal_rows_are_kept_and_the_same_import_again_adds_only_what_is_more(store: Store, monkeypatch: Any) -> None:
    """Whatever the size of a batch: each of several equal rows takes a place of its own."""
    monkeypatch.setattr(prices, "_BATCH", 2)
    one, other = sold(), sold(title="another")
    assert store.prices.add([one, one, other, one]) == (4, 0)
    assert store.prices.add([one, one, other, one, one, other]) == (2, 4)
    assert store.prices.add([replace(one, origin="other.csv line 3", weight=0.5)] * 4) == (0, 4)
    assert store.prices.count() == 6
    assert store.prices.set_weight(2, 0.5)
    assert not store.prices.set_weight(99, 0.5)
    assert [price.weight for price in store.prices.each()].count(0.5) == 1


def test_issues_in_which_a_sale_may_be_told_twice(store: Store) -> None:
    store.prices.add(
        [
            sold(issue="files", origin="a.csv line 2"),
            sold(issue="files", origin="line 3"),
            sold(issue="nowhere", origin=""),
            sold(issue="own", origin="north:7"),
            sold(issue="line", origin="north line 3b"),
            sold(issue="certs", cert_number="88.120.44H", origin="a.csv line 4"),
            sold(issue="certs", cert_number="88.120.44h ", origin="a.csv line 5"),
        ]
    )
    assert sorted(store.prices.may_repeat()) == ["certs", "line", "own"]
    assert store.prices.may_repeat(5) == ["certs"]


def test_days_with_more_than_one_price(store: Store) -> None:
    store.prices.add([sold(), sold(title="another"), sold(sale_date=date(2020, 1, 1)), sold(issue="other")])
    together = store.prices.sold_together()
    first, _, third, fourth = store.prices.in_cells()
    found = [hash((each.issue, each.sale_date)) in together for each in (first, third, fourth)]
    assert found == [True, False, False]


def test_a_price_that_is_no_figure_is_refused(store: Store) -> None:
    for wrong in (sold(price=euro("NaN")), sold(weight=float("nan"))):
        with pytest.raises(RecordError, match="is not a number"):
            store.prices.add([wrong])
    assert store.prices.count() == 0


def test_digests_of_an_earlier_program_come_to_tell_the_issue(store: Store) -> None:
    rows = [sold(), sold(), sold(issue="other", lot="7")]
    store.prices.add(rows)
    store.results.put("north:1", sold(), won=False, at=NOW)
    content = price_columns.content_of(price_columns.cells_of(sold()))
    before = [price_columns.digest(content, place) for place in (1, 2, 3)]
    store.db.many("UPDATE prices SET digest = ? WHERE id = ?", list(zip(before, (1, 2, 3), strict=True)))
    schema.STEPS[-1](store.db)
    assert store.prices.add([*rows, sold(issue="third")]) == (1, 3)
    assert store.results.put("north:1", sold(price=euro("9")), won=False, at=NOW)
    assert store.prices.count() == 5, "a result is still the one of its lot"


def test_what_an_earlier_program_deleted_stays_deleted(store: Store) -> None:
    content = price_columns.content_of(price_columns.cells_of(sold()))
    deleted = [price_columns.digest(content, 2).hex()]
    assert store.prices.add([sold(), sold()], deleted) == (1, 1)
    assert store.prices.add([sold(), sold(), sold()], deleted) == (1, 2)
    assert store.prices.add([sold(grade_low=20)], deleted) == (1, 0)


def test_a_price_that_comes_back_is_known_by_its_issue(store: Store) -> None:
    """What undo puts back may have been kept by a program that told sales by their content."""
    store.prices.add([sold(), sold(issue="other")])
    image = store.places["price"].image("1")
    assert image is not None
    store.places["price"].put_image("1", None)
    old = {"hex": price_columns.digest(price_columns.content_of(price_columns.cells_of(sold())), 1).hex()}
    store.places["price"].put_image("1", json.dumps(json.loads(image) | {"digest": old}))
    assert store.prices.add([sold(), sold(issue="other")]) == (0, 2)
