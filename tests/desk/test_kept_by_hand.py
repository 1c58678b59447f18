"""Sources, venues, wants and lots that a person gives: kept, renamed, dropped, put back."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest

from tests.desk.pieces import COIN, NORTH, come, eur, lot, row
from watchlist.core.lots.source import Source
from watchlist.desk import undoing
from watchlist.desk.decisions.correcting import mend
from watchlist.desk.desk import Desk
from watchlist.desk.due import MARKET, MARKS, Due
from watchlist.desk.errors import DeskError
from watchlist.desk.typed.lots_by_hand import add_lot
from watchlist.desk.typed.sources import drop_source, put_source, typed_source
from watchlist.desk.typed.venues import drop_venue, put_venue
from watchlist.desk.typed.wants import drop_want, put_want


def sources(desk: Desk) -> list[str]:
    return sorted(source.name for source in desk.shelf.notebook.sources.list())


def test_a_source_is_kept_as_typed(desk: Desk, tmp_path: Path) -> None:
    made = typed_source(desk, {"name": "east", "address": str(tmp_path / "x.csv"), "venue": "lindmoor sales"})
    assert (made.address, made.venue) == (str(tmp_path / "x.csv"), "Lindmoor Sales")
    put_source(desk, made)
    assert sources(desk) == ["east", "north"]
    assert desk.sources["east"] == made
    with pytest.raises(DeskError, match="There is a source east already"):
        put_source(desk, made)
    with pytest.raises(DeskError, match=r"Nothing was changed\.$"):
        typed_source(desk, {"name": "", "address": "https://x.example/"})


def test_a_source_without_lots_is_renamed_with_the_words_taught_for_it(desk: Desk) -> None:
    taught = {"id": "c1", "kind": "word", "words": "schick", "field": "grade", "value": "40", "source": "north"}
    desk.shelf.notebook.corrections.put(taught)
    put_source(desk, replace(NORTH, name="south"), over="north")
    assert sources(desk) == ["south"]
    assert desk.corrections == [taught | {"source": "south"}]
    put_source(desk, replace(NORTH, name="west"), over="south")
    assert sources(desk) == ["west"]


def test_a_source_that_gave_lots_keeps_its_name(desk: Desk) -> None:
    come(desk, row("1"))
    with pytest.raises(DeskError, match="north keeps its name, for its 1 lots"):
        put_source(desk, replace(NORTH, name="south"), over="north")
    put_source(desk, replace(NORTH, currency="GBP"), over="north")
    assert desk.sources["north"].currency == "GBP"


def test_a_source_is_put_back_as_it_was(desk: Desk) -> None:
    put_source(desk, replace(NORTH, currency="GBP"), over="north")
    put_source(desk, Source("east", "/x.csv"))
    assert undoing.undo(desk).said == "Undone: source east added, said Wed 25 Nov 10:00"
    assert sources(desk) == ["north"]
    undoing.undo(desk)
    assert desk.sources == {"north": NORTH}
    undoing.redo(desk)
    undoing.redo(desk)
    assert (sources(desk), desk.sources["north"].currency) == (["east", "north"], "GBP")


def test_a_source_that_was_dropped_is_read_anew(desk: Desk) -> None:
    come(desk, row("1"))
    drop_source(desk, "north")
    assert (sources(desk), desk.sources) == ([], {})
    assert desk.shelf.store.feeds.seen("north") == set()
    assert lot(desk, "north:1").lot.key == "north:1"


def test_terms_are_kept_and_put_back(desk: Desk) -> None:
    before = desk.terms["Lindmoor Sales"]
    made = put_venue(desk, {"premium_pct": "25"}, over="Lindmoor Sales")
    assert made.premium.pct == 25
    assert desk.owed.all() == MARKET
    assert undoing.undo(desk).due == MARKET
    assert desk.terms == {"Lindmoor Sales": before}
    drop_venue(desk, "Lindmoor Sales", MARKET | Due(scales=True))
    assert desk.terms == {}
    assert desk.owed.all().scales


@pytest.mark.parametrize(("over", "said"), [("", "already;"), ("Southgate", "already, and this form is of Southgate;")])
def test_the_terms_of_another_venue_are_not_changed(desk: Desk, over: str, said: str) -> None:
    with pytest.raises(DeskError, match=f"There is a venue Lindmoor Sales {said}"):
        put_venue(desk, {"venue": "lindmoor sales", "premium_pct": "1"}, over)
    assert not desk.owed.all()


def test_a_want_is_changed_field_by_field(desk: Desk) -> None:
    want, implied = put_want(desk, {"ceiling": "350 EUR"}, "w1")
    assert (want.ceiling, want.min_grade, want.mint, implied) == (eur(350), 20, "V", None)
    want, implied = put_want(desk, {"coin": "Orvany 1 tor 1889"}, "w1")
    assert (want.denomination, want.ceiling, implied) == ("1 tor", eur(350), None)
    assert desk.owed.all() == MARKS


def test_a_coin_of_a_series_that_is_known_must_be_in_the_catalogue(desk: Desk) -> None:
    with pytest.raises(DeskError):
        put_want(desk, {"coin": "Orvany 5 tor 1700", "ceiling": "300"})
    want, implied = put_want(desk, {"coin": "Orvany 10 lind 1870", "ceiling": "300"})
    assert implied is not None
    assert implied.implied
    assert want.id == "w2"


def test_a_want_is_dropped_and_put_back(desk: Desk) -> None:
    want = desk.wants.by_id["w1"]
    put_want(desk, {"coin": "Orvany 1 tor 1889", "ceiling": "30"})
    drop_want(desk, "w1")
    assert list(desk.wants.by_id) == ["w2"]
    undoing.undo(desk)
    assert desk.shelf.notebook.wants.list()[0] == want, "in its old place"
    undoing.undo(desk)
    assert list(desk.wants.by_id.values()) == [want]


def test_a_lot_by_hand_is_judged_and_kept(desk: Desk) -> None:
    typed = {"title": "Orvany 5 tor 1893-V VF", "venue": "lindmoor sales", "price": "120 EUR", "id": "7"}
    made = add_lot(desk, typed)
    assert made == lot(desk, "hand:7")
    assert made.judgement is not None
    assert (made.judgement.issue, made.state, made.lot.venue) == (COIN.key, "seen", "Lindmoor Sales")
    assert add_lot(desk, typed | {"price": "130 EUR"}).lot.price == eur(130)
    assert desk.shelf.store.listing.count() == 1
    mend(desk, "hand:7", {"grade": "40"})
    assert add_lot(desk, typed).reading.grade_low == 40, "what was mended stays so"
    with pytest.raises(DeskError, match=r"A lot needs a title.* Nothing was saved\."):
        add_lot(desk, {"title": ""})
    with pytest.raises(DeskError, match="There is no venue"):
        add_lot(desk, typed | {"venue": "Southgate"})
