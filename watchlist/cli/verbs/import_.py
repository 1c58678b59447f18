"""watchlist import KIND FILE."""

from __future__ import annotations

import sys
from argparse import Namespace
from collections import Counter
from pathlib import Path

from watchlist.cli import out, session
from watchlist.cli.parser import Parser
from watchlist.core.imports.kinds import KINDS
from watchlist.desk.fitting import Fit
from watchlist.desk.importing import MOST_BYTES, ImportReport, bytes_of, import_file
from watchlist.desk.settling import settle
from watchlist.page.wording import count

TOLD = 20
"""Rows set aside that are named one by one."""


def options(parser: Parser) -> None:
    """What it takes."""
    parser.add_argument("kind", choices=KINDS, metavar="KIND", help=", ".join(KINDS))
    parser.add_argument("file", metavar="FILE", help="a CSV file, or - for standard input")
    parser.add_argument("--dry-run", action="store_true", help="say what would be read and change nothing")
    parser.add_argument("--encoding", default="", help="when it is not UTF-8, UTF-16 or cp1252")


def run(args: Namespace) -> int:
    """Import one file and say what was read, what was set aside and why."""
    body = read_bytes(args.file)
    progress = session.Progress()
    with session.desk(args, write=not args.dry_run) as desk:
        desk.go_on = progress
        name = Path(args.file).name
        report = import_file(desk, args.kind, body, name, encoding=args.encoding, dry_run=args.dry_run)
        fit = settle(desk, report.due) if report.due else None
    progress.end()
    tell(report)
    if fit is not None:
        tell_fit(fit)
    if args.json:
        out.record(
            {
                "kind": report.kind,
                "file": report.file,
                "rows": report.rows,
                "taken": report.taken,
                "repeated": report.repeated,
                "dry_run": report.dry_run,
                "set_aside": [{"line": each.line, "why": each.why} for each in report.set_aside],
            }
        )
    return out.DONE


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
        out.talk(f"{report.file}: and {len(report.set_aside) - TOLD} more rows set aside")
    for note in report.notes:
        out.talk(f"{report.file}: {note}")
    there = f", {report.repeated} there already" if report.repeated else ""
    what = "would be taken" if report.dry_run else "taken"
    out.talk(
        f"{report.kind}: {count(report.rows, 'row')} read, {report.taken} {what}{there}, "
        f"{len(report.set_aside)} set aside{'; nothing was changed' if report.dry_run else ''}"
    )


def tell_fit(fit: Fit) -> None:
    """What a fit used, and the commonest reasons why sales were set aside."""
    out.talk(f"market fitted from {count(fit.sales, 'sale')}, {len(fit.set_aside):,} set aside")
    reasons = Counter(why.split(" near ")[0] for _, why in fit.set_aside)
    for why, times in reasons.most_common(4):
        out.talk(f"  {times:,}: {why}")
    for flag in fit.flagged[:4]:
        out.talk(f"  look at {flag}")
