"""watchlist want add, list, edit, remove."""

from __future__ import annotations

from argparse import Namespace

from watchlist.cli import out, session
from watchlist.cli.changing import change
from watchlist.cli.parser import Parser, acts
from watchlist.core.clean import clean
from watchlist.core.marks.record import Want
from watchlist.core.prices.traits import trait_words
from watchlist.core.sift.filter import Filter
from watchlist.desk import naming
from watchlist.desk.desk import Desk
from watchlist.desk.due import MARKS
from watchlist.desk.typed.wants import drop_want, put_want
from watchlist.page.columns import table, wrap
from watchlist.page.wants import coin
from watchlist.page.wording import grades, money
from watchlist.shelf.records import to_data

ACTS = {"add": "a new want", "list": "the want-list", "edit": "change a want", "drop": "remove a want"}
"""The acts, each with its line of help."""


def options(parser: Parser) -> None:
    """What it takes."""
    made = acts(parser, ACTS)
    for name in ("edit", "drop"):
        made[name].add_argument("id", metavar="ID", help="the want, as `want list` names it")
    for name in ("add", "edit"):
        add = made[name].add_argument
        add("--coin", required=name == "add", metavar="COIN", help='"COUNTRY DENOMINATION YEAR-MINT", or an issue key')
        add("--grade", metavar="40-55", help="numbers or words, one or a range")
        add("--ceiling", metavar="300EUR", help="the most you would pay, all in")
        add(
            "--certified",
            choices=["any", "yes"],
            nargs="?",
            const="yes",
            help="only certified coins; any: raw ones too",
        )
        add("--low", metavar="N", help="low end of your own band, where sales are few")
        add("--high", metavar="N", help="high end of your own band")
        add("--quantity", metavar="N", help="how many you want; 1 unless said")
        add("--filled", metavar="N", help="how many you have already")
        add("--upgrade", choices=["yes", "no"], nargs="?", const="yes", help="keep matching after it is filled")
        add("--priority", metavar="N", help="a number, 0 unless said; wants with a higher one stand first")
        add("--note", metavar="TEXT", help="your own words")
        add("--problem", choices=["none", "any"], help="whether pieces with problems match; else as the note says")
        add("--traits", metavar="WORDS", help="asked for or refused beyond the grade: 'RD, sharp, not weak'")


def run(args: Namespace) -> int:
    """One act on the want-list."""
    if args.act == "list":
        return _list(args)
    return change(args, {"add": _put, "edit": _edit, "drop": _drop}[args.act], MARKS)


def _edit(desk: Desk, args: Namespace) -> str:
    return _put(desk, args, naming.want(desk.wants.by_id, args.id).id)


def _put(desk: Desk, args: Namespace, id: str = "") -> str:
    want, implied = put_want(desk, session.said(args), id)
    if implied is not None:
        out.talk(f"{implied.name} is not in your catalogue; want saved as typed. Low and high give it a band.")
    return f"{want.id}: {line(want)}"


def _drop(desk: Desk, args: Namespace) -> str:
    want = naming.want(desk.wants.by_id, args.id)
    drop_want(desk, want.id)
    return f"{want.id}: removed ({line(want)})"


def line(want: Want) -> str:
    """A want in words."""
    ceiling = f", up to {money(want.ceiling)} all in" if want.ceiling else ""
    return f"{coin(want)}, {_grades(want)}{', certified' if want.certified else ''}{ceiling}"


def _grades(want: Want) -> str:
    if want.min_grade is None:
        return "any grade"
    return (
        grades(want.min_grade, want.max_grade)
        if want.max_grade
        else f"{grades(want.min_grade, want.min_grade)} or higher"
    )


def _list(args: Namespace) -> int:
    with session.desk(args, write=False) as desk:
        wants = list(desk.wants.by_id.values())
        if args.json:
            for want in wants:
                out.record(to_data(want))
        elif wants:
            wide = session.width()
            rows: list[tuple[str, ...]] = [("id", "coin", "grade", "ceiling", "filled", "lots")]
            rows += [_row(desk, want) for want in wants]
            head, *lines = table(rows, right=frozenset({3, 5}), width=wide, give=(1,))
            out.data(head)
            for want, text in zip(wants, lines, strict=True):
                out.data(text)
                for part in _noted(want, wide):
                    out.data(part)
        else:
            out.talk(
                'No wants yet: `watchlist want add --coin "COUNTRY DENOMINATION YEAR-MINT" --grade 40-55 '
                "--ceiling 300EUR`."
            )
    return out.DONE


def _row(desk: Desk, want: Want) -> tuple[str, ...]:
    open_lots = desk.shelf.store.listing.count(Filter(wants=(want.id,), open_at=desk.now))
    grade = _grades(want) + (" cert." if want.certified else "")
    return (
        want.id,
        coin(want),
        grade,
        money(want.ceiling) if want.ceiling else "",
        f"{want.filled}/{want.quantity}",
        f"{open_lots:,}" if open_lots else "",
    )


def _noted(want: Want, wide: int) -> list[str]:
    """Under a want: that a better piece is still wanted, the person's own band, the note."""
    band = f"own band {money(want.low)} to {money(want.high)}" if want.low and want.high else ""
    any_problem = "problems too" if want.problems == "any" else ""
    asked = trait_words(f"not {each[1:]}" if each.startswith("-") else each for each in want.traits)
    words = "; ".join(filter(None, ("upgrade" if want.upgrade else "", any_problem, asked, band, clean(want.note))))
    return wrap(f"     {words}", wide, indent="     ") if words else []
