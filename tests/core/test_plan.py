from __future__ import annotations

from dataclasses import replace
from decimal import Decimal
from typing import Any

from hypothesis import given, settings
from hypothesis import strategies as st

from tests.core.orvany import LINDMOOR, NOW, RATES, context, eur, later, lot, reading, want
from watchlist.core.decisions.plan import BidRow, bid_list, bid_row, worst_case
from watchlist.core.decisions.results import fill, held, own_number, to_price, to_purchase
from watchlist.core.decisions.review import Standing
from watchlist.core.fees.costs import all_in_cost
from watchlist.core.fees.premiums import Premium
from watchlist.core.fees.terms import Terms
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
    assert lowered.warnings[-1] == "a bid of 250 EUR is placed already and binds"
    assert alone.warnings == ()
    assert row(260, placed=eur(250)).worst == row(260).worst


def test_a_bid_above_the_ceiling_or_without_one_warns() -> None:
    assert row(260).warnings == ("can cost 312 EUR, above the ceiling of 300 EUR",)
    assert "no ceiling" in row(100, ceiling=None).warnings[0]
    assert "no amount yet" in row(None, ceiling=None).warnings[0]
    assert "above it already: 240 EUR" in row(200, price=240).warnings[0]


def test_the_foot_tells_sum_budget_and_clashes() -> None:
    rows = [row(250, 30 + n, key=f"n:{n}") for n in range(4)] + [row(100, 33.1, key="n:9")]
    found = bid_list(rows, home="EUR", budget=eur(1500))
    assert found.total == eur(1320)
    assert found.foot.startswith(
        "5 bids, 1,320 of 1,500 EUR if all win; two close within 10 minutes; w1 is bid for 5 times"
    )
    assert [r.left for r in found.rows][-1] == eur(180)


def test_over_the_budget_is_said_at_the_row_and_the_foot() -> None:
    found = bid_list([row(200, 1, key="a"), row(200, 5, key="b")], home="EUR", budget=eur(300))
    assert "over the budget by 180 EUR if all win" in found.warnings
    assert "over the budget if all above win" in found.rows[1].warnings
    assert found.rows[0].warnings == ()


def test_an_outbid_row_binds_nothing() -> None:
    found = bid_list([row(200, stage="outbid"), row(200, 40, key="b")], home="EUR", budget=eur(300))
    assert found.total == eur(240)
    assert found.warnings == ()


def test_the_worst_case_of_whole_price_tiers_lies_below_the_bid() -> None:
    """25 per cent to 1000, 20 above: 1000 costs 1250, 1025 costs 1230."""
    tiers = ((Decimal(1000), Decimal(25)), (None, Decimal(20)))
    terms = Terms("x", "EUR", premium=Premium("tiers_whole", tiers=tiers))
    assert worst_case(eur(1025), "x", terms, RATES, NOW.date()) == eur(1250)
    assert worst_case(eur(990), "x", terms, RATES, NOW.date()) == eur("1237.50")
    assert worst_case(None, "x", terms, RATES, NOW.date()) is None


@settings(max_examples=60, deadline=None)
@given(st.lists(st.tuples(st.integers(1, 400), st.floats(0.1, 90)), max_size=5), st.integers(0, 900))
def test_nothing_goes_over_ceiling_or_budget_unsaid(bids: list[tuple[int, float]], budget: int) -> None:
    rows = [row(amount, hours, key=f"n:{n}") for n, (amount, hours) in enumerate(bids)]
    found = bid_list(rows, home="EUR", budget=eur(budget))
    assert found.total.amount == sum(all_in_cost(LINDMOOR, Decimal(amount)).all_in.amount for amount, _ in bids)
    for one in found.rows:
        assert one.worst is not None
        if one.worst.amount > 300:
            assert any("above the ceiling" in said for said in one.warnings)
    if found.total.amount > budget:
        assert any("over the budget" in said for said in found.warnings)


def test_a_fixed_price_stands_in_the_list_at_its_price() -> None:
    of = lot(250)
    found = bid_row(of, judge(of, reading(), context()), Standing("bid", "buy", None, NOW), None, RATES, NOW)
    assert (found.bid, found.limit, found.all_in) == (eur(250), None, eur(250))
    assert "without fees" in found.warnings[-1]


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


def test_ended_bids_leave_the_sums_and_stand_by_themselves() -> None:
    """Four that close together and were never placed say nothing of the bids to come; one that was placed binds."""
    rows = [row(200, -2, key=f"n:{n}", stage="planned") for n in range(4)] + [row(250, 30, key="n:9")]
    undecided = row(200, -2, key="n:5", stage="placed")
    assert (undecided.stage, undecided.binding, rows[0].stage) == ("undecided", True, "not placed")
    assert bid_list([undecided, rows[-1]], home="EUR", budget=eur(600)).rows[0].left == eur(60)
    found = bid_list(rows, home="EUR", budget=eur(300))
    assert [each.lot for each in found.rows] == ["n:9"]
    assert [each.lot for each in found.ended] == ["n:0", "n:1", "n:2", "n:3"]
    assert found.total == eur(300)
    assert found.rows[0].left == eur(0)
    assert found.foot == "1 bid, 300 of 300 EUR if all win; four ended: say won or lost"
    assert not found.ended[0].binding


def test_an_ended_bid_says_what_the_lot_fell_for() -> None:
    of = replace(lot(190, "ended", closes=later(-1), venue="Lindmoor Sales"))
    found = bid_row(of, judge(of, reading(), context(want(ceiling=eur(300)))), None, LINDMOOR, RATES, NOW)
    assert (found.ended, found.fell) == (True, eur(190))
    assert found.warnings == ()
    assert row(200, 5).fell is None


def test_what_was_won_is_spent() -> None:
    found = bid_list([row(250)], home="EUR", budget=eur(900), spent=eur(734), won=2)
    assert found.foot == (
        "1 bid, 1,034 of 900 EUR if all win; over the budget by 134 EUR if all win; 734 of it spent on 2 won"
    )
    assert found.rows[0].left == eur(-134)
    assert "over the budget if all above win" in found.rows[0].warnings
