"""A piece held against statute, catalogue, wear, alloy and genuine pieces; and the order of checks by kind of piece."""

from __future__ import annotations

import csv
import random
from dataclasses import replace
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from watchlist import words
from watchlist.core.bench.alloys import metals_from
from watchlist.core.bench.check import Check, Standards, check
from watchlist.core.bench.measurements import FIELDS, BenchError, Measurements, measurements_from
from watchlist.core.bench.order import order_of
from watchlist.core.bench.units import Measured
from watchlist.core.coins.issue import Issue
from watchlist.core.marks.signs import signs_from
from watchlist.core.marks.weighing import specs_from

DATA = Path(__file__).resolve().parents[2] / "data"
METALS = metals_from(words.load("alloys"))
TABLE = words.load("bench")
STANDARDS = Standards(signs_from(words.load("signs")), specs_from(words.load("specs")), METALS)
TOR = Issue(
    "t", "Orvany", "5 tor", 1893, "V", metal="silver .900", weight_g=25.0, diameter_mm=37.0, thickness_mm=2.5,
    weight_tolerance_g=0.1,
)  # fmt: skip


def checked(issue: Issue = TOR, grade: int | None = 60, genuine: tuple[Measurements, ...] = (), **typed: str) -> Check:
    return check(issue, grade, measurements_from(typed), replace(STANDARDS, genuine=genuine))


@pytest.mark.parametrize(
    ("weight", "grade", "outcome"),
    [
        ("25.00", 60, "inside"), ("24.89", 60, "under"), ("25.11", 60, "over"), ("24.90", 60, "inside"),
        ("24.1", 4, "inside"), ("24.1", 45, "under"), ("25.2", 4, "over"),
    ],
)  # fmt: skip
def test_weight_has_wear_below_and_never_above(weight: str, grade: int, outcome: str) -> None:
    (found,) = checked(weight=weight, grade=grade).bounds
    assert found.outcome == outcome
    assert found.source.startswith("25 g, 0.1 g either way by the catalogue")


def test_all_thirty_dimes_are_inside_the_yardstick() -> None:
    """M. Stob's clad dimes (mosaicData): 2.268 g by 31 U.S.C. 5112, 1.5 grains of the 1873 Act as a yardstick."""
    dime = Issue("d", "United States", "dime", 2004, weight_tolerance_g=0.0972, weight_g=2.268, metal="Cu91.67Ni8.33")
    with (DATA / "dimes.csv").open(encoding="utf-8", newline="") as file:
        masses = [row["mass"] for row in csv.DictReader(file)]
    assert len(masses) == 30
    for mass in masses:
        (found,) = checked(dime, None, weight=mass, readability="0.001").bounds
        assert found.outcome == "inside", mass


def test_a_statute_is_named_with_law_and_section() -> None:
    mark = Issue("m", "Germany", "20 mark", 1890)
    (found,) = checked(mark, 60, weight="7.96").bounds
    assert found.outcome == "inside"
    assert "0.02 g either way by" in found.source
    assert checked(mark, 60, weight="8.00").bounds[0].outcome == "over"


def test_sizes_and_what_has_no_standard() -> None:
    found = {bound.name: bound for bound in checked(weight="25", diameter="36.5", thickness="2.2").bounds}
    assert found["diameter"].outcome == "under"
    assert found["thickness"].outcome == "inside"
    bare = checked(Issue("x", "Orvany", "1 lind", 1880), None, weight="3", diameter="20")
    assert [bound.outcome for bound in bare.bounds] == ["no standard", "no standard"]
    assert not bare.tested
    assert not bare.ruled_out


def test_density_needs_the_dry_weight_and_takes_it_from_the_weight() -> None:
    found = checked(weight="25.00", wet="22.58", water="20")
    assert found.density is not None
    assert found.density.agreement == "agrees"
    assert checked(weight="25.0", wet="22.0").ruled_out


def test_a_magnet_speaks_only_where_it_pulls_or_should() -> None:
    assert checked(magnet="yes").magnet == "differs"
    assert checked(magnet="no").magnet == "agrees"
    assert checked(magnet="weak").magnet == "cannot tell"
    steel = Issue("s", "Orvany", "1 lind", 1943, metal="Fe1000")
    assert checked(steel, magnet="no").magnet == "differs"
    assert checked(Issue("x", "Orvany", "1 lind", 1880), magnet="no").magnet is None


def made(draw: random.Random) -> Measurements:
    return Measurements(Measured(25 + draw.gauss(0, 0.03)), diameter=Measured(37 + draw.gauss(0, 0.05)))


def test_a_piece_among_genuine_ones() -> None:
    draw = random.Random(5)
    genuine = tuple(made(draw) for _ in range(24))
    near, far = (checked(genuine=genuine, weight=w, diameter="37.0").among for w in ("25.01", "24.80"))
    assert near is not None
    assert far is not None
    assert (near.p or 0) > 0.05
    assert far.p == pytest.approx(1 / 25)
    assert far.least == pytest.approx(1 / 25)


def test_a_bare_figure_that_means_grams_is_asked_about() -> None:
    with pytest.raises(BenchError, match=r"Diameter 25 is what this issue weighs in grams.*Nothing was stored"):
        checked(diameter="25.0")
    assert checked(diameter="25.0 mm").bounds[0].outcome == "under"


@pytest.mark.parametrize(
    ("typed", "word"),
    [
        ({"weight": "0"}, "Weight 0 is not above zero"),
        ({"wet": "22"}, "needs the weight in air"),
        ({"weight": "22", "wet": "24"}, "were the two exchanged"),
        ({"weight": "25.1", "dry": "25.0", "wet": "22"}, "differ by more than the scale"),
        ({"weight": "25", "wet": "22", "water": "hot"}, "not a temperature"),
        ({"weight": "25", "wet": "22", "water": "80"}, "not between 0 and 40"),
        ({"magnet": "perhaps"}, "Magnet is none, weak, strong"),
        ({"axis": "400"}, "not a turn"),
        ({"weight": "1 oz"}, "troy or avoirdupois"),
    ],
)
def test_bad_input_is_one_sentence_and_nothing_stored(typed: dict[str, str], word: str) -> None:
    with pytest.raises(BenchError, match=word) as caught:
        measurements_from(typed)
    assert str(caught.value).endswith("Nothing was stored.")


@pytest.mark.parametrize(
    ("text", "degrees"), [("180", 180), ("6h", 180), ("coin", 180), ("medal", 0), ("12h", 0), ("90°", 90)]
)
def test_the_axis_as_people_write_it(text: str, degrees: int) -> None:
    assert measurements_from({"axis": text}).axis == degrees


def test_two_weighings_within_the_readability_are_one() -> None:
    assert measurements_from({"weight": "25.00", "dry": "25.01", "wet": "22.6"}).dry_weight == 25.01


@given(st.dictionaries(st.sampled_from(FIELDS), st.text(max_size=12)))
def test_any_words_give_a_check_or_one_sentence(typed: dict[str, str]) -> None:
    try:
        check(TOR, None, measurements_from(typed), STANDARDS)
    except BenchError:
        return


def test_kinds_of_pieces_are_checked_in_orders_of_their_own() -> None:
    plated = replace(TOR, note="plated copies are met")
    added = replace(TOR, note="Added mint marks known")
    gold = replace(TOR, metal="gold .900")
    orders = {
        order_of(issue, 30, METALS, TABLE).kind: order_of(issue, 30, METALS, TABLE)
        for issue in (plated, added, gold, TOR)
    }
    assert set(orders) == {"plated", "altered", "gold", "silver"}
    steps = {kind: tuple(step.name for step in order.steps) for kind, order in orders.items()}
    assert len(set(steps.values())) == 4
    assert steps["altered"][0] == "mark"
    assert "outside" in steps["gold"]
    assert "sound" in steps["plated"]


def test_nothing_in_mint_state_is_wetted() -> None:
    assert "density" in [step.name for step in order_of(TOR, 45, METALS, TABLE).steps]
    assert "density" not in [step.name for step in order_of(TOR, 63, METALS, TABLE).steps]
    assert any("mint state" in words_ for words_ in order_of(TOR, 63, METALS, TABLE).avoid)


def test_a_note_on_the_branch_mint_is_no_sign_of_alteration() -> None:
    assert order_of(replace(TOR, note="first year of the branch mint"), 30, METALS, TABLE).kind == "silver"
