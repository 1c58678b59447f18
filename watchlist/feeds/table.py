"""Bytes of a CSV file to rows under canonical names. Whatever the bytes are, it ends quickly and never raises."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from itertools import chain, islice
from typing import Any

from watchlist.core.clean import clean_lines
from watchlist.core.imports.headings import Heading, assign, count_known, fold, looks_of, read_heading, synonyms_of
from watchlist.core.imports.record import LineNote, Row, SetAside, Table
from watchlist.core.money.minor import whole_units
from watchlist.feeds.bodies import decode, known_encoding
from watchlist.feeds.coin_cells import are_coins, is_titled, title_by_cells
from watchlist.feeds.names import labels_as_headings
from watchlist.feeds.near_headings import near
from watchlist.feeds.packed import PackedRows
from watchlist.feeds.separated import COLUMN_CAP, LOOK_FOR_HEADINGS, Record, find_separator, records
from watchlist.feeds.widths import Widths

CELL_CAP = 50_000
"""Characters of one cell."""
TOLD = 100
"""Lines named one by one."""
CELLS_SEEN = 200
"""Cells of a column that tell its meaning."""
TEXT_COLUMNS = ("description", "note", "title")
LEADING = re.compile(r"[^\w,.]{0,2}\d{1,3}(?:,\d{3})*", re.ASCII)
QUOTED = re.compile(r'="([^"\n]*)"')
NAMED_COIN = frozenset(("title", "year", "issue"))
"""Columns that name a coin, beside its denomination."""
SECOND = {
    "grade": ("remark", "problem"),
    "problem": ("remark",),
    "description": ("remark",),
    "remark": ("description",),
}
"""Where the words of a column go whose own place another one has."""
GROUP = re.compile(r"\d{3}(?:\.\d\d)?", re.ASCII)
Known = Mapping[str, tuple[str, ...]]
"""Folded heading to the canonical names it may mean."""


@dataclass(slots=True)
class _Told:
    """What is said about single lines; the first hundred each, then their number."""

    notes: list[LineNote] = field(default_factory=list)
    aside: list[SetAside] = field(default_factory=list)
    more: int = 0
    by_cells: str = ""
    """The heading of titles, found by its cells."""

    def note(self, line: int, what: str) -> None:
        """Something odd at a line (0: the whole file)."""
        if line and len(self.notes) >= TOLD:
            self.more += 1
        else:
            self.notes.append(LineNote(line, what))

    def bad_quote(self, line: int) -> None:
        """A quote that is opened and not closed."""
        self.note(line, "a quote mark is opened and not closed; the line is read on its own")

    def troubles(self) -> tuple[LineNote, ...]:
        """The notes, and how many more there are."""
        rest = (LineNote(0, f"{self.more:,} more lines have problems of these kinds"),) if self.more else ()
        return (*self.notes, *rest)


def read_table(
    body: bytes,
    *,
    encoding: str = "",
    columns: Mapping[str, str] | None = None,
    synonyms: Mapping[str, Any],
    kind: str = "lots",
) -> Table:
    """Read a CSV file of one kind (lots, catalogue, prices, wants, guide, terms, rates).

    `encoding` overrides what the bytes show; `columns` is the person's own map, canonical name to heading; `synonyms`
    is the table `columns`. Trouble is named by line in the table; a file without rows gives a table without rows.
    """
    told, given = _Told(), columns or {}
    if encoding and not known_encoding(encoding):
        told.note(0, f"the encoding `{encoding}` is unknown; the bytes decide instead")
    said = labels_as_headings() if kind == "lots" else {}
    known = {**said, **synonyms_of(synonyms, kind)} | {fold(heading): (name,) for name, heading in given.items()}
    separator, lines = find_separator(decode(body, encoding), known)
    rows = records(lines, separator, told.bad_quote)
    first = list(islice((row for row in rows if any(map(str.strip, row[1]))), LOOK_FOR_HEADINGS))
    if not first:
        told.note(0, "the file holds no rows")
        return Table(kind, (), {}, (), separator, troubles=told.troubles())
    at = line_of_headings(first, known, told.note)
    headings = _headings(first[at][1], known, told)
    found: Iterator[Record] = chain(first[at + 1 :], rows)
    if len(first[at][1]) > COLUMN_CAP:
        found = ((line, cells[:COLUMN_CAP]) for line, cells in found)
    seen = list(islice(found, CELLS_SEEN))
    reader = _RowReader.of(headings, _assign(headings, seen, synonyms, given, told, kind), synonyms, separator, told)
    made = PackedRows(reader.row)
    filled = reader.pack(chain(seen, found), made)
    return Table(
        kind,
        tuple(reader.headings),
        {name: reader.headings[n] for name, n in reader.named},
        made,
        separator,
        tuple(name for name, n in reader.others if n in filled or not name.startswith("column ")),
        told.troubles(),
        tuple(told.aside),
        told.by_cells,
    )


def line_of_headings(first: Sequence[Record], known: Known, note: Callable[[int, str], None]) -> int:
    """Which of the first rows holds the headings. Title lines above are passed over."""
    scores = [count_known(cells[:COLUMN_CAP], known) for _, cells in first]
    best = max(range(len(first)), key=lambda n: scores[n])
    if scores[best] < 2 and any(len(cells) >= len(first[best][1]) for _, cells in first[:best]):
        best = 0
    if not scores[best]:
        best = next((n for n, (_, cells) in enumerate(first) if len(cells) > 1), 0)
        note(first[best][0], "no heading of this line is known")
    return best


def _headings(cells: Sequence[str], known: Known, told: _Told) -> list[Heading]:
    """Headings in order; an empty one is named by its number, a repeated one has no meaning of its own."""
    made: list[Heading] = []
    seen: dict[str, int] = {}
    again: dict[str, str] = {}
    for number, cell in enumerate(cells[:COLUMN_CAP], 1):
        text = _cell(cell)[:200] or f"column {number}"
        count = seen[fold(text)] = seen.get(fold(text), 0) + 1
        if count > 1:
            again[fold(text)] = text
        made.append(Heading(f"{text} ({count})", ()) if count > 1 else read_heading(text, known))
    for name, text in again.items():
        times = "twice" if seen[name] == 2 else f"{seen[name]:,} times"
        told.note(0, f"the heading `{text}` stands {times}; the first is used")
    if len(cells) > COLUMN_CAP:
        told.note(0, f"only the first {COLUMN_CAP:,} of {len(cells):,} columns were read")
    return made


def _assign(
    headings: Sequence[Heading],
    rows: Iterable[Record],
    synonyms: Mapping[str, Any],
    given: Mapping[str, str],
    told: _Told,
    kind: str,
) -> dict[str, int]:
    """Canonical name to column number, with a word on what the person named and the file lacks."""
    seen = _filled(len(headings), rows)
    taken = assign(headings, seen, looks_of(synonyms), given)
    if "title" in taken and "remark" in synonyms["kinds"][kind]["columns"]:
        _second_texts(headings, seen, taken, synonyms)
    if not NAMED_COIN & taken.keys() and are_coins(seen[taken["denomination"]] if "denomination" in taken else ()):
        taken["title"] = taken.pop("denomination")  # `Coin` over whole coins: 10 sköl 1888 S
    if kind == "lots":
        told.by_cells = _by_cells(headings, seen, taken)
    for name, heading in given.items():
        if name not in taken:
            told.note(0, f"the heading `{heading}`, named for {name}, is not in the file")
    return taken


def _by_cells(headings: Sequence[Heading], seen: Sequence[Sequence[str]], taken: dict[str, int]) -> str:
    """Take columns that only their cells tell the meaning of; the heading of titles where it is such a one."""
    found = "" if is_titled(taken, seen) else title_by_cells([each.text for each in headings], seen, taken)
    if "title" in taken:
        used = set(taken.values())
        free = [(n, each) for n, each in enumerate(headings) if n not in used]
        unknown = [(n, each.text) for n, each in free if not each.names]
        taken |= near(unknown, seen, set(taken), [n for n, each in free if each.names])
    return found


def _filled(width: int, rows: Iterable[Record]) -> list[list[str]]:
    """The cells of each column in which something stands."""
    seen: list[list[str]] = [[] for _ in range(width)]
    for _, cells in rows:
        for into, cell in zip(seen, cells, strict=False):
            if cell.strip():
                into.append(cell)
    return seen


def _second_texts(
    headings: Sequence[Heading], seen: Sequence[Sequence[str]], taken: dict[str, int], synonyms: Mapping[str, Any]
) -> None:
    """`Grade` and `Condition`, `Description` and `Details`: a second column of one kind holds remarks."""
    status = taken.get("status", -1)
    graded = status >= 0 and "grade" in taken and "grade" in headings[status].names
    if graded and not _tell_ends(seen[status], synonyms):
        del taken["status"]  # `Erhaltung` and `Zustand`
    for number, heading in enumerate(headings):
        names = (name for each in heading.names for name in SECOND.get(each, ()))
        if number not in taken.values() and (name := next((name for name in names if name not in taken), "")):
            taken[name] = number


def _tell_ends(cells: Sequence[str], synonyms: Mapping[str, Any]) -> bool:
    """Whether cells of a status say that lots are sold or over."""
    words = {word for name in ("ended", "sold", "unsold") for word in synonyms["cells"][name]}
    return any(cell.strip().casefold() in words for cell in cells)


@dataclass(frozen=True, slots=True)
class _RowReader:
    """Makes the lines of one file rows: what its columns mean, and how its lines are brought to their width."""

    headings: list[str]
    named: list[tuple[str, int]]
    """Canonical names with the numbers of their columns, in order."""
    others: list[tuple[str, int]]
    """Headings without a meaning, with the numbers of their columns."""
    cents: frozenset[str]
    """Canonical names whose amounts are hundredths."""
    stated: Mapping[str, str]
    """What a heading says for all rows: `Price (EUR)` the currency, `Ends (UTC)` the zone."""
    joins: bool
    """The last column holds free text: cells too many belong to it."""
    widths: Widths
    totals: frozenset[str]
    """Words at the head of a line of totals."""
    told: _Told

    @classmethod
    def of(
        cls, headings: Sequence[Heading], taken: Mapping[str, int], synonyms: Mapping[str, Any], mark: str, told: _Told
    ) -> _RowReader:
        """The reader for these columns; `taken`: canonical name to column number."""
        named = sorted(taken.items(), key=lambda item: item[1])
        amounts = frozenset(synonyms["looks"]["amount"])
        numbers = set(taken.values())
        return cls(
            [heading.text for heading in headings],
            named,
            [(heading.text, n) for n, heading in enumerate(headings) if n not in numbers],
            frozenset(name for name, n in named if headings[n].cents and name in amounts),
            _stated_currency(headings, taken) | _stated_zone(headings, taken),
            bool(named) and named[-1][1] == len(headings) - 1 and named[-1][0] in TEXT_COLUMNS,
            _widths(headings, taken, synonyms, mark),
            frozenset(synonyms["cells"]["total"]),
            told,
        )

    def pack(self, records: Iterable[Record], into: PackedRows) -> set[int]:
        """Bring the lines to the width of the headings and pack those that are rows; the numbers of the columns
        without a meaning in which something stands."""
        filled, unknown = set[int](), [n for _, n in self.others]
        for line, raw in records:
            cells = self._cells(line, _cleaned(raw))
            if cells is not None:
                into.add(line, cells)
                filled.update(n for n in unknown if cells[n])
        return filled

    def _cells(self, line: int, cells: list[str]) -> Sequence[str] | None:
        """The cells of one line; None where it is no row or was set aside."""
        if self._is_blank(cells):
            return None
        if next(filter(None, cells)).casefold().rstrip(" :.") in self.totals:
            self._set_aside(line, "a line of totals, no row of its own")
            return None
        fitted = self._fitted(line, self._regrouped(line, cells))
        return self._capped(line, fitted) if fitted else None

    def _is_blank(self, cells: Sequence[str]) -> bool:
        """An empty line, one of dashes, or the headings again."""
        said = any(letter.isalnum() for cell in cells for letter in cell)
        return not said or cells[: len(self.headings)] == self.headings

    def row(self, line: int, cells: Sequence[str]) -> Row:
        """A row from its line and its cells."""
        values = {
            name: whole_units(cell) if name in self.cents else cell for name, n in self.named if (cell := cells[n])
        }
        for name, text in self.stated.items():
            values.setdefault(name, text)
        return Row(line, values, {name: cell for name, n in self.others if (cell := cells[n])})

    def _capped(self, line: int, cells: Sequence[str]) -> Sequence[str]:
        if max(map(len, cells)) <= CELL_CAP:
            return cells
        self.told.note(line, f"a cell is longer than {CELL_CAP:,} characters and was cut")
        return [cell[:CELL_CAP] for cell in cells]

    def _regrouped(self, line: int, cells: list[str]) -> list[str]:
        """Cells with figures like 2,000,000 put together again, when that gives just the cells of the headings."""
        if self.widths.separator != "," or len(cells) <= len(self.headings):
            return cells
        made: list[str] = []
        for cell in cells:
            if made and GROUP.fullmatch(cell) and LEADING.fullmatch(made[-1]):
                made[-1] = f"{made[-1]},{cell}"
            else:
                made.append(cell)
        if len(made) != len(self.headings):
            return cells
        self.told.note(line, "a figure with commas stands without quotation marks; it was put together again")
        return made

    def _fitted(self, line: int, cells: list[str]) -> list[str] | None:
        """Cells brought to the width of the headings; None when it cannot be told which cell is too many."""
        width = len(self.headings)
        if len(cells) > width and any(cells[width:]):
            if not self.joins:
                return self._too_many(line, cells)
            self.told.note(line, "more cells than headings; the last ones are read as one text")
            return [*cells[: width - 1], ", ".join(filter(None, cells[width - 1 :]))]
        if len(cells) < width - 1:
            self.told.note(line, f"{len(cells)} cells, but {width} headings; the rest is taken as empty")
        return cells[:width] + [""] * (width - len(cells))

    def _too_many(self, line: int, cells: list[str]) -> list[str] | None:
        """The cells that surely stand where they belong; None when it cannot be told which are too many."""
        found, many = self.widths.fitted(cells), f"{len(cells)} cells, but {len(self.headings)} headings"
        if found is None:
            self._set_aside(line, f"{many}; row rejected: a cell that holds the separator needs quotation marks")
        else:
            lost = [self.headings[n] for n, cell in enumerate(found) if cells[n] and not cell]
            what = f", without {', '.join(lost[:3])}" if lost else ""
            self.told.note(line, f"{many}; the cells that stand where they belong are read{what}")
        return found

    def _set_aside(self, line: int, why: str) -> None:
        self.told.aside.append(SetAside(line, why))


def _cleaned(cells: Sequence[str]) -> list[str]:
    """The cells without what a cell does not say. Most lines hold nothing but plain letters, which one look tells."""
    line = "".join(cells)
    if line.isascii() and line.isprintable() and "'" not in line and '="' not in line:
        return [cell.strip() for cell in cells]
    return list(map(_cell, cells))


def _cell(text: str) -> str:
    """A cell without control characters, and without what keeps a spreadsheet from calculating: `'-5`, `="0123"`."""
    text = text.strip() if text.isascii() and text.isprintable() else clean_lines(text, CELL_CAP + 1)
    if quoted := QUOTED.fullmatch(text):
        return quoted[1].strip()
    if len(text) > 1 and text[0] == "'" and text[1] in "=+-@":
        return text[1:]
    return text


def _widths(headings: Sequence[Heading], taken: Mapping[str, int], synonyms: Mapping[str, Any], mark: str) -> Widths:
    looks, named = looks_of(synonyms), {n: name for name, n in taken.items()}
    tests = {n: test for n, name in named.items() if (test := looks.get(name))}
    texts = [n for n in range(len(headings)) if named.get(n, TEXT_COLUMNS[0]) in TEXT_COLUMNS]
    return Widths(tests, texts, len(headings), mark)


def _stated_currency(headings: Sequence[Heading], taken: Mapping[str, int]) -> dict[str, str]:
    """`Price (EUR)` states the currency where no column does."""
    stated = {name: headings[n].currency for name, n in taken.items() if headings[n].currency}
    target = "ceiling_currency" if "ceiling" in taken else "currency"
    if not stated or target in taken:
        return {}
    return {target: stated.get("ceiling") or next(iter(stated.values()))}


def _stated_zone(headings: Sequence[Heading], taken: Mapping[str, int]) -> dict[str, str]:
    """`Ends (UTC)` states the zone where no column does."""
    zone = headings[taken["ends_at"]].zone if "ends_at" in taken and "time_zone" not in taken else ""
    return {"time_zone": zone} if zone else {}
