"""A result over many prices: its own issue's band follows at once, the fit of the market waits."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal

import pytest

from tests.desk.pieces import COIN, OTHER, come, row, sale, sales
from watchlist.core.prices.truegrades import Row
from watchlist.desk import undoing
from watchlist.desk.desk import Desk
from watchlist.desk.due import Due
from watchlist.desk.prices import fitting, rebanding
from watchlist.desk.results.results import result
from watchlist.desk.settling import settle
from watchlist.market.rows import NODES

ISSUE = Due(issues=frozenset({COIN.key}))


@pytest.fixture
def fitted(desk: Desk, monkeypatch: pytest.MonkeyPatch) -> Desk:
    """A market of ten sales that counts as many, and a lot of the coin."""
    monkeypatch.setattr(rebanding, "FITTED_AT_ONCE", 5)
    desk.shelf.store.prices.add(sales())
    fitting.refit(desk)
    come(desk, row("1"))
    return desk


def middle(row: Row) -> float:
    """Log of the middle of its raw band at grade 30, where its sales are."""
    found: float = row["curves"]["raw"][1][NODES.index(30)]
    return found


def test_the_issues_band_takes_it_in_at_once_and_the_fit_is_due(fitted: Desk) -> None:
    before = fitted.shelf.store.market.row(COIN.key)
    assert before
    done = result(fitted, "north:1", "900", won=True)
    assert done.due == ISSUE
    assert fitted.owed.all().market
    after = fitted.shelf.store.market.row(COIN.key)
    assert after
    assert (before["n"], after["n"]) == (10, 11)
    assert middle(after) > middle(before)
    assert settle(fitted, done.due) is None
    assert fitted.owed.all().market, "the next gather fits"


def test_undo_takes_it_out_again(fitted: Desk) -> None:
    before = fitted.shelf.store.market.row(COIN.key)
    result(fitted, "north:1", "900", won=False)
    undoing.undo(fitted)
    after = fitted.shelf.store.market.row(COIN.key)
    assert before
    assert after
    assert [kept[0] for kept in after["sales"]] == [kept[0] for kept in before["sales"]]
    assert middle(after) == pytest.approx(middle(before), abs=0.01)
    for one, other in zip(before["curves"]["raw"][1], after["curves"]["raw"][1], strict=True):
        assert one == pytest.approx(other, abs=0.04), "farther from the grade of its sales it is less sure"


def test_what_was_never_fitted_is_fitted_whole(desk: Desk, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(rebanding, "FITTED_AT_ONCE", 5)
    desk.shelf.store.prices.add(sales())
    assert rebanding.after(desk, [COIN.key]) == ISSUE | Due(market=True)
    fitting.refit(desk)
    assert rebanding.after(desk, [COIN.key, "no issue of the market", ""]).market is False


@pytest.mark.parametrize("origin", ["", "prices.csv line 3"])
def test_prices_from_cells_are_those_from_records(desk: Desk, origin: str) -> None:
    """Whatever stands among them: days with two prices, repeats, copies, no grade, no rate, own results; lots of the
    person's own among them, or a file's alone."""
    odd = [
        sale(30, 250), sale(30, 250, title="its like"), sale(30, 2500, title="slip"), sale(31, 0), sale(32, issue=""),
        sale(33, status="unsold"), sale(34, grade_low=None), sale(35, quantity=3), sale(36, replica=True),
        sale(37, weight=0.0), sale(-3), sale(38, problems=("holed", "cleaned")), sale(39, venue="Nobody"),
        sale(40, kind="all-in"), sale(41, certified=True, cert_number="Q418-2907"),
        sale(42, certified=True, cert_number="Q418-2907"), sale(43, origin="north:9"), sale(44, issue=OTHER.key),
    ]  # fmt: skip
    pounds = replace(sale(45), price=replace(sale(45).price, currency="GBP"))
    told = [*sales(), *odd, pounds]
    desk.shelf.store.prices.add(replace(each, origin=origin or each.origin) for each in told)
    wanted, aside = fitting.sales_of(desk, desk.shelf.store.prices.each())
    found, out = fitting.all_sales(desk)
    assert found == sorted(wanted, key=lambda each: (each.day, each.id))
    assert {each.price.id: each.reason for each in out} == {each.price.id: each.reason for each in aside}
    assert len(out) > 6
    assert all(each.day <= desk.local_today() and Decimal(each.price) > 0 for each in found)
