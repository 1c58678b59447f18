"""watchlist digest: the morning as text, as a page, as an Atom feed, as a mail file; nothing is sent."""

from __future__ import annotations

from argparse import Namespace
from collections.abc import Callable, Mapping
from email.errors import HeaderParseError
from email.headerregistry import Address
from pathlib import Path

from watchlist.cli import out, session
from watchlist.cli.parser import Parser, WrongUse, replace_option
from watchlist.desk.files import write_file
from watchlist.desk.morning.morning_text import paper
from watchlist.page import morning_atom, morning_html, morning_mail
from watchlist.page.columns import PRINTED
from watchlist.page.morning import Paper, plain, sentences

Form = Callable[[Paper, Namespace], str]
FORMS: Mapping[str, Form] = {
    "txt": lambda paper, args: plain(paper, PRINTED if args.file else session.width()),
    "html": lambda paper, args: morning_html.page(paper),
    "atom": lambda paper, args: morning_atom.feed(paper, str(session.shelf_path(args).resolve())),
    "eml": lambda paper, args: morning_mail.letter(paper, _address(args.to)),
}
"""Each form, by the ending of its file."""


def options(parser: Parser) -> None:
    """What it takes."""
    parser.add_argument("file", metavar="FILE", nargs="?", default="", help="where to; the ending says the form")
    parser.add_argument("--as", dest="form", choices=tuple(FORMS), default="", help="the form, for stdout")
    parser.add_argument("--to", metavar="ADDRESS", default="", help="your own address, for a mail file")
    replace_option(parser)


def run(args: Namespace) -> int:
    """Print the morning as it stands, or write it to a file."""
    form = args.form or (Path(args.file).suffix[1:].casefold() if args.file else "txt")
    if form not in FORMS:
        raise WrongUse(f"a digest is written as .{', .'.join(FORMS)}, not as `{args.file}`; nothing was written")
    with session.desk(args, write=False) as desk:
        made = paper(desk)
    if args.json:
        _records(made)
    elif args.file:
        path = write_file(args.file, FORMS[form](made, args), replace=args.replace)
        out.talk(f"{path}: the morning. Watchlist sends nothing.")
    else:
        out.data(FORMS[form](made, args).rstrip("\r\n"))
    return out.DONE


def _records(made: Paper) -> None:
    for part in made.parts:
        for seen in part.seen:
            out.record({"part": part.title, "key": seen.lot.key, "text": sentences(seen, made)})
        for said in part.said:
            out.record({"part": part.title, "key": None, "text": said.text})


def _address(text: str) -> Address | None:
    try:
        return Address(addr_spec=text) if text else None
    except (HeaderParseError, ValueError, IndexError) as error:
        raise WrongUse(f"--to takes one mail address, such as you@lindmoor.example, not `{text}`") from error
