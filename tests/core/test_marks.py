from __future__ import annotations

from dataclasses import replace
from datetime import timedelta
from decimal import Decimal
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tests.core.orvany import BAND, OneBand, context, eur, later, lot, reading, want
from tests.growth import dearer
from watchlist.core.fees.premiums import Premium
from watchlist.core.fees.terms import Terms
from watchlist.core.lots.record import Lot
from watchlist.core.marks.assumed import Assumed
from watchlist.core.marks.context import Context
from watchlist.core.marks.doubts import CertSeen
from watchlist.core.marks.mark import judge
from watchlist.core.marks.record import SIGNS, Judgement
from watchlist.core.money.amount import Money
from watchlist.core.prices.record import Band
from watchlist.core.prices.traits import traits_from
from watchlist.core.reading.record import Reading
from watchlist.words import load


def marked(of: Lot | None = None, said: dict[str, Any] | None = None, **more: Any) -> Judgement:
    return judge(of or lot(), reading(**(said or {})), context(**more))


def words(found: Judgement) -> str:
    return " ".join(reason.text for reason in found.reasons)


def test_the_bargain_of_the_example_with_its_sentence() -> None:
    found = marked()
    assert (found.mark, found.so_far, found.also) == ("bargain", False, ())
    assert found.reasons[0].text == (
        "310 EUR all in. VF-30 raw: worth 380 to 460 EUR all in, median 420 "
        "(14 sales in all grades, newest 3 weeks ago); a single sale may bring 380 to 460. "
        "This lot is 26% below the median."
    )
    assert found.gap == Decimal("-0.2619")
    assert found.all_in == eur(310)


@pytest.mark.parametrize(
    ("price", "mark"),
    [
        (330, "bargain"),
        (360, "low"),
        (379, "low"),
        (380, "in range"),
        (420, "in range"),
        (460, "in range"),
        (461, "over"),
    ],
)
def test_the_edges_of_the_marks(price: int, mark: str) -> None:
    """A value of 380 to 460, median 420: worth 330/.80 = 412 is likelier than not, worth 360/.80 = 450 is not."""
    assert marked(lot(price)).mark == mark


def test_the_value_judges_and_the_price_band_does_not() -> None:
    found = marked(lot(365), market=OneBand(replace(BAND, low=Decimal(350), high=Decimal(500)), BAND))
    assert (found.mark, found.band != found.value) == ("low", True)
    assert found.value == BAND
    assert marked(lot(470), market=OneBand(replace(BAND, high=Decimal(500)), BAND)).mark == "over"


def test_the_chance_that_a_bargain_needs_can_be_set() -> None:
    dear = lot(360)
    chance = marked(dear).chance_worth_it
    assert chance is not None
    assert [marked(dear, bargain_chance=least).mark for least in (chance - 0.01, chance + 0.01)] == ["bargain", "low"]
    assert marked(lot(430), bargain_chance=0.01).mark == "in range"  # never above the value's median


def test_a_bargain_says_its_chance_in_words() -> None:
    found = marked(lot(310))
    tenths = round(10 * (found.chance_worth_it or 0))
    said = words(found)
    assert f"Rough estimate, not a verdict: about {tenths} in 10 that it is genuine and worth 388 EUR or more." in said


def test_a_bare_price_makes_no_bargain_and_assumed_fees_do() -> None:
    bare = marked(lot(200, venue="Elsewhere"))
    assert (bare.mark, bare.all_in) == ("low", eur(200))
    assert "no Bargain: fees not included: no terms for Elsewhere" in words(bare)
    fees = Assumed(postage=Decimal(9))
    priced = marked(lot(200, venue="Elsewhere"), assumed=fees)
    assert (priced.mark, priced.all_in) == ("bargain", eur(209))
    assert "(fees assumed: no terms for Elsewhere)" in words(priced)
    assert marked(lot(200, "ended", venue="Elsewhere"), assumed=fees).all_in == eur(249)  # and 20 per cent premium
    assert marked(lot(200), assumed=fees).all_in == eur(200)  # the venue's own terms come first


def test_fees_count() -> None:
    """Worked by hand: flat 20 per cent, so 300 costs 360; with a 29 minimum 100 costs 129."""
    assert marked(lot(300, "ended", venue="Lindmoor Sales")).all_in == eur(360)
    assert marked(lot(300, "ended", venue="Lindmoor Sales")).mark == "low"
    least = Terms("Lindmoor Sales", "EUR", premium=Premium("flat", Decimal(20), Decimal(29)))
    found = marked(lot(100, "ended", venue="Lindmoor Sales"), terms={"Lindmoor Sales": least})
    assert found.all_in == eur(129)
    assert dict(found.cost_lines)["premium"] == "29 EUR"


@pytest.mark.parametrize(
    ("said", "word"),
    [
        ({"grade_low": None, "grade_high": None}, "no grade"),
        ({"multiple": True}, "Several pieces"),
        ({"year": None}, "no year"),
        ({"denomination": None, "title": "Old silver", "country": None}, "denomination"),
        ({"confidence": 0.2}, "main mint"),
        ({"unsure": ("year",)}, "Two readings"),
        ({"alternatives": (("grade", "40"),)}, "Two readings"),
        ({"mint": "M", "unsure": ("mint",)}, "mint is not sure"),
    ],
)
def test_unclear_says_what_is_missing(said: dict[str, Any], word: str) -> None:
    found = marked(said=said)
    assert found.mark == "unclear"
    assert word in words(found)


def test_no_price_is_unclear_with_its_reason() -> None:
    found = marked(lot(None, None, price_note="two unlabelled amounts"))
    assert found.mark == "unclear"
    assert "two unlabelled amounts" in words(found)
    assert "implausible" in words(marked(lot("1e30")))
    assert found.band == BAND


def test_few_sales() -> None:
    assert marked(band=None).mark == "few sales"
    assert marked(band=replace(BAND, low=Decimal(100), high=Decimal(401))).mark == "few sales"
    assert marked(band=replace(BAND, low=Decimal(100), high=Decimal(400))).mark != "few sales"
    assert marked(said={"kind": "medal", "denomination": None, "grade_low": None}).mark == "few sales"
    assert marked(said={"denomination": "20 tor"}).mark == "few sales"  # read well, not in the catalogue


def test_a_typed_band_steps_in_where_sales_are_few_or_a_grade_is_missing() -> None:
    own = want(low=eur(380), high=eur(460))
    assert marked(band=None).mark == "few sales"
    found = judge(lot(), reading(), context(own, band=None))
    assert (found.mark, found.band.basis if found.band else "") == ("bargain", "own")
    assert "Your own band: 380 to 460 EUR all in" in words(found)
    assert judge(lot(), reading(grade_low=None, grade_high=None), context(own, band=None)).mark == "bargain"
    narrow = judge(lot(), reading(), context(own))
    assert narrow.band == BAND  # the market's own band is good enough


@pytest.mark.parametrize(
    ("basis", "sales", "word"),
    [("guide", 0, "by a price guide"), ("similar", 0, "estimate from similar issues"), ("sales", 1, "(1 sale,")],
)
def test_what_a_band_rests_on_is_said(basis: Any, sales: int, word: str) -> None:
    assert word in words(marked(band=replace(BAND, basis=basis, sales=sales)))


def test_an_open_auction_is_no_bargain_until_the_last_gather_before_it_closes() -> None:
    def so_far(hours: float | None, price: int = 60, **more: Any) -> Judgement:
        closes = None if hours is None else later(hours)
        return marked(lot(price, "so far", closes=closes, venue="Lindmoor Sales"), **more)

    early = so_far(30)
    assert (early.mark, early.also, early.so_far) == ("in range", ("early",), True)
    assert "closes after your next gather" in words(early)
    late = so_far(23, 240)
    assert (late.mark, late.so_far) == ("bargain", True)
    assert "at the current bid" in words(late)
    assert so_far(23, 240, every=timedelta(hours=12)).mark == "in range"
    assert so_far(47, 240, every=timedelta(days=2)).mark == "bargain"
    assert so_far(None).mark == "in range"
    assert "is over" in words(so_far(-1))
    assert marked(lot(500, "so far", closes=later(30))).mark == "over"  # bids only rise
    assert so_far(23).doubt.score == so_far(200).doubt.score  # the price sign waits for the last 12 hours
    assert so_far(11).doubt.score > so_far(23).doubt.score


def test_a_bargain_so_far_needs_a_bid_seen_at_this_gather() -> None:
    old = lot(240, "so far", closes=later(5), venue="Lindmoor Sales", last_seen=later(-24))
    assert marked(old).mark == "bargain"
    found = marked(old, gathered=lambda source: later(-1) if source == "north" else None)
    assert found.mark == "in range"
    assert "not seen at the last gather" in words(found)


def test_an_open_auction_shows_its_room() -> None:
    found = judge(
        lot(60, "so far", closes=later(30), venue="Lindmoor Sales"), reading(), context(want(ceiling=eur(300)))
    )
    assert found.bid_limit is not None
    assert found.bid_limit.amount <= 250
    assert found.bid_limit.currency == "EUR"
    assert " hammer, current bid 60 (ceiling 300 EUR all in, w1)." in words(found)


def test_an_estimate_never_makes_a_bargain() -> None:
    found = marked(lot(100, "estimate", closes=later(5)))
    assert found.mark == "in range"
    assert "low estimate" in words(found)
    assert marked(lot(500, "estimate")).mark == "over"


def test_the_highest_ceiling_counts_and_names_its_want() -> None:
    dear = lot(400)
    found = judge(dear, reading(), context(want(ceiling=eur(300)), want("w2", ceiling=eur(350))))
    assert (found.mark, found.ceiling, found.ceiling_want) == ("above ceiling", eur(350), "w2")
    assert found.wants == ("w1", "w2")
    assert "Above your ceiling of 350 EUR all in (w2)." in words(found)
    over = judge(lot(470), reading(), context(want(ceiling=eur(300))))
    assert (over.mark, over.also) == ("over", ("above ceiling",))
    early = judge(lot(390, "so far", closes=later(90)), reading(), context(want(ceiling=eur(300))))
    assert early.mark == "above ceiling"  # at any time


def test_a_bargain_over_the_ceiling_stays_a_bargain_and_says_so() -> None:
    found = judge(lot(310), reading(), context(want(ceiling=eur(300))))
    assert (found.mark, found.also) == ("bargain", ("above ceiling",))
    assert "Above your ceiling of 300 EUR all in (w1)." in words(found)


def test_a_cheap_lot_on_a_copied_date_is_a_doubt_first() -> None:
    found = marked(lot(100), {"mint": "M"})
    assert (found.mark, found.also) == ("doubt", ("bargain",))
    assert "copied or altered" in words(found)
    assert next(r.strength for r in found.reasons if r.strength) == "strong"


def test_a_query_blocks_the_bargain_mark() -> None:
    found = marked(lot(310), {"mint": "M"})
    assert found.doubt.level == "query"
    assert (found.mark, found.also) == ("low", ("signs",))
    assert "check the signs below first" in words(found)


def test_an_unsure_point_blocks_the_bargain_mark() -> None:
    found = marked(said={"unsure": ("problems",)})
    assert (found.mark, found.also) == ("low", ("unsure",))
    assert "not sure: problems" in words(found)


def test_a_copy_is_a_copy_whatever_else_it_is() -> None:
    found = marked(lot(3), {"replica": True, "multiple": True, "year": 1892, "mint": "M"})
    assert found.mark == "copy"
    assert found.chance_worth_it is None


def test_never_struck_is_a_doubt_although_no_band_is_known() -> None:
    found = marked(said={"year": 1892, "mint": "M"})
    assert (found.mark, found.issue) == ("doubt", None)
    assert found.doubt.level == "caution"


def test_a_number_seen_elsewhere_is_asked_without_the_lot_itself() -> None:
    asked = []

    def certs(number: str, service: str, key: str) -> list[CertSeen]:
        asked.append((number, service, key))
        return [CertSeen("Lindmoor Sales, lot 7", "5tor-1888", 30)]

    found = marked(said={"certified": True, "service": "QCG", "cert_number": "77"}, certs=certs)
    assert found.mark == "doubt"
    assert asked == [("77", "QCG", "north:1")]


def test_a_raw_worded_grade_asks_the_market_for_the_whole_range() -> None:
    market = OneBand()
    marked(said={"grade_low": 20, "grade_high": 35, "problems": ("cleaned",)}, market=market)
    piece = market.asked[0]
    assert (piece.grade_low, piece.grade_high, piece.raw, piece.problems) == (20, 35, True, ("cleaned",))
    assert piece.venue_kind == "marketplace"


def test_a_mark_keeps_the_faults_and_traits_that_its_value_rests_on() -> None:
    known = traits_from(load("traits"))
    found = marked(said={"problems": ("env_damage",), "strike": "weak"}, traits=known)
    assert found.beyond == ("environmental damage", "strike:weak")
    assert "VF-30 raw, environmental damage, strike weak: worth" in words(found)
    assert marked(said={"problems": ("cleaned",)}, market=OneBand(None)).beyond == ()


def test_a_foreign_price_without_rate_is_unclear() -> None:
    crowns = replace(lot(), price=Money(Decimal(100), "SEK"), venue="")
    found = marked(crowns)
    assert found.mark == "unclear"
    assert "no exchange rate from SEK to EUR" in words(found)


def test_the_chance_of_being_worth_it() -> None:
    cheap, fair = marked(lot(310)).chance_worth_it, marked(lot(420)).chance_worth_it
    assert cheap is not None
    assert fair is not None
    assert cheap > 0.36 > fair
    assert marked(lot(60, "so far", closes=later(90))).chance_worth_it is None


BANDS = st.none() | st.builds(
    lambda low, mid, high, basis: Band(low, low * mid, low * mid * high, "EUR", "all-in", 3, None, basis),
    st.decimals(1, 2000, places=2),
    st.decimals(1, 3, places=2),
    st.decimals(1, 3, places=2),
    st.sampled_from(["sales", "guide", "similar"]),
)
LOTS = st.builds(
    lambda price, kind, hours, text, **more: lot(
        price, kind, closes=None if hours is None else later(hours), description=text, **more
    ),
    st.none() | st.decimals(0, 5000, places=2),
    st.sampled_from(["fixed", "so far", "estimate", "ended", None]),
    st.none() | st.floats(-50, 500),
    st.sampled_from(["", "as is", "stock photo", "not sure if real \x1b[31m"]),
    venue=st.sampled_from(["", "Lindmoor Sales", "Wexby Coin Market", "Elsewhere"]),
    feedback=st.none() | st.integers(0, 50),
    weight_g=st.none() | st.floats(20, 30),
    seller=st.sampled_from(["", "anna"]),
)
TITLES = st.builds(
    reading,
    year=st.sampled_from([None, 1892, 1893, 1894]),
    mint=st.sampled_from([None, "M", "V", "Q"]),
    denomination=st.sampled_from([None, "5 tor", "20 tor"]),
    grade_low=st.sampled_from([None, 20, 30]),
    certified=st.booleans(),
    cert_number=st.sampled_from([None, "1"]),
    replica=st.booleans(),
    multiple=st.booleans(),
    unsure=st.sampled_from([(), ("mint",), ("grade",), ("year",)]),
    confidence=st.floats(0, 1),
    kind=st.sampled_from(["coin", "coin", "medal", "set"]),
)


@settings(max_examples=60, deadline=None)
@given(LOTS, TITLES, BANDS, st.booleans())
def test_every_lot_has_exactly_one_mark_and_no_doubt_is_outranked(
    of: Lot, said: Reading, band: Band | None, asked: bool
) -> None:
    wants = [want(ceiling=eur(300), low=eur(50), high=eur(150))] if asked else []
    found = judge(of, said, context(*wants, band=band))
    assert found.mark in SIGNS
    assert found.reasons
    assert all(reason.text for reason in found.reasons)
    assert (found.mark == "copy") == said.replica
    if found.doubt.level in ("caution", "strong"):
        assert found.mark == "doubt"
    if found.mark == "bargain":
        assert found.doubt.level == "none"
        assert of.price_kind in ("fixed", "ended", "so far")
        assert found.gap is not None
        assert found.gap <= 0
        assert not said.unsure
        assert not said.multiple
    assert found.mark not in found.also
    assert "bargain" not in found.also or found.mark == "doubt"
    assert set(found.also) <= {"bargain", "low", "over", "above ceiling", "early", "signs", "unsure"}


def test_a_lot_is_judged_by_the_wants_of_its_year_alone() -> None:
    few = context(*(want(f"w{n}", 1888 + n % 12, ceiling=eur(200 + n)) for n in range(24)))
    more = context(*(want(f"w{n}", 1788 + n % 120, ceiling=eur(200 + n)) for n in range(240)))
    lots = [
        lot(
            50 + n % 500,
            ("fixed", "so far")[n % 2],
            venue="Lindmoor Sales",
            closes=later(n % 90),
            weight_g=27.0,
            description="A nice old piece from a collection. " * 10,
        )
        for n in range(100)
    ]
    said = reading(mint="V")

    def judged(here: Context) -> list[object]:
        return [judge(one, said, here) for one in lots]

    assert dearer(lambda: judged(more), lambda: judged(few)) < 3  # ten times as many wants


@pytest.mark.parametrize(("venue", "why"), [("", "the source has no venue"), ("Elsewhere", "no terms for Elsewhere")])
def test_a_limit_that_cannot_be_reckoned_is_not_called_no_bid(venue: str, why: str) -> None:
    wanted = want(ceiling=eur(500), min_grade=20)
    found = judge(lot(100, "so far", venue=venue, closes=later(48)), reading(), context(wanted))
    assert found.bid_limit is None
    assert f"No bid limit can be calculated for your ceiling of 500 EUR (w1): {why}." in words(found)
    tight = want(ceiling=eur(1), min_grade=20)
    found = judge(lot(100, "so far", venue="Lindmoor Sales", closes=later(48)), reading(), context(tight))
    assert "Even the lowest bid exceeds your ceiling of 1 EUR all in" in words(found)


def test_before_postage_the_value_is_held_against_the_cost_without_it() -> None:
    """Worked by hand: 300 and 20 post cost 320; before postage 300, 28.6 per cent below 420."""
    posted = {"Wexby Coin Market": Terms("Wexby Coin Market", "EUR", "marketplace", shipping=Decimal(20))}
    before = replace(BAND, kind="before postage")
    found = marked(lot(300), band=before, terms=posted)
    assert (found.mark, found.all_in, found.gap) == ("bargain", eur(320), Decimal("-0.2857"))
    assert "Before postage this lot costs 300 EUR, 29% below the median." in words(found)
    dear = {"Wexby Coin Market": Terms("Wexby Coin Market", "EUR", "marketplace", shipping=Decimal(130))}
    shared = marked(lot(300), band=before, terms=dear)
    assert (shared.mark, shared.also) == ("low", ("shared",))
    assert "Cheap only with shared postage: 300.00 before postage, median 420.00, alone 430.00 EUR." in words(shared)
    assert marked(lot(300), terms=dear).mark == "in range"  # all in


def test_the_sentence_names_the_piece_with_its_faults_and_what_moves_its_value() -> None:
    weak = traits_from(load("traits"))
    found = marked(said={"problems": ("rim_damage",), "strike": "weak"}, traits=weak)
    assert "VF-30 raw, rim damage, strike weak: worth " in words(found)
