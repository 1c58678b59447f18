"""Word tables are handed to the core as parsed TOML; what is built from one is built once."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import Any, TypeVar

Built = TypeVar("Built")

KEPT = 8
"""Tables remembered for one builder: more than a run of the program ever hands in."""


def once(build: Callable[[Mapping[str, Any]], Built]) -> Callable[[Mapping[str, Any]], Built]:
    """Remember what `build` made of a table, told apart by identity, for patterns are slow to compile.

    The table is held as long as its result, so that its identity cannot pass to another one.
    """
    kept: dict[int, tuple[Mapping[str, Any], Built]] = {}

    def built(table: Mapping[str, Any]) -> Built:
        found = kept.get(id(table))
        if found is None:
            if len(kept) >= KEPT:
                kept.clear()
            found = kept[id(table)] = (table, build(table))
        return found[1]

    return built
