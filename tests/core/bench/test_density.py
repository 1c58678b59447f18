"""Water, alloys and densities against the tables, and a verdict refused where the reading is too coarse.

water_density.csv: Tanaka et al. 2001, Metrologia 38, 301. density_alloys.csv and sg_examples.jsonl: ideal mixing of the
densities of the package periodictable 2.1.0 (CRC Handbook, 80th ed.), worked by hand of the trade handbook.
"""

from __future__ import annotations

import csv
import json
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from watchlist import words
from watchlist.core.bench.alloys import metals_from
from watchlist.core.bench.density import CannotWeigh, density, judge_density
from watchlist.core.bench.water import density_of_water

DATA = Path(__file__).resolve().parents[2] / "data"
METALS = metals_from(words.load("alloys"))
EXAMPLES = [json.loads(line) for line in (DATA / "sg_examples.jsonl").read_text("utf-8").splitlines()]
OF_NAME = {
    "Ag900 Cu100": "silver .900", "Cu750 Ni250": "cupro-nickel", "Au916.7 Cu83.3": "gold .9167",
    "Au900 Cu100": "gold .900", "Cu950 Zn50": "Cu95Zn5", "Zn975 Cu25": "Zn97.5Cu2.5",
}  # fmt: skip


def rows(name: str) -> list[dict[str, str]]:
    with (DATA / name).open(encoding="utf-8", newline="") as file:
        return list(csv.DictReader(file))


@pytest.mark.parametrize("row", rows("water_density.csv"), ids=lambda row: f"{row['t_C']} C")
def test_water_is_as_the_table_says(row: dict[str, str]) -> None:
    assert density_of_water(float(row["t_C"])) * 1000 == pytest.approx(float(row["tanaka2001_kg_m3"]), abs=1e-4)


@pytest.mark.parametrize("row", rows("density_alloys.csv"), ids=lambda row: row["alloy"])
def test_alloys_mix_to_the_printed_digits(row: dict[str, str]) -> None:
    parts = [part.split("=") for part in row["mass_fractions"].split()]
    mixed = METALS.mixed(tuple((element, float(share)) for element, share in parts))
    assert f"{mixed:.4f}" == f"{float(row['ideal_density_g_cm3']):.4f}"
    assert sum(f"{alloy.density:.4f}" == f"{mixed:.4f}" for alloy in METALS.alloys) >= 1


@pytest.mark.parametrize("case", EXAMPLES, ids=lambda case: case["label"])
def test_worked_examples(case: dict[str, Any]) -> None:
    found = density(case["mass_air_g"], case["mass_water_g"], case["water_C"], case["readability_g"])
    assert found.value == pytest.approx(case["density_g_cm3"], abs=6e-4)
    assert found.u == pytest.approx(case["U_k2"], abs=1.1e-3)
    assert found.corrected == pytest.approx(case["air_buoyancy_corrected"], abs=6e-4)


@pytest.mark.parametrize("case", EXAMPLES, ids=lambda case: case["label"])
def test_the_alloy_of_an_example_is_named(case: dict[str, Any]) -> None:
    alloy = METALS.named(OF_NAME[case["ideal_alloy"]])
    assert alloy is not None
    assert alloy.density == pytest.approx(case["ideal_g_cm3"], abs=2e-3)


AGREEMENT = {
    "silver dollar, good balance": "agrees",
    "silver dollar, pocket balance": "agrees",
    "plated brass fake of a silver dollar": "differs",
    "cupro-nickel five cents, pocket balance": "cannot tell",
    "cupro-nickel five cents, milligram balance": "agrees",
    "900 silver dime, pocket balance": "cannot tell",
    "900 silver dime, milligram balance": "agrees",
    "22 ct sovereign": "agrees",
    "22 ct sovereign, pocket balance": "agrees",
    "20 francs 900 gold": "agrees",
    "bronze cent 95/5": "agrees",
    "plated zinc cent": "cannot tell",
    "cast lead-tin fake of a 5-franc silver": "differs",
}


@pytest.mark.parametrize("case", EXAMPLES, ids=lambda case: case["label"])
def test_a_verdict_is_given_only_where_the_reading_is_fine_enough(case: dict[str, Any]) -> None:
    found = density(case["mass_air_g"], case["mass_water_g"], case["water_C"], case["readability_g"])
    verdict = judge_density(found, METALS.named(OF_NAME[case["ideal_alloy"]]), METALS)
    assert verdict.agreement == AGREEMENT[case["label"]]


def test_a_pocket_balance_parts_sovereign_gold_from_tungsten_but_not_900_from_916() -> None:
    verdict = judge_density(density(7.99, 7.53, 18, 0.01), METALS.named("gold .9167"), METALS)
    assert {"gold .900", "gold .9167"} <= set(verdict.allows)
    assert {"tungsten", "brass", "silver .900"} <= set(verdict.excludes)


@pytest.mark.parametrize(
    ("words_", "density_"),
    [
        ("silver .835", 10.2104),
        ("Silber 900", 10.3226),
        ("900 silver", 10.3226),
        ("argent 0,835", 10.2104),
        ("Ag900 Cu100", 10.3226),
        ("Ag835", 10.2104),
        ("Cu75Ni25", 8.9454),
        ("gold .900", 17.3032),
        ("Gold 999.9", 19.3),
        ("bronze .950", 8.86),
        ("aluminium bronze", 7.8643),
    ],
)
def test_catalogue_words_for_a_metal(words_: str, density_: float) -> None:
    alloy = METALS.named(words_)
    assert alloy is not None
    assert alloy.density == pytest.approx(density_, abs=2e-3)


@pytest.mark.parametrize("words_", ["", "silver", "billon", "see note", "Xx75Yy25", "gold 22"])
def test_words_that_fix_no_alloy_give_none(words_: str) -> None:
    assert METALS.named(words_) is None


@pytest.mark.parametrize(
    ("dry", "wet", "celsius", "step", "word"),
    [
        (0, 1, 20, 0.01, "above zero"),
        (5, 5, 20, 0.01, "weighs less"),
        (5, 6, 20, 0.01, "weighs less"),
        (5, 4, 60, 0.01, "0 to 40"),
        (5, 4, 20, 0, "above zero"),
    ],
)
def test_weighings_that_give_no_density(dry: float, wet: float, celsius: float, step: float, word: str) -> None:
    with pytest.raises(CannotWeigh, match=word):
        density(dry, wet, celsius, step)


@given(st.floats(1, 100), st.floats(5, 20), st.floats(5, 35), st.sampled_from([0.001, 0.01, 0.1]))
def test_a_piece_of_known_density_is_found_again(dry: float, true: float, celsius: float, step: float) -> None:
    wet = dry - dry / true * density_of_water(celsius)
    found = density(dry, wet, celsius, step)
    assert found.value == pytest.approx(true)
    assert found.u > 0
    assert found.u == pytest.approx(10 * density(dry, wet, celsius, step / 10).u)
