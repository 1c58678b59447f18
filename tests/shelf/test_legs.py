"""An order walked in legs: from any place, both ways, in goes that are cut short, gives the whole order."""

from __future__ import annotations

from collections.abc import Iterator
from decimal import Decimal
from pathlib import Path

import pytest

from tests.shelf.pieces import judged, row
from watchlist.shelf.store import Store
from watchlist.shelf.store.filters import COLUMNS, MARKS, Order, Place
from watchlist.shelf.store.legs import legs

ORDERS: tuple[Order, ...] = tuple(COLUMNS)


@pytest.fixture(scope="module")
def store(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Store]:
    """Lots of which many are equal in each order, and some have no gap, cost or mark."""
    folder: Path = tmp_path_factory.mktemp("legs")
    opened = Store(folder / "shelf.db", write=True)
    opened.lots.save(
        row(
            number,
            title=f"5 tor {number % 3}",
            hours=None if number % 5 == 0 else -number,
            judgement=None
            if number % 4 == 0
            else judged(
                MARKS[number % 3], gap=Decimal(number % 2) / 10, all_in=None if number % 7 == 0 else judged().all_in
            ),
        )
        for number in range(60)
    )
    yield opened
    opened.close()


@pytest.mark.parametrize("order", ORDERS)
@pytest.mark.parametrize("down", [False, True])
@pytest.mark.parametrize("back", [False, True])
def test_goes_that_are_cut_short_join_to_the_whole(store: Store, order: Order, down: bool, back: bool) -> None:
    whole = [line.key for line in store.listing.lines(order=order, down=down, limit=100)]
    assert len(set(whole)) == 60
    road, at, found, ended = store.listing.road(), None, [], False
    goes = 0
    while not ended:
        stretch = road.go(order, down=down, after=at, back=back, limit=7, most=4)
        found += [line.key for line in stretch.lines]
        at, ended, goes = stretch.at, stretch.ended, goes + 1
    assert found == (whole[::-1] if back else whole)
    assert goes >= 60 // 7


def test_an_order_in_which_all_lots_have_a_value_is_one_leg() -> None:
    assert len(legs("closing", None, down=False, back=False)) == 1


def test_unknown_values_are_a_leg_of_their_own_behind_the_others() -> None:
    known, unknown = legs("gap", None, down=False, back=False)
    assert (known.known, unknown.known) == ("gap > -1e308", "gap IS NULL")
    assert legs("gap", None, down=False, back=True) == [
        type(leg)(leg.columns, leg.known, True) for leg in (unknown, known)
    ]
    without = Place((5, "t", None, None, None), 9)
    assert [leg.known for leg in legs("gap", without, down=False, back=False)] == ["gap IS NULL"]
    assert [leg.known for leg in legs("gap", without, down=False, back=True)] == ["gap IS NULL", "gap > -1e308"]


def test_the_bound_of_the_first_column_stands_open_to_the_index() -> None:
    (leg,) = legs("closing", Place((5, "t", None, None, None), 9), down=False, back=False)
    assert leg.query([]) == ("WHERE due >= ? AND (due, id) > (?, ?) ORDER BY due, id", [5, 5, 9])
    (leg,) = legs("closing", Place((5, "t", None, None, None), 9), down=True, back=False)
    assert leg.query([]) == ("WHERE due <= ? AND (due, id) < (?, ?) ORDER BY due DESC, id DESC", [5, 5, 9])
