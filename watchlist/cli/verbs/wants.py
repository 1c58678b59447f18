"""watchlist want add, list, edit, drop."""

from __future__ import annotations

from argparse import Namespace
from dataclasses import replace
from typing import Any

from watchlist.cli import out, session
from watchlist.core.clean import clean
from watchlist.core.coins.catalogue import implied_issue
from watchlist.core.marks.record import Want
from watchlist.core.money.amount import Money
from watchlist.desk import judging
from watchlist.desk.desk import Desk
from watchlist.desk.errors import DeskError
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
    found = desk.find_coin(text)
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
    for name in ("quantity", "filled", "priority"):
        if getattr(args, name) is not None:
            changes[name] = getattr(args, name)
    if args.note is not None:
        changes["note"] = clean(args.note)
    for name in ("certified", "upgrade"):
        if getattr(args, name) is not None:
            changes[name] = getattr(args, name) == "yes"
    made = replace(want, **changes)
    _sound(made)
    return made


def _sound(made: Want) -> None:
    """Raises DeskError for what no want can mean."""
    for name, amount in (("ceiling", made.ceiling), ("low", made.low), ("high", made.high)):
        if amount is not None and amount.amount <= 0:
            raise DeskError(f"The {name} is above zero, not {amount}. Nothing was changed.")
    if made.quantity < 1 or made.filled < 0:
        raise DeskError("A want is for one piece or more, of which none or some are filled. Nothing was changed.")
    if (made.low is None) != (made.high is None):
        raise DeskError("Your own band needs both ends: --low 70 --high 90. Nothing was changed.")
    if made.low and made.high and made.low.currency == made.high.currency and made.low.amount > made.high.amount:
        raise DeskError(f"The low {made.low} is above the high {made.high}. Nothing was changed.")


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
            out.talk("No wants yet: `watchlist want add --coin \"COUNTRY DENOMINATION YEAR-MINT\" --grade 40-55 "
                     "--ceiling 300EUR`.")
    return out.DONE


def _row(desk: Desk, want: Want) -> tuple[str, ...]:
    open_lots = desk.shelf.store.count(Filter(want=want.id, open_at=desk.now))
    coin = line(want).split(", up to")[0].split(f", {_grades(want)}")[0]
    grade = _grades(want).replace(" to ", "..") + (" cert." if want.certified else "")
    return (want.id, coin, grade, money(want.ceiling) if want.ceiling else "", f"{want.filled}/{want.quantity}",
            f"{open_lots:,}" if open_lots else "")


def _noted(want: Want, wide: int) -> list[str]:
    """Under a want: that a better piece is still wanted, the person's own band, the note."""
    band = f"own band {money(want.low)} to {money(want.high)}" if want.low and want.high else ""
    words = "; ".join(filter(None, ("upgrade" if want.upgrade else "", band, clean(want.note))))
    return wrap(f"     {words}", wide, indent="     ") if words else []
