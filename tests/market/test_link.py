"""Metal under the price: which metals count, and the step from price to the collectors' part."""

from __future__ import annotations

import numpy as np
import pytest

from tests.market import made
from watchlist.core.prices.bandmath import collectors_part, over_metal, over_metal_slope
from watchlist.market.link import seen_from, slope_of
from watchlist.market.metal import PRECIOUS, lowest_of
from watchlist.market.rows import gather

PRECIOUS_METALS = ["silver .835", "Ag 900", "Ag835", "Silber 500", "gold", "Au .900", "argent 0.680", "Platin"]


@pytest.mark.parametrize("metal", PRECIOUS_METALS)
def test_precious_metals_count(metal: str) -> None:
    assert PRECIOUS.search(metal)


@pytest.mark.parametrize(
    "metal", ["", "bronze", "Cu75Ni25", "nickel", "aluminium", "golden brass", "nickel silver", "Neusilber"]
)
def test_others_do_not(metal: str) -> None:
    assert not PRECIOUS.search(metal)


def test_a_price_on_the_curve_is_seen_as_the_curve() -> None:
    eta = np.array([-2.0, 1.0, 5.0])
    price = np.log(20 + np.exp(eta))
    assert seen_from(eta, price, np.array([20.0]), slope_of(eta, np.array([20.0]))) == pytest.approx(eta)


def test_without_metal_the_price_is_the_collectors_part() -> None:
    eta = np.array([0.5])
    assert slope_of(eta, np.array([0.0])) == pytest.approx([1.0])
    assert seen_from(eta, np.array([3.0]), np.array([0.0]), np.array([1.0])) == pytest.approx([3.0])
    assert (over_metal(1.5, 0.0), collectors_part(1.5, 0.0), over_metal_slope(1.5, 0.0)) == (1.5, 1.5, 1.0)


def test_slope_is_the_derivative() -> None:
    for eta in (-1.0, 2.0, 6.0):
        rise = (over_metal(eta + 1e-6, 25.0) - over_metal(eta - 1e-6, 25.0)) / 2e-6
        assert over_metal_slope(eta, 25.0) == pytest.approx(max(rise, 0.03), rel=1e-4)


def test_there_and_back() -> None:
    assert collectors_part(over_metal(2.5, 25.0), 25.0) == pytest.approx(2.5)


def test_the_lowest_prices_of_a_series_tell_of_its_metal() -> None:
    m = made.market(2, issues=100, sales=600, metal=25.0)
    lowest = lowest_of(gather(m.issues, m.sales, [], made.TODAY, 5.0))
    assert np.all(lowest > 10)
    assert np.all(lowest < 40)
