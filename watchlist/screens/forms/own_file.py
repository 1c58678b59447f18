"""The form of an import: Enter says what would be read of a file of one's own, Enter again reads it."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path

from textual.widgets import Input

from watchlist.core.imports.kinds import KINDS
from watchlist.core.typed.source import column_map
from watchlist.core.typed.words import is_yes
from watchlist.desk.desk import Desk
from watchlist.desk.due import NOTHING
from watchlist.desk.errors import DeskError, refusing
from watchlist.desk.own_files.importing import How, ImportReport, bytes_of, import_file, typed_columns
from watchlist.desk.prices.joining import DUE as JOINED
from watchlist.desk.prices.joining import join
from watchlist.page.wording import count
from watchlist.screens.forms.form import Form, fields

HINTS = {
    "kind": ", ".join(KINDS),
    "file": "a CSV file",
    "columns": "hammer=Zuschlag; year=Jahr: only where a heading is not known",
    "join": "names that are one: Brundall=Brundal; filled in when a file has such; empty what is not one",
    "encoding": "empty: told by the file",
    "venue": "of results: whose they are, where no column says so",
    "as_written": "yes: names nearly those of your catalogue are names of their own",
}
ASIDE = 12
"""Rows set aside that are named one by one."""


@dataclass(frozen=True, slots=True)
class OwnFile:
    """A file of one's own, as it was named."""

    kind: str
    path: Path
    columns: tuple[str, ...]
    encoding: str
    as_written: bool
    joins: tuple[tuple[str, str], ...] = ()
    """Names of the file, each with the catalogue's that it means."""
    venue: str = ""

    @classmethod
    def of(cls, typed: Mapping[str, str]) -> OwnFile:
        """Raises DeskError for a kind that is none, and for a folder."""
        kind = typed.get("kind", "").casefold()
        if kind not in KINDS:
            raise DeskError(f"The kind is {', '.join(KINDS)}, not `{kind}`. Nothing was changed.")
        path = Path(typed.get("file", "")).expanduser()
        if path.exists() and not path.is_file():
            raise DeskError(f"{path} is not a file. Nothing was changed.")
        with refusing():
            as_written = is_yes("as written", typed.get("as_written", ""))
            joins = tuple(column_map(typed.get("join", "").split(";")).items())
        columns = tuple(typed.get("columns", "").split(";"))
        return cls(kind, path, columns, typed.get("encoding", ""), as_written, joins, typed.get("venue", ""))

    def read(self, desk: Desk, *, dry: bool) -> ImportReport:
        """Import it, or say what would be read; bands and marks follow later."""
        for written, meant in self.joins if not dry else ():
            join(desk, written, meant)
        how = How(self.encoding, typed_columns(desk, self.kind, self.columns), self.as_written, self.venue)
        return import_file(desk, self.kind, bytes_of(self.path), self.path.name, how, dry_run=dry)


class ImportForm(Form):
    """An import; what was typed is read without being kept first, and kept when it is sent again as it was."""

    TITLE = "Import"

    def __init__(self) -> None:
        super().__init__(fields(HINTS))
        self._seen: Mapping[str, str] = {}

    def keep(self, typed: Mapping[str, str]) -> None:
        """A dry run first, then the import."""
        file, reading = OwnFile.of(typed), f"Reading {Path(typed.get('file', '')).name}"
        if self._seen != typed:
            self.program.work.look_up(
                reading, lambda desk: file.read(desk, dry=True), lambda report: self._tell(report, typed)
            )
            return

        def done(report: ImportReport) -> None:
            self.taken(typed)
            self._tell(report, typed)
            if report.taken:
                self.program.follow_ups.settle(report.due | (JOINED if file.joins else NOTHING))

        self.program.work.write(reading, lambda desk: file.read(desk, dry=False), done, stoppable=True)

    def _tell(self, report: ImportReport, typed: Mapping[str, str]) -> None:
        if report.asked and report.dry_run and not typed.get("join"):
            typed = {**typed, "join": "; ".join(f"{each.written}={each.meant}" for each, _ in report.asked)}
            self.query_one("#field-join", Input).value = typed["join"]
        self._seen = dict(typed)
        self.show_text(told(report))
        self.program.messages.say(
            f"{report.kind}: {report.rows} rows, {report.taken} {'would be ' if report.dry_run else ''}taken, "
            f"{len(report.set_aside)} rejected.{' Enter takes them.' if report.dry_run else ''}"
        )


def told(report: ImportReport) -> list[str]:
    """What an import read and what it set aside."""
    there = f", {count(report.repeated, 'duplicate')}" if report.repeated else ""
    text = [
        f"{report.rows} rows read, {report.taken} {'would be ' if report.dry_run else ''}taken{there}, "
        f"{len(report.set_aside)} rejected."
    ]
    if report.columns:
        text.append("Columns: " + "; ".join(f"{name}={heading}" for name, heading in report.columns.items()))
    if report.dry_run:
        text += [
            f"{count(rows, 'row')}: {like}; Enter joins them, or empty the line `join`." for like, rows in report.asked
        ]
    text += [f"{report.file}, {aside}" for aside in report.set_aside[:ASIDE]]
    if len(report.set_aside) > ASIDE:
        text.append(f"and {len(report.set_aside) - ASIDE} more rejected")
    return [*text, *report.notes]
