"""What the Tray asks of a million lots: a filter put into SQL, an order, a page by its last key."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime
from typing import Literal, cast

from watchlist.core.coins.issue import bare_words
from watchlist.core.marks.record import SIGNS, Mark
from watchlist.core.sift.filter import Filter
from watchlist.shelf.store.changed import CHANGED
from watchlist.shelf.store.connection import plain

MARKS = cast("tuple[Mark, ...]", tuple(SIGNS))
"""The order by mark: as they outrank each other. The place of a mark here is its number in the store."""
DOUBTS = ("none", "query", "caution", "strong")
UNDATED = 10**12
"""A lot without a closing time is due at this less its first sight: after all dated ones, newest first."""

Order = Literal["closing", "title", "gap", "all_in", "mark"]
COLUMNS: dict[Order, tuple[str, ...]] = {
    "closing": ("due",),
    "title": ("title COLLATE NOCASE",),
    "gap": ("gap",),
    "all_in": ("all_in",),
    "mark": ("mark", "due"),
}


@dataclass(frozen=True, slots=True)
class Condition:
    """One piece of a WHERE clause, with the query that tells how rare it is."""

    sql: str
    values: tuple[object, ...] = ()
    indexed: bool = True
    """An index finds its lots; it may lead the search when they are few."""
    column: str = ""
    """The column of which it is a range."""
    ids: str = ""
    """A query for the numbers of its lots, as `few`, where that is quicker than the condition."""
    hint: bool = False
    """It lets more through than is wanted: it may lead the search, and is no test."""


@dataclass(frozen=True, slots=True)
class Place:
    """Where a page ends: the order's values of its last lot, and the lot's number."""

    values: tuple[int | float | str | None, ...]
    id: int


def epoch(moment: datetime) -> int:
    """Whole seconds since 1970."""
    return int(moment.timestamp())


def conditions(wanted: Filter) -> list[Condition]:
    """The filter as pieces of SQL, but for venues and sellers, whose names have to be looked up."""
    return [*_values(wanted), *_times(wanted), *_ranges(wanted), *_titles(wanted)]


def _values(wanted: Filter) -> list[Condition]:
    found = []
    if wanted.marks:
        found.append(one_of("mark", [MARKS.index(m) for m in MARKS if m in wanted.marks]))
    if wanted.states:
        found.append(one_of("state", sorted(wanted.states)))
    if wanted.issues:
        issues = one_of("issue", wanted.issues)
        found.append(Condition(f"{issues.sql} AND issue <> ''", issues.values))
    if wanted.sources:
        found.append(one_of("source", wanted.sources))
    if wanted.wants:
        wants = one_of("want", wanted.wants)
        found.append(Condition(f"id IN (SELECT lot FROM lot_wants WHERE {wants.sql})", wants.values))
    if wanted.keys is not None:
        found.append(one_of("key", sorted(wanted.keys)))
    if wanted.wanted:
        found.append(Condition("id IN (SELECT lot FROM lot_wants)"))
    if wanted.changed_by:
        found.append(Condition(f"id IN ({CHANGED})", (epoch(wanted.changed_by),), ids=CHANGED))
    return found


_TO_BE_HAD = "kind IS NOT 'ended' AND state NOT IN ('won', 'lost', 'ended')"


def _times(wanted: Filter) -> list[Condition]:
    found = []
    if wanted.open_at:
        found.append(Condition("due >= ?", (epoch(wanted.open_at),), column="due"))
        found.append(Condition(_TO_BE_HAD, indexed=False))
    if wanted.over_at:
        found.append(Condition(f"NOT (due >= ? AND {_TO_BE_HAD})", (epoch(wanted.over_at),), indexed=False))
    if wanted.closes_after:
        found.append(Condition("due >= ?", (epoch(wanted.closes_after),), column="due"))
    if wanted.closes_before:
        found.append(Condition("due < ?", (epoch(wanted.closes_before),), column="due"))
    if wanted.closes_after or wanted.closes_before:
        found.append(Condition("closes IS NOT NULL", indexed=False))
    return found


def _ranges(wanted: Filter) -> list[Condition]:
    edges = (
        ("all_in >= ?", wanted.all_in_min),
        ("all_in <= ?", wanted.all_in_max),
        ("gap >= ?", wanted.gap_min),
        ("gap <= ?", wanted.gap_max),
    )
    return [Condition(sql, (float(edge),), column=sql.split()[0]) for sql, edge in edges if edge is not None]


def one_of(column: str, values: Sequence[object]) -> Condition:
    """The column holds one of these."""
    return Condition(f"{column} IN ({', '.join('?' * len(values))})", tuple(values))


_WORDY = re.compile(r"[^\W_]")
"""A letter or digit: what full text knows. Signs alone are looked for as letters."""
ASCII = "title NOT GLOB '*[^ -~]*'"
AGREED = (
    " -~\u00a3-\u00a9\u00ab-\u00b1\u00b4-\u00b8\u00bb\u00bf-\u00de\u00e0-\u0131\u0134-\u013e\u0141-\u0148"
    "\u014a-\u017f\u0391-\u03a1\u03a3-\u03a9\u03b1-\u03c9\u0410-\u0418\u041a-\u0438\u043a-\u044f"
    "\u2010-\u2023\u2030-\u203a\u20a0-\u20a7\u20a9-\u20b9\u4e00-\u9fff"
)
"""Letters and signs that the full text and a sift cut into the same words; a test compares the two."""
ODD = f"title GLOB '*[^{AGREED}]*'"
"""A title with any other letter: full text may miss it. These have an index of their own."""


def _titles(wanted: Filter) -> list[Condition]:
    """Words as a sift means them: each begins a word of the title, in plain lower-case letters without accents."""
    found = [test for word in wanted.words if (test := _begins(word))]
    for word in wanted.not_words:
        bare = bare_words(word)
        if bare.isascii() and bare and " " not in bare:
            found.append(Condition(f"NOT ({ASCII} AND {_BEGINS})", (_glob(bare),), indexed=False))
    return found


def _begins(word: str) -> Condition | None:
    bare = bare_words(word)
    if not bare:  # signs alone are looked for as they are
        known = plain(word) == word and "\0" not in word
        return Condition("instr(title, ?) > 0", (word,), indexed=False) if known else None
    first = bare.split()[0]
    if not first.isascii():
        return Condition(f"NOT ({ASCII})", indexed=False)
    return Condition(f"(NOT ({ASCII}) OR {_BEGINS})", (_glob(first),), indexed=False)


_BEGINS = "' ' || lower(title) GLOB ?"


def _glob(word: str) -> str:
    return f"*[^a-z0-9/]{word}*"


def hint(words: Sequence[str], *, odd: bool) -> Condition | None:
    """The lots that full text finds for words of a sift, with all odd titles where these have an index."""
    asked = [bare for word in words if _WORDY.search(bare := bare_words(word))]
    if not asked:
        return None
    ids = "SELECT rowid AS few FROM words WHERE words MATCH ?"
    if odd:
        ids = f"{ids} UNION ALL SELECT id FROM lots INDEXED BY lots_odd WHERE {ODD}"
    return Condition("", (" ".join(map(quoted, asked)),), ids=ids, hint=True)


def quoted(word: str) -> str:
    """A word as full-text search takes it, whatever it holds: in quotes, and as the start of a word."""
    return '"' + word.replace('"', '""') + '"*'
