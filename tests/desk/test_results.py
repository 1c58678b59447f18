"""What lots fetched: prices realised, purchases and filled wants are what the decisions in force say."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta
from typing import Any

import pytest

from tests.desk.pieces import COIN, come, lot, row, sales
from watchlist.cli.verbs.lot import full
from watchlist.desk import undoing
from watchlist.desk.decisions.deciding import decide
from watchlist.desk.desk import Desk
from watchlist.desk.due import NOTHING, Due
from watchlist.desk.errors import DeskError, TooMuch
from watchlist.desk.in_hand import bidding
from watchlist.desk.lists import listing, ticket
from watchlist.desk.morning.morning_text import ended_bids
from watchlist.desk.plan.bid_list import held_for
from watchlist.desk.prices import fitting
from watchlist.desk.results import results
from watchlist.desk.results.results import result
from watchlist.desk.settling import settle
from watchlist.page.ticket import sentence
from watchlist.page.ticket import ticket as whole_ticket

FOLLOWS = Due(market=True, issues=frozenset({COIN.key}))


def filled(desk: Desk) -> int:
    (want,) = desk.wants.by_id.values()
    return want.filled


def kept(desk: Desk) -> list[tuple[str, str, date]]:
    found = list(desk.shelf.store.prices.each())
    return [(price.issue, str(price.price), price.sale_date) for price in found if price.origin.startswith("north")]


def test_a_lot_won_is_a_purchase_a_price_and_a_filled_want(desk: Desk) -> None:
    come(desk, row("1"))
    done = result(desk, "north:1", "250", won=True)
    assert done.said == "north:1: won at 250 EUR hammer, 300 EUR all in"
    assert done.due == FOLLOWS
    assert desk.owed.all() & FOLLOWS == FOLLOWS
    (bought,) = desk.shelf.store.purchases.all()
    assert (bought.lot, bought.issue, str(bought.paid), bought.want) == ("north:1", COIN.key, "300 EUR", "w1")
    assert len(list(desk.shelf.store.prices.each())) == 1
    assert (lot(desk, "north:1").state, filled(desk)) == ("won", 1)


def test_a_win_above_the_bid_is_asked_about_and_one_above_no_bid_is_not(desk: Desk) -> None:
    """Also a provisional one; what the venue acknowledged counts where it is more."""
    come(desk, row("1", hours=1), row("2", hours=1))
    decide(desk, ["north:1"], "placed", "210", anyway=True)
    desk.now += timedelta(hours=2)
    for provisional in (False, True):
        with pytest.raises(TooMuch, match="was 210 EUR, below the price it is said to be won at, 215 EUR"):
            result(desk, "north:1", "215", won=True, provisional=provisional)
    assert lot(desk, "north:1").state == "bid"
    decide(desk, ["north:1"], "acknowledged", "215", anyway=True)
    with pytest.raises(TooMuch):
        result(desk, "north:1", "216", won=True)
    assert result(desk, "north:1", "216", won=True, anyway=True).warnings[-1].endswith("won at, 216 EUR")
    undoing.undo(desk)
    assert result(desk, "north:1", "215", won=True).warnings == ()
    assert result(desk, "north:2", "900", won=True).warnings == ()


def test_undo_leaves_no_trace_of_it_and_redo_brings_it_back(desk: Desk) -> None:
    come(desk, row("1"))
    result(desk, "north:1", "250", won=True)
    assert undoing.undo(desk).due == FOLLOWS
    assert desk.shelf.store.purchases.all() == []
    assert list(desk.shelf.store.prices.each()) == []
    assert (lot(desk, "north:1").state, filled(desk)) == ("seen", 0)
    undoing.redo(desk)
    assert (lot(desk, "north:1").state, filled(desk)) == ("won", 1)
    assert len(desk.shelf.store.purchases.all()) == 1


def test_a_second_result_takes_the_place_of_the_first_until_it_is_undone(desk: Desk) -> None:
    come(desk, row("1"))
    result(desk, "north:1", "250", won=True)
    assert result(desk, "north:1", "260", won=False).said == "north:1: not won: sold for 260 EUR hammer"
    assert (desk.shelf.store.purchases.all(), filled(desk)) == ([], 0)
    undoing.undo(desk)
    assert [str(each.paid) for each in desk.shelf.store.purchases.all()] == ["300 EUR"]
    decide(desk, ["north:1"], "clear")
    assert (desk.shelf.store.purchases.all(), list(desk.shelf.store.prices.each())) == ([], [])
    assert lot(desk, "north:1").state == "seen"


def test_a_coin_that_is_not_known_counts_for_no_band(desk: Desk) -> None:
    come(desk, row("1", "Old silver lot, see photos"))
    done = result(desk, "north:1", "30", won=False)
    assert done.said.endswith("; issue not identified, used in no band")
    assert done.due == Due(market=True)


def test_a_decision_without_a_result_makes_nothing_due(desk: Desk) -> None:
    come(desk, row("1"))
    assert decide(desk, ["north:1"], "clear").due == NOTHING
    assert results.follow(desk, []).due == NOTHING
    assert decide(desk, ["north:1"], "won").due == NOTHING, "without an amount there is no price"


def test_the_day_is_that_of_the_closing_unless_it_was_told_before(desk: Desk) -> None:
    come(desk, row("1", hours=24), row("2", hours=24 * 5))
    desk.now += timedelta(days=3)
    result(desk, "north:1", "250", won=False)
    result(desk, "north:2", "250", won=False)
    days = [price.sale_date.isoformat() for price in desk.shelf.store.prices.each()]
    assert days == ["2026-11-26", "2026-11-28"]


@pytest.mark.parametrize(
    ("cells", "own", "price", "won", "said"),
    [
        ({"price": "200"}, "", "150", True, "north:1 stood at 200 EUR already"),
        ({"price": "200"}, "", "250", True, "north:1 has not closed yet: closes"),
        (
            {"price": "200"},
            "300",
            "250",
            False,
            "your own bid on north:1 was 300 EUR, above",
        ),
    ],
)
def test_what_speaks_against_a_result_is_said(
    desk: Desk, cells: dict[str, Any], own: str, price: str, won: bool, said: str
) -> None:
    come(desk, row("1", **cells))
    if own:
        decide(desk, ["north:1"], "placed", own)
    assert any(warning.startswith(said) for warning in result(desk, "north:1", price, won=won).warnings)


def test_the_word_of_the_person_counts_before_that_of_the_source(desk: Desk) -> None:
    come(desk, row("1", hours=1))
    desk.now += timedelta(hours=2)
    from dataclasses import replace

    here = lot(desk, "north:1")
    desk.shelf.store.lots.save([replace(here, lot=replace(here.lot, price_kind="ended"))])
    assert result(desk, "north:1", "200", won=False).warnings == ()
    (warning,) = result(desk, "north:1", "210", won=False).warnings
    assert warning == "north:1 sold for 200 EUR by its source; your own entry is used"


def test_bands_and_marks_of_the_coin_follow_a_result(desk: Desk) -> None:
    come(desk, row("1"), row("2", price="290"))
    desk.shelf.store.prices.add(sales())
    fitting.refit(desk)
    before = lot(desk, "north:2").judgement
    fit = settle(desk, result(desk, "north:1", "250", won=False).due)
    assert fit is not None
    assert fit.sales == 11
    after = lot(desk, "north:2").judgement
    assert before is not None
    assert after is not None
    assert after.band != before.band
    assert not desk.owed.all()


def test_a_lot_that_was_dropped_since_is_read_from_its_decision(desk: Desk) -> None:
    come(desk, row("1"))
    result(desk, "north:1", "250", won=True)
    undoing.undo(desk)
    desk.shelf.store.db.run("DELETE FROM lots")
    undoing.redo(desk)
    (bought,) = desk.shelf.store.purchases.all()
    assert (bought.issue, str(bought.paid)) == (COIN.key, "300 EUR")


def test_a_won_lot_shows_what_it_cost_at_its_result(desk: Desk) -> None:
    come(desk, row("1", price="200"))
    assert results.won_cost(desk, lot(desk, "north:1")) is None
    result(desk, "north:1", "250", won=True)
    found = results.won_cost(desk, lot(desk, "north:1"))
    assert found is not None
    assert (str(found[0]), str(found[1].all_in)) == ("250 EUR", "300 EUR"), "not the cost at the last bid that was seen"


def test_a_result_is_taken_from_the_source_and_never_from_an_estimate(desk: Desk) -> None:
    come(desk, row("1", price="200"))
    with pytest.raises(DeskError, match="tells no hammer price"):
        result(desk, "north:1", "", won=True)
    assert result(desk, "north:1", "", won=False).said == "north:1: lost, at a price not known"
    kept = lot(desk, "north:1")
    fallen = replace(kept, lot=replace(kept.lot, price_kind="ended"))
    desk.shelf.store.lots.save([fallen])
    assert result(desk, "north:1", "", won=True).said.startswith("north:1: won at 200 EUR")


def test_a_provisional_win_is_no_price_and_no_purchase_until_it_is_final(desk: Desk) -> None:
    come(desk, row("1"))
    done = result(desk, "north:1", "250", won=True, provisional=True)
    assert done.said == "north:1: won at 250 EUR, if the seller agrees; no price realised until then"
    store = desk.shelf.store
    assert (store.purchases.all(), list(store.prices.each()), filled(desk)) == ([], [], 0)
    assert str(held_for(desk, ["north:1"])) == "300 EUR"
    result(desk, "north:1", "250", won=True)
    assert (len(store.purchases.all()), filled(desk)) == (1, 1)
    undoing.undo(desk)
    assert store.purchases.all() == []
    with pytest.raises(DeskError, match="say --won"):
        result(desk, "north:1", "250", won=False, provisional=True)


def test_a_lot_unsold_is_no_band_and_may_be_offered_for_after_the_sale(desk: Desk) -> None:
    come(desk, row("1", hours=-2))
    with pytest.raises(DeskError, match="has ended"):
        decide(desk, ["north:1"], "offer", "150")
    decide(desk, ["north:1"], "unsold", "160", on="24 Nov 2026")
    (price,) = desk.shelf.store.prices.each()
    assert (price.status, str(price.price), str(price.sale_date)) == ("unsold", "160 EUR", "2026-11-24")
    with pytest.raises(DeskError, match="has ended"):
        decide(desk, ["north:1"], "bid", "150")
    decide(desk, ["north:1"], "offer", "150")
    assert str(held_for(desk, ["north:1"])) == "180 EUR"
    desk.now += timedelta(days=3)
    result(desk, "north:1", "150", won=True)
    (price,) = desk.shelf.store.prices.each()
    assert price.sale_date == desk.local_today(), "bought after the sale: not on the day of the sale"
    undoing.undo(desk)
    desk.now -= timedelta(days=3)
    with pytest.raises(DeskError, match=r"^30 Nov is still to come\. Nothing was written\.$"):
        decide(desk, ["north:1"], "withdrawn", on="30 Nov 2026")


def test_a_lot_that_its_source_says_nobody_bought_is_told_so(desk: Desk) -> None:
    come(desk, row("1", hours=1))
    decide(desk, ["north:1"], "placed", "210")
    desk.now += timedelta(hours=2)
    report = come(desk, row("1", price="", hours=1, hammer="unsold"))
    assert report.troubles == ()
    (bid,) = bidding.rows(desk)
    assert (bid.ended, bid.unsold, bid.fell) == (True, True, None)
    said = " ".join(ended_bids(desk, [bid], 100))
    assert "undecided 210 EUR, not sold" in said
    assert "nobody bought: `watchlist decide KEY unsold`" in said


def test_what_is_won_or_over_is_never_too_early_to_judge(desk: Desk) -> None:
    """The mark was made while the lot was open; no gather has made another since. Command line and Ticket alike."""
    desk.shelf.store.prices.add(sales())
    fitting.refit(desk)
    desk.forget()
    come(desk, row("1", price="150", hours=60), row("2", price="150", hours=70))

    def early(id: str) -> bool:
        told = ticket.facts(desk, lot(desk, f"north:{id}"))
        page = " ".join(text for line in whole_ticket(told, 80, "chart", 0, None) for _, text in line)
        shown = " ".join(full(desk, listing.as_now(desk, lot(desk, f"north:{id}")), 80))
        assert ("arly" in page) == ("arly" in shown) == ("arly" in sentence(told))
        return "arly" in page

    assert (early("1"), early("2")) == (True, True)
    result(desk, "north:1", "150", won=True)
    assert (early("1"), early("2")) == (False, True)
    desk.now += timedelta(hours=71)
    assert not early("2")
