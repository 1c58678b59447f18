"""The bench over a shelf: the last days of a piece that has arrived, and which pieces it is compared with."""

from __future__ import annotations

from dataclasses import replace
from datetime import timedelta

import pytest

from tests.desk.pieces import COIN, come, row
from watchlist.desk.desk import Desk
from watchlist.desk.held import arrivals, bench, pieces
from watchlist.desk.held.parcels import parcels
from watchlist.desk.in_hand import courses
from watchlist.desk.results.results import result


def arrived(desk: Desk, *, days: int | None = None, guarantee: int | None = None) -> str:
    """A piece won whose parcel came today; its stock number."""
    venue = desk.terms["Lindmoor Sales"]
    desk.shelf.notebook.venues.put(replace(venue, return_days=days, guarantee_days=guarantee))
    desk.forget()
    come(desk, row("1", price="300", hours=-1))
    result(desk, "north:1", "300 EUR", won=True)
    (parcel,) = parcels(desk)
    arrivals.say(desk, parcel.id, arrivals.Said("invoiced", "360"))
    arrivals.say(desk, parcel.id, arrivals.Said("arrived"))
    (won,) = courses.wins(desk)
    return won.stock_no


def on_bench(desk: Desk, words: str) -> bench.Bench:
    return bench.Bench(desk, bench.subject(desk, words))


def test_the_days_left_to_return_stand_beside_the_bench_until_it_is_decided(desk: Desk) -> None:
    number = arrived(desk, days=14, guarantee=30)
    desk.now += timedelta(days=4)
    table = on_bench(desk, number)
    first, second = table.back
    assert first.startswith("Return what is not as described by Wed 9 Dec (10 days left): ")
    assert second.startswith("Report a piece that is not genuine by Fri 25 Dec (26 days left)")
    found = table.look({"weight": "25"})
    wide = (" ".join(table.advice(200)), " ".join(table.report(found, 200)), table.page({}, found, desk.now))
    assert all(first in text for text in wide)
    pieces.say(desk, number, pieces.Said("kept"))
    assert on_bench(desk, number).back == ()


def test_terms_that_name_no_days_are_said_so(desk: Desk) -> None:
    (said,) = on_bench(desk, arrived(desk)).back
    assert said == "How long a piece can go back to Lindmoor Sales is not in its terms: see its conditions."
    assert on_bench(desk, COIN.name).back == ()


@pytest.mark.parametrize(("own", "kin", "pieces_"), [(10, "issue", 10), (9, "type", 12)])
def test_genuine_pieces_are_those_of_the_issue_where_there_are_enough(
    desk: Desk, own: int, kin: str, pieces_: int
) -> None:
    sister = replace(COIN, key="orvany-5t-1894v", year=1894)
    desk.shelf.store.catalogue.merge([replace(COIN, weight_g=25.0), replace(sister, weight_g=25.0)])
    desk.forget()
    for number, words in enumerate([COIN.name] * own + [sister.name] * 3):
        typed = {"weight": f"{24.9 + number / 50:.2f}"}
        table = on_bench(desk, words)
        bench.keep(desk, table, typed, table.look(typed), reference=True)
    found = on_bench(desk, COIN.name).look({"weight": "25"})
    assert found.among is not None
    assert (found.kin, found.among.pieces) == (kin, pieces_)


def test_a_piece_is_compared_with_others_only_and_counts_once(desk: Desk) -> None:
    come(desk, row("1"), row("2"))
    for weight in ("24.9", "25.0"):
        table = on_bench(desk, "north:1")
        bench.keep(desk, table, {"weight": weight}, table.look({"weight": weight}), reference=True)
    assert on_bench(desk, "north:1").standards.genuine == ()
    (other,) = on_bench(desk, "north:2").standards.genuine
    assert other.numbers() == {"weight": 25.0}
