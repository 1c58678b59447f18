from __future__ import annotations

from dataclasses import replace
from decimal import Decimal
from typing import Any

from hypothesis import given
from hypothesis import strategies as st

from tests.core.orvany import LINDMOOR, NOW, RATES, context, eur, later, lot, reading, want
from watchlist.core.decisions.bids import Against, BidRow, against, bid_row, worst_case
from watchlist.core.decisions.results import fill, held, own_number, to_price, to_purchase
from watchlist.core.decisions.review import Standing
from watchlist.core.fees.ladders import USUAL, Ladder
from watchlist.core.fees.premiums import Premium
from watchlist.core.fees.proxy import Maximum, proxy
from watchlist.core.fees.terms import Terms
from watchlist.core.lots.record import NO_BID
from watchlist.core.marks.mark import judge
from watchlist.core.marks.record import Want
from watchlist.core.money.amount import Money


def row(
    amount: int | None = None,
    hours: float = 30,
    ceiling: int | None = 300,
    key: str = "north:1",
    price: int = 60,
    **more: Any,
) -> BidRow:
    of = replace(lot(price, "so far", closes=later(hours), venue="Lindmoor Sales"), key=key)
    wants: list[Want] = [want(ceiling=eur(ceiling))] if ceiling is not None else []
    standing = Standing(
        "bid",
        more.pop("stage", "planned"),
        None if amount is None else eur(amount),
        NOW,
        placed=more.pop("placed", None),
    )
    return bid_row(of, judge(of, reading(), context(*wants)), standing, LINDMOOR, RATES, NOW)


def test_without_an_amount_the_bid_is_the_limit() -> None:
    found = row()
    assert found.bid == found.limit
    assert found.bid is not None
    assert found.worst == found.all_in
    assert found.worst is not None
    assert found.worst.amount <= 300
    assert found.warnings == ()


def test_a_placed_bid_binds_while_another_amount_is_planned() -> None:
    lowered, alone = row(200, placed=eur(250)), row(250, stage="placed", placed=eur(250))
    assert lowered.worst == alone.worst
    assert lowered.all_in == row(200).all_in
    assert lowered.warnings[-1] == "a bid of 250 EUR is placed and committed"
    assert alone.warnings == ()
    assert row(260, placed=eur(250)).worst == row(260).worst


def test_a_bid_above_the_ceiling_or_without_one_warns() -> None:
    assert row(260).warnings == ("could cost up to 312 EUR, above your ceiling of 300 EUR",)
    assert "no ceiling" in row(100, ceiling=None).warnings[0]
    assert "no amount yet" in row(None, ceiling=None).warnings[0]
    assert "above yours: 240 EUR" in row(200, price=240).warnings[0]


def test_a_placed_bid_below_the_current_one_is_outbid() -> None:
    """Surely so, for no price is above the leader's own maximum; at a start price that nobody has bid it is not."""
    assert row(200, price=240, stage="placed", placed=eur(200)).warnings == (
        "at 240 EUR, your placed bid 200 EUR: outbid",
    )
    assert row(250, price=240, placed=eur(200)).warnings == (
        "a bid of 200 EUR is placed and committed",
        "at 240 EUR, your placed bid 200 EUR: outbid",
    )
    assert row(200, price=200, stage="placed", placed=eur(200)).warnings == (
        "at 200 EUR, as much as your placed bid: it leads only if it came first",
    )
    assert row(200, price=190, stage="placed", placed=eur(200)).warnings == ()
    placed = Standing("bid", "placed", eur(200), NOW, placed=eur(200))
    start = replace(lot(240, "so far", closes=later(30)), price_note=NO_BID)
    assert against(start, placed) == Against("outbid?", eur(200))
    heard = replace(placed, stage="acknowledged", acknowledged=eur(260))
    assert against(lot(240, "so far", closes=later(30)), heard) == Against("outbid?", eur(200)), "which one stands?"
    assert against(lot(300, "ended", closes=later(-1)), heard) == Against("outbid", eur(260))
    assert against(lot(240, "fixed"), placed) is None
    assert against(lot(240, "so far", closes=later(30)), replace(placed, placed=Money(Decimal(200), "GBP"))) is None


@given(st.lists(st.integers(1, 400), min_size=2, max_size=6), st.sampled_from(sorted(USUAL)), st.integers(1, 300))
def test_outbid_is_said_of_no_bid_that_leads(amounts: list[int], name: str, reserve: int) -> None:
    """The first maximum is one's own. Whoever does not lead is told so, or that it hangs on who came first."""
    maxima = [Maximum(str(n), Decimal(amount)) for n, amount in enumerate(amounts)]
    found = proxy(maxima, Ladder.parse(name), reserve=Decimal(reserve))
    mine = Standing("bid", "placed", eur(amounts[0]), NOW, placed=eur(amounts[0]))
    assert found.price is not None
    stands = against(lot(str(found.price), "so far", closes=later(30)), mine)
    if found.winner == "0":
        assert stands is None or stands.how == "level"
    else:
        assert stands is not None
        assert stands.how in ("outbid", "level")


def test_an_outbid_row_binds_nothing() -> None:
    assert not row(200, stage="outbid").binding
    assert row(200, stage="placed").binding


def test_the_worst_case_of_whole_price_tiers_lies_below_the_bid() -> None:
    """25 per cent to 1000, 20 above: 1000 costs 1250, 1025 costs 1230."""
    tiers = ((Decimal(1000), Decimal(25)), (None, Decimal(20)))
    terms = Terms("x", "EUR", premium=Premium("tiers_whole", tiers=tiers))
    assert worst_case(eur(1025), "x", terms, RATES, NOW.date()) == eur(1250)
    assert worst_case(eur(990), "x", terms, RATES, NOW.date()) == eur("1237.50")
    assert worst_case(None, "x", terms, RATES, NOW.date()) is None


def test_a_fixed_price_stands_in_the_list_at_its_price() -> None:
    of = lot(250)
    found = bid_row(of, judge(of, reading(), context()), Standing("bid", "buy", None, NOW), None, RATES, NOW)
    assert (found.bid, found.limit, found.all_in) == (eur(250), None, eur(250))
    assert "fees not included" in found.warnings[-1]


def test_a_result_is_a_price_and_when_won_a_purchase() -> None:
    of = lot(60, "so far", venue="Lindmoor Sales", seller="anna")
    said = reading(mint="V", grade_text="VF", certified=True, service="QCG", cert_number="9")
    found = judge(of, said, context(want(ceiling=eur(300), mint="V")))
    price = to_price(of, said, found.issue, eur(200), NOW.date())
    bought = to_purchase(of, said, found, eur(200), NOW.date(), LINDMOOR, RATES)
    assert (price.issue, price.price, price.kind, price.grade_low, price.venue) == (
        "5tor-1893V",
        eur(200),
        "hammer",
        30,
        "Lindmoor Sales",
    )
    assert price.origin == of.key
    assert (bought.all_in, bought.want, bought.seller, bought.cert_number) == (eur(240), "w1", "anna", "9")
    assert bought.p_fake is not None
    unknown = to_purchase(of, said, found, Money(Decimal(9), "SEK"), NOW.date(), None, RATES)
    assert held([bought, unknown]) == (eur(240), 1)
    assert held([]) == (None, 0)


def test_a_set_stays_out_of_the_bands_and_a_want_is_filled() -> None:
    assert to_price(lot(), reading(multiple=True), None, eur(9), NOW.date()).quantity == 2
    filled = fill(want(), 1)
    assert not filled.asking
    assert fill(want(), 0).asking
    kept = own_number(filled, 3)
    assert (kept.filled, fill(kept, 3).filled, fill(kept, 1).filled) == (-2, 1, 0)


def test_an_ended_bid_says_what_the_lot_fell_for() -> None:
    of = replace(lot(190, "ended", closes=later(-1), venue="Lindmoor Sales"))
    found = bid_row(of, judge(of, reading(), context(want(ceiling=eur(300)))), None, LINDMOOR, RATES, NOW)
    assert (found.ended, found.fell) == (True, eur(190))
    assert found.warnings == ()
    assert row(200, 5).fell is None
