"""A lot by hand is judged and kept like any other, or refused in one sentence."""

from __future__ import annotations

import pytest

from watchlist.desk.desk import Desk
from watchlist.desk.errors import DeskError
from watchlist.desk.typed.lots_by_hand import add_lot

TITLE = "Orvany 5 tor 1893-V VF-30"


def test_a_lot_by_hand_is_read_and_judged(desk: Desk) -> None:
    made = add_lot(desk, {"title": TITLE, "id": "H1", "venue": "lindmoor sales", "price": "120"})
    kept = desk.shelf.store.lots.get("hand:H1")
    assert kept == made
    assert (made.lot.venue, made.state, made.lot.first_seen) == ("Lindmoor Sales", "seen", desk.now)
    assert made.judgement is not None
    assert made.judgement.issue == "orvany-5t-1893v"


def test_the_same_id_again_replaces_it(desk: Desk) -> None:
    add_lot(desk, {"title": TITLE, "id": "H1", "price": "120"})
    add_lot(desk, {"title": TITLE, "id": "H1", "price": "90"})
    assert [line.price and str(line.price) for line in desk.shelf.store.listing.each()] == ["90 EUR"]
    said = [line.note for line in desk.shelf.store.decisions.all()]
    assert said == ["lot H1 (5 tor 1893-V, VF-30) added", "lot H1 (5 tor 1893-V, VF-30) typed again"]


@pytest.mark.parametrize(
    ("said", "why"),
    [
        ({"title": ""}, "A lot needs a title: its denomination, year, mint and grade. Nothing was saved."),
        (
            {"price": "abc"},
            "The price `abc` gives no amount (no amount in the text); write it like 120 EUR. Nothing was saved.",
        ),
        ({"venue": "Lindmor"}, "There is no venue `Lindmor` (did you mean `Lindmoor Sales`?)."),
    ],
)
def test_a_word_that_cannot_be_read_keeps_nothing(desk: Desk, said: dict[str, str], why: str) -> None:
    with pytest.raises(DeskError) as refused:
        add_lot(desk, {"title": TITLE, "id": "H1"} | said)
    assert str(refused.value) == why
    assert desk.shelf.store.listing.count() == 0
