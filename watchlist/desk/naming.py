"""Words that a person types for something on the shelf: the lot, coin, venue, source or want that is meant."""

from __future__ import annotations

import difflib
from collections.abc import Iterable, Mapping

from watchlist.core.coins.catalogue import Catalogue, Found
from watchlist.core.coins.issue import Issue
from watchlist.core.fees.terms import Terms
from watchlist.core.lots.source import Source
from watchlist.core.marks.record import Want
from watchlist.desk.desk import Desk
from watchlist.desk.errors import DeskError
from watchlist.page.columns import cut
from watchlist.page.piece import piece
from watchlist.shelf.store import Store
from watchlist.shelf.store.rows import LotRow

LONGEST = 60
"""Cells of a lot's coin, or its title, in a sentence."""


def lot_key(store: Store, end: str) -> str:
    """The key of the one lot whose key ends so. Raises DeskError for none or several."""
    found = store.lots.find(end)
    if end in found:
        return end
    if len(found) == 1:
        return found[0]
    if found:
        raise DeskError(f"`{end}` matches several lots: {', '.join(found[:5])}; write more of the key.")
    raise DeskError(
        f"There is no lot `{end}`; `watchlist lots` lists them with their keys, `watchlist lot add` adds one."
    )


def short_key(store: Store, key: str) -> str:
    """The shortest end of a key, from a mark on, that means this lot alone."""
    places = [place + 1 for place, letter in enumerate(key) if letter in ":,"]
    for place in reversed(places):
        if store.lots.find(key[place:], 2) == [key]:
            return key[place:]
    return key


def issue_name(catalogue: Catalogue, key: str) -> str:
    """An issue in words, or its key where it is unknown."""
    issue = catalogue.by_key.get(key)
    return issue.name if issue else key


def piece_of(catalogue: Catalogue, row: LotRow) -> str:
    """A lot's piece as it was read: `5 tor 1891-M, MS-60`; its title where no issue was told."""
    judged = row.judgement
    issue = catalogue.by_key.get(judged.issue) if judged and judged.issue else None
    low, high = (judged.grade_low, judged.grade_high) if judged else (None, None)
    return piece(issue, row.lot.title, low, high, details=row.reading.details)


def named(desk: Desk, row: LotRow) -> str:
    """A lot in a sentence: `LM-101 (5 tor 1891-M, MS-60)`."""
    return f"{short_key(desk.shelf.store, row.lot.key)} ({cut(piece_of(desk.catalogue, row), LONGEST)})"


def find_coin(desk: Desk, text: str) -> Found:
    """The issue that a typed coin means, in the catalogue's own words or in those of titles."""
    return desk.catalogue.find_coin(text, desk.reader.canonical_denomination)


def coin(desk: Desk, text: str) -> Issue:
    """The issue that a person's words mean. Raises DeskError with the nearest ones."""
    found = find_coin(desk, text)
    if found.issue is not None:
        return found.issue
    raise DeskError(found.note)  # it names the nearest, or all that are meant


def venue(terms: Mapping[str, Terms], name: str) -> str:
    """A venue's name as it is kept, whatever its case. Raises DeskError with the nearest one."""
    return _meant(name, terms, "venue", "watchlist venue list")


def source(sources: Mapping[str, Source], name: str) -> Source:
    """The source of this name. Raises DeskError with the nearest one."""
    return sources[_meant(name, sources, "source", "watchlist source list")]


def want(wants: Mapping[str, Want], id: str) -> Want:
    """The want of this id. Raises DeskError with the nearest one."""
    return wants[_meant(id, wants, "want", "watchlist want list")]


def _meant(name: str, names: Iterable[str], what: str, where: str) -> str:
    folded = {each.casefold(): each for each in names}
    if name.casefold() in folded:
        return folded[name.casefold()]
    near = difflib.get_close_matches(name.casefold(), folded, 1, 0.5)
    hint = f" (did you mean `{folded[near[0]]}`?)" if near else f"; `{where}` lists them"
    raise DeskError(f"There is no {what} `{name}`{hint}.")
