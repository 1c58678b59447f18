"""Weights and levels of the signs.

Limits of weight are checked against statutes: 31 U.S.C. 5113(a); Act of 12 Feb 1873, 17 Stat. 424, ss. 36 to 38; Act of
18 Jan 1837, 5 Stat. 136, s. 25. tests/data/dimes.csv: 30 clad dimes weighed by M. Stob, data set Dimes of the R package
mosaicData; nominal 2.268 g, 31 U.S.C. 5112(a)(4).
"""

from __future__ import annotations

import csv
import math
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tests.core.orvany import CATALOGUE, SIGNS, SPECS, issue, lot, reading
from watchlist.core.coins.issue import Issue, bare_words
from watchlist.core.marks.doubts import CertSeen, Evidence, judge, learned_odds, level_of
from watchlist.core.marks.pricesign import price_weight, worth_it
from watchlist.core.marks.record import Doubt
from watchlist.core.marks.weighing import limits, spec_of, wear_share

GRAIN = 0.06479891
PARTS = ((1.0, math.log(420), 0.08),)


def doubt(said: dict[str, Any] | None = None, evidence: Evidence | None = None, **more: Any) -> Doubt:
    title = reading(**(said or {}))
    return judge(lot(**more), title, CATALOGUE.match(title), evidence or Evidence(), SIGNS, SPECS)


def ids(found: Doubt) -> dict[str, float]:
    return {sign.id: sign.weight for sign in (*found.signs, *found.comforts)}


def test_a_quiet_lot_has_no_doubt() -> None:
    found = doubt()
    assert (found.level, found.score, found.signs) == ("none", -4.0, ())


@pytest.mark.parametrize(
    ("said", "evidence", "more", "id", "weight"),
    [
        ({"mint": "M"}, Evidence(), {}, "copied", 2.0),
        ({}, Evidence(middle=2000, series_middle=400), {}, "scarce", 1.0),
        ({}, Evidence(middle=20), {}, "common", -1.0),
        ({"certified": True, "service": "QCG", "cert_number": "1"}, Evidence(), {}, "held", -2.0),
        ({"certified": True, "service": "QCG"}, Evidence(), {}, "", 0.0),  # a claim without a number proves nothing
        ({"year": 1892, "mint": "M"}, Evidence(), {}, "never", 4.0),
        ({"year": 1903}, Evidence(), {}, "beside", 3.0),  # the catalogue covers 1888 to 1899 well
        ({"year": 1910}, Evidence(), {}, "", 0.0),
        ({"year": 1903, "unsure": ("year",)}, Evidence(), {}, "", 0.0),
        ({}, Evidence(), {"description": "as is, not sure if real"}, "not_sure", 2.5),  # one breath, one sign
        ({}, Evidence(), {"feedback": 3}, "few_ratings", 1.75),
        ({}, Evidence(), {"feedback": 10}, "", 0.0),
        ({}, Evidence(), {"feedback": 50}, "established", -0.5),
        ({}, Evidence(), {"feedback": 50, "description": "as is"}, "no_returns", 1.5),
        ({}, Evidence(notes_copies=True), {}, "not_noted", -1.0),
        ({}, Evidence(middle=2000, series_middle=400, notes_copies=True), {}, "scarce", 1.0),
        ({}, Evidence(), {"description": "Sold AS-IS, thanks"}, "no_returns", 1.5),
        ({}, Evidence(), {"description": "not sure if real"}, "not_sure", 2.5),
        ({}, Evidence(), {"description": "Symbolbild!"}, "stock_picture", 1.5),
        ({}, Evidence(same_issue=9), {}, "", 0.0),  # no rarity
        ({}, Evidence(), {"weight_g": 25.0, "weight_step_g": 0.1}, "light", 3.5),
        ({}, Evidence(), {"weight_g": 27.9, "weight_step_g": 0.1}, "heavy", 4.0),
        ({}, Evidence(), {"weight_g": 27.1, "weight_step_g": 0.1}, "inside", -0.3),
        ({}, Evidence(), {"weight_g": 272.0, "weight_step_g": 1.0}, "", 0.0),  # a misplaced decimal point
        ({}, Evidence(venue_kind="marketplace"), {}, "marketplace", 0.5),
        ({}, Evidence(venue_kind="dealer"), {}, "other", -0.5),
        ({}, Evidence(parts=PARTS, cost=100, middle=420), {}, "price", 2.5),
        ({}, Evidence(parts=PARTS, cost=500, middle=420), {}, "price", -2.0),
    ],
)
def test_each_sign_has_its_weight(
    said: dict[str, Any], evidence: Evidence, more: dict[str, Any], id: str, weight: float
) -> None:
    found = doubt(said, evidence, **more)
    assert ids(found) == ({id: weight} if id else {})
    assert found.score == pytest.approx(-4.0 + weight)


@pytest.mark.parametrize(
    ("seen", "weight"),
    [
        (CertSeen("old sale", "5tor-1888", 30), 4.5),
        (CertSeen("lot 7", "5tor-1893", 30, live=True), 3.5),
        (CertSeen("old sale", "5tor-1893", 45), 1.5),
        (CertSeen("old sale", "5tor-1893", 30), -3.0),  # an honest resale, and the holder's own comfort
        (CertSeen("old sale", "", 30), -2.0),  # what was not read says nothing
    ],
)
def test_a_certificate_number_seen_before(seen: CertSeen, weight: float) -> None:
    said = {"certified": True, "service": "QCG", "cert_number": "123456"}
    found = doubt(said, Evidence(certs=(seen,)))
    assert found.score == pytest.approx(-4.0 + weight)


def test_an_honest_price_is_no_comfort_beside_a_number_that_stands_elsewhere() -> None:
    """Two lots with one number are doubted alike: the one with a fixed price, and the auction still open."""
    said = {"certified": True, "service": "QCG", "cert_number": "123456"}
    twice = Evidence(certs=(CertSeen("lot 7", "5tor-1893", 30, live=True),))
    priced = replace(twice, parts=PARTS, cost=400, middle=420)
    assert doubt(said, priced).score == doubt(said, twice).score
    assert doubt(said, priced).level == "caution"
    assert doubt(said, replace(priced, cost=100)).score > doubt(said, twice).score


def test_the_largest_number_sign_counts() -> None:
    said = {"certified": True, "cert_number": "1"}
    seen = (CertSeen("a", "5tor-1893", 30), CertSeen("b", "5tor-1888", 30))
    assert doubt(said, Evidence(certs=seen)).score == pytest.approx(0.5)


def test_the_sellers_signs_share_one_group() -> None:
    found = doubt(feedback=3, description="not sure if real. as is. stock photo")
    assert found.score == pytest.approx(-4.0 + 3.0)  # 2.5 + .67 x 1.75, at most 3
    assert doubt(feedback=3, description="stock photo").score == pytest.approx(-4 + 1.75 + 0.67 * 1.5)


def test_several_pieces_of_one_rarity_from_one_seller() -> None:
    assert ids(doubt({"mint": "M"}, Evidence(same_issue=2))) == {"copied": 2.0, "several": 2.5}
    assert ids(doubt({"mint": "M"}, Evidence(same_issue=1))) == {"copied": 2.0}
    assert ids(doubt({"mint": "M"}, quantity=3)) == {"copied": 2.0, "several": 2.5}


def test_levels_begin_at_their_figures() -> None:
    assert [level_of(score, SIGNS) for score in (-2.01, -2.0, -0.5, 1.0)] == ["none", "query", "caution", "strong"]
    assert doubt({"mint": "M"}).level == "query"
    assert doubt({"year": 1892, "mint": "M"}).level == "caution"
    assert doubt({"year": 1892, "mint": "M"}, Evidence(venue_kind="auction")).level == "caution"
    assert doubt({"year": 1892, "mint": "M"}, Evidence(venue_kind="auction"), feedback=500).level == "query"  # a slip?
    assert doubt({"mint": "M"}, Evidence(venue_kind="auction"), feedback=3).level == "query"  # no word on the piece
    assert doubt({"mint": "M"}, Evidence(parts=PARTS, cost=100)).level == "caution"


def test_a_disclosed_copy_has_no_score() -> None:
    found = doubt({"replica": True, "mint": "M"}, feedback=0)
    assert found.copy
    assert found.signs == ()
    assert found.level == "none"


def test_texts_carry_figures_and_never_say_fake() -> None:
    found = doubt(
        {"mint": "M"}, Evidence(parts=PARTS, cost=100, middle=420), weight_g=25.0, weight_step_g=0.1, feedback=1
    )
    words = " ".join(f"{s.text} {s.could_be}" for s in found.signs)
    assert "stated weight 25 g, standard 27.2 g" in words
    assert "24% of the median" in words
    assert "seller with 1 rating" in words
    assert "fake" not in words
    assert [s.weight for s in found.signs] == sorted((s.weight for s in found.signs), reverse=True)


@pytest.mark.parametrize(
    "text",
    [
        "Sold as-is",
        "no returns please",
        "Keine Rücknahme",
        "KEINE RÜCKGABE",
        "vendu en l'état",
        "pas de retour",
        "nessun reso",
        "sin devoluciones",
        "geen retour",
        "looks genuine to me",
        "sieht echt aus",
        "semble authentique",
        "sembra autentica",
        "parece auténtica",
        "lijkt echt",
        "found in a drawer",
        "Dachbodenfund",
        "trouvée au grenier",
        "non me ne intendo",
        "no entiendo de monedas",
        "op zolder gevonden",
        "authenticité non garantie",
        "Echtheit unbekannt",
        "echtheid onbekend",
        "autenticità sconosciuta",
        "autenticidad desconocida",
        "not sure if it's real",
        "Photo non contractuelle",
        "Voorbeeldfoto",
        "foto di repertorio",
        "foto de archivo",
    ],
)
def test_talk_is_heard_in_six_languages(text: str) -> None:
    assert doubt(description=f"Nice piece. {text}. Thanks").signs


@pytest.mark.parametrize(
    "text",
    [
        "returns accepted",
        "the same as is shown",
        "as issued",
        "Rücknahme möglich",
        "retour possible",
        "stocked",
        "basis",
    ],
)
def test_ordinary_words_are_not_talk(text: str) -> None:
    assert doubt(description=f"Nice piece, {text}").signs == ()


def test_a_fault_that_explains_the_weight_is_no_sign() -> None:
    assert doubt({"problems": ("holed",)}, weight_g=25.0).signs == ()
    assert doubt({"problems": ("mounted",)}, weight_g=29.0).signs == ()
    assert doubt({"problems": ("cleaned",)}, weight_g=25.0).signs


def us(denomination: str, year: int, weight: float | None = None, **more: Any) -> Issue:
    return Issue("us", "United States", denomination, year, weight_g=weight, **more)


@pytest.mark.parametrize(
    ("piece", "grains", "section"),
    [
        (us("5 cent", 1950, 5.0), 0.194 / GRAIN, "5113(a)"),  # 31 U.S.C. 5113(a): 0.194 g
        (us("cent", 1950, 3.11), 0.13 / GRAIN, "5113(a)"),  # 31 U.S.C. 5113(a): 0.13 g
        (us("20 dollar", 1900, 33.436), 0.5, "36"),  # Act of 1873 s. 36
        (us("10 dollar", 1900, 16.718), 0.5, "36"),
        (us("5 dollar", 1900, 8.359), 0.25, "36"),
        (us("2.5 dollar", 1900, 4.18), 0.25, "36"),
        (us("dollar", 1900, 26.73), 1.5, "37"),  # s. 37: alike on dollar, half, quarter and dime
        (us("half dollar", 1900, 12.5), 1.5, "37"),
        (us("quarter dollar", 1900, 6.25), 1.5, "37"),
        (us("dime", 1900, 2.5), 1.5, "37"),
        (us("3 cent", 1880, 1.944), 2.0, "38"),  # s. 38
        (us("half dollar", 1845, 13.365), 1.5, "25"),  # Act of 1837 s. 25
        (us("quarter dollar", 1845, 6.682), 1.0, "25"),
        (us("dime", 1845, 2.673), 0.5, "25"),
        (us("half dime", 1845, 1.336), 0.5, "25"),
        (us("cent", 1845, 10.886), 168 / 24, "25"),  # copper: 1 grain a pennyweight
    ],
)
def test_limits_keep_the_remedy_of_the_statute(piece: Issue, grains: float, section: str) -> None:
    found = limits(piece, 65, SIGNS, SPECS)
    assert found is not None
    assert found.tolerance == pytest.approx(grains * GRAIN, abs=0.0006)
    assert section in found.source
    assert found.high - found.standard == pytest.approx(found.tolerance)
    assert found.standard - found.low == pytest.approx(found.tolerance)  # no wear at 65


def test_every_statute_row_names_its_law_and_how_it_was_read() -> None:
    assert len(SPECS) == 106
    assert all(spec.law and spec.status for spec in SPECS)
    assert all(spec.tolerance_g is None or 0 < spec.tolerance_g < 0.07 * (spec.weight_g or 0) for spec in SPECS)


def test_a_statute_is_used_only_for_its_own_piece() -> None:
    assert spec_of(us("dollar", 1900, 20.0), SPECS) is None  # another weight
    assert spec_of(us("dollar", 1950, 26.73), SPECS) is None  # not in force
    assert spec_of(us("dime", 1900), SPECS) is not None  # the catalogue has no weight: the statute gives it
    assert spec_of(issue(1893), SPECS) is None
    own = limits(us("dime", 1900, 2.5, weight_tolerance_g=0.05), 65, SIGNS, SPECS)
    assert own is not None
    assert (own.tolerance, own.source) == (0.05, "the catalogue")


def test_the_mean_of_many_bounds_one_piece_three_times_wider() -> None:
    # Royal Canadian Mint Act, Sch. Part 2 item 2: 21.38 g a kilogram of 143 pieces of 7 g.
    found = limits(Issue("ca", "Canada", "dollar", 1990, weight_g=7.0), 65, SIGNS, SPECS)
    assert found is not None
    assert found.tolerance == pytest.approx(3 * 21.38 / 1000 * 7, rel=0.01)


def test_wear_is_taken_off_below_only_and_gold_wears_a_third() -> None:
    shares = [wear_share(grade, "silver .900", SIGNS) for grade in (65, 60, 58, 45, 30, 12, 8, 4, 3)]
    assert shares == [0.0, 0.0, 0.005, 0.01, 0.015, 0.025, 0.04, 0.06, 0.10]
    assert wear_share(None, "silver", SIGNS) == 0.10
    assert wear_share(45, "gold .900", SIGNS) == pytest.approx(0.01 * 0.333)
    assert wear_share(45, "Au900Cu100", SIGNS) == pytest.approx(0.01 * 0.333)
    assert wear_share(45, "silver, gilt", SIGNS) == 0.01


DIMES = Path(__file__).parents[1] / "data" / "dimes.csv"


def test_thirty_real_dimes_stay_inside_the_limits() -> None:
    """The statute sets no tolerance for a clad dime. The pieces come from circulation: a VF is assumed. The plain .008
    of the standard would call 4 of the 30 too heavy; that is why the guess is never less than half a grain."""
    dime = us("dime", 2000, 2.268)
    guess = limits(dime, 30, SIGNS, SPECS)
    assert guess is not None
    with DIMES.open(encoding="utf-8") as rows:
        masses = [float(row["mass"]) for row in csv.DictReader(rows)]
    assert len(masses) == 30
    assert sum(mass > 2.268 * 1.008 for mass in masses) == 4
    assert [mass for mass in masses if not guess.low <= mass <= guess.high] == []
    yardstick = replace(dime, weight_tolerance_g=1.5 * GRAIN)  # the 1873 Act's remedy on a silver dime, s. 37
    wide = limits(yardstick, 65, SIGNS, SPECS)
    assert wide is not None
    assert all(wide.low <= mass <= wide.high for mass in masses)


SPREAD = st.lists(st.tuples(st.floats(0.05, 1), st.floats(2, 8), st.floats(0.02, 0.6)), min_size=1, max_size=4)


@settings(max_examples=50, deadline=None)
@given(SPREAD, st.floats(0.5, 5000), st.floats(0.05, 1.0))
def test_a_lower_price_never_weighs_less(parts: list[tuple[float, float, float]], cost: float, share: float) -> None:
    dear, cheap = price_weight(cost, parts), price_weight(cost * share, parts)
    assert -2.0 <= dear <= cheap <= 2.5


def test_a_hundredth_of_the_value_is_the_largest_sign() -> None:
    assert price_weight(4.2, PARTS) == 2.5
    assert price_weight(0.01, PARTS) == 2.5
    assert -2.0 < price_weight(420, PARTS) < -1.5
    assert price_weight(1e9, PARTS) == -2.0
    assert price_weight(0, PARTS) == 0.0
    assert price_weight(100, ()) == 0.0


def test_worth_it_falls_as_the_cost_rises() -> None:
    chances = [worth_it(cost, PARTS, 0.8) for cost in (200, 330, 360, 420)]
    assert chances == sorted(chances, reverse=True)
    assert chances[0] > 0.95
    assert chances[-1] < 0.05


def test_outcomes_teach_within_bounds() -> None:
    assert learned_odds(0, 0) == 0.0
    assert learned_odds(3, 0.1) == pytest.approx(math.log(3.5 / 0.6))
    assert learned_odds(50, 0) == 2.5
    assert learned_odds(0, 50) == -1.5
    assert doubt(evidence=Evidence(learned=1.2)).score == pytest.approx(-2.8)


@settings(max_examples=50, deadline=None)
@given(st.text(max_size=80), st.text(max_size=120), st.none() | st.integers(-5, 10_000), st.none() | st.floats(0, 1e6))
def test_no_text_or_figure_breaks_a_doubt(title: str, text: str, feedback: int | None, grams: float | None) -> None:
    found = doubt(title=title, description=text, feedback=feedback, weight_g=grams)
    assert -9 <= found.score <= 9
    assert bare_words(title) == bare_words(bare_words(title))


def test_a_weight_at_the_limit_of_rounding_is_no_sign() -> None:
    """27.2 g, tolerance .2176 and wear .408 at VF-30: from 26.5744 g to 27.4176 g."""
    for step, inside, outside in ((0.1, (26.5, 27.5), (26.4, 27.6)), (0.01, (26.57, 27.42), (26.55, 27.44))):
        for weight, signed in (*((each, False) for each in inside), *((each, True) for each in outside)):
            found = ids(doubt(weight_g=weight, weight_step_g=step))
            assert bool({"light", "heavy"} & set(found)) == signed, (weight, step)


def test_two_things_said_in_one_breath_count_once_and_in_two_sentences_twice() -> None:
    once = doubt(description="Looks real to me and sold as is.")
    twice = doubt(description="Looks real to me. Sold as is.")
    assert ids(once) == {"looks_real": 2.0}
    assert ids(twice) == {"looks_real": 2.0, "no_returns": 1.5}


def test_a_dismissed_number_stays_dismissed_although_its_words_changed() -> None:
    said = {"certified": True, "service": "QCG", "cert_number": "Q4"}
    seen = CertSeen("lot a:1", "5tor-1888", 30, name="Orvany 5 tor 1888")
    old = "number: certificate number Q4 was seen on another piece, 5tor-1888 (lot a:1)"
    assert "another coin, Orvany 5 tor 1888" in doubt(said, Evidence(certs=[seen])).signs[0].text
    found = doubt(said, Evidence(certs=[seen], dismissed={old: "asked the service"}))
    assert [sign.id for sign in found.dismissed] == ["other_issue"]
