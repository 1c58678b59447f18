"""watchlist export: one's own data as tables for a spreadsheet or a script, and the whole shelf in an open form."""

from __future__ import annotations

from argparse import Namespace
from pathlib import Path

from watchlist.cli import out, session
from watchlist.cli.parser import Parser, WrongUse, replace_option
from watchlist.desk.files import check_free, write_file
from watchlist.desk.own_files.exports import KINDS
from watchlist.page.export import csv_lines, json_lines
from watchlist.shelf import open_form

SHELF = "shelf"
FORMS = {".csv": csv_lines, ".jsonl": json_lines}


def options(parser: Parser) -> None:
    """What it takes."""
    parser.add_argument("kind", choices=(*KINDS, SHELF), metavar="KIND", help=", ".join((*KINDS, SHELF)))
    parser.add_argument("file", metavar="FILE", help=f"{' or '.join(FORMS)}; of the whole shelf a .zip")
    replace_option(parser)


def run(args: Namespace) -> int:
    """Write the file."""
    return _shelf(args) if args.kind == SHELF else _table(args)


def _table(args: Namespace) -> int:
    form = FORMS.get(Path(args.file).suffix.casefold())
    if form is None:
        raise WrongUse(f"a table is written as {' or '.join(FORMS)}, not as `{args.file}`; nothing was written")
    with session.desk(args, write=False) as desk:
        kind = KINDS[args.kind]
        path = write_file(args.file, form(kind.columns, kind.rows(desk)), replace=args.replace)
    out.talk(f"{path}: {args.kind}.")
    return out.DONE


def _shelf(args: Namespace) -> int:
    path = check_free(args.file, replace=args.replace)
    with session.desk(args, write=False) as desk:  # an older shelf is brought to the schema of this program
        made = open_form.write_out(desk.shelf.path, path)
    out.talk(f"{made}: the whole shelf, to be read by any program; keep it as private as the shelf.")
    return out.DONE
