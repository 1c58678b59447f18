"""What a person types for something on the shelf is found, or the nearest is named."""

from __future__ import annotations

from typing import Any

import pytest

from tests.desk.pieces import COIN, NORTH, come, row
from watchlist.core.sift import line as sift
from watchlist.desk import naming
from watchlist.desk.changes import batch_name
from watchlist.desk.desk import Desk
from watchlist.desk.errors import DeskError
from watchlist.desk.judging.neighbours import Neighbours
from watchlist.desk.lists import listing
from watchlist.desk.recording import lot_of
from watchlist.desk.screen_state import load, save
from watchlist.shelf.shelf import Shelf


def test_a_lot_is_found_by_the_end_of_its_key(desk: Desk) -> None:
    store = desk.shelf.store
    come(desk, row("11"), row("21"))
    assert naming.lot_key(store, "north:11") == "north:11"
    assert naming.lot_key(store, "21") == "north:21"
    with pytest.raises(DeskError, match="`1` matches several lots: north:"):
        naming.lot_key(store, "1")
    with pytest.raises(DeskError, match="There is no lot `9`"):
        naming.lot_key(store, "9")
    assert naming.short_key(store, "north:11") == "11"
    assert naming.short_key(store, "nomark") == "nomark"


def test_a_key_that_ends_like_another_is_not_shortened_too_far(desk: Desk) -> None:
    come(desk, row("a:1"), row("b:1"))
    assert naming.short_key(desk.shelf.store, "north:a:1") == "a:1"
    assert lot_of(desk, "b:1").lot.key == "north:b:1"


def test_a_coin_is_meant_by_its_words_or_key(desk: Desk) -> None:
    assert naming.coin(desk, "Orvany 5 tor 1893-V") == COIN
    assert naming.coin(desk, COIN.key) == COIN
    with pytest.raises(DeskError):
        naming.coin(desk, "Orvany 5 tor 1700")
    assert naming.issue_name(desk.catalogue, COIN.key) == "Orvany 5 tor 1893-V"
    assert naming.issue_name(desk.catalogue, "unknown") == "unknown"


def test_names_are_found_whatever_their_case(desk: Desk) -> None:
    assert naming.venue(desk.terms, "lindmoor sales") == "Lindmoor Sales"
    assert naming.source(desk.sources, "NORTH") == NORTH
    assert naming.want(desk.wants.by_id, "W1").id == "w1"
    with pytest.raises(DeskError, match="There is no venue `Lindmor` \\(did you mean `Lindmoor Sales`"):
        naming.venue(desk.terms, "Lindmor")
    with pytest.raises(DeskError, match="There is no want `x`; `watchlist want list` lists them"):
        naming.want(desk.wants.by_id, "x")


def test_batches_have_names_of_their_own() -> None:
    assert len({batch_name() for _ in range(100)}) == 100


def test_lots_are_listed_as_they_are_sifted(desk: Desk) -> None:
    come(desk, row("1"), row("2", "Orvany 1 tor 1889 VF"), row("3", "Old silver lot"))
    found = list(listing.lines(desk, sift.parse("want:w1")))
    assert [line.key for line in found] == ["north:1"]
    assert len(list(listing.lines(desk, sift.parse("")))) == 3
    (whole,) = listing.whole(desk, iter(found))
    told = listing.to_json(whole)
    assert (told["key"], told["issue"], told["price"]["amount"], told["wants"]) == (
        "north:1",
        COIN.key,
        "200.00",
        ["w1"],
    )
    from dataclasses import replace

    bare = listing.to_json(replace(whole, judgement=None, lot=replace(whole.lot, closes=None, price=None)))
    assert bare.keys() == told.keys()
    assert (bare["mark"], bare["doubt"], bare["closes"], bare["price"]) == (None, "none", None, None)
    gone = [replace(found[0], key="north:9")]
    assert list(listing.whole(desk, iter(gone))) == []


def test_where_a_number_was_seen_before(desk: Desk) -> None:
    from tests.desk.pieces import sale

    cert: dict[str, Any] = {"cert_number": "1234567", "service": "QCG"}
    other = sale(2, 290, cert_number="7654321", service="QCG", venue="")
    desk.shelf.store.prices.add([sale(1, **cert), other])
    come(desk, row("1", **cert), row("2", hours=1, **cert))
    beside = Neighbours(desk.shelf.store, desk.now)
    seen = {each.where: each.live for each in beside.certs("1234567", "QCG", "north:1")}
    assert seen == {"Lindmoor Sales, 2026-11-13": False, "lot north:2": True}
    assert [each.where for each in beside.certs("7654321", "QCG", "")] == ["a sale, 2026-11-06"]
    desk.shelf.store.lots.set_states([("north:2", "ended")])
    assert not any(each.live for each in beside.certs("1234567", "QCG", "north:1"))


def test_how_the_screens_were_left_is_worth_no_failure(shelf: Shelf) -> None:
    path = shelf.path
    assert load(path) == {}
    save(path, {"order": "closing"})
    assert load(path) == {"order": "closing"}
    (path / "screens.json").write_text("[1]", "utf-8")
    assert load(path) == {}
    (path / "screens.json").write_text("{", "utf-8")
    assert load(path) == {}
    save(path / "nowhere", {"order": "closing"})
    (path / "full").mkdir()
    (path / "full" / "screens.json").mkdir()
    save(path / "full", {"order": "closing"})
    assert [each.name for each in (path / "full").iterdir()] == ["screens.json"]
