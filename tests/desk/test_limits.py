"""What is told of a bid before it is left: what it would stand at now, and the winner's curse."""

from __future__ import annotations

from dataclasses import replace
from math import exp, log

from tests.desk.pieces import come, eur, lot, row, sales
from watchlist.core.fees.ladders import common_practice
from watchlist.core.marks.record import Want
from watchlist.core.plan.curse import highest_of
from watchlist.desk.decisions.deciding import decide
from watchlist.desk.desk import Desk
from watchlist.desk.in_hand.limits import left_now, told
from watchlist.desk.lists.ticket import facts
from watchlist.desk.prices import fitting

LEFT = "Left now, 330 EUR hammer leads at 210 EUR, unless somebody left more than the current bid of 200 EUR."


def test_a_planned_bid_is_told_where_it_would_stand(desk: Desk) -> None:
    """By the venue's increments: from 200 on they are 10."""
    come(desk, row("1"))
    said = "Left now, 250 EUR hammer leads at 210 EUR, unless somebody left more than the current bid of 200 EUR"
    assert decide(desk, ["north:1"], "bid", "250").said == f"north:1: bid 250 EUR hammer, planned, not sent. {said}"
    assert told(desk, lot(desk, "north:1"))[0] == f"{said}."
    assert left_now(desk, lot(desk, "north:1"), eur(205)) == said.replace("250", "205").replace("210", "205") + "."
    decide(desk, ["north:1"], "placed", "250")
    assert not any("Left now" in each for each in told(desk, lot(desk, "north:1"))), "it is left already"


def test_the_limit_is_told_where_no_bid_stands(desk: Desk) -> None:
    come(desk, row("1"), row("2", hours=-1), row("3", price="340"))
    assert [told(desk, lot(desk, f"north:{n}")) for n in "123"] == [(LEFT,), (), ()], "open, over, past the limit"


def test_a_start_price_is_led_at_by_the_first_bid(desk: Desk) -> None:
    come(desk, row("1", price="", description="Start price: 200 EUR"))
    found = lot(desk, "north:1")
    assert not found.lot.bid_seen
    assert told(desk, found) == ("Left now, 330 EUR hammer leads at 200 EUR, unless somebody has bid.",)


def test_assumed_increments_are_said(desk: Desk) -> None:
    come(desk, row("1"))
    steps = common_practice("auction", "EUR")
    desk.shelf.notebook.venues.put(replace(desk.terms["Lindmoor Sales"], ladder=steps))
    desk.forget()
    assert "leads at 210 EUR by assumed increments, unless" in told(desk, lot(desk, "north:1"))[0]


def with_band(desk: Desk, ceiling: int = 420) -> None:
    desk.shelf.notebook.wants.put(Want("w1", "Orvany", "5 tor", 1893, "V", min_grade=20, ceiling=eur(ceiling)))
    desk.shelf.store.prices.add(sales())
    fitting.refit(desk)
    desk.forget()
    come(desk, row("1"))


def test_the_bid_that_allows_for_the_winners_curse_is_offered_and_changes_no_limit(desk: Desk) -> None:
    """Worked anew from the band: its spread, three equal bidders, fees of 20 per cent, increments of 10 from 200 on."""
    with_band(desk)
    found = lot(desk, "north:1")
    judged = found.judgement
    assert judged is not None
    assert judged.value is not None
    assert judged.bid_limit == eur(350)
    spread = log(judged.value.high / judged.value.low) / 2.5631
    worth = float(judged.value.mid) * exp(-highest_of(3) * spread)
    rung = int(worth / 1.2 // 10 * 10)
    assert 200 < rung < 350
    said = told(desk, found)[-1]
    assert said == (
        f"Winner's curse: with 2 rivals who can judge it as well as you, a median of {judged.value.mid:.0f} EUR means "
        f"{worth:.0f} on average when you win; {rung} EUR hammer would allow for that, your limit stays 350 EUR."
    )
    assert facts(desk, found).limits[-1] == said
    after = lot(desk, "north:1").judgement
    assert after is not None
    assert after.bid_limit == eur(350)


def test_a_limit_that_allows_for_it_is_left_in_peace(desk: Desk) -> None:
    with_band(desk, ceiling=250)
    assert not any("curse" in each for each in told(desk, lot(desk, "north:1")))


def test_without_rivals_or_with_a_band_of_ones_own_there_is_no_curse(desk: Desk) -> None:
    with_band(desk)
    alone = replace(desk.settings, bids=replace(desk.settings.bids, rivals=0))
    object.__setattr__(desk.shelf, "settings", alone)
    assert not any("curse" in each for each in told(desk, lot(desk, "north:1")))


def test_a_band_of_ones_own_is_no_estimate_of_the_market(desk: Desk) -> None:
    mine = Want("w1", "Orvany", "5 tor", 1893, "V", ceiling=eur(420), low=eur(300), high=eur(350))
    desk.shelf.notebook.wants.put(mine)
    desk.forget()
    come(desk, row("1"))
    found = lot(desk, "north:1")
    assert found.judgement is not None
    assert found.judgement.value is not None
    assert (found.judgement.value.basis, found.judgement.bid_limit) == ("own", eur(350))
    assert not any("curse" in each for each in told(desk, found))
