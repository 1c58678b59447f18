"""watchlist want add, list, edit, drop."""

from __future__ import annotations

from argparse import Namespace
from dataclasses import replace
from typing import Any

from watchlist.cli import out, session
from watchlist.core.coins import implied_issue
from watchlist.core.grades import read_grade
from watchlist.core.money import Money
from watchlist.core.wants import Want
from watchlist.desk import judging
from watchlist.desk.desk import Desk
from watchlist.desk.errors import DeskError
from watchlist.page.columns import table
from watchlist.page.wording import count, grades, money
from watchlist.shelf.records import to_data
from watchlist.shelf.store.filters import Filter


def run(args: Namespace) -> int:
    """One act on the want-list."""
    if args.act == "list":
        return _list(args)
    with session.desk(args, write=True) as desk:
        said = {"add": _add, "edit": _edit, "drop": _drop}[args.act](desk, args)
        desk.forget()
        judging.judge_again(desk, judging.open_rows(desk))
        out.talk(said)
    return out.DONE


def _add(desk: Desk, args: Namespace) -> str:
    want = _with(desk, _coin(desk, args.coin, desk.shelf.notebook.wants.free_id("w")), args)
    if want.ceiling is None:
        raise DeskError("A want needs a ceiling: --ceiling 300EUR, all-in. Nothing was changed.")
    desk.shelf.notebook.wants.put(want)
    return f"{want.id}: {line(want)}"


def _edit(desk: Desk, args: Namespace) -> str:
    want = desk.known_want(args.id)
    if args.coin:
        coin = _coin(desk, args.coin, want.id)
        want = replace(want, country=coin.country, denomination=coin.denomination, year=coin.year, mint=coin.mint,
                       variety=coin.variety)
    want = _with(desk, want, args)
    desk.shelf.notebook.wants.put(want)
    return f"{want.id}: {line(want)}"


def _drop(desk: Desk, args: Namespace) -> str:
    want = desk.known_want(args.id)
    desk.shelf.notebook.wants.drop(want.id)
    return f"{want.id}: dropped ({line(want)})"


def _coin(desk: Desk, text: str, id: str) -> Want:
    """A want for the coin that the words mean; one that no catalogue lists is taken as it was typed."""
    found = desk.catalogue.find_coin(text)
    issue = found.issue
    if issue is None and not found.several and found.year is not None and found.denomination \
            and not _series_known(desk, found.denomination):
        issue = implied_issue(found.country, found.denomination, found.year, found.mint, found.variety)
        desk.shelf.store.merge_issues([issue])
        out.talk(f"{issue.name} is in no catalogue; the want counts as typed. Low and high give it a band.")
    if issue is None:
        issue = desk.coin(text)
    return Want(id, issue.country, issue.denomination, issue.year, issue.mint, issue.variety or None)


def _series_known(desk: Desk, denomination: str) -> bool:
    return any(issue.denomination == denomination and not issue.implied for issue in desk.catalogue.by_key.values())


def _with(desk: Desk, want: Want, args: Namespace) -> Want:
    changes: dict[str, Any] = {}
    if args.grade:
        changes["min_grade"], changes["max_grade"] = grade_range(desk, args.grade)
    for name in ("ceiling", "low", "high"):
        if text := getattr(args, name):
            changes[name] = Money.parse(text, default=desk.home, codes=desk.currencies)
    for name in ("quantity", "filled", "priority", "note"):
        if getattr(args, name) is not None:
            changes[name] = getattr(args, name)
    for name in ("certified", "upgrade"):
        if getattr(args, name) is not None:
            changes[name] = getattr(args, name) == "yes"
    made = replace(want, **changes)
    if made.low and made.high and made.low.currency == made.high.currency and made.low.amount > made.high.amount:
        raise DeskError(f"The low {made.low} is above the high {made.high}. Nothing was changed.")
    return made


def grade_range(desk: Desk, text: str) -> tuple[int, int | None]:
    """`40-55`, `VF-30`, `VF to XF`; one number or word is a floor without a top. Raises DeskError."""
    low, dash, high = text.partition("-") if text.replace("-", "").isdigit() else (text, "", "")
    if dash and high.isdigit():
        span = int(low), int(high)
    else:
        found = read_grade(text, tables=desk.words)
        if found is None or found.low is None or found.high is None:
            raise DeskError(f"`{text}` is no grade: write 40-55, VF-30 or VF. Nothing was changed.")
        span = found.low, found.high
    if not 1 <= span[0] <= span[1] <= 70:
        raise DeskError(f"`{text}` is no range of the 70-point scale. Nothing was changed.")
    return span


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
            rows: list[tuple[str, ...]] = [("id", "coin", "grade", "ceiling", "filled", "lots now", "note")]
            rows += [_row(desk, want) for want in wants]
            for text in table(rows, right=frozenset({3, 5})):
                out.data(text)
        else:
            out.talk("No wants yet: `watchlist want add --coin \"COUNTRY DENOMINATION YEAR-MINT\" --grade 40-55 "
                     "--ceiling 300EUR`.")
    return out.DONE


def _row(desk: Desk, want: Want) -> tuple[str, ...]:
    open_lots = desk.shelf.store.count(Filter(want=want.id, open_at=desk.now))
    coin = line(want).split(", up to")[0].split(f", {_grades(want)}")[0]
    filled = f"{want.filled}/{want.quantity}{' upgrade' if want.upgrade else ''}"
    return (want.id, coin, _grades(want) + (" cert." if want.certified else ""),
            money(want.ceiling) if want.ceiling else "", filled,
            count(open_lots, "lot") if open_lots else "", want.note)
