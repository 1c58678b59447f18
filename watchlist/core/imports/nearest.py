"""Which column of a file may hold what the file lacks: by its heading, else by its cells."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from itertools import islice
from typing import Any

from watchlist.core.imports.headings import fold, looks_of, synonyms_of
from watchlist.core.imports.record import Table
from watchlist.core.imports.spelling import likeness

ALIKE = 0.72
"""From this likeness on two headings may be one: `Zuschlg` and `Zuschlag`, not `Zug`."""
MOSTLY = 0.8
"""Share of the cells that must look like what the column is to hold."""
SHOWN = 12
"""Headings named in a sentence."""
LOOKED_AT = 200


def headings_of(table: Table) -> str:
    """The headings of a file in words."""
    names = [heading[:40] for heading in table.headings[:SHOWN]]
    more = f" and {len(table.headings) - SHOWN} more" if len(table.headings) > SHOWN else ""
    return ", ".join(names) + more


def nearest(table: Table, names: Iterable[str], words: Mapping[str, Any]) -> str:
    """`sale_date=Tag`: of some canonical columns and the headings that nobody knows, the pair that is the likeliest.

    `words` is the table `columns`. Empty where nothing is near."""
    wanted = tuple(names)
    if table.kind not in words["kinds"]:
        return ""
    spelt = max((_by_heading(table, name, words) for name in wanted), default=(0.0, ""))
    if spelt[0] >= ALIKE:
        return spelt[1]
    return next(filter(None, (_by_cells(table, name, words) for name in wanted)), "")


def _by_heading(table: Table, name: str, words: Mapping[str, Any]) -> tuple[float, str]:
    known = [folded for folded, meant in synonyms_of(words, table.kind).items() if name in meant]
    pairs = ((likeness(fold(heading), word), heading) for heading in table.unknown for word in known)
    share, heading = max(pairs, default=(0.0, ""))
    return share, f"{name}={heading}"


def _by_cells(table: Table, name: str, words: Mapping[str, Any]) -> str:
    """The only unknown column whose cells look like this one's."""
    test = looks_of(words).get(name)
    if test is None:
        return ""
    fitting = [heading for heading in table.unknown if _share(table, heading, test) >= MOSTLY]
    return f"{name}={fitting[0]}" if len(fitting) == 1 else ""


def _share(table: Table, heading: str, test: Any) -> float:
    cells: Sequence[str] = [cell for row in islice(table.rows, LOOKED_AT) if (cell := row.extra.get(heading, ""))]
    return sum(1 for cell in cells if len(cell) <= 120 and test(cell)) / len(cells) if cells else 0.0
