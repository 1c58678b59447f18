"""What has to follow a change of the shelf. It is kept there, so that work stopped or killed is done later."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from contextlib import contextmanager
from dataclasses import dataclass, fields
from operator import and_, or_
from typing import Any

from watchlist.shelf.store.facts import Facts


@dataclass(frozen=True, slots=True)
class Due:
    """Work that is due: `a | b` is all of both, `a & b` what both name, `a - b` what is left; nothing due is falsy."""

    market: bool = False
    """The market is older than the prices, guides, rates, terms or the catalogue it was fitted to."""
    scales: bool = False
    """So much came that its scales have to be found anew, not its curves alone."""
    titles: bool = False
    """The titles of all open lots have to be read anew: words were taught, or the catalogue has grown."""
    titles_of: frozenset[str] = frozenset()
    """Keys of single lots whose titles have to be read anew."""
    marks: bool = False
    """All open lots have to be judged anew."""
    marks_of: frozenset[str] = frozenset()
    """Keys of single lots to be judged anew."""
    issues: frozenset[str] = frozenset()
    """Issues whose sales have changed: their open lots have to be judged anew."""
    closing: bool = False
    """Lots that close soon have to be judged by the bid so far."""
    ended: bool = False
    """Lots whose closing has passed have to be ended."""

    def __bool__(self) -> bool:
        return self != NOTHING

    def __or__(self, other: Due) -> Due:
        return self._with(other, or_)

    def __and__(self, other: Due) -> Due:
        return self._with(other, and_)

    def __sub__(self, other: Due) -> Due:
        return self._with(other, lambda mine, theirs: mine - theirs if isinstance(mine, frozenset) else mine > theirs)

    def _with(self, other: Due, joined: Callable[[Any, Any], Any]) -> Due:
        return Due(**{name: joined(getattr(self, name), getattr(other, name)) for name in NAMES})

    @property
    def left(self) -> str:
        """What is left undone, in one sentence; empty where it is a matter of single lots."""
        parts = [words for name, words in LEFT.items() if getattr(self, name)]
        said = f"{' and '.join(parts)} {'is' if len(parts) == 1 else 'are'} due." if parts else ""
        return f"{said[:1].upper()}{said[1:]}"


NAMES = tuple(part.name for part in fields(Due))
LEFT = {"market": "calculating the bands", "titles": "reading all lots again"}
NOTHING = Due()
MARKS = Due(marks=True)
"""After a change of the want-list."""
TITLES = Due(titles=True, marks=True)
"""After a change of what the reader knows."""
MARKET = Due(market=True, marks=True)
"""After a change of prices, rates or terms."""


KEPT = "due"
"""Name of the fact that holds what waits, and what was begun and not ended."""
MARKET_BEFORE, LOTS_BEFORE = "market_dirty", "touched"
"""Facts of shelves that were written before: a fit is due, and keys of lots to be judged anew."""


class Owed:
    """What is due on one shelf. What was begun counts as due until it is ended, however the program ended."""

    def __init__(self, facts: Facts) -> None:
        self._facts = facts

    def all(self) -> Due:
        """All that waits or was begun."""
        waits, begun = self._read()
        return waits | begun

    def add(self, due: Due) -> None:
        """Something more is due."""
        waits, begun = self._read()
        if due - waits:
            self._write(waits | due, begun)

    @contextmanager
    def under_way(self, part: Due) -> Iterator[None]:
        """Work on a part: it is done when the block ends, and stays due when the block is left by an error.

        What becomes due of it meanwhile came too late for this work: it waits for the next."""
        waits, begun = self._read()
        self._write(waits - part, begun | part)
        yield
        waits, begun = self._read()
        self._write(waits, begun - part)

    def _read(self) -> tuple[Due, Due]:
        kept = self._facts.get(KEPT)
        if kept is None:
            return self._before(), NOTHING
        return from_data(kept["waits"]), from_data(kept["begun"])

    def _before(self) -> Due:
        lots = self._facts.get(LOTS_BEFORE)
        return Due(market=bool(self._facts.get(MARKET_BEFORE)), marks_of=frozenset(lots or ()))

    def _write(self, waits: Due, begun: Due) -> None:
        self._facts.put(KEPT, {"waits": to_data(waits), "begun": to_data(begun)})


def to_data(due: Due) -> dict[str, Any]:
    """As JSON can hold it: only what is due."""
    found = {name: value for name in NAMES if (value := getattr(due, name))}
    return {name: value if isinstance(value, bool) else sorted(value) for name, value in found.items()}


def from_data(data: Mapping[str, Any]) -> Due:
    """What `to_data` made; names that are not known are passed over."""
    known = {name: value for name, value in data.items() if name in NAMES}
    found: dict[str, Any] = {n: value if isinstance(value, bool) else frozenset(value) for n, value in known.items()}
    return Due(**found)
