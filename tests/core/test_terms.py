"""Terms, all-in cost and bid limit.

`auction_examples.jsonl`: 36 worked cases of cost and its inverse (a01 to a36). `ladders.csv`: usual increments
(common practice). Both were worked out by hand outside this project.
"""

from __future__ import annotations

import csv
import json
from contextlib import suppress
from dataclasses import fields, replace
from datetime import date
from decimal import Decimal
from itertools import islice
from pathlib import Path
from typing import Any, Literal

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from watchlist.core.fees import costs
from watchlist.core.fees.costs import all_in_amount, all_in_cost, bid_limit, hammer_within
from watchlist.core.fees.ladders import USUAL, Ladder, TermsError, common_practice
from watchlist.core.fees.postage import PostSteps
from watchlist.core.fees.premiums import Premium
from watchlist.core.fees.row import terms_from_row, terms_to_row
from watchlist.core.fees.terms import Terms, known_zone, terms_to_json
from watchlist.core.money.amount import Money
from watchlist.page.terms import describe

DATA = Path(__file__).parents[1] / "data"
CASES = [json.loads(line) for line in (DATA / "auction_examples.jsonl").read_text("utf-8").splitlines()]
FORWARD = [case for case in CASES if case["kind"] == "forward"]
INVERSE = [case for case in CASES if case["kind"] == "inverse"]


def terms_of(case: dict[str, Any]) -> Terms:
    sale = case["currency"].split("->")[0]
    return from_json({"venue": "Lindmoor Sales", "currency": sale, "ladder": case.get("ladder"), **case["terms"]})


def from_json(data: dict[str, Any]) -> Terms:
    """Terms as a case or `terms_to_json` states them."""
    made: dict[str, Any] = {field.name: data[field.name] for field in fields(Terms) if data.get(field.name) is not None}
    for name in made.keys() & {field.name for field in fields(Terms) if field.type == "Decimal"}:
        made[name] = Decimal(made[name])
    for name, read in (("premium", Premium.from_json), ("ladder", Ladder.parse), ("checked", date.fromisoformat)):
        if name in made:
            made[name] = read(made[name])
    return Terms(**made)


def exchange(case: dict[str, Any]) -> dict[str, Any]:
    fx = case["terms"].get("fx")
    return {"home": case["currency"].split("->")[-1], "fx": None if fx is None else Decimal(fx)}


@pytest.mark.parametrize("case", FORWARD, ids=[case["id"] for case in FORWARD])
def test_cost(case: dict[str, Any]) -> None:
    cost = all_in_cost(terms_of(case), Decimal(case["hammer"]), **exchange(case))
    assert {name: str(money.amount) for name, money in cost.lines} == case["expect"]
    assert cost.all_in == Money(Decimal(case["expect"]["all_in"]), case["currency"].split("->")[-1])


@pytest.mark.parametrize("case", INVERSE, ids=[case["id"] for case in INVERSE])
def test_limit(case: dict[str, Any]) -> None:
    found = bid_limit(terms_of(case), Decimal(case["ceiling"]), **exchange(case))
    expect = {name: None if value is None else Decimal(value) for name, value in case["expect"].items()}
    assert {
        "max_hammer": found.limit and found.limit.amount,
        "all_in": found.all_in and found.all_in.amount,
        "next_step": found.next_step and found.next_step.amount,
        "next_all_in": found.next_all_in and found.next_all_in.amount,
    } == expect


def test_all_36_cases_are_here() -> None:
    assert [len(FORWARD), len(INVERSE)] == [19, 16]
    assert sum(case["kind"] == "inverse_nonmonotone" for case in CASES) == 1


def test_whole_price_tiers_a36() -> None:
    case = next(case for case in CASES if case["kind"] == "inverse_nonmonotone")
    terms = terms_of(case)
    for rung, cost in case["expect"]["steps"]:
        assert all_in_cost(terms, Decimal(rung)).all_in.amount == Decimal(cost)
    found = bid_limit(terms, Decimal(case["ceiling"]))
    assert found.limit == Money(Decimal(case["expect"]["safe_max_hammer"]), "USD")
    above = bid_limit(terms, Decimal("1250"))
    assert (above.limit, above.worst_all_in) == (Money(Decimal(1040), "USD"), Money(Decimal(1250), "USD"))


def test_usual_ladders_are_the_tables() -> None:
    rows = list(csv.DictReader((DATA / "ladders.csv").read_text("utf-8").splitlines()))
    for name in ("floor_dollar", "floor_euro", "online_small"):
        table = tuple((Decimal(r["from_price"]), Decimal(r["increment"])) for r in rows if r["ladder"] == name)
        assert USUAL[name] == table


def test_two_five_eight() -> None:
    rungs = list(Ladder.parse("two_five_eight").rungs(Decimal(6000), Decimal(80)))
    assert [int(r) for r in rungs] == [
        *range(80, 100, 5), *range(100, 200, 10),
        *(200, 220, 250, 280, 300, 320, 350, 380, 400, 420, 450, 480), *range(500, 1000, 50),
        *range(1000, 2000, 100),
        *(2000, 2200, 2500, 2800, 3000, 3200, 3500, 3800, 4000, 4200, 4500, 4800), 5000, 5500, 6000,
    ]  # fmt: skip


@given(st.integers(0, 900_000), st.sampled_from([*sorted(USUAL), "0:30;100:50", "0:500;100:10;300:20"]))
def test_the_highest_rung_under_a_price_is_the_last_one_walked(price: int, name: str) -> None:
    ladder, upto = Ladder.parse(name), Decimal(price) / 100
    assert ladder.highest_upto(upto) == max(ladder.rungs(upto), default=None)


def test_the_increment_at_a_price_need_not_stand_on_a_rung() -> None:
    ladder = Ladder.parse("floor_dollar")
    assert [int(ladder.step_at(Decimal(price))) for price in (0, 99, 100, 299, 300, 310, 200_000)] == [
        *(5, 5, 10, 10, 25, 25, 10_000),
    ]


def test_rungs_are_walked_from_nought() -> None:
    ladder = Ladder.parse("0:30;100:50")
    assert [int(r) for r in islice(ladder.rungs(Decimal(10**6)), 6)] == [30, 60, 90, 120, 170, 220]
    assert ladder.next_above(Decimal(95)) == 120
    assert next(ladder.rungs(Decimal(50), Decimal("9.99"))) == Decimal("9.99")
    assert [int(r) for r in islice(Ladder.parse("0:500;100:10;300:20").rungs(Decimal(10**6)), 3)] == [500, 520, 540]


cent_steps = st.integers(1, 4000).map(lambda n: Decimal(n) / 20)
shares = st.integers(0, 400).map(lambda n: Decimal(n) / 8)
money = st.integers(0, 5000).map(lambda n: Decimal(n) / 100)


@st.composite
def ladders(draw: st.DrawFn) -> Any:
    gaps = draw(st.lists(st.integers(1, 400), max_size=4))
    starts = [Decimal(sum(gaps[:n])) for n in range(len(gaps) + 1)]
    return Ladder(tuple((start, draw(cent_steps)) for start in starts))


@st.composite
def premiums(draw: st.DrawFn) -> Any:
    kinds: list[Literal["flat", "tiers_marginal", "tiers_whole"]] = ["flat", "tiers_marginal", "tiers_whole"]
    kind = draw(st.sampled_from(kinds))
    if kind == "flat":
        return Premium("flat", draw(shares), draw(money))
    edges = sorted(draw(st.sets(st.integers(1, 600), max_size=3)))
    tiers = [(Decimal(edge), draw(shares)) for edge in edges]
    last = draw(st.sampled_from([None, Decimal(900)]))
    return Premium(kind, Decimal(0), draw(money), (*tiers, (last, draw(shares))))


@st.composite
def all_terms(draw: st.DrawFn) -> Terms:
    names = ("internet_pct", "vat_fees_pct", "vat_hammer_pct", "insurance_pct", "sales_tax_pct", "duty_pct")
    more: dict[str, Any] = {name: draw(shares) for name in draw(st.sets(st.sampled_from(names)))}
    return Terms(
        venue="Brannental Auctions",
        currency="GBP",
        premium=draw(premiums()),
        ladder=draw(ladders()),
        shipping=draw(money),
        handling=draw(money),
        tax_shipping=draw(st.booleans()),
        duty_in_import_vat=draw(st.booleans()),
        import_vat_pct=draw(shares),
        card_pct=draw(shares),
        **more,
    )


rates = st.integers(1, 400).map(lambda n: Decimal(n) / 100)


@settings(max_examples=60, deadline=None)
@given(all_terms(), st.integers(0, 10**8), rates)
def test_cost_is_never_below_the_hammer(terms: Terms, hammer: Any, fx: Decimal) -> None:
    hammer = Decimal(hammer) / 100
    cost = all_in_cost(terms, hammer, home="EUR", fx=fx)
    lines = dict(cost.lines)
    assert lines["total_sale_currency"].amount >= hammer
    assert cost.all_in.amount >= lines["converted"].amount >= 0
    assert all_in_cost(terms, hammer).all_in.amount >= hammer
    sums = ("total_sale_currency", "converted", "card_fee", "all_in")
    fees = [m.amount for name, m in cost.lines if name not in sums]
    assert sum(fees) == lines["total_sale_currency"].amount


@settings(max_examples=60, deadline=None)
@given(all_terms(), st.integers(0, 150_000), rates)
def test_limit_is_what_walking_every_rung_finds(terms: Terms, ceiling: Decimal, fx: Decimal) -> None:
    ceiling = Decimal(ceiling) / 100
    limit: Decimal | None = None
    worst = Decimal(0)
    rung = terms.ladder.next_above(Decimal(0))
    while (cost := all_in_cost(terms, rung, home="EUR", fx=fx).all_in.amount) <= ceiling:
        limit, worst = rung, max(worst, cost)
        rung = terms.ladder.next_above(rung)
    found = bid_limit(terms, ceiling, home="EUR", fx=fx)
    if limit is None:
        assert (found.limit, found.all_in, found.next_step, found.next_all_in, found.worst_all_in) == (None,) * 5
        return
    assert found.limit == Money(limit, "GBP")
    assert found.all_in == all_in_cost(terms, limit, home="EUR", fx=fx).all_in
    assert (found.next_step, found.next_all_in) == (Money(rung, "GBP"), Money(cost, "EUR"))
    assert found.worst_all_in == Money(worst, "EUR")
    assert worst <= ceiling


@settings(max_examples=50, deadline=None)
@given(all_terms())
def test_terms_round_trip(terms: Terms) -> None:
    assert from_json(json.loads(json.dumps(terms_to_json(terms)))) == terms
    assert all(describe(terms))


@pytest.mark.parametrize("steps", ["online_small", "0:0.05", "0:0.05;1:0.25;1000:100", "floor_euro"])
def test_limit_of_a_million_asks_for_few_costs(steps: Any, monkeypatch: Any) -> None:
    worked: list[Decimal] = []
    work = costs._worked

    def counted(*told: Any) -> Any:
        worked.append(told[1])
        return work(*told)

    monkeypatch.setattr(costs, "_worked", counted)
    tiers = Premium("tiers_whole", tiers=((Decimal(1000), Decimal(25)), (None, Decimal(20))))
    terms = Terms("Lindmoor Sales", "EUR", premium=tiers, vat_fees_pct=Decimal(19), ladder=Ladder.parse(steps))
    found = bid_limit(terms, Decimal(1_000_000))
    assert len(worked) < 100  # a walk over the rungs would take from 4,000 to 20 million
    assert found.all_in is not None
    assert found.next_all_in is not None
    assert found.all_in.amount <= 1_000_000 < found.next_all_in.amount


@pytest.mark.parametrize("steps", ["floor_euro", "two_five_eight", "0:30;100:50", "0:500;100:10;300:20"])
def test_the_rising_stretches_hold_each_rung_once(steps: Any) -> None:
    tiers = Premium("tiers_whole", tiers=((Decimal(75), Decimal(25)), (Decimal(110), Decimal(22)), (None, Decimal(20))))
    terms = Terms("Lindmoor Sales", "EUR", premium=tiers, ladder=Ladder.parse(steps))
    stretches = list(costs._rising(terms, Decimal(2000)))
    held = [first + n * step for first, step, count in stretches for n in range(count)]
    assert held == list(terms.ladder.rungs(held[-1]))
    assert held[-1] > 2000


@pytest.mark.parametrize("work", [all_in_cost, all_in_amount])
def test_no_hammer_is_below_nothing(work: Any) -> None:
    with pytest.raises(TermsError, match="below 0"):
        work(Terms("Lindmoor Sales", "EUR"), Decimal(-1))


def test_a_fee_below_nothing_and_tiers_that_are_none_are_refused() -> None:
    with pytest.raises(TermsError, match="below 0"):
        Terms("Lindmoor Sales", "EUR", shipping=Decimal(-1))
    with pytest.raises(TermsError, match="needs its tiers"):
        Premium("tiers_whole")
    assert Premium().text() == ""
    assert [known_zone(name) for name in ("Europe/Berlin", "../Berlin", "Middle/Nowhere")] == [True, False, False]


def test_a_venue_takes_only_currencies_that_are_known() -> None:
    with pytest.raises(TermsError, match="EUX is not a valid currency \\(did you mean EUR"):
        terms_from_row({"venue": "Lindmoor Sales", "currency": "EUX"}, codes={"EUR", "GBP"})


def test_back_to_the_hammer() -> None:
    terms = Terms("Lindmoor Sales", "EUR", premium=Premium("flat", Decimal(20)), shipping=Decimal(10))
    assert hammer_within(terms, Decimal(610)) == Decimal(500)
    assert hammer_within(terms, Decimal(5)) is None


ROW = {
    "Venue": "Lindmoor Sales", "currency": "eur", "Premium %": "", "premium_pct": "22,5", "min premium": "5",
    "vat_on_premium_pct": "19 %", "shipping": "12,50 EUR", "sales_tax_pct": "8.875", "tax_on_shipping": "yes",
    "bid_steps": "0:5;100:10;500:25", "time_zone": "Europe/Berlin", "payment-fee-pct": "3", "checked": "2026-02-01",
}  # fmt: skip


def test_a_row_of_plain_columns() -> None:
    terms = terms_from_row(ROW)
    assert terms == Terms(
        venue="Lindmoor Sales", currency="EUR", premium=Premium("flat", Decimal("22.5"), Decimal(5)),
        vat_fees_pct=Decimal(19), shipping=Decimal("12.50"), sales_tax_pct=Decimal("8.875"), tax_shipping=True,
        ladder=Ladder.parse("0:5;100:10;500:25"), time_zone="Europe/Berlin", card_pct=Decimal(3),
        checked=date(2026, 2, 1),
    )  # fmt: skip
    assert from_json(terms_to_json(terms)) == terms


def test_tiers_stand_in_a_json_cell() -> None:
    cell = '{"kind": "tiers_marginal", "tiers": [["5000", "25"], [null, "20"]]}'
    terms = terms_from_row({"house": "Brannental Auctions", "currency": "GBP", "premium": cell})
    assert terms.premium.of(Decimal(6000)) == Decimal("1450.00")


@pytest.mark.parametrize(
    ("change", "names"),
    [
        ({"Venue": ""}, "venue"),
        ({"currency": "euro"}, "EURO"),
        ({"currency": ""}, "an empty cell"),
        ({"time_zone": "Middle/Nowhere"}, "Middle/Nowhere"),
        ({"premium_pct": "2000"}, "premium_pct"),
        ({"shipping": "-3"}, "shipping"),
        ({"shipping": "1.250"}, "two ways"),
        ({"bid_steps": "5"}, "increments"),
        ({"bid_steps": "0:5;100"}, "increments"),
        ({"bid_steps": "0:0"}, "increment"),
        ({"bid_steps": "0:x"}, "increments"),
        ({"bid_steps": "0:5;50:10;20:5"}, "rise"),
        ({"bid_steps": "10:5"}, "begin at 0"),
        ({"tax_on_shipping": "perhaps"}, "perhaps"),
        ({"premium": "{broken"}, "premium"),
        ({"premium": '{"kind": "steep"}'}, "steep"),
        ({"premium": '{"tiers": 3}'}, "cannot be read"),
        ({"premium": '{"kind": "tiers_whole", "tiers": [[null, "5"], ["3", "2"]]}'}, "tiers"),
        ({"kind": "museum"}, "museum"),
        ({"checked": "soon"}, "checked"),
    ],
)
def test_a_bad_row_is_one_clear_sentence(change: dict[str, str], names: Any) -> None:
    with pytest.raises(TermsError, match=r"^[^\n]+\.$") as caught:
        terms_from_row({**ROW, **change})
    assert names in str(caught.value)


@settings(max_examples=60, deadline=None)
@given(st.dictionaries(st.sampled_from([*ROW, "premium", "kind"]), st.text(max_size=20)))
def test_a_row_raises_only_its_own_error(change: dict[str, str]) -> None:
    with suppress(TermsError):
        terms_from_row({**ROW, **change})


def test_increments_not_stated_are_assumed_and_said() -> None:
    terms = terms_from_row({"venue": "Lindmoor Sales", "currency": "EUR"})
    assert terms.ladder == common_practice("auction", "EUR")
    assert any("assumed" in line for line in describe(terms) if line.startswith("Increments"))
    assert replace(terms, currency="USD").ladder.name == "floor_dollar"
    assert not any("assumed" in line for line in describe(terms_from_row(ROW)) if line.startswith("Increments"))


def test_a_missing_rate_is_said() -> None:
    with pytest.raises(TermsError, match="GBP to EUR"):
        all_in_cost(Terms("Brannental Auctions", "GBP"), Decimal(5), home="EUR")


@pytest.mark.parametrize(
    "row",
    [
        {
            "venue": "Lindmoor Sales",
            "kind": "auction",
            "currency": "EUR",
            "premium_pct": "20",
            "min_premium": "29",
            "vat_on_premium_pct": "19",
            "shipping": "12.5",
            "bid_steps": "0:5;100:10",
            "time_zone": "Europe/Berlin",
        },
        {
            "venue": "Brannental Auctions",
            "kind": "auction",
            "currency": "GBP",
            "tax_on_shipping": "yes",
            "premium": '{"kind": "tiers_marginal", "tiers": [["5000", "25"], [null, "15"]]}',
            "payment_fee_pct": "2.5",
        },
        {"venue": "Ostrell Coins", "kind": "dealer", "currency": "USD", "checked": "2026-03-01"},
    ],
)
def test_terms_as_a_row_give_the_same_terms_again(row: dict[str, str]) -> None:
    terms = terms_from_row(row)
    assert terms_from_row(terms_to_row(terms)) == terms


def test_a_least_premium_beside_tiers_counts() -> None:
    tiers = '{"kind": "tiers_whole", "tiers": [[null, "20"]]}'
    row = {"venue": "V", "currency": "EUR", "min_premium": "10", "premium": tiers}
    assert all_in_cost(terms_from_row(row), Decimal(20)).all_in.amount == Decimal("30.00")


@pytest.mark.parametrize(
    ("text", "hammer", "premium"),
    [
        ("20", "100", "20.00"),
        ("0:25; 5000:20", "6000", "1450.00"),
        ("whole 0:25;1000:20", "1025", "205.00"),
        ("whole 0:25;1000:20", "1000", "250.00"),
        ("0:12,5 %", "100", "12.50"),
    ],
)
def test_a_premium_as_a_form_takes_it(text: str, hammer: str, premium: str) -> None:
    made = terms_from_row({"venue": "Lindmoor Sales", "currency": "EUR", "premium_pct": text, "min_premium": "8"})
    assert made.premium.of(Decimal(hammer)) == Decimal(premium)
    assert made.premium.minimum == 8
    again = terms_from_row({"venue": "x", "currency": "EUR", "premium_pct": made.premium.text(), "min_premium": "8"})
    assert again.premium == made.premium


@pytest.mark.parametrize("text", ["x", "0:x", "5:20", "0:25;0:20", "whole", "0:250", ":", "0:25;100"])
def test_a_premium_that_says_nothing_is_refused(text: str) -> None:
    with pytest.raises(TermsError):
        terms_from_row({"venue": "Lindmoor Sales", "currency": "EUR", "premium_pct": text})


def test_terms_of_parcels_are_kept_typed_and_shown() -> None:
    row = ROW | {
        "shipping": "0:9.80; 500:15", "shipping_more": "2.50", "min_insurance": "4", "payment_fee": "1.50",
        "vat_on_imported_pct": "5", "duty_from": "150", "import_vat_from": "22", "sales_tax_from": "800",
        "insurance_pct": "1", "import_vat_pct": "7", "ships_together": "days:7", "pay_days": "14", "return_days": "14",
        "guarantee_days": "365", "bids_by": "12", "or_bids": "yes",
    }  # fmt: skip
    terms = terms_from_row(row)
    assert terms_from_row(terms_to_row(terms)) == terms
    assert (terms.together.days, terms.hours_before, str(terms.shipping)) == (7, 12, "0")
    assert terms_from_row(ROW | {"payment_fee": "1.5%"}).card_pct == Decimal("1.5")
    shown = describe(terms)
    assert [line for line in shown if "parcel" in line or "days" in line or "sheet" in line or "hours" in line] == [
        "Insurance 1% of hammer and premium, at least 4 EUR a parcel",
        "Sales tax 8.875%, also on postage, none on a parcel up to 800 EUR (hammer and premium)",
        "Import VAT 7%, none on a parcel up to 22 EUR (hammer and premium)",
        "Postage of a parcel 9.80 EUR from 0 EUR, 15 EUR from 500 EUR, 2.50 EUR for each further lot",
        "Lots that close within 7 days of the first travel in one parcel",
        "Pay within 14 days of the invoice",
        "Returns within 14 days of arrival",
        "Answers for a piece for 365 days from arrival",
        "Bids by 12 hours before the sale",
        "Takes either-or bids on one sheet",
    ]
    for wrong in ({"ships_together": "weekly"}, {"ships_together": "days:61"}, {"pay_days": "two"}, {"or_bids": "x"}):
        with pytest.raises(TermsError):
            terms_from_row(ROW | wrong)
    with pytest.raises(TermsError, match="Lindmoor Sales: `weekly` is none of sale, days:1 to days:60, no"):
        terms_from_row(ROW | {"ships_together": "weekly"})


def test_a_purchase_at_the_threshold_bears_no_sales_tax() -> None:
    terms = Terms("Lindmoor Sales", "EUR", sales_tax_pct=Decimal(10), sales_tax_from=Decimal(100))
    assert [all_in_amount(terms, Decimal(hammer)) for hammer in (100, 101)] == [Decimal("100.00"), Decimal("111.10")]


def test_postage_by_steps_is_kept_as_it_is_typed() -> None:
    terms = Terms("Lindmoor Sales", "EUR", post_steps=PostSteps.from_text("0:9.80; 500:15"))
    assert PostSteps.from_text(terms_to_json(terms)["post_steps"]) == terms.post_steps
