"""Decisions, their states and warnings; undo and redo turn them round, with all that followed."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from datetime import timedelta
from decimal import Decimal

import pytest

from tests.desk.pieces import NOW, come, eur, lot, row
from watchlist.core.decisions.review import Verb
from watchlist.desk import undoing
from watchlist.desk.decisions.deciding import decide
from watchlist.desk.desk import Desk
from watchlist.desk.errors import DeskError, TooMuch
from watchlist.desk.gather_times import gather_begins
from watchlist.desk.in_hand import bidding
from watchlist.desk.recording import lot_of
from watchlist.desk.results.results import result
from watchlist.shelf.store.rows import LotRow


def states(desk: Desk, *ids: str) -> list[str]:
    return [lot(desk, f"north:{id}").state for id in ids]


@pytest.mark.parametrize(
    ("verb", "amount", "state"),
    [
        ("follow", "", "followed"),
        ("skip", "", "skipped"),
        ("bid", "100", "bid"),
        ("offer", "100 EUR", "bid"),
        ("placed", "100", "bid"),
        ("outbid", "100", "bid"),
        ("clear", "", "seen"),
    ],
)
def test_a_decision_gives_its_lot_a_state(desk: Desk, verb: Verb, amount: str, state: str) -> None:
    come(desk, row("1"))
    done = decide(desk, ["north:1"], verb, amount)
    assert done.keys == ("north:1",)
    planned = {"bid": " hammer, planned, not sent", "offer": ", planned, not sent"}.get(verb, "")
    assert done.said == f"north:1: {verb}" + (" 100 EUR" if amount else "") + planned
    assert not done.due
    assert states(desk, "1") == [state]


def test_undo_and_redo_go_through_all_decisions(desk: Desk) -> None:
    come(desk, row("1"), row("2"))
    decide(desk, ["north:1"], "follow")
    decide(desk, ["1", "north:2"], "skip")
    assert states(desk, "1", "2") == ["skipped", "skipped"]
    assert undoing.undo(desk).said == "Undone: skip on 2 lots (1, 2), said Wed 25 Nov 10:00"
    assert states(desk, "1", "2") == ["followed", "seen"]
    assert undoing.undo(desk).said.startswith(
        "Undone: follow on 1 (5 tor 1893-V, VF-30), said Wed 25 Nov 10:00. Now seen"
    )
    assert states(desk, "1", "2") == ["seen", "seen"]
    with pytest.raises(DeskError, match="There is nothing to undo"):
        undoing.undo(desk)
    assert undoing.redo(desk).said.startswith("Redone: follow on 1")
    assert undoing.redo(desk).keys == ("north:1", "north:2")
    assert states(desk, "1", "2") == ["skipped", "skipped"]
    with pytest.raises(DeskError, match="There is nothing to redo"):
        undoing.redo(desk)


def test_many_lots_are_named_by_three(desk: Desk) -> None:
    come(desk, *(row(str(number)) for number in range(5)))
    keys = [f"north:{number}" for number in range(5)]
    assert decide(desk, keys, "skip").said == "north:0, north:1, north:2 and 2 more: skip"
    assert undoing.undo(desk).said.startswith("Undone: skip on 5 lots (0, 1, 2 and 2 more)")


def test_a_lot_of_the_last_gather_is_new_again_without_its_decision(desk: Desk) -> None:
    gather_begins(desk.shelf.store, NOW)
    come(desk, row("1"))
    decide(desk, ["north:1"], "follow")
    undoing.undo(desk)
    assert states(desk, "1") == ["new"]
    gather_begins(desk.shelf.store, NOW + timedelta(days=1))
    decide(desk, ["north:1"], "follow")
    undoing.undo(desk)
    assert states(desk, "1") == ["seen"]


def refused(desk: Desk, keys: Sequence[str], verb: Verb, amount: str = "") -> str:
    before = desk.shelf.store.decisions.all()
    with pytest.raises(DeskError) as error:
        decide(desk, keys, verb, amount)
    assert desk.shelf.store.decisions.all() == before
    return str(error.value)


def test_what_cannot_be_decided_is_refused_and_nothing_is_written(desk: Desk) -> None:
    come(desk, row("1"), row("2", hours=1))
    assert "There is no lot `9`" in refused(desk, ["9"], "follow")
    assert "takes no amount" in refused(desk, ["north:1"], "follow", "20")
    assert "A bid is above zero, not 0 EUR" in refused(desk, ["north:1"], "bid", "0")
    assert refused(desk, ["north:1"], "bid", "many")
    decide(desk, ["north:1"], "won")
    assert "north:1 is won; `clear` takes that back" in refused(desk, ["north:1"], "bid")
    desk.now += timedelta(hours=2)
    assert "north:2 has ended: record its hammer price" in refused(desk, ["north:2"], "buy")
    assert decide(desk, ["north:2"], "placed", "10").keys, "a bid that was placed may be told afterwards"


def test_a_bid_above_the_ceiling_is_written_only_anyway(desk: Desk) -> None:
    come(desk, row("1"))
    with pytest.raises(TooMuch, match=r"north:1 could cost up to 600 EUR all in, above your ceiling of 400 EUR\. "):
        decide(desk, ["north:1"], "bid", "500")
    assert states(desk, "1") == ["new"]
    done = decide(desk, ["north:1"], "bid", "500", anyway=True)
    assert done.warnings == ("north:1 could cost up to 600 EUR all in, above your ceiling of 400 EUR",)
    assert not decide(desk, ["north:1"], "placed", "500").warnings, "it was promised before"
    with pytest.raises(TooMuch):
        decide(desk, ["north:1"], "placed", "501")


def test_bids_together_stay_within_the_budget(desk: Desk) -> None:
    come(desk, *(row(str(number), "Orvany 1 tor 1889 VF", price="500") for number in range(3)))
    decide(desk, ["north:0"], "placed", "1000")
    with pytest.raises(TooMuch, match="all bids together could cost up to 1,800 EUR, above the budget of 1,500 EUR"):
        decide(desk, ["north:1"], "placed", "500")
    result(desk, "north:2", "300 EUR", won=True)
    with pytest.raises(TooMuch, match="up to 1,680 EUR, 360 EUR of it spent, above the budget of 1,500 EUR"):
        decide(desk, ["north:1"], "bid", "100")


def test_a_bid_below_the_bidding_is_written_with_a_warning(desk: Desk) -> None:
    come(desk, row("1", price="200"))
    assert decide(desk, ["north:1"], "bid", "150").warnings == (
        "north:1 stands at 200 EUR already, above this bid of 150 EUR",
    )
    assert decide(desk, ["north:1"], "placed", "250").warnings == ()
    come(desk, row("1", price="250"), row("2", "Orvany 1 tor 1889 VF", price="200"))
    assert decide(desk, ["north:2"], "bid", "200").warnings == (
        "north:2 stands at 200 EUR already: the same bid left later cannot lead",
    )


def test_a_bid_on_a_copy_is_asked_about_until_it_stands(desk: Desk) -> None:
    come(desk, row("1", "Orvany 5 tor 1893-V copy"))
    with pytest.raises(TooMuch, match="north:1 is marked Copy"):
        decide(desk, ["north:1"], "bid", "250")
    assert not desk.shelf.store.decisions.all()
    assert decide(desk, ["north:1"], "bid", "250", anyway=True).warnings == ("north:1 is marked Copy",)
    assert decide(desk, ["north:1"], "placed").warnings == ()
    decide(desk, ["north:1"], "clear")
    with pytest.raises(TooMuch, match="marked Copy"):
        decide(desk, ["north:1"], "placed", "250")


def test_a_bid_on_a_lot_that_is_doubtful_since_is_asked_about(desk: Desk) -> None:
    """The mark of Doubt came after the bid was planned: it was not known then."""
    come(desk, row("1"))
    decide(desk, ["north:1"], "bid", "250")
    here = lot(desk, "north:1")
    assert here.judgement is not None
    desk.shelf.store.lots.judge([("north:1", replace(here.judgement, mark="doubt"))])
    with pytest.raises(TooMuch, match="north:1 is marked Doubt"):
        decide(desk, ["north:1"], "placed")
    decide(desk, ["north:1"], "placed", anyway=True)
    assert decide(desk, ["north:1"], "acknowledged").warnings == ()


def test_amounts_are_compared_in_one_currency_only() -> None:
    from watchlist.core.money.amount import Money

    pounds = Money(Decimal(1), "GBP")
    assert bidding.below(eur(1), eur(2))
    assert not bidding.below(eur(2), eur(2))
    assert not bidding.below(pounds, eur(2))
    assert not bidding.below(None, eur(2))
    assert not bidding.below(eur(1), None)


def test_the_first_bid_is_what_stands_then_the_limit_then_a_step_more(desk: Desk) -> None:
    def first(id: str) -> tuple[Decimal | None, str]:
        return bidding.first_bid(desk, lot_of(desk, id))

    come(
        desk, row("1", price="200"), row("2", "Orvany 1 tor 1889 VF", price="200"), row("3", "Orvany 1 tor 1889 VF", "")
    )
    limit = lot(desk, "north:1").judgement.bid_limit  # type: ignore[union-attr]
    assert limit is not None
    assert first("north:1") == (limit.amount, "EUR")
    decide(desk, ["north:1"], "bid", "210")
    assert first("north:1") == (Decimal(210), "EUR")
    assert first("north:2") == (Decimal(210), "EUR")
    assert first("north:3") == (None, "EUR")


def test_a_sale_is_in_the_currency_of_its_venue_or_lot(desk: Desk) -> None:
    from dataclasses import replace

    come(desk, row("1", price="200"))
    here = lot(desk, "north:1")
    strange = LotRow(replace(here.lot, venue="Elsewhere"), here.reading)
    assert bidding.sale_currency(desk, here) == "EUR"
    assert bidding.sale_currency(desk, LotRow(replace(strange.lot, price=None), here.reading)) == "EUR"
    from watchlist.core.money.amount import Money

    pounds = LotRow(replace(strange.lot, price=Money(Decimal(5), "GBP")), here.reading)
    assert bidding.sale_currency(desk, pounds) == "GBP"
    assert bidding.first_bid(desk, pounds) == (None, "GBP"), "its increments are not known"


def test_a_bid_at_an_earlier_sale_is_to_be_placed_anew(desk: Desk) -> None:
    come(desk, row("1", hours=1))
    decide(desk, ["north:1"], "placed", "220")
    desk.now += timedelta(hours=2)
    come(desk, row("1", hours=72))
    (listed,) = bidding.rows(desk)
    assert (listed.stage, listed.warnings[-1]) == ("planned", bidding.PLACE_ANEW)
    desk.now += timedelta(minutes=1)
    decide(desk, ["north:1"], "placed", "230")
    (listed,) = bidding.rows(desk)
    assert (listed.stage, bidding.PLACE_ANEW in listed.warnings) == ("placed", False)
