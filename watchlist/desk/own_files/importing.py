"""A person's own files: what was read, what was set aside and why; nothing changes on a dry run."""

from __future__ import annotations

import difflib
import re
from collections import deque
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from itertools import chain
from pathlib import Path
from typing import Any

from watchlist.core.imports import ImportRefused, SetAside, Table
from watchlist.core.imports.context import Context
from watchlist.core.imports.driver import Taking
from watchlist.core.imports.headings import fold
from watchlist.core.imports.kinds import KINDS
from watchlist.core.imports.nearest import headings_of
from watchlist.core.imports.spelling import Likeness
from watchlist.core.typed.source import column_map
from watchlist.desk import naming
from watchlist.desk.changes import entry
from watchlist.desk.desk import Desk
from watchlist.desk.due import NOTHING, Due
from watchlist.desk.errors import DeskError, refusing
from watchlist.desk.own_files.keeping import keep
from watchlist.desk.prices import fitting
from watchlist.desk.results.result_files import lot_meant
from watchlist.feeds.bodies import decode, kind_of

MOST_ROWS = 1_000_000
MOST_BYTES = 200_000_000
TITLE_LINES = 100
"""Lines above the headings and below the last row."""
PACKED: Mapping[bytes, str] = {
    b"\x1f\x8b": "a packed file (gzip)",
    b"PK\x03\x04": "a packed file or a spreadsheet's own (zip)",
    b"BZh": "a packed file (bzip2)",
    b"\xfd7zXZ": "a packed file (xz)",
    b"7z\xbc\xaf": "a packed file (7z)",
    b"Rar!": "a packed file (rar)",
    b"%PDF": "a PDF",
    b"\xd0\xcf\x11\xe0": "a spreadsheet's own file",
    b"SQLite format 3": "a database",
    b"\x89PNG": "a picture",
    b"\xff\xd8\xff": "a picture",
    b"GIF8": "a picture",
}
"""First bytes of files that are no text."""
HEAD = 4_000
TAG = re.compile(r"(?i)<(?:table|tr|td|div|script|meta|title)\b")


@dataclass(frozen=True, slots=True)
class How:
    """How a file is to be taken, where it does not say so itself."""

    encoding: str = ""
    columns: Mapping[str, str] = field(default_factory=dict)
    """The person's own map: canonical column to heading."""
    as_written: bool = False
    """Names that are nearly the catalogue's are names of their own."""
    venue: str = ""
    """Whose results they are, where the rows do not say."""


AS_IT_IS = How()


@dataclass(frozen=True, slots=True)
class ImportReport:
    """What one import did."""

    kind: str
    file: str
    rows: int
    taken: int
    repeated: int
    set_aside: tuple[SetAside, ...]
    notes: tuple[str, ...]
    dry_run: bool
    due: Due = NOTHING
    """What has to follow."""
    columns: Mapping[str, str] = field(default_factory=dict)
    asked: tuple[tuple[Likeness, int], ...] = ()
    """Names that are nearly the catalogue's, each with the number of its rows, which were rejected."""


def import_file(
    desk: Desk, kind: str, body: bytes, name: str, how: How = AS_IT_IS, *, dry_run: bool = False
) -> ImportReport:
    """Import one file of a person's own. Raises ImportRefused when the whole file cannot be used."""
    from watchlist.feeds.table import read_table  # only those who import load it

    _within_bounds(body, name)
    _is_text(body, name)
    words = desk.words["columns"]
    table = read_table(body, encoding=how.encoding, columns=how.columns, synonyms=words, kind=kind)
    if not table.rows and not table.columns:
        raise ImportRefused(
            f"{name} has no line of headings that are known, and no rows; nothing was taken; name another file."
        )
    _has_headings(table, how.columns, name)
    context = _context(desk, name, how)
    taking, due = Taking(KINDS[kind], table, context), NOTHING
    records = taking.records()
    repeated, told = 0, list[str]()
    if dry_run:
        deque(records, maxlen=0)
    elif (first := next(records, None)) is not None:
        due = _due(desk, kind)
        with entry(desk, due=due) as change:  # all of it, or nothing when it is stopped half-way
            repeated, told = keep(desk, change, kind, chain((first,), records), taking)
            change.say(f"import of {kind} from {name}: {taking.taken - repeated:,} taken")
    made = taking.imported()
    return ImportReport(
        kind,
        name,
        len(table.rows) + len(table.set_aside),
        taking.taken - repeated,
        repeated,
        made.set_aside,
        (*map(str, table.troubles), *made.notes, *_unknown(taking), *(each.removeprefix(f"{name} ") for each in told)),
        dry_run,
        due,
        table.columns,
        tuple(context.likenesses.items()),
    )


def rejected_rows(desk: Desk, body: bytes, report: ImportReport, encoding: str = "") -> tuple[str, list[list[str]]]:
    """The separator of an imported file, and its headings and rejected rows as they stood."""
    from watchlist.feeds.rejects import rejects  # only those who ask for them load it

    synonyms = desk.words["columns"]
    return rejects(body, report.set_aside, report.kind, encoding=encoding, synonyms=synonyms)


def typed_columns(desk: Desk, kind: str, pairs: Iterable[str]) -> dict[str, str]:
    """`hammer=Zuschlag` and the like as a map. Raises DeskError for a word that is no column of this kind."""
    with refusing():
        found = column_map(pairs)
    known = desk.words["columns"]["kinds"][kind]["columns"]
    for name in found:
        if name not in known:
            near = difflib.get_close_matches(name.casefold(), known, 1, 0.5)
            hint = f"did you mean `{near[0]}`?" if near else f"columns are {', '.join(known)}."
            raise DeskError(f"`{name}` is not a column of {kind}: {hint} Nothing was changed.")
    return found


def _has_headings(table: Table, given: Mapping[str, str], name: str) -> None:
    """Raises ImportRefused for a heading that the person named and the file lacks."""
    folded = {fold(each): each for each in table.headings}
    for column, heading in given.items():
        if fold(heading) in folded:
            continue
        near = difflib.get_close_matches(fold(heading), folded, 1, 0.6)
        hint = f" Did you mean {column}={folded[near[0]]}?" if near else ""
        raise ImportRefused(
            f"{name} has no heading `{heading}`. Its headings are: {headings_of(table)}.{hint} Nothing was taken."
        )


def _due(desk: Desk, kind: str) -> Due:
    """What has to follow an import: all marks, a fit but for wants and pieces, all titles after a catalogue."""
    if kind == "population":
        return NOTHING  # it is shown, and moves no band
    fit = kind not in ("wants", "pieces") or fitting.is_due(desk)
    return Due(market=fit, scales=fit, titles=kind == "catalogue", marks=True)


def bytes_of(path: Path) -> bytes:
    """The bytes of a file; of one that is too large just enough to tell. Raises DeskError with one sentence."""
    try:
        with path.open("rb") as opened:
            return opened.read(MOST_BYTES + 1)
    except OSError as error:
        raise DeskError(f"{path} cannot be read ({error.strerror}). Nothing was changed.") from error


def _within_bounds(body: bytes, name: str) -> None:
    """A file beyond all collecting would take minutes and gigabytes: it is refused before it is read."""
    if len(body) > MOST_BYTES:
        raise ImportRefused(f"{name} is larger than {MOST_BYTES // 1_000_000} MB; nothing of it was taken; split it.")
    if max(body.count(b"\n"), body.count(b"\r")) > MOST_ROWS + TITLE_LINES:
        raise ImportRefused(f"{name} has more than {MOST_ROWS:,} rows; nothing of it was taken; split it.")


def _is_text(body: bytes, name: str) -> None:
    """A file that is plainly no table of text: nothing, a web page, a packed file, a spreadsheet's own format."""
    packed = next((what for mark, what in PACKED.items() if body.startswith(mark)), "")
    if packed:
        raise ImportRefused(f"{name} is {packed}, no text; nothing was taken; save the table as CSV and import that.")
    start = decode(body[:HEAD])
    found = kind_of(start)
    if found == "empty":
        raise ImportRefused(f"{name} holds nothing; nothing was taken; name another file.")
    if found == "page" or (found == "xml" and TAG.search(start)):
        raise ImportRefused(f"{name} is a web page, no table; nothing was taken; save its table as CSV.")


def _context(desk: Desk, name: str, how: How) -> Context:
    return Context(
        reader=desk.reader,
        words=desk.words,
        home=desk.home,
        today=desk.local_today(),
        catalogue=desk.catalogue,
        rates=desk.rates,
        file=name,
        wants=desk.wants.by_id,
        venues={venue: terms.currency for venue, terms in desk.terms.items()},
        taken_ids=desk.shelf.notebook.wants.ids(),
        step=desk.go_on,
        joins=desk.spellings,
        keys=desk.moved,
        as_written=how.as_written,
        lot_meant=lot_meant(desk, naming.venue(desk.terms, how.venue) if how.venue and desk.terms else how.venue),
    )


def _unknown(taking: Taking[Any]) -> tuple[str, ...]:
    if not taking.unknown:
        return ()
    return (f"columns not known and unused: {', '.join(taking.unknown)}",)
