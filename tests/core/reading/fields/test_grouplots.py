"""When a title sells several pieces, and how many."""

from __future__ import annotations

import pytest

from tests.core.reading.scanned import scan
from watchlist.core.reading.fields.grouplots import find_many


@pytest.mark.parametrize(
    ("title", "count"),
    [
        ("3x tor", 3),
        ("x10 tor", 10),
        ("tor 1853 x3", 3),
        ("tor (2)", 2),
        ("tor (200)", None),
        ("2 x 5 tor", 2),
        ("tor 25x30 mm", None),
        ("tor 7x6 stars", None),
        ("12 pcs tor", 12),
        ("1889 pcs tor", None),
        ("$12 pcs", None),
        ("EF 40 nice coin", None),
        ("40 nice coins", 40),
        ("50 old silver coins", 50),
        ("50 old 5 marks coins", None),
        ("lot of 5 tor coins", 5),
        ("lot of 5 marks", None),
        ("roll (40)", 40),
        ("four pieces", 4),
        ("pair of tor", 2),
        ("trio of tor", 3),
        ("dozen tor", 12),
    ],
)
def test_how_many(title: str, count: int | None) -> None:
    assert find_many(scan(title)).quantity == count


@pytest.mark.parametrize(
    ("title", "several"),
    [
        ("Lot of crowns", True),
        ("Lot: crown", False),
        ("Collection crowns", True),
        ("Crown ex Weber collection", False),
        ("starter collection", True),
        ("Münzen", True),
        ("Monedas de España", False),
        ("crown and 5 Münzen", True),
        ("crown Münzen", False),
        ("5 pesetas 1871 estuche", False),
        ("estuche", True),
        ("set of crowns", True),
        ("crown from the cased set", False),
        ("full set", False),
        ("Konv. Kleingeld", True),
        ("Konv.-Taler", False),
        ("crown complete", False),
        ("5 lbs of coppers", True),
        ("crown 1935 LB", False),
        ("not a set", False),
    ],
)
def test_whether_there_are_several(title: str, several: bool) -> None:
    assert find_many(scan(title)).multiple == several


def test_a_lot_sold_by_its_face() -> None:
    assert find_many(scan("$10 face silver")).face == 10
    assert find_many(scan("10 face silver")).face == 0
