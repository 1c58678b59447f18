"""How names of elements and attributes are compared, and the lists of them that words/feeds.toml holds; labels as
headings."""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Iterable, Mapping
from functools import cache, lru_cache
from itertools import chain
from typing import Any

from watchlist.core.imports.headings import fold
from watchlist.words import load, spoken


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


@cache
def labels_as_headings() -> Mapping[str, tuple[str, ...]]:
    """What stands before a price or a closing time in running text heads a column as well: `Bid so far`, `Sluit op`."""
    prices = ((label, kind) for kind, labels in load("money")["labels"].items() for label in labels if kind != "other")
    closing = load("times")["closing"]
    times = ((label, "ends_at") for label in (*closing["labels"], *closing["day_first"]))
    return {fold(label): (kind,) for label, kind in (*prices, *times)}


def language(headings: Iterable[str]) -> str:
    """The code of the language that most headings of a table are of; empty where two share them, or for English, in
    which the tables of every country are headed."""
    speaking = _speaking()
    said = Counter(code for heading in headings for code in speaking.get(fold(heading.partition("(")[0]), ()))
    first, second = [*said.most_common(2), ("", 0), ("", 0)][:2]
    return first[0] if first[1] > second[1] and first[0] != "en" else ""


@cache
def _speaking() -> Mapping[str, set[str]]:
    """The languages in which a folded heading stands over a column."""
    found: dict[str, set[str]] = defaultdict(set)
    for code, table in spoken("columns").items():
        for heading in chain.from_iterable(table.get("headings", {}).values()):
            found[fold(heading)].add(code)
    return found


def date_order(heading: str) -> str:
    """`dmy` where a heading is of a language that writes the day before the month; empty where either may be first."""
    closing = load("times")["closing"]
    day_first = frozenset(map(fold, closing["day_first"])) - frozenset(map(fold, closing["labels"]))
    return "dmy" if fold(heading) in day_first else ""
