"""A lot by hand from what is typed."""

from __future__ import annotations

from contextlib import suppress
from datetime import UTC, datetime
from decimal import Decimal

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from watchlist.core.fees.terms import Terms
from watchlist.core.lots.record import Lot
from watchlist.core.money.amount import Money
from watchlist.core.typed.lot import lot_from
from watchlist.core.typed.words import TypedError
from watchlist.words import load

TABLES = load()
NOW = datetime(2026, 11, 25, 7, 30, tzinfo=UTC)
FIELDS = ("title", "venue", "id", "price", "price_kind", "closes", "seller", "ratings", "link", "description")


def typed(said: dict[str, str], terms: Terms | None = None) -> Lot:
    return lot_from(said, terms, tables=TABLES, now=NOW, home="EUR", zone="Europe/Berlin")


def test_a_lot_as_it_is_typed() -> None:
    said = {"title": "5 tor 1893 V, VF", "id": "H9", "price": "120 GBP", "price_kind": "so far"}
    lot = typed(said | {"closes": "27 Nov 2026 19:00"})
    assert (lot.key, lot.title) == ("hand:H9", "5 tor 1893 V, VF")
    assert (lot.price, lot.price_kind) == (Money(Decimal(120), "GBP"), "so far")
    assert lot.closes == datetime(2026, 11, 27, 18, tzinfo=UTC), "in the person's own zone"


def test_the_zone_of_the_venue_counts() -> None:
    terms = Terms("Vessick", "GBP", time_zone="Europe/London")
    assert typed({"title": "x", "closes": "27 Nov 2026 19:00"}, terms).closes == datetime(2026, 11, 27, 19, tzinfo=UTC)


def test_the_same_lot_again_has_the_same_key() -> None:
    said = {"title": "5 tor 1893", "venue": "Vessick", "link": "https://vessick.example/9"}
    assert typed(said).key == typed({**said, "seller": "anna"}).key
    assert typed(said).key != typed({**said, "link": ""}).key


def test_what_is_pasted_is_cleaned() -> None:
    lot = typed({"title": "5\x1b[31m tor\u202e", "description": "one\r\n\r\ntwo\x07"})
    assert (lot.title, lot.description) == ("5 tor", "one\ntwo")


@pytest.mark.parametrize(
    ("said", "why"),
    [
        ({"title": ""}, "A lot needs a title"),
        ({"title": "\x1b[31m"}, "A lot needs a title"),
        ({"price_kind": "guess"}, "Price kind is fixed, so far, estimate or ended, not `guess`"),
        ({"ratings": "many"}, "Ratings: the number of ratings the seller has, such as 120, not `many`"),
        ({"closes": "tomorrow"}, "Closes: `tomorrow` cannot be read"),
        ({"price": "abc"}, "The price `abc` gives no amount"),
    ],
)
def test_a_word_that_cannot_be_read(said: dict[str, str], why: str) -> None:
    with pytest.raises(TypedError) as refused:
        typed({"title": "5 tor 1893", **said})
    assert str(refused.value).startswith(why)


@settings(max_examples=80, deadline=None)
@given(st.dictionaries(st.sampled_from(FIELDS), st.text(max_size=12)))
def test_any_words_give_a_lot_or_one_sentence(said: dict[str, str]) -> None:
    with suppress(TypedError):
        assert typed({"title": "5 tor 1893", **said}).source == "hand"
