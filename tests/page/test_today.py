"""The sentences of the morning and of a bid that is too dear, from bare figures."""

from __future__ import annotations

from datetime import UTC, date, datetime, timedelta
from decimal import Decimal

from watchlist.core.money.amount import Money
from watchlist.core.plan.budgets import Held
from watchlist.page import dear, today

NOW = datetime(2026, 3, 3, 7, 30, tzinfo=UTC)
ZONE = "Europe/Berlin"


def euros(amount: str) -> Money:
    return Money(Decimal(amount), "EUR")


def test_a_morning_with_nothing_new_says_so_and_how_to_want_something() -> None:
    told = today.headline(today.Counts(0, 0, 12, 0, 1, 0, wants=False), None, ZONE)
    assert told == (
        "Nothing new; 12 open. No wanted lots, 1 other bargain, 0 closing today. No wants yet: `watchlist want add`."
    )


def test_what_is_new_is_told_beside_the_wants() -> None:
    counts = today.Counts(3, 2, 12, 2, 0, 1, wants=True)
    told = today.headline(counts, NOW - timedelta(days=1), ZONE)
    assert told.startswith("3 lots new since Mon 2 Mar 08:30, 2 of them matching your wants; 12 open.")
    assert "No wants" not in told


def test_a_bid_to_place_says_when_bids_are_due_or_were() -> None:
    closes = NOW + timedelta(hours=4)
    ahead = today.to_place("105", "Orvany 1 tor 1890", euros("40"), closes, NOW + timedelta(hours=2), NOW, ZONE)
    assert ahead == "105: Orvany 1 tor 1890, bid 40 EUR hammer, closes Tue 3 Mar 12:30, bids by Tue 3 Mar 10:30"
    late = today.to_place("105", "Orvany 1 tor 1890", None, closes, NOW, NOW, ZONE)
    assert late.endswith("no amount set, closes Tue 3 Mar 12:30, bids were due Tue 3 Mar 08:30")


def test_what_is_left_out_is_counted_only_where_something_is() -> None:
    assert today.rest(2, "`watchlist parcel`") == "and 2 more: `watchlist parcel`"
    assert (today.rest(0, "x"), today.above(0), today.to_place_later(0)) == ("", "", "")


def test_a_question_is_cut_and_says_how_to_keep_the_answer() -> None:
    told = today.question("105", date(2026, 3, 1), "Is the edge filed? " * 20)
    assert len(told) < 140
    assert told.endswith("`watchlist lot 105 --answered TEXT`")


def test_a_lot_that_turned_names_a_bid_but_not_that_it_was_seen() -> None:
    assert today.turned("9", "1 tor 1890", "bid", ["outbid"]) == "9: 1 tor 1890, bid: outbid"
    assert today.turned("9", "1 tor 1890", "seen", ["a", "b"]) == "9: 1 tor 1890: a; b"


def test_a_bid_too_dear_names_the_lots_whose_loss_makes_it_so() -> None:
    one = dear.if_lost(["105"], euros("60"), euros("10"))
    assert one == "if 105 is lost this could cost up to 60 EUR, 10 EUR above your ceiling"
    assert dear.if_lost(["105", "106"], euros("60"), euros("10")).startswith("if 105 and 106 are lost")


def test_a_budget_gone_beyond_says_what_of_it_is_paid() -> None:
    none = Decimal(0)
    held = Held(
        "March", date(2026, 3, 1), date(2026, 3, 31), Decimal(900), Decimal(100), none, none, none, Decimal(850), none
    )
    assert dear.above_budget(held, "EUR") == (
        "all bids together could cost up to 950 EUR, 100 EUR of it spent, above the budget March of 900 EUR"
    )
