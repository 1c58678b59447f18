"""A source from what is typed."""

from __future__ import annotations

from contextlib import suppress
from dataclasses import replace
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from watchlist.core.lots.source import Source
from watchlist.core.typed.source import FIELDS, column_map, source_from, words_of
from watchlist.core.typed.words import TypedError
from watchlist.words import load

TABLES = load()
NORTH = Source(
    "north",
    "https://north.example/feed",
    "Lindmoor Sales",
    kind="rss",
    time_zone="Europe/Berlin",
    currency="EUR",
    columns={"price": "Ausruf"},
    headers={"X-Reader": "me"},
    day_end=True,
)


def typed(said: dict[str, str], before: Source | None = None, **more: Any) -> Source:
    return source_from(said, before, tables=TABLES, **more)


def test_what_is_not_named_stays() -> None:
    assert typed({}, NORTH) == NORTH
    assert typed({"currency": "gbp", "price_kind": "Fixed"}, NORTH) == replace(
        NORTH, currency="GBP", price_kind="fixed"
    )
    assert typed({"currency": ""}, NORTH, columns=[]) == replace(NORTH, currency="", columns={})


def test_headers_never_go_to_another_address() -> None:
    assert typed({"address": "https://south.example/feed"}, NORTH).headers == {}


def test_a_source_that_is_typed_anew_is_fetched_again() -> None:
    assert typed({}, replace(NORTH, disabled="gone for good")).disabled == ""


def test_a_source_comes_back_from_its_own_words() -> None:
    said = words_of(NORTH)
    assert typed(said, columns=said["columns"].split(";")) == replace(NORTH, headers={}, day_end=False)


def test_columns() -> None:
    assert column_map(["price=Ausruf", "", " title = Los "]) == {"price": "Ausruf", "title": "Los"}
    assert column_map(["title=Los; Titel"]) == {"title": "Los; Titel"}


@pytest.mark.parametrize(
    ("said", "columns", "why"),
    [
        ({"name": ""}, (), "A source needs a name"),
        ({"address": ""}, (), "A source needs an address or a file"),
        ({"name": "a:b"}, (), "`a:b` cannot name a source: it needs letters, no colon, and `hand` is taken"),
        ({"name": "hand"}, (), "`hand` cannot name a source: it needs letters, no colon, and `hand` is taken"),
        ({"name": "a\x1bb"}, (), "cannot name a source"),
        ({"currency": "EUROS"}, (), "Currency: EUROS is not a valid currency (did you mean EUR?)"),
        ({"time_zone": "Mars"}, (), "The time zone is a name such as Europe/Berlin, not `Mars`"),
        ({"decimal_mark": "point"}, (), "The decimal mark is `,` or `.` itself, not `point`"),
        ({"date_order": "ymd"}, (), "The date order is dmy (day first) or mdy (month first), not `ymd`"),
        ({"price_kind": "guess"}, (), "Price kind is fixed, so far, estimate or ended, not `guess`"),
        ({"encoding": "utf-9x"}, (), "The encoding is a name such as utf-8 or cp1252, not `utf-9x`"),
        ({"kind": "xls"}, (), "Kind is rss, json or csv, not `xls`"),
        ({}, ("titel=What",), "Columns: `titel` is not a field of Watchlist (did you mean `title`?)"),
        ({}, ("zzzz=What",), "Columns: `zzzz` is not a field of Watchlist; such are title, price, ends_at, seller"),
        ({}, ("price=Asking, title=What",), "Columns are parted by `;`, not by a comma"),
        (
            {},
            ("price",),
            "Columns are written price=Ausruf; title=Los: the name here, then the heading in the file; not ",
        ),
        ({}, ("=Ausruf",), "Columns are written"),
        ({}, ("price=",), "Columns are written"),
    ],
)
def test_a_word_that_means_nothing(said: dict[str, str], columns: tuple[str, ...], why: str) -> None:
    with pytest.raises(TypedError) as refused:
        typed({"name": "north", "address": "https://north.example/feed", **said}, columns=columns)
    assert why in str(refused.value)


@settings(max_examples=80, deadline=None)
@given(st.dictionaries(st.sampled_from(FIELDS), st.text(max_size=10)), st.lists(st.text(max_size=10), max_size=2))
def test_any_words_give_a_source_or_one_sentence(said: dict[str, str], columns: list[str]) -> None:
    with suppress(TypedError):
        assert typed(said, NORTH, columns=columns).name
