"""How the lists of a source are laid out, and what a changed layout no longer gives.

A house that renames a column would else have its lots kept without their prices, and nobody would notice for days.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any

from watchlist.core.imports.headings import fold
from watchlist.core.imports.spelling import likeness
from watchlist.core.lots.entry import Entry
from watchlist.core.lots.record import Lot

PRICES = ("price", "current_bid", "start_price", "estimate", "hammer", "buy_now")
CALLED = {"title": "titles", "ends_at": "closing times", "lot_id": "lot numbers"} | dict.fromkeys(PRICES, "prices")
"""Fields without which a lot is only half there, and what they are called."""
MOST = 0.6
"""Share of the lots that had it, from which on its loss says something."""
FEW = 0.2
"""Of that share what may be left when the layout has changed."""
LEAST = 4
"""Lots that a share needs to say something."""


@dataclass(frozen=True, slots=True)
class Layout:
    """What the headings or elements of a source are, and how many of its lots have a price and a title."""

    columns: Mapping[str, str] = field(default_factory=dict)
    """Field to the heading or element that gives it to most lots."""
    names: tuple[str, ...] = ()
    """All headings or elements that were seen."""
    shares: Mapping[str, float] = field(default_factory=dict)
    """Share of the lots that have a price, and that have a title of their own."""
    lots: int = 0
    """How many lots were looked at."""


@dataclass(frozen=True, slots=True)
class Lost:
    """A field that does not come any more."""

    field: str
    column: str = ""
    """What gave it before; empty where it stood in a text."""
    perhaps: str = ""
    """The heading that may give it now."""

    @property
    def what(self) -> str:
        """`prices stopped coming from column Gebot`."""
        return f"{CALLED[self.field]} stopped coming{f' from column {self.column}' if self.column else ''}"

    @property
    def pair(self) -> str:
        """`price=HEADING`, with the heading where one is likely."""
        return f"{self.field}={self.perhaps or 'HEADING'}"


def layout_of(headings: Mapping[str, str], entries: Sequence[Entry], lots: Sequence[Lot]) -> Layout:
    """The layout of some entries and the lots that they became; `headings` are those of a table, by field."""
    names = Counter(name for entry in entries for name in entry.extra)
    columns = dict(headings) or _elements(entries)
    return Layout(
        columns,
        tuple(dict.fromkeys([*columns.values(), *names])),
        {"price": _share(lot.price is not None for lot in lots), "title": _share(map(_is_titled, entries))},
        len(lots),
    )


def lost(before: Layout, now: Layout) -> list[Lost]:
    """The fields that the layout gave before and gives no more; each kind of field is told once."""
    found = {CALLED[each.field]: each for each in (*_by_share(before, now), *_by_column(before, now))}
    return list(found.values())


def _by_column(before: Layout, now: Layout) -> Iterator[Lost]:
    """Fields whose heading is gone, and that no other heading gives instead."""
    for name, column in before.columns.items():
        if name in CALLED and name not in now.columns and column not in now.names:
            yield Lost(name, column, _perhaps(column, before, now))


def _by_share(before: Layout, now: Layout) -> Iterator[Lost]:
    """Prices or titles that most lots had and hardly one has now."""
    if now.lots < LEAST:
        return
    for name in ("title", "price"):
        had, has = before.shares.get(name, 0.0), now.shares.get(name, 0.0)
        if had >= MOST and has <= FEW * had:
            columns = (before.columns[each] for each in _alike(name) if each in before.columns)
            column = next(columns, "")
            yield Lost(name, column, _perhaps(column, before, now))


def _alike(name: str) -> tuple[str, ...]:
    return PRICES if name == "price" else (name,)


def _perhaps(column: str, before: Layout, now: Layout) -> str:
    """The new heading that is the likeliest to be the old one: the only one, or the most alike."""
    taken = {heading for field, heading in now.columns.items() if field in CALLED}
    new = [name for name in now.names if name not in before.names and name not in taken]
    if len(new) == 1:
        return new[0]
    alike = max(((likeness(fold(column), fold(name)), name) for name in new), default=(0.0, ""))
    return alike[1] if column and alike[0] >= 0.5 else ""


def _elements(entries: Sequence[Entry]) -> dict[str, str]:
    """For each field the element that held its text in most entries."""
    found: dict[str, Counter[str]] = {}
    for entry in entries:
        for name, text in entry.fields.items():
            if name in CALLED and (key := next((key for key, own in entry.extra.items() if own == text), "")):
                found.setdefault(name, Counter())[key] += 1
    most = {name: keys.most_common(1)[0] for name, keys in found.items()}
    return {name: key for name, (key, times) in most.items() if times >= MOST * len(entries)}


def _share(held: Any) -> float:
    said = list(held)
    return sum(map(bool, said)) / len(said) if said else 0.0


def _is_titled(entry: Entry) -> bool:
    """It has a title of its own, not the first line of its description."""
    return bool(entry.title) and entry.title != entry.description.partition("\n")[0][:200].strip()
