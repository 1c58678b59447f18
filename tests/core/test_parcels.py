"""Parcels: their cost, the three costs of a lot, limits, shares, which lots go together, the dearest outcome."""

from __future__ import annotations

from collections import Counter
from datetime import date, timedelta
from decimal import Decimal
from itertools import combinations
from statistics import median
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tests.core.parcel_cases import CASES, cases, exchange, hammered, terms_of
from watchlist.core.fees.costs import all_in_amount, bid_limit
from watchlist.core.fees.ladders import TermsError
from watchlist.core.fees.postage import PostSteps
from watchlist.core.fees.premiums import Premium
from watchlist.core.fees.row import terms_from_row, terms_to_row
from watchlist.core.fees.terms import Terms
from watchlist.core.fees.working import Hammered
from watchlist.core.parcels.costs import (
    Exchange,
    as_shared,
    before_postage,
    fixed_cost,
    lot_costs,
    parcel_amount,
    parcel_cost,
    worst_hammer,
)
from watchlist.core.parcels.grouping import Travelling, parcels_of
from watchlist.core.parcels.outcomes import Exposed, Sent, cost_of, worst_case
from watchlist.core.parcels.shares import by_piece, by_price, split, weights

EUR = Exchange("EUR")


def test_every_case_of_parcels_is_run_here() -> None:
    here = ("cost", "limit", "shares", "parcels", "gap", "return", "exposure", "either-or")
    assert Counter(case["kind"] for case in CASES if case["id"].startswith("c")) == {
        "cost": 8, "limit": 2, "shares": 4, "parcels": 2, "gap": 2, "return": 1, "exposure": 1, "either-or": 1,
    }  # fmt: skip
    assert all(case["kind"] in here for case in CASES if case["id"].startswith("c"))


@pytest.mark.parametrize("case", cases("cost"), ids=lambda case: case["id"])
def test_cost(case: dict[str, Any]) -> None:
    terms, money = terms_of(case["terms"], case["currency"]), exchange(case["terms"], case["currency"])
    lots, expect = hammered(case["lots"]), case["expect"]
    cost = parcel_cost(terms, lots, money)
    assert {name: str(amount.amount) for name, amount in cost.lines} == expect["lines"]
    assert str(cost.all_in.amount) == expect["all_in"] == str(parcel_amount(terms, lots, money))
    costs = [lot_costs(terms, lot, money) for lot in lots]
    assert [str(each.alone) for each in costs] == expect["alone"]
    assert [str(each.shared) for each in costs] == expect["shared"]
    alone = sum(each.alone for each in costs)
    assert (str(alone), str(alone - cost.all_in.amount)) == (expect["as_single_parcels"], expect["saved"])
    for lot, each in zip(lots, costs, strict=True):
        assert each.alone == all_in_amount(terms, lot.hammer, home=money.home, fx=money.fx)


def test_a_parcel_of_nothing_costs_nothing() -> None:
    assert parcel_cost(terms_of({"shipping": "9.80"}, "EUR"), [], EUR).all_in.amount == 0


@pytest.mark.parametrize("case", cases("limit"), ids=lambda case: case["id"])
def test_limit(case: dict[str, Any]) -> None:
    terms = terms_of(case["terms"], case["currency"], steps=case["steps"])
    money = exchange(case["terms"], case["currency"])
    for expect in case["expect"]:
        ceiling = Decimal(expect["ceiling"])
        alone = bid_limit(terms, ceiling, home=money.home, fx=money.fx)
        shared = bid_limit(as_shared(terms), ceiling, home=money.home, fx=money.fx)
        assert alone.limit is not None
        assert alone.all_in is not None
        assert shared.limit is not None
        assert shared.all_in is not None
        at = lot_costs(terms, Hammered(shared.limit.amount), money).alone
        assert {
            "ceiling": expect["ceiling"],
            "limit": f"{alone.limit.amount:.2f}",
            "limit_shared": f"{shared.limit.amount:.2f}",
            "cost_at_limit": str(alone.all_in.amount),
            "shared_cost_at_limit_shared": str(shared.all_in.amount),
            "alone_at_limit_shared": str(at),
            "over_ceiling_if_alone": str(at - ceiling),
        } == expect


@pytest.mark.parametrize("case", cases("shares"), ids=lambda case: case["id"])
def test_shares(case: dict[str, Any]) -> None:
    terms, money = terms_of(case["terms"], case["currency"]), exchange(case["terms"], case["currency"])
    lots, paid = hammered(case["lots"]), Decimal(case["paid"])
    found = by_price(terms, lots, paid) if case["split"] == "by price" else by_piece(terms, lots, paid, money)
    assert [f"{weight:.2f}" for weight in weights(terms, lots)] == case["expect"]["weights"]
    assert [str(share) for share in found] == case["expect"]["shares"]


def test_a_return_leaves_the_kept_pieces_their_shares() -> None:
    (case,) = cases("return")
    terms, lots = terms_of(case["terms"], case["currency"]), hammered(case["lots"])
    paid = parcel_amount(terms, lots, EUR)
    shares, expect = by_price(terms, lots, paid), case["expect"]
    back, refund, post = case["returned"], Decimal(case["refund"]), Decimal(case["return_post"])
    assert (str(paid), [str(share) for share in shares]) == (expect["parcel_paid"], expect["shares"])
    assert [str(share) for n, share in enumerate(shares) if n != back] == expect["kept_basis"]
    assert str(shares[back] - refund + post) == expect["loss_on_return"]
    assert str(paid - refund + post) == expect["net_spent"]


@pytest.mark.parametrize("case", cases("parcels"), ids=lambda case: case["id"])
def test_which_lots_share_a_parcel(case: dict[str, Any]) -> None:
    rows = case["lots"]
    kind = "marketplace" if any("seller" in row for row in rows) else "auction"
    terms = {row["venue"]: terms_of({**case["terms"], "kind": kind}, "EUR", row["venue"]) for row in rows}
    assert [[lot.key for lot in parcel.lots] for parcel in parcels_of(map(travelling, rows), terms)] == case["expect"]


def travelling(row: dict[str, Any]) -> Travelling:
    return Travelling(
        row["key"], row["venue"], "EUR", date.fromisoformat(row["day"]), row.get("sale", ""), row.get("seller", "")
    )


@pytest.mark.parametrize("case", cases("gap"), ids=lambda case: case["id"])
def test_cheap_and_dear_coins_are_compared_before_postage(case: dict[str, Any]) -> None:
    terms, expect = terms_of(case["terms"], case["currency"]), case["expect"]
    (lot,) = hammered(case["lots"])
    costs = lot_costs(terms, lot, EUR)
    past = [lot_costs(terms, Hammered(Decimal(price)), EUR) for price in case["past_hammers"]]
    middle, old = median(each.before for each in past), median(each.alone for each in past)
    assert {
        "before_postage": str(costs.before),
        "middle_before_postage": str(middle),
        "gap_pct": f"{(costs.before / middle - 1) * 100:.1f}",
        "alone": str(costs.alone),
        "shared": str(costs.shared),
        "old_middle_all_in": str(old),
        "old_gap_pct": f"{(costs.alone / old - 1) * 100:.1f}",
        "mark_alone": "bargain" if costs.before <= Decimal("0.8") * middle and costs.alone <= middle else "low",
        "mark_shared": "bargain" if costs.before <= Decimal("0.8") * middle and costs.shared <= middle else "low",
    } == expect


def test_losing_a_lot_never_makes_the_total_dearer() -> None:
    (case,) = cases("exposure")
    sent = {"p": Sent(terms_of(case["terms"], "EUR"), EUR)}
    bids = [Exposed(str(n), "p", lot) for n, lot in enumerate(hammered(case["lots"]))]
    assert str(worst_case(bids, sent, {})) == case["expect"]["all_win"]
    alone = sum(cost_of([bid], sent) for bid in bids)
    assert str(alone) == case["expect"]["sum_of_alone"]
    assert [str(cost_of([b for b in bids if b is not lost], sent)) for lost in bids] == case["expect"]["without"]


def test_either_or_counts_the_dearest_outcome_allowed() -> None:
    (case,) = cases("either-or")
    currencies = {"Lindmoor Auctions": "EUR", "Wexby Sales": "GBP"}
    sent = {
        venue: Sent(terms_of(data, currencies[venue], venue), exchange(data, currencies[venue]))
        for venue, data in case["terms"].items()
    }
    bids = [
        Exposed(row["lot"], row["venue"], Hammered(Decimal(row["bid"])), row.get("group", "")) for row in case["lots"]
    ]
    of = {bid.lot: bid for bid in bids}
    assert {
        "worst": str(worst_case(bids, sent, case["take"])),
        "if_L3": str(cost_of([of["L1"], of["L3"]], sent)),
        "if_X1": str(cost_of([of["L1"], of["X1"]], sent)),
        "if_all_were_won": str(cost_of(bids, sent)),
    } == case["expect"]


# --- what the cases do not reach ------------------------------------------------------------------------------------

CENTS = st.integers(1, 90_000).map(lambda cents: Decimal(cents) / 100)


@st.composite
def any_terms(draw: st.DrawFn) -> Terms:
    pct = st.integers(0, 240).map(lambda n: Decimal(n) / 10)
    fee = st.integers(0, 3000).map(lambda n: Decimal(n) / 100)
    steps = draw(st.sampled_from([None, "0:4; 100:9.50; 400:21", "weight 0:3; 50:5; 200:11"]))
    premium = draw(st.sampled_from(["0:24; 500:20; 5000:15", "whole 0:25; 300:20", "0:20"]))
    return Terms(
        venue="Wexby Sales",
        currency="GBP",
        premium=Premium.from_text(premium) if ";" in premium else Premium("flat", Decimal(20), draw(fee)),
        vat_fees_pct=draw(pct),
        insurance_pct=draw(pct) / 10,
        min_insurance=draw(fee),
        shipping=draw(fee),
        shipping_more=draw(fee) / 10,
        post_steps=PostSteps.from_text(steps) if steps else None,
        handling=draw(fee),
        import_vat_pct=draw(pct),
        import_vat_from=draw(st.sampled_from([Decimal(0), Decimal(150)])),
        duty_pct=draw(pct) / 5,
        duty_from=draw(st.sampled_from([Decimal(0), Decimal(150)])),
        card_pct=draw(pct) / 8,
        payment_fee=draw(fee),
    )


@settings(max_examples=60, deadline=None)
@given(any_terms(), st.lists(st.tuples(CENTS, st.integers(0, 90)), min_size=1, max_size=5))
def test_a_parcel_costs_no_more_than_its_fixed_cost_and_the_shared_costs(
    terms: Terms, rows: list[tuple[Decimal, int]]
) -> None:
    """And never less than before one of its lots was lost."""
    money = Exchange("EUR", Decimal("1.17"))
    lots = [Hammered(hammer, grams=Decimal(grams)) for hammer, grams in rows]
    whole = parcel_amount(terms, lots, money)
    most = fixed_cost(terms, money) + sum(lot_costs(terms, lot, money).shared for lot in lots)
    assert whole <= most + Decimal("0.02") * (len(lots) + 4)
    for fewer in combinations(lots, len(lots) - 1):
        assert parcel_amount(terms, fewer, money) <= whole


@settings(max_examples=50, deadline=None)
@given(st.lists(CENTS, min_size=1, max_size=7), CENTS)
def test_shares_add_up_and_are_fair_to_the_cent(parts: list[Decimal], paid: Decimal) -> None:
    shares, whole = split(paid, parts), sum(parts)
    assert sum(shares) == paid
    assert all(abs(got - paid * part / whole) < Decimal("0.01") for got, part in zip(shares, parts, strict=True))


def test_worst_case_of_many_groups_is_never_below_the_true_one() -> None:
    terms = terms_of({"premium": {"kind": "flat", "pct": "20"}, "shipping": "9.80"}, "EUR")
    sent = {name: Sent(terms, EUR) for name in "pq"}
    bids = [Exposed(f"{n}", "pq"[n % 2], Hammered(Decimal(10 + 7 * n)), f"g{n // 4}" if n else "") for n in range(33)]
    few = [bid for bid in bids if bid.group in ("", "g0", "g1")]
    true = worst_case(few, sent, {"g0": 1, "g1": 2})
    bound = worst_case(bids, sent, dict.fromkeys((f"g{n}" for n in range(9)), 1) | {"g1": 2})
    dearest = {bid.group: bid for bid in bids if bid.group not in ("", "g0", "g1")}
    assert true > 0
    assert bound >= cost_of([*few[:1], *dearest.values()], sent)


def test_lots_alone_and_lots_put_together_by_hand() -> None:
    terms = {name: Terms(name, "EUR", ships_together=rule) for name, rule in (("L", "sale"), ("N", "no"))}
    day = date(2026, 3, 3)
    a, b = Travelling("a", "L", "EUR", day), Travelling("b", "L", "EUR", day)
    undated, dollars = Travelling("c", "L", "EUR", None), Travelling("d", "L", "USD", day)
    apart, parted = Travelling("e", "N", "EUR", day), Travelling("f", "L", "EUR", day, parted=True)
    joined = Travelling("g", "N", "EUR", date(2026, 4, 1), joins="e")
    stray = Travelling("h", "L", "EUR", day, joins="e")
    invoiced, late = Travelling("i", "L", "EUR", day, closed="P12"), Travelling("j", "L", "EUR", day, joins="i")
    found = parcels_of([a, b, undated, dollars, apart, parted, joined, stray, invoiced, late], terms)
    assert sorted("".join(lot.key for lot in parcel.lots) for parcel in found) == ["ab", "c", "d", "eg", "f", "h", "ij"]
    assert not any(parcel.assumed for parcel in found)


def test_what_no_venue_states_is_shown_and_counted_alone() -> None:
    day = date(2026, 3, 3)
    lots = [Travelling(key, "L", "EUR", day, seller="osk") for key in "ab"]
    assert [parcel.assumed for parcel in parcels_of(lots, {"L": Terms("L", "EUR")})] == [True]
    assert len(parcels_of(lots, {"L": Terms("L", "EUR", kind="marketplace")})) == 2


def test_a_sale_of_the_same_name_after_a_long_pause_is_another_one() -> None:
    terms = terms_of({"ships_together": "sale"}, "EUR")
    first = date(2026, 1, 5)
    days = {"a": 0, "b": 20, "c": 41, "d": 101, "e": 162}
    lots = [
        Travelling(key, terms.venue, "EUR", first + timedelta(days=days[key]), "Season sale", won=key in "ab")
        for key in days
    ]
    assert [[lot.key for lot in each.lots] for each in parcels_of(lots, {terms.venue: terms})] == [
        ["a", "b", "c", "d"],
        ["e"],
    ]


def test_won_lots_open_parcels_before_open_bids() -> None:
    terms = {"M": Terms("M", "EUR", kind="marketplace", ships_together="days:7")}
    lots = [
        Travelling("bid", "M", "EUR", date(2026, 3, 1)),
        Travelling("won", "M", "EUR", date(2026, 3, 6), won=True),
        Travelling("next", "M", "EUR", date(2026, 3, 12)),
    ]
    assert [[lot.key for lot in parcel.lots] for parcel in parcels_of(lots, terms)] == [["bid"], ["won", "next"]]


def test_a_lot_counts_at_the_dearest_price_at_or_under_its_bid() -> None:
    """bidding.md: 25 per cent to 1000, 20 above: 1000 costs 1250, 1030 costs 1236."""
    terms = terms_of({"premium": {"kind": "tiers_whole", "tiers": [["1000", "25"], [None, "20"]]}}, "EUR")
    told = [worst_hammer(terms, Hammered(Decimal(bid))).hammer for bid in (990, 1000, 1030, 1041, 1042)]
    assert told == [990, 1000, 1000, 1000, 1042]
    sent = {"p": Sent(terms, EUR)}
    assert cost_of([Exposed("a", "p", Hammered(Decimal(1030)))], sent) == 1250


def test_a_lot_is_taxed_by_its_own_sign() -> None:
    terms = terms_of({"premium": {"kind": "flat", "pct": "20"}, "vat_fees_pct": "20", "vat_imported_pct": "5"}, "GBP")
    lines = {
        tax: dict(parcel_cost(terms, [Hammered(Decimal(100), tax)], Exchange("GBP")).lines)
        for tax in ("", "margin", "full", "import")
    }
    assert [str(each["all_in"].amount) for each in lines.values()] == ["124.00", "124.00", "144.00", "129.00"]
    assert "vat_on_imported" in lines["import"]
    assert "vat_on_hammer" in lines["full"]
    taxed = terms_from_row(terms_to_row(terms) | {"vat_on_hammer_pct": "7"})
    own = [parcel_amount(taxed, [Hammered(Decimal(100), tax)], Exchange("GBP")) for tax in ("", "margin")]
    assert [str(each) for each in own] == ["131.00", "124.00"]


def test_thresholds_look_at_the_parcel() -> None:
    terms = terms_of({"import_vat_pct": "19", "shipping": "10"}, "GBP")
    some = terms_from_row(terms_to_row(terms) | {"import_vat_from": "150"})
    small, two = [Hammered(Decimal(100))], [Hammered(Decimal(100))] * 2
    assert [parcel_amount(some, lots, Exchange("GBP")) for lots in (small, two)] == [Decimal(110), Decimal("249.90")]
    assert lot_costs(some, small[0], Exchange("GBP")).shared == Decimal(119)
    assert lot_costs(some, small[0], Exchange("GBP")).before == Decimal(100)


def test_postage_by_steps() -> None:
    steps = PostSteps.from_text("0:9,80; 500:15")
    assert [steps.of(Decimal(value), Decimal(0)) for value in (0, 500, 501)] == [Decimal("9.80"), Decimal("9.80"), 15]
    assert str(PostSteps.from_text(str(steps))) == str(steps)
    grams = PostSteps.from_text("weight 0:4.50; 100:7")
    assert [grams.of(Decimal(9999), Decimal(each)) for each in (100, 101)] == [Decimal("4.50"), 7]
    for wrong in ("500:15", "0:9; 500:3", "0:9; 0:10", "0:nine", "weight"):
        with pytest.raises(TermsError):
            PostSteps.from_text(wrong)


def test_before_postage_has_no_postage_at_all() -> None:
    terms = before_postage(terms_of(cases("cost")[3]["terms"], "GBP"))
    names = {name for name, _ in parcel_cost(terms, hammered(["60"]), Exchange("EUR", Decimal("1.17"))).lines}
    assert not names & {"shipping", "handling_fixed", "payment_fee"}


def test_a_sum_among_no_pieces_is_refused_and_without_any_weight_shared_alike() -> None:
    with pytest.raises(ValueError, match="among no pieces"):
        split(Decimal(1), [])
    assert split(Decimal("0.03"), [Decimal(0), Decimal(0)]) == (Decimal("0.02"), Decimal("0.01"))
