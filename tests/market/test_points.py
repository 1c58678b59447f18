"""Calibration of the 10, 50 and 90 per cent points against its definition."""

from __future__ import annotations

from math import sqrt

import numpy as np
import pytest

from watchlist.market.calibration import points_of

USUAL = np.array([-1.2815515655446004, 0.0, 1.2815515655446004])


def test_nothing_seen_gives_the_normal_points() -> None:
    checked = points_of(np.zeros(0), np.zeros(0), 12)
    assert checked.points[0] == pytest.approx(USUAL)
    assert checked.count == 0


def test_few_misses_share_one_bin_and_lean_on_the_usual() -> None:
    z = np.random.default_rng(1).normal(0, 2, 60)
    raw = np.quantile(z, [0.1, 0.5, 0.9])
    whole = (60 * raw + 15 * USUAL) / 75
    stretch = sqrt(72 / 48)
    expected = (60 * raw + 60 * whole) / 120 * np.array([min(1.1, stretch), 1, min(1.1, stretch)])
    checked = points_of(z, np.full(60, 0.8), 12)
    assert checked.points == pytest.approx(expected[None, :])


def test_bins_follow_the_ratio() -> None:
    g = np.random.default_rng(2)
    ratio = g.random(8000)
    z = g.normal(0, 1, 8000) * np.where(ratio > 0.5, 2.0, 1.0)
    checked = points_of(z, ratio, 12)
    assert np.all(np.diff(checked.ratio) > 0)
    assert checked.points[0] == pytest.approx(USUAL, abs=0.1)
    assert checked.points[-1] == pytest.approx(2 * USUAL, abs=0.2)


def test_points_hold_what_they_promise() -> None:
    g = np.random.default_rng(3)
    z = g.standard_t(3, 20_000)
    points = points_of(z[:10_000], np.full(10_000, 0.7), 12).points[0]
    inside = np.mean((z[10_000:] > points[0]) & (z[10_000:] < points[2]))
    assert inside == pytest.approx(0.8, abs=0.02)
