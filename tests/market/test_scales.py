"""How fast the market moves and how its curve turns are found from the prices themselves."""

from __future__ import annotations

import numpy as np

from tests.market import made
from watchlist.market import Measure, fit
from watchlist.market.prior import Scales, rise_over
from watchlist.market.rows import NODES

CALL = Measure(made.TODAY, "all-in", "EUR", 5.0)


def found(**ways: float) -> Scales:
    market = made.market(5, issues=120, sales=1200, later=1, **ways)
    scales = dict(fit(market.issues, market.sales, [], CALL).header["scales"])
    scales.pop("metal")
    return Scales(**scales)


def test_a_calm_market_is_found_calmer_than_one_that_jumps() -> None:
    assert found().pace < Scales().pace < found(jump=0.4).pace


def test_a_line_over_the_grades_in_use_has_no_turns_and_its_rise_is_its_slope() -> None:
    rise = rise_over(np.array(NODES))
    line = 3.0 + 0.13 * rise.place
    assert line @ rise.turns @ line < 1e-12
    assert abs(rise.whole @ line - 0.13) < 1e-12
