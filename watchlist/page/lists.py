"""Lists in columns that shrink with the window: the first column gives way, then the least important ones go."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

from watchlist.page.columns import beginning, cells, pad, wrap


@dataclass(frozen=True, slots=True)
class Column:
    """A column: its head, its width, where its text stands, and how long it is kept (0 always, 9 goes first)."""

    name: str
    wide: int
    right: bool = False
    rank: int = 0
    below: bool = False
    """Where it has no room, what it says stands in the second line of a row."""


@dataclass(frozen=True, slots=True)
class Fitted:
    """The columns that fit, by their place in the row, with their widths."""

    places: tuple[int, ...]
    widths: tuple[int, ...]
    columns: tuple[Column, ...]
    gap: int = 2
    """Blanks between two columns."""

    def head(self) -> str:
        """The names of the columns."""
        return self.row([column.name for column in self.columns])

    def row(self, texts: Sequence[str]) -> str:
        """One row; `texts` has one for every column, also for those that do not fit."""
        return (" " * self.gap).join(
            pad(texts[place], wide, right=self.columns[place].right)
            for place, wide in zip(self.places, self.widths, strict=True)
        )

    def wrapped(self, texts: Sequence[str], places: Sequence[int]) -> list[str]:
        """One row, the cells of these places whole: what does not fit goes on in the lines below, that of the last one
        up to the end of the row, with what had no column."""
        wide = dict(zip(self.places, self.widths, strict=True))
        whole = {place: wrap(texts[place], wide[place]) for place in places if place in wide}
        last = max(whole)
        rest = " ".join(texts[last].split())[len(whole[last][0]) :].strip()
        edge = sum(wide[place] + self.gap for place in self.places if place < last)
        room = sum(wide.values()) + self.gap * (len(wide) - 1) - edge
        more = "; ".join(filter(None, (rest, self._homeless(texts))))
        whole[last] = [whole[last][0], *(wrap(more, room) if more else ())]
        tall = max(map(len, whole.values()))
        rows = [{place: lines[n] for place, lines in whole.items() if n < len(lines)} for n in range(tall)]
        first = self.row([rows[0].get(place, text) for place, text in enumerate(texts)])
        return [first, *(beginning(self._cells(row), edge) + row.get(last, "") for row in rows[1:])]

    def _cells(self, row: Mapping[int, str]) -> str:
        """A row with nothing but these cells."""
        return self.row([row.get(place, "") for place in range(len(self.columns))])

    def _homeless(self, texts: Sequence[str]) -> str:
        """What stands in no column and is told below."""
        gone = (place for place, each in enumerate(self.columns) if each.below and place not in self.places)
        return ", ".join(filter(None, (texts[place] for place in gone)))


def measured(columns: Sequence[Column], rows: Sequence[Sequence[str]]) -> tuple[Column, ...]:
    """The columns as wide as what stands in them, so that no figure is cut; an empty one has no width."""
    widest = [max((cells(row[place]) for row in rows), default=0) for place in range(len(columns))]
    return tuple(
        replace(column, wide=max(wide, cells(column.name)) if wide or not column.rank else 0)
        for column, wide in zip(columns, widest, strict=True)
    )


def fit(
    columns: Sequence[Column], width: int, *, flexible: int = 0, least: int = 20, gap: int = 2, needed: int = 0
) -> Fitted:
    """As many columns as leave the flexible one its least width; it takes what is left over.

    A wide column that had to go may leave room for a narrow one that went before it: those up to the rank `needed`
    come back."""
    kept = _kept(columns, width - least, flexible, gap, needed)
    rest = width - sum(columns[place].wide + gap for place in kept if place != flexible)
    widths = [max(rest, 1) if place == flexible else columns[place].wide for place in kept]
    return Fitted(tuple(kept), tuple(widths), tuple(columns), gap)


def _kept(columns: Sequence[Column], room: int, flexible: int, gap: int, needed: int) -> list[int]:
    """The places of the columns that have room beside the flexible one."""
    kept = [place for place, column in enumerate(columns) if column.wide]
    order = sorted((p for p in kept if p != flexible and columns[p].rank), key=lambda p: (columns[p].rank, p))
    gone = []
    left = room - sum(columns[place].wide + gap for place in kept if place != flexible)
    while left < 0 and order:
        gone.append(order.pop())
        left += columns[gone[-1]].wide + gap
    for place in reversed(gone):
        if columns[place].rank <= needed and columns[place].wide + gap <= left:
            gone.remove(place)
            left -= columns[place].wide + gap
    return [place for place in kept if place not in gone]


def columns_read(columns: Mapping[str, str], unknown: Sequence[str]) -> list[str]:
    """What the headings of a table were taken for, which of them are not known, and what stands in for the titles."""
    if not columns:
        return []
    said = [f"Columns: {'; '.join(f'{name}={heading}' for name, heading in columns.items())}."]
    if unknown:
        said.append(f"Headings not known: {', '.join(unknown)}.")
    if "title" not in columns and "description" in columns and "denomination" not in columns:
        heading = unknown[0] if unknown else "HEADING"
        said.append(
            f"No heading is known for the titles, so `{columns['description']}` is read in their place; if "
            f"that is wrong, name the column, such as title={heading}."
        )
    return said
