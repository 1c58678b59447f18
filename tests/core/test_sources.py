"""A source as the notebook keeps it."""

from __future__ import annotations

import json

import pytest

from watchlist.core.lots.source import Source, SourceError, is_web, source_from_json, source_to_json


def test_a_source_comes_back_as_it_was() -> None:
    source = Source(
        "Northgate",
        "https://northgate.example/feed",
        "Northgate Sales",
        "rss",
        decimal_mark=",",
        day_end=True,
        columns={"price": "lot:bid"},
        headers={"X-Key": "1"},
    )
    assert source_from_json(json.loads(json.dumps(source_to_json(source)))) == source


def test_defaults_are_not_written_and_later_keys_are_ignored() -> None:
    assert source_to_json(Source("a", "b.csv")) == {"name": "a", "address": "b.csv"}
    assert source_from_json({"name": "a", "address": "b.csv", "of_later": 3}) == Source("a", "b.csv")


@pytest.mark.parametrize(
    "row",
    [
        {},
        {"name": "a"},
        {"name": "a", "address": 3},
        {"name": "a", "address": "b", "kind": "pdf"},
        {"name": "a", "address": "b", "columns": "price"},
        {"name": "a", "address": "b", "day_end": "no"},
    ],
)
def test_a_bad_row_says_why(row: dict[str, object]) -> None:
    with pytest.raises(SourceError, match=r"left out.*\.$"):
        source_from_json(row)


def test_what_is_fetched_and_what_is_opened() -> None:
    assert is_web("HTTPS://a.example/")
    assert not is_web("feeds/httpx.csv")
    assert not is_web("file:///etc/passwd")
