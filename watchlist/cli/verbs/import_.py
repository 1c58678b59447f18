"""watchlist import KIND FILE."""

from __future__ import annotations

import csv
import io
import sys
from argparse import Namespace
from collections import Counter
from pathlib import Path

from watchlist.cli import out, session
from watchlist.cli.parser import Parser, WrongUse, replace_option
from watchlist.core.imports.kinds import KINDS
from watchlist.desk.files import check_free, write_file
from watchlist.desk.own_files.importing import (
    MOST_BYTES,
    How,
    ImportReport,
    bytes_of,
    import_file,
    rejected_rows,
    typed_columns,
)
from watchlist.desk.prices.fitting import Fit
from watchlist.desk.settling import settle
from watchlist.page.export import safe_cell
from watchlist.page.wording import count
from watchlist.shelf import open_form

SHELF = "shelf"
TOLD = 20
"""Rows set aside that are named one by one."""


def options(parser: Parser) -> None:
    """What it takes."""
    add = parser.add_argument
    add("kind", choices=(*KINDS, SHELF), metavar="KIND", help=", ".join((*KINDS, SHELF)))
    add("file", metavar="FILE", help="a CSV file, or - for standard input; of a whole shelf what `export shelf` wrote")
    add("--dry-run", action="store_true", help="say what would be read, change nothing")
    add("--encoding", default="", help="when it is not UTF-8, UTF-16 or cp1252")
    add("--column", action="append", default=[], metavar="FIELD=HEADING", help="say which heading holds a column")
    add("--as-written", action="store_true", help="names that are nearly your catalogue's are names of their own")
    add("--venue", default="", metavar="V", help="whose results these are, where no column says so")
    add("--rejects", metavar="FILE", help="write the rejected rows there, each with its reason")
    replace_option(parser)


def run(args: Namespace) -> int:
    """Import one file and say what was read, what was rejected and why."""
    if args.kind == SHELF:
        return _shelf(args)
    body = read_bytes(args.file)
    if args.rejects:
        check_free(args.rejects, replace=args.replace)
    progress = session.Progress()
    with session.desk(args, write=not args.dry_run) as desk:
        desk.go_on = progress
        name = Path(args.file).name
        how = How(args.encoding, typed_columns(desk, args.kind, args.column), args.as_written, args.venue)
        report = import_file(desk, args.kind, body, name, how, dry_run=args.dry_run)
        fit = settle(desk, report.due) if report.due else None
        rejects = rejected_rows(desk, body, report, args.encoding) if args.rejects else None
    progress.end()
    tell(report)
    if fit is not None:
        tell_fit(fit)
    if rejects:
        _write_rejects(args, report, *rejects)
    if args.json:
        out.record(_json(report))
    return out.DONE


def _shelf(args: Namespace) -> int:
    """A whole shelf into an empty folder."""
    if args.dry_run:
        raise WrongUse("a whole shelf is proven before it is put in place and has no --dry-run; nothing was changed")
    shelf = session.shelf_path(args)
    open_form.bring_in(Path(args.file).expanduser(), shelf)
    out.talk(f"{shelf}: the whole shelf of {args.file}.")
    return out.DONE


def _json(report: ImportReport) -> dict[str, object]:
    return {
        "kind": report.kind,
        "file": report.file,
        "rows": report.rows,
        "taken": report.taken,
        "repeated": report.repeated,
        "dry_run": report.dry_run,
        "set_aside": [{"line": each.line, "why": each.why} for each in report.set_aside],
        "asked": [
            {"what": each.what, "written": each.written, "meant": each.meant, "rows": rows}
            for each, rows in report.asked
        ],
    }


def _write_rejects(args: Namespace, report: ImportReport, mark: str, rows: list[list[str]]) -> None:
    """The rejected rows as a file like the one that they came from."""
    if not report.set_aside:
        out.talk("No row was rejected, so no file was written.")
        return
    made = io.StringIO()
    csv.writer(made, delimiter=mark, lineterminator="\n").writerows([map(safe_cell, row) for row in rows])
    path = write_file(args.rejects, made.getvalue(), replace=args.replace)
    out.talk(f"{count(len(rows) - 1, 'rejected row')} in {path}: correct them there and import that file.")


def read_bytes(file: str) -> bytes:
    """The bytes of a file, or of standard input for `-`; of one that is too large just enough to tell.

    Raises DeskError with one sentence.
    """
    if file != "-":
        return bytes_of(Path(file).expanduser())
    most = MOST_BYTES + 1
    return sys.stdin.buffer.read(most) if hasattr(sys.stdin, "buffer") else sys.stdin.read(most).encode()


def tell(report: ImportReport) -> None:
    """The report on stderr."""
    for aside in report.set_aside[:TOLD]:
        out.talk(f"{report.file}, {aside}")
    if len(report.set_aside) > TOLD:
        out.talk(f"{report.file}: and {len(report.set_aside) - TOLD} more rows rejected")
    for like, rows in report.asked:
        out.talk(
            f"{report.file}: {count(rows, 'row')} rejected: {like}. If they are one: {like.command}, then import the "
            "file again; if not, import it with --as-written."
        )
    for note in report.notes:
        out.talk(f"{report.file}: {note}")
    there = f", {count(report.repeated, 'duplicate')}" if report.repeated else ""
    what = "would be taken" if report.dry_run else "taken"
    out.talk(
        f"{report.kind}: {count(report.rows, 'row')} read, {report.taken} {what}{there}, "
        f"{len(report.set_aside)} rejected{'; nothing was changed' if report.dry_run else ''}"
    )


def tell_fit(fit: Fit) -> None:
    """What a fit used, and the commonest reasons why sales were set aside."""
    out.talk(f"bands recalculated from {count(fit.sales, 'sale')}, {len(fit.set_aside):,} excluded")
    reasons = Counter(why.split(" near ")[0] for _, why in fit.set_aside)
    for why, times in reasons.most_common(4):
        out.talk(f"  {times:,}: {why}")
    for flag in fit.flagged[:4]:
        out.talk(f"  check {flag}")
