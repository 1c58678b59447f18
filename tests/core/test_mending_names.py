"""Names nearly the catalogue's, layouts that changed, sales picked by a line: the pure parts of mending one's data."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tests.core.made_imports import WORDS
from tests.core.orvany import TONGUES
from watchlist.core.coins.catalogue import Catalogue, implied_issue
from watchlist.core.coins.issue import Issue
from watchlist.core.imports.headings import read_heading, synonyms_of
from watchlist.core.imports.layout import Layout, Lost, lost
from watchlist.core.imports.moves import like_listed, moves_of
from watchlist.core.imports.spelling import like_country, like_denomination, like_mint
from watchlist.core.money.amount import Money
from watchlist.core.prices.realised import PriceRealised
from watchlist.core.sift.line import SiftError
from watchlist.core.sift.sales import parse_sales

LISTED = Catalogue(
    [
        Issue("b1", "Brundal", "5 tharn", 1871),
        Issue("b2", "Brundal", "5 tharn", 1871, "K", note="K: Kolmvik"),
        Issue("b3", "Brundal", "50 tharn", 1872, "K"),
        Issue("b4", "Brundal", "1 orrik", 1872, "SV"),
    ],
    TONGUES,
)


def test_a_name_is_asked_about_where_it_is_nearly_a_listed_one_and_only_there() -> None:
    countries = {"Brandal": "Brundal", "Kingdom of Brundal": "Brundal", "Orvany": "", "Brundal": "", "Bru": "", "": ""}
    for written, meant in countries.items():
        found = like_country(LISTED, written)
        assert (found.meant if found else "") == meant, written
    for written, meant in {"5 tarn": "5 tharn", "50 tarn": "50 tharn", "10 tarn": "", "5 orrik": "", "5 x": ""}.items():
        like = like_denomination(LISTED, "Brundal", written)
        assert (like.meant if like else "") == meant, written
    for written, meant in {"Kolm": "K", "W": "", "V": "", "Tower": ""}.items():
        mint = like_mint(LISTED, "Brundal", "5 tharn", written)
        assert (mint.meant if mint else "") == meant, written


def test_what_only_prices_named_moves_to_the_listed_issue_and_a_changed_key_too() -> None:
    implied = [
        implied_issue("", "5 tharn", 1871, "K"),  # a file without a column of countries
        implied_issue("Brundal", "5 tharn", 1871),
        implied_issue("Brundal", "5 tharn", 1874),
        implied_issue("Brandal", "5 tharn", 1871, "K"),
    ]
    before = Catalogue([*implied, Issue("old", "Brundal", "1 orrik", 1872, "SV")], TONGUES)
    assert moves_of(before, list(LISTED), {}) == {"5 tharn 1871-K": "b2", "Brundal 5 tharn 1871": "b1", "old": "b4"}
    assert moves_of(before, list(LISTED), {"country": {"brandal": "Brundal"}})["Brandal 5 tharn 1871-K"] == "b2"
    like = like_listed(LISTED, implied[3])
    assert like is not None
    assert like.command == 'watchlist catalogue join "Brandal" "Brundal"'
    types = [replace(issue, key=f"n{n}", type=f"type {n}") for n, issue in enumerate([LISTED.by_key["b1"]] * 2)]
    assert moves_of(Catalogue(types[:1], TONGUES), types[1:], {}) == {}, "two types of one date are two coins"


WAS = Layout(
    {"price": "Gebot", "title": "Titel", "ends_at": "Ende"}, ("Gebot", "Titel", "Ende"), {"price": 1, "title": 1}, 20
)


@pytest.mark.parametrize(
    ("now", "said"),
    [
        (WAS, []),
        (
            replace(WAS, columns={**WAS.columns, "price": "Preis"}, names=("Preis", "Titel", "Ende")),
            [],
        ),  # known as well
        (
            replace(WAS, columns={"title": "Titel"}, names=("Wert", "Titel"), shares={"price": 0, "title": 1}),
            [Lost("price", "Gebot", "Wert"), Lost("ends_at", "Ende", "Wert")],
        ),
        (replace(WAS, shares={"price": 0.1, "title": 1}), [Lost("price", "Gebot")]),
        (replace(WAS, shares={"price": 0.5, "title": 1}), []),
        (replace(WAS, shares={"price": 0, "title": 1}, lots=2), []),  # too few to say anything
    ],
)
def test_a_layout_is_changed_when_what_most_lots_had_comes_no_more(now: Layout, said: list[Lost]) -> None:
    assert sorted(map(str, lost(WAS, now))) == sorted(map(str, said))
    assert lost(Layout(), now) == []


SALE = PriceRealised(
    7,
    "b2",
    date(2015, 6, 1),
    Money(Decimal(120), "EUR"),
    "hammer",
    20,
    30,
    venue="Vessick Auctions",
    title="5 Tharn 1871 K",
    origin="prices.csv line 9",
)


@pytest.mark.parametrize(
    ("line", "meant"),
    [
        ("7", True),
        ("1-6,8", False),
        ("5-9", True),
        ("issue:b2", True),
        ("issue:b1", False),
        ("file:prices.csv", True),
        ("file:other.csv", False),
        ("venue:vessick price>100", True),
        ("price<=120", True),
        ("price<120", False),
        ("day<2015", False),
        ("day>=2015-06-01", True),
        ("grade<25", True),
        ("tharn 1871", True),
        ("tharn 1872", False),
        ('"5 tharn"', True),
    ],
)
def test_sales_are_picked_by_numbers_or_by_a_line(line: str, meant: bool) -> None:
    assert parse_sales(line).test(SALE) is meant


@given(st.text(max_size=60))
def test_any_line_picks_sales_or_is_refused_in_a_sentence(line: str) -> None:
    try:
        found = parse_sales(line)
    except SiftError:
        return
    assert found.test(SALE) in (True, False)


@pytest.mark.parametrize(
    ("heading", "currency"), [("Zuschlag (EUR)", "EUR"), ("hammer_chf", "CHF"), ("Zuschlag", ""), ("valeur", "")]
)
def test_a_heading_that_is_known_as_a_whole_still_says_its_currency(heading: str, currency: str) -> None:
    assert read_heading(heading, synonyms_of(WORDS["columns"], "prices")).currency == currency
