"""The network side of a gather: it hands over as it goes, ends when it is told to, and hides no fault."""

from __future__ import annotations

import asyncio
from pathlib import Path
from typing import Any

import pytest

from tests.desk.pieces import NOW
from watchlist.desk.gather.fetching import Fetching
from watchlist.feeds import gather as network
from watchlist.feeds.answers import Ask, Fetched


def asks(path: Path, *names: str) -> list[Ask]:
    for name in names:
        (path / name).write_bytes(name.encode())
    return [Ask(name, str(path / name)) for name in names]


def test_every_answer_is_handed_over(tmp_path: Path) -> None:
    came = {asked.name: found for asked, found in Fetching(asks(tmp_path, "a", "b"), NOW)}
    assert {name: found.body for name, found in came.items() if isinstance(found, Fetched)} == {"a": b"a", "b": b"b"}


def test_stopped_before_it_begins_it_asks_nobody(tmp_path: Path) -> None:
    fetching = Fetching(asks(tmp_path, "a"), NOW)
    fetching.stop()
    assert list(fetching) == []


def test_stopped_in_the_middle_it_drops_what_has_not_come(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    async def slow(given: Any, done: Any, *, now: Any) -> None:
        done(given[0], Fetched(200, b"a"))
        await asyncio.Event().wait()

    monkeypatch.setattr(network, "gather_bodies", slow)
    fetching = Fetching(asks(tmp_path, "a", "b"), NOW)
    came = []
    for asked, _ in fetching:
        came.append(asked.name)
        fetching.stop()
    assert came == ["a"]
    fetching.stop()  # over: nothing is left to stop


def test_a_fault_of_ours_is_raised_where_it_is_read(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    async def broken(given: Any, done: Any, *, now: Any) -> None:
        raise ZeroDivisionError

    monkeypatch.setattr(network, "gather_bodies", broken)
    with pytest.raises(ZeroDivisionError):
        list(Fetching(asks(tmp_path, "a"), NOW))
