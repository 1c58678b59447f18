"""How names of elements and attributes are compared, and the lists of them that words/feeds.toml holds."""

from __future__ import annotations

from functools import cache, lru_cache
from typing import Any

from watchlist.words import load


@cache
def listed(name: str, *more: str) -> frozenset[str]:
    """A list of words/feeds.toml, by the names of its tables."""
    table: Any = load("feeds")[name]
    for part in more:
        table = table[part]
    return frozenset(table)


@lru_cache(maxsize=4096)
def bare(name: str) -> str:
    """A name without case and joints: `End_Time` and `end-time` are one."""
    return name.lower().replace("_", "").replace("-", "")


def local(name: str) -> str:
    """A bare name without the prefix of its namespace."""
    return bare(name.rpartition(":")[2])
