"""A source as it is listed."""

from __future__ import annotations

from watchlist.core.lots.source import Source, is_web, source_to_json


def test_what_was_set_is_written() -> None:
    source = Source(
        "Lindmoor",
        "https://lindmoor.example/feed",
        "Lindmoor Sales",
        "rss",
        decimal_mark=",",
        day_end=True,
        columns={"price": "lot:bid"},
        headers={"X-Key": "1"},
    )
    assert source_to_json(source) == {
        "name": "Lindmoor",
        "address": "https://lindmoor.example/feed",
        "venue": "Lindmoor Sales",
        "kind": "rss",
        "decimal_mark": ",",
        "day_end": True,
        "columns": {"price": "lot:bid"},
        "headers": {"X-Key": "1"},
    }


def test_defaults_are_not_written() -> None:
    assert source_to_json(Source("a", "b.csv")) == {"name": "a", "address": "b.csv"}


def test_what_is_fetched_and_what_is_opened() -> None:
    assert is_web("HTTPS://a.example/")
    assert not is_web("feeds/httpx.csv")
    assert not is_web("file:///etc/passwd")
