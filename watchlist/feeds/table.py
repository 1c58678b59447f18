"""Bytes of a CSV file to rows under canonical names. Whatever the bytes are, it ends quickly and never raises."""

from __future__ import annotations

import codecs
import csv
import re
from collections.abc import Container, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from itertools import islice
from typing import Any

from watchlist.core.clean import clean_lines
from watchlist.core.imports.headings import Heading, assign, count_known, fold, looks_of, read_heading, synonyms_of
from watchlist.core.imports.record import LineNote, Row, SetAside, Table
from watchlist.core.money.minor import whole_units

SEPARATORS = (",", ";", "\t", "|")
SAMPLE = 4096  # characters that decide the separator
LOOK_FOR_HEADINGS = 12  # first lines with something on them; one of them holds the headings
CELL_CAP = 50_000  # characters of one cell
LONE_QUOTES = 50  # after so many, every further line is read on its own
TOLD = 100  # lines named one by one
CELLS_SEEN = 200  # cells of a column that tell its meaning
COLUMN_CAP = 1_000
MONEY_COLUMNS = frozenset(
    (
        "price",
        "start_price",
        "estimate",
        "estimate_high",
        "hammer",
        "buy_now",
        "all_in",
        "shipping",
        "ceiling",
        "low",
        "high",
        "value",
    )
)
TEXT_COLUMNS = ("description", "note", "title")
BOMS = (
    (codecs.BOM_UTF8, "utf-8-sig"),
    (codecs.BOM_UTF32_LE, "utf-32"),
    (codecs.BOM_UTF32_BE, "utf-32"),
    (codecs.BOM_UTF16_LE, "utf-16"),
    (codecs.BOM_UTF16_BE, "utf-16"),
)
LEADING = re.compile(r"[^\w,.]{0,2}\d{1,3}(?:,\d{3})*", re.ASCII)
QUOTED = re.compile(r'="([^"\n]*)"')
GROUP = re.compile(r"\d{3}(?:\.\d\d)?", re.ASCII)
Record = tuple[int, list[str]]
"""Line where a row begins, and its cells."""


@dataclass(slots=True)
class _Told:
    """What is said about single lines; the first hundred each, then their number."""

    notes: list[LineNote] = field(default_factory=list)
    aside: list[SetAside] = field(default_factory=list)
    more: int = 0
    bad_quotes: int = 0

    def note(self, line: int, what: str) -> None:
        if line and len(self.notes) >= TOLD:
            self.more += 1
        else:
            self.notes.append(LineNote(line, what))

    def troubles(self) -> tuple[LineNote, ...]:
        rest = (LineNote(0, f"{self.more:,} more lines have troubles of these kinds"),) if self.more else ()
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
    is words/columns.toml. Trouble is named by line in the table; a file without rows gives a table without rows.
    """
    told, given = _Told(), columns or {}
    text, used = decode(body, encoding, told)
    known = synonyms_of(synonyms, kind)
    known |= {fold(heading): (name,) for name, heading in given.items()}
    separator, lines = find_separator(text, known)
    records = _records(lines, separator, told)
    top = _find_headings(records, known, told)
    if top is None:
        told.note(0, "the file holds no rows")
        return Table(kind, (), {}, (), separator, used, troubles=told.troubles())
    headings = _headings(top[1], known, told)
    rows = list(records if not top[2] else (*top[2], *records))
    if len(top[1]) > COLUMN_CAP:
        rows = [(line, cells[:COLUMN_CAP]) for line, cells in rows]
    taken = _assign(headings, rows, synonyms, given, told)
    made = _rows(rows, headings, taken, separator, told, frozenset(synonyms["cells"]["total"]))
    unknown = _unknown(headings, taken, made)
    used_columns = {name: headings[n].text for name, n in sorted(taken.items(), key=lambda item: item[1])}
    return Table(
        kind,
        tuple(h.text for h in headings),
        used_columns,
        made,
        separator,
        used,
        unknown,
        told.troubles(),
        tuple(told.aside),
    )


# --- bytes to lines


def decode(body: bytes, encoding: str, told: _Told) -> tuple[str, str]:
    """Text and the encoding used: the setting, a byte order mark, UTF-16 by its NULs, strict UTF-8, then cp1252."""
    if encoding:
        try:
            return body.decode(encoding, errors="replace").lstrip("\ufeff"), encoding
        except (LookupError, ValueError):
            told.note(0, f"the encoding `{encoding}` is unknown; the bytes decide instead")
    for mark, name in BOMS:
        if body.startswith(mark):
            return body.decode(name, errors="replace"), name.removesuffix("-sig")
    name = _guess(body)
    return body.decode(name, errors="replace"), name


def _guess(body: bytes) -> str:
    head = body[:SAMPLE]
    even, odd = head[0::2].count(0), head[1::2].count(0)
    if max(even, odd) > len(head) // 8:
        return "utf-16-le" if odd > even else "utf-16-be"
    try:
        body.decode("utf-8")
    except UnicodeDecodeError as error:
        if error.reason != "unexpected end of data":  # a letter cut in two at the end is no cp1252
            return "cp1252"
    return "utf-8"


def find_separator(text: str, known: Mapping[str, tuple[str, ...]]) -> tuple[str, list[str]]:
    """The separator, decided on the first 4 kB, and the lines. A first line `sep=;` says it outright."""
    lines = text.replace("\0", "").replace("\r\n", "\n").replace("\r", "\n").split("\n")
    said = lines[0].strip().casefold()
    if said.startswith("sep=") and said[4:] in SEPARATORS:
        return said[4:], ["", *lines[1:]]
    if lines[0].rstrip(" ").casefold() == "sep=\t":
        return "\t", ["", *lines[1:]]
    sample = [line for line in text[:SAMPLE].replace("\0", "").splitlines() if line.strip()]
    if len(text) > SAMPLE and len(sample) > 1:
        sample.pop()  # cut off in the middle
    return max(SEPARATORS, key=lambda mark: _likely(mark, sample, known)), lines


def _likely(mark: str, sample: Sequence[str], known: Mapping[str, tuple[str, ...]]) -> tuple[int, bool, float, int]:
    """How well a separator fits: headings known, then how many lines have as many cells as the headings."""
    split = [_alone(line, mark) for line in sample]
    best, width = 0, len(split[0]) if split else 1
    for cells in split[:LOOK_FOR_HEADINGS]:
        if (found := count_known(cells[:COLUMN_CAP], known)) > best:
            best, width = found, len(cells)
    share = sum(1 for cells in split if len(cells) == width) / max(1, len(split))
    return best, width > 1 and share >= 0.6, share, width


# --- lines to cells


def _records(lines: Sequence[str], mark: str, told: _Told) -> Iterator[Record]:
    """Rows by RFC 4180. A quote that swallows further rows is found out, and its line read on its own."""
    at = width = 0
    while at < len(lines) and told.bad_quotes < LONE_QUOTES:
        reader = csv.reader(_with_ends(lines, at), delimiter=mark, strict=True, skipinitialspace=True)
        start = at
        try:
            for cells in reader:
                after = at + reader.line_num
                if after - start > 1 and _swallowed(lines[start:after], mark, width):
                    raise csv.Error("a lone quote")
                width = len(cells) - 1 if len(cells) > 1 else width
                yield start + 1, cells
                start = after
        except csv.Error:
            told.bad_quotes += 1
            if lines[start].count('"') % 2:
                told.note(start + 1, "a quote mark is opened and not closed; the line is read on its own")
            yield start + 1, _alone(lines[start], mark)
            at = start + 1
        else:
            return
    for number in range(at, len(lines)):
        yield number + 1, _alone(lines[number], mark)


def _with_ends(lines: Sequence[str], at: int) -> Iterator[str]:
    return (line + "\n" for line in islice(lines, at, None))


def _swallowed(lines: Sequence[str], mark: str, width: int) -> bool:
    """Whether a row over several lines is really several rows: each line alone has the cells of the row before."""
    widths = {line.count(mark) for line in lines}
    return len(widths) == 1 and 0 not in widths and (not width or width in widths)


def _alone(line: str, mark: str) -> list[str]:
    """Cells of one line; when its quotes do not pair off they are plain letters."""
    if line.count('"') % 2 == 0:
        try:
            return next(csv.reader((line,), delimiter=mark, skipinitialspace=True), [])
        except csv.Error:  # a cell over 131,072 characters
            pass
    cells = (cell.strip() for cell in line.split(mark))
    return [cell[1:-1] if len(cell) > 1 and cell[0] == cell[-1] == '"' else cell for cell in cells]


# --- cells to a table


def _find_headings(
    records: Iterator[Record], known: Mapping[str, tuple[str, ...]], told: _Told
) -> tuple[int, list[str], list[Record]] | None:
    """The line of the headings, and the rows already taken from below it. Title lines above are passed over."""
    first = list(islice((r for r in records if any(cell.strip() for cell in r[1])), LOOK_FOR_HEADINGS))
    if not first:
        return None
    scores = [count_known(cells[:COLUMN_CAP], known) for _, cells in first]
    best = max(range(len(first)), key=lambda n: scores[n])
    if scores[best] < 2 and any(len(cells) >= len(first[best][1]) for _, cells in first[:best]):
        best = 0
    if not scores[best]:
        best = next((n for n, (_, cells) in enumerate(first) if len(cells) > 1), 0)
        told.note(first[best][0], "no heading of this line is known")
    return first[best][0], first[best][1], first[best + 1 :]


def _headings(cells: Sequence[str], known: Mapping[str, tuple[str, ...]], told: _Told) -> list[Heading]:
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
    rows: Sequence[Record],
    synonyms: Mapping[str, Any],
    given: Mapping[str, str],
    told: _Told,
) -> dict[str, int]:
    """Canonical name to column number, with a word on what the person named and the file lacks."""
    seen: list[list[str]] = [[] for _ in headings]
    for _, cells in rows[:CELLS_SEEN]:
        for into, cell in zip(seen, cells, strict=False):
            if cell.strip():
                into.append(cell)
    taken = assign(headings, seen, looks_of(synonyms), given)
    for name, heading in given.items():
        if name not in taken:
            told.note(0, f"the heading `{heading}`, named for {name}, is not in the file")
    return taken


def _rows(
    records: Sequence[Record],
    headings: Sequence[Heading],
    taken: Mapping[str, int],
    separator: str,
    told: _Told,
    totals: Container[str],
) -> tuple[Row, ...]:
    known = [(name, number) for name, number in sorted(taken.items(), key=lambda item: item[1])]
    cents = {name for name, n in known if headings[n].cents and name in MONEY_COLUMNS}
    others = [(h.text, n) for n, h in enumerate(headings) if n not in taken.values()]
    stated = _stated_currency(headings, taken) + _stated_zone(headings, taken)
    heads = [heading.text for heading in headings]
    last = next((name for name, n in taken.items() if n == len(headings) - 1), "")
    made = []
    for line, raw in records:
        cells = [_cell(cell) for cell in raw]
        if not any(letter.isalnum() for cell in cells for letter in cell) or cells[: len(heads)] == heads:
            continue  # an empty line, one of dashes, or the headings again
        if next(filter(None, cells)).casefold().rstrip(" :.") in totals:
            told.aside.append(SetAside(line, "a line of totals, no row of its own"))
            continue
        if separator == "," and len(cells) > len(headings):
            cells = _regrouped(line, cells, len(headings), told)
        fitted = _fit(line, cells, len(headings), last in TEXT_COLUMNS, told)
        if fitted is None:
            continue
        values = {name: whole_units(cell) if name in cents else cell for name, n in known if (cell := fitted[n])}
        for name, text in stated:
            values.setdefault(name, text)
        extra = {name: cell for name, n in others if (cell := fitted[n])}
        if any(len(cell) > CELL_CAP for cell in fitted):
            told.note(line, f"a cell is longer than {CELL_CAP:,} characters and was cut")
            values = {name: cell[:CELL_CAP] for name, cell in values.items()}
            extra = {name: cell[:CELL_CAP] for name, cell in extra.items()}
        made.append(Row(line, values, extra))
    return tuple(made)


def _cell(text: str) -> str:
    """A cell without control characters, and without what keeps a spreadsheet from calculating: `'-5`, `="0123"`."""
    text = text.strip() if text.isascii() and text.isprintable() else clean_lines(text, CELL_CAP + 1)
    if quoted := QUOTED.fullmatch(text):
        return quoted[1].strip()
    if len(text) > 1 and text[0] == "'" and text[1] in "=+-@":
        return text[1:]
    return text


def _regrouped(line: int, cells: list[str], width: int, told: _Told) -> list[str]:
    """Cells with figures like 2,000,000 put together again, when that gives just the cells of the headings."""
    made: list[str] = []
    for cell in cells:
        if made and GROUP.fullmatch(cell) and LEADING.fullmatch(made[-1]):
            made[-1] = f"{made[-1]},{cell}"
        else:
            made.append(cell)
    if len(made) != width:
        return cells
    told.note(line, "a figure with commas stands without quotation marks; it was put together again")
    return made


def _fit(line: int, cells: list[str], width: int, joins: bool, told: _Told) -> list[str] | None:
    """Cells brought to the width of the headings; None when it cannot be told which cell is too many."""
    if len(cells) > width and any(cells[width:]):
        if not joins:
            told.aside.append(
                SetAside(
                    line,
                    f"{len(cells)} cells, but {width} headings; the row is set aside; "
                    "a cell that holds the separator needs quotation marks",
                )
            )
            return None
        told.note(line, "more cells than headings; the last ones are read as one text")
        return [*cells[: width - 1], ", ".join(cell for cell in cells[width - 1 :] if cell)]
    if len(cells) < width - 1:
        told.note(line, f"{len(cells)} cells, but {width} headings; the rest is taken as empty")
    return cells[:width] + [""] * (width - len(cells))


def _stated_currency(headings: Sequence[Heading], taken: Mapping[str, int]) -> list[tuple[str, str]]:
    """`Price (EUR)` states the currency where no column does."""
    stated = {name: headings[n].currency for name, n in taken.items() if headings[n].currency}
    target = "ceiling_currency" if "ceiling" in taken else "currency"
    if not stated or target in taken:
        return []
    return [(target, stated.get("ceiling") or next(iter(stated.values())))]


def _stated_zone(headings: Sequence[Heading], taken: Mapping[str, int]) -> list[tuple[str, str]]:
    """`Ends (UTC)` states the zone where no column does."""
    zone = headings[taken["ends_at"]].zone if "ends_at" in taken and "time_zone" not in taken else ""
    return [("time_zone", zone)] if zone else []


def _unknown(headings: Sequence[Heading], taken: Mapping[str, int], rows: Sequence[Row]) -> tuple[str, ...]:
    """Headings without a meaning that have a name of their own, or cells."""
    filled = {name for row in rows for name in row.extra}
    numbers = set(taken.values())
    return tuple(
        h.text
        for n, h in enumerate(headings)
        if n not in numbers and (h.text in filled or not h.text.startswith("column "))
    )
