"""A desk on a shelf in memory; a few milliseconds each."""

from __future__ import annotations

import json
from collections.abc import Iterable, Iterator, Mapping, Sequence
from pathlib import Path
from typing import Any

import pytest

from tests.desk import pieces
from watchlist.core.coins.catalogue import Catalogue
from watchlist.core.reading.reader import Reader
from watchlist.desk import desk as desk_file
from watchlist.desk.desk import Desk
from watchlist.desk.reader import build_reader
from watchlist.shelf.shelf import Shelf

_BUILT: dict[object, Reader] = {}


def build_once(
    words: Mapping[str, Any], services: Iterable[str], catalogue: Catalogue, corrections: Sequence[Mapping[str, Any]]
) -> Reader:
    """The reader as ever; one that was built for another test of the same coins and words serves again."""
    known = (tuple(services), tuple(catalogue.by_key.values()), json.dumps(list(corrections)))
    if known not in _BUILT:
        _BUILT[known] = build_reader(words, services, catalogue, corrections)
    return _BUILT[known]


@pytest.fixture
def shelf(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Iterator[Shelf]:
    """An empty shelf."""
    monkeypatch.setattr(desk_file, "build_reader", build_once)
    with pieces.open_shelf(tmp_path, monkeypatch) as opened:
        yield opened


@pytest.fixture
def desk(shelf: Shelf) -> Desk:
    """A desk on a shelf with two coins, a venue, a source and a want."""
    pieces.furnish(shelf)
    return Desk(shelf, pieces.NOW)
