"""Headings that no list knows: a label in them, or cells that are plainly prices, say what stands there."""

from __future__ import annotations

import pytest

from watchlist.feeds.near_headings import near
from watchlist.feeds.table import read_table
from watchlist.words import load


def columns(heading: str, *cells: str, beside: str = "") -> dict[str, str]:
    lines = [f"Lot;Title;{heading}{beside and f';{beside}'}"]
    lines += [f"{n};Orvany 5 tor 189{n}-V VF;{cell}{beside and ';5 EUR'}" for n, cell in enumerate(cells)]
    return table(*lines)


def table(*lines: str) -> dict[str, str]:
    return dict(read_table("\n".join(lines).encode(), synonyms=load("columns")).columns)


@pytest.mark.parametrize(
    ("heading", "cells", "name"),
    [
        ("Bid now at", ("4.10 GBP", "12 GBP"), "current_bid"),
        ("Bid at the moment", ("EUR 33.00",), "current_bid"),
        ("Leading", ("EUR 210", "12 EUR"), "price"),
        ("Unser Höchstgebot heute", ("33,00 €", "12,- €"), "current_bid"),
        ("Your start price here", ("40", "45"), "start_price"),
        ("Both for", ("70 euros",), "price"),
        ("Tempo rimanente", ("tra 5 ore 10 min",), "ends_at"),
        ("Holder / grade", ("HNS MS63 BN",), "service"),
        ("Was es kostet", ("US $225.00", "80 CHF"), "price"),
        ("Auction closes for you", ("Fri 6 March 20:00",), "ends_at"),
        ("Tijd die nog rest", ("1 dag 12 uur", "3 uur"), "ends_at"),
    ],
)
def test_a_heading_that_holds_a_label_is_known_by_it(heading: str, cells: tuple[str, ...], name: str) -> None:
    assert columns(heading, *cells).get(name) == heading


@pytest.mark.parametrize(
    ("heading", "cells"),
    [
        ("Insured price", ("120 EUR", "80 EUR")),
        ("Buyer premium", ("$28.00", "$12.00")),
        ("Book price in VF", ("120 EUR",)),
        ("Bid history", ("seven", "two")),
        ("Weight", ("24.97", "25.00")),
        ("Pages", ("12", "13")),
        ("Bid from", ("anna7", "karl12")),
    ],
)
def test_other_columns_stay_without_a_meaning(heading: str, cells: tuple[str, ...]) -> None:
    prices = {"price", "current_bid", "start_price", "estimate", "hammer", "buy_now", "ends_at"}
    assert not prices & columns(heading, *cells).keys()


def test_running_text_under_an_unknown_heading_is_the_description_and_else_remarks() -> None:
    told = "Holed near the edge. The strike is strong all the same"
    assert columns("Words", told)["description"] == "Words"
    two = table("Lot;Title;Description;Thoughts", f"1;Orvany 5 tor 1893;nice;{told}")
    assert (two["description"], two["remark"]) == ("Description", "Thoughts")
    assert "description" not in columns("Place", "Long Lane Mill")
    spare = table("Titolo;Testo", f"5 franchi 1923;{told}")
    assert (spare["title"], spare["description"]) == ("Titolo", "Testo")


def test_figures_under_a_heading_of_titles_leave_it_to_the_next() -> None:
    found = table("Objekt;Titel;Pris", "31;2 tor 1907 Orvany;220 EUR")
    assert found["title"] == "Titel"


def test_amounts_beside_a_known_price_are_not_taken_for_one() -> None:
    assert columns("Sticker", "120 EUR", beside="Price")["price"] == "Price"


def test_a_name_that_has_a_column_is_not_taken_twice() -> None:
    cells = [["1"], ["4 EUR"], ["5 EUR"]]
    assert near([(1, "Bid now here"), (2, "Bid then there")], cells, set()) == {"current_bid": 1}
    assert near([(1, "Bid now here")], cells, {"current_bid"}) == {}
