"""watchlist want add, list, edit, drop."""

from __future__ import annotations

from argparse import Namespace
from dataclasses import replace
from typing import Any

from watchlist.cli import out, session
from watchlist.core.clean import clean
from watchlist.core.coins.issue import Issue
from watchlist.core.marks.record import Want
from watchlist.core.money.amount import Money
from watchlist.desk import naming, wanting
from watchlist.desk.desk import Desk
from watchlist.desk.due import MARKS
from watchlist.desk.settling import settle
from watchlist.desk.wanting import grade_range
from watchlist.page.columns import table, wrap
from watchlist.page.wording import grades, money
from watchlist.shelf.records import to_data
from watchlist.shelf.store.filters import Filter


def run(args: Namespace) -> int:
    """One act on the want-list."""
    if args.act == "list":
        return _list(args)
    with session.desk(args, write=True) as desk:
        said = {"add": _add, "edit": _edit, "drop": _drop}[args.act](desk, args)
        settle(desk, MARKS)
        out.talk(said)
    return out.DONE


def _add(desk: Desk, args: Namespace) -> str:
    want, implied = wanting.with_coin(desk, args.coin, desk.shelf.notebook.wants.free_id("w"))
    return _keep(desk, _with(desk, want, args), implied)


def _edit(desk: Desk, args: Namespace) -> str:
    want, implied = naming.want(desk.wants.by_id, args.id), None
    if args.coin:
        want, implied = wanting.with_coin(desk, args.coin, want.id, want)
    return _keep(desk, _with(desk, want, args), implied)


def _keep(desk: Desk, want: Want, implied: Issue | None) -> str:
    wanting.keep_want(desk, want, implied)
    if implied is not None:
        out.talk(f"{implied.name} is in no catalogue; the want counts as typed. Low and high give it a band.")
    return f"{want.id}: {line(want)}"


def _drop(desk: Desk, args: Namespace) -> str:
    want = naming.want(desk.wants.by_id, args.id)
    wanting.drop_want(desk, want.id)
    return f"{want.id}: dropped ({line(want)})"


def _with(desk: Desk, want: Want, args: Namespace) -> Want:
    changes: dict[str, Any] = {}
    if args.grade:
        changes["min_grade"], changes["max_grade"] = grade_range(desk, args.grade)
    for name in ("ceiling", "low", "high"):
        if text := getattr(args, name):
            changes[name] = Money.parse(text, default=desk.home, codes=desk.currencies)
    for name in ("quantity", "filled", "priority"):
        if getattr(args, name) is not None:
            changes[name] = getattr(args, name)
    if args.note is not None:
        changes["note"] = clean(args.note)
    for name in ("certified", "upgrade"):
        if getattr(args, name) is not None:
            changes[name] = getattr(args, name) == "yes"
    return replace(want, **changes)


def line(want: Want) -> str:
    """A want in words."""
    mint = f"-{want.mint}" if want.mint else ""
    coin = f"{want.country} {want.denomination} {want.year}{mint}".strip()
    coin += f", {want.variety}" if want.variety else ""
    ceiling = f", up to {money(want.ceiling)} all in" if want.ceiling else ""
    return f"{coin}, {_grades(want)}{', certified' if want.certified else ''}{ceiling}"


def _grades(want: Want) -> str:
    if want.min_grade is None:
        return "any grade"
    return grades(want.min_grade, want.max_grade) if want.max_grade else f"{grades(want.min_grade, want.min_grade)} up"


def _list(args: Namespace) -> int:
    with session.desk(args, write=False) as desk:
        wants = desk.shelf.notebook.wants.list()
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
    open_lots = desk.shelf.store.listing.count(Filter(want=want.id, open_at=desk.now))
    coin = line(want).split(", up to")[0].split(f", {_grades(want)}")[0]
    grade = _grades(want).replace(" to ", "..") + (" cert." if want.certified else "")
    return (
        want.id,
        coin,
        grade,
        money(want.ceiling) if want.ceiling else "",
        f"{want.filled}/{want.quantity}",
        f"{open_lots:,}" if open_lots else "",
    )


def _noted(want: Want, wide: int) -> list[str]:
    """Under a want: that a better piece is still wanted, the person's own band, the note."""
    band = f"own band {money(want.low)} to {money(want.high)}" if want.low and want.high else ""
    words = "; ".join(filter(None, ("upgrade" if want.upgrade else "", band, clean(want.note))))
    return wrap(f"     {words}", wide, indent="     ") if words else []
