"""The winner's curse, by its worked case (`auction_examples.jsonl`, a49) and by its closed forms."""

from __future__ import annotations

import json
import random
from math import pi, sqrt
from pathlib import Path
from statistics import fmean

import pytest

from watchlist.core.plan.curse import highest_of, shaded

LINES = (Path(__file__).parents[1] / "data" / "auction_examples.jsonl").read_text("utf-8").splitlines()
(CASE,) = (case for line in LINES if (case := json.loads(line))["kind"] == "winners_curse")


@pytest.mark.parametrize("bidders", CASE["expect"]["e_max_z"])
def test_the_highest_of_equal_estimates_a49(bidders: str) -> None:
    assert round(highest_of(int(bidders)), 5) == CASE["expect"]["e_max_z"][bidders]


def test_the_example_a49() -> None:
    case = CASE["expect"]["example"]
    estimate = float(case["estimate"])
    found = shaded(estimate, estimate * float(case["s_pct"]) / 100, case["n"])
    assert (f"{estimate - found:.2f}", f"{found:.2f}") == (case["mean_overstatement"], case["shaded"])


def test_closed_forms() -> None:
    """1 / sqrt(pi) for two, 3 / (2 sqrt(pi)) for three, and nothing without a rival."""
    assert highest_of(1) == pytest.approx(0, abs=1e-12)
    assert highest_of(2) == pytest.approx(1 / sqrt(pi), abs=1e-10)
    assert highest_of(3) == pytest.approx(1.5 / sqrt(pi), abs=1e-10)


def test_it_is_what_drawn_estimates_do() -> None:
    rng = random.Random(7)
    drawn = fmean(max(rng.gauss(0, 1) for _ in range(50)) for _ in range(4000))
    assert highest_of(50) == pytest.approx(drawn, abs=0.03)
