"""Several measurements at once: the banknotes of Flury and Riedwyl (Multivariate Statistics, 1988), and made pieces."""

from __future__ import annotations

import csv
import random
from collections import Counter
from pathlib import Path

import pytest
from scipy.stats import chisquare

from watchlist.core.bench.several import oddness

DATA = Path(__file__).resolve().parents[2] / "data"


def banknotes(status: str) -> list[list[float]]:
    with (DATA / "banknotes.csv").open(encoding="utf-8", newline="") as file:
        return [
            [float(v) for k, v in row.items() if k != "status"]
            for row in csv.DictReader(file)
            if row["status"] == status
        ]


GENUINE, COUNTERFEIT = banknotes("genuine"), banknotes("counterfeit")


def share(pieces: list[list[float]], known: list[list[float]], level: float) -> float:
    """Share of the pieces that are called odd at a level."""
    return sum((oddness(piece, known).p or 0) <= level for piece in pieces) / len(pieces)


def test_with_twenty_genuine_notes_most_counterfeits_are_caught() -> None:
    draw, caught, false = random.Random(7), [], []
    for _ in range(6):
        order = draw.sample(GENUINE, len(GENUINE))
        caught.append(share(COUNTERFEIT, order[:20], 0.05))
        false.append(share(order[20:], order[:20], 0.05))
    assert sum(caught) / len(caught) >= 0.94
    assert sum(false) / len(false) <= 0.06


def test_with_ninety_nine_the_level_can_be_one_in_a_hundred() -> None:
    assert share(COUNTERFEIT, GENUINE[:99], 0.01) >= 0.93


def test_each_genuine_note_against_the_other_ninety_nine() -> None:
    odd = sum((oddness(note, GENUINE[:i] + GENUINE[i + 1 :]).p or 0) <= 0.01 for i, note in enumerate(GENUINE))
    assert odd / len(GENUINE) <= 0.02


def test_p_values_of_genuine_pieces_are_uniform() -> None:
    """2,000 made pieces of three correlated measurements, 24 known: every k/25 is equally likely."""
    draw = random.Random(11)

    def piece() -> list[float]:
        a, b, c = (draw.gauss(0, 1) for _ in range(3))
        return [25 + a, 37 + 0.5 * a + 0.2 * b, 2.1 + 0.1 * c]

    seen = Counter(round((oddness(piece(), [piece() for _ in range(24)]).p or 0) * 25) for _ in range(2000))
    assert set(seen) <= set(range(1, 26))
    assert chisquare([seen[k] for k in range(1, 26)]).pvalue > 0.01


def test_few_pieces_are_said_to_be_too_few() -> None:
    found = oddness([1.0], [[1.0]] * 9)
    assert (found.p, found.method, found.pieces) == (None, "too few", 9)


@pytest.mark.parametrize(
    ("n", "least", "method"),
    [(10, 0.001, "Hotelling, shrunk"), (19, 0.001, "Hotelling, shrunk"), (20, 1 / 21, "conformal")],
)
def test_the_method_follows_the_number_of_pieces(n: int, least: float, method: str) -> None:
    found = oddness(GENUINE[-1], GENUINE[:n])
    assert found.method == method
    assert found.least == pytest.approx(least)
    assert found.p is not None
    assert found.least - 1e-12 <= found.p <= 1


def test_the_shrunk_law_catches_counterfeits_and_spares_the_genuine() -> None:
    draw = random.Random(3)
    known = draw.sample(GENUINE[:60], 15)
    caught = [oddness(piece, known).p for piece in COUNTERFEIT[:12]]
    honest = [oddness(piece, known).p for piece in GENUINE[60:80]]
    assert sum(p is not None and p <= 0.05 for p in caught) >= 8
    assert sum(p is not None and p <= 0.05 for p in honest) <= 3


def test_a_measurement_that_never_varies_is_no_fault() -> None:
    rows = [[5.0, 20 + i / 10] for i in range(25)]
    assert (oddness([5.0, 21.0], rows).p or 0) > 0.05
    assert oddness([5.4, 21.0], rows).p == pytest.approx(1 / 26)
