"""Wants, venues and sources as typed into a form: text in, records out, one sentence for what is wrong."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from pathlib import Path

from watchlist.core.coins.catalogue import implied_issue
from watchlist.core.coins.grades import read_grade
from watchlist.core.coins.issue import Issue
from watchlist.core.fees.terms import terms_from_row
from watchlist.core.lots.source import Source, SourceKind, is_web
from watchlist.core.marks.record import Want
from watchlist.core.money.amount import Money
from watchlist.desk import judging, pricing
from watchlist.desk.desk import Desk
from watchlist.desk.errors import DeskError

YES = frozenset({"yes", "y", "true", "1"})


def put_want(desk: Desk, typed: Mapping[str, str], id: str = "") -> Want:
    """Keep a want as typed, new or in the place of `id`; `judge_wants` is due. Raises DeskError, MoneyError."""
    base = desk.wants.by_id.get(id)
    want, implied = with_coin(desk, typed.get("coin", ""), id or desk.shelf.notebook.wants.free_id("w"), base)
    low, high = grade_range(desk, typed["grade"]) if typed.get("grade") else (None, None)
    keep_want(desk, replace(
        want, min_grade=low, max_grade=high, certified=_yes(typed, "certified"), upgrade=_yes(typed, "upgrade"),
        ceiling=_money(desk, typed.get("ceiling", "")), low=_money(desk, typed.get("low", "")),
        high=_money(desk, typed.get("high", "")), quantity=_whole(typed.get("quantity", "") or "1", "quantity"),
        note=typed.get("note", ""), filled=_whole(typed.get("filled", "") or "0", "filled"),
    ), implied)
    desk.forget()
    return desk.wants.by_id[want.id]


def with_coin(desk: Desk, text: str, id: str, base: Want | None = None) -> tuple[Want, Issue | None]:
    """The want, new or `base`, for the coin that the words mean; and that coin where no catalogue lists it.

    Nothing is kept yet. Raises DeskError when the words mean no coin, or several."""
    if not text:
        raise DeskError("A want needs a coin, such as Orvany 5 tor 1893-V. Nothing was changed.")
    found = desk.find_coin(text)
    issue, implied = found.issue, None
    if issue is None and not found.several and found.year is not None and found.denomination \
            and not _series_known(desk, found.denomination):
        issue = implied = implied_issue(found.country, found.denomination, found.year, found.mint, found.variety)
    if issue is None:
        issue = desk.coin(text)
    base = base or Want(id, issue.country, issue.denomination, issue.year)
    want = replace(base, country=issue.country, denomination=issue.denomination, year=issue.year, mint=issue.mint,
                   variety=issue.variety or None)
    return want, implied


def keep_want(desk: Desk, want: Want, implied: Issue | None = None) -> None:
    """Keep a want, and its coin if no catalogue lists it. Raises DeskError for what no want can be: nothing is kept."""
    for name, amount in (("ceiling", want.ceiling), ("low", want.low), ("high", want.high)):
        if amount is not None and amount.amount <= 0:
            raise DeskError(f"The {name} is above zero, not {amount}. Nothing was changed.")
    if want.ceiling is None:
        raise DeskError("A want needs a ceiling, all-in, such as 300 EUR. Nothing was changed.")
    if want.quantity < 1 or want.filled < 0:
        raise DeskError("A want is for one piece or more, of which none or some are filled. Nothing was changed.")
    if (want.low is None) != (want.high is None):
        raise DeskError("Your own band needs both ends, low and high. Nothing was changed.")
    if want.low and want.high and want.low.currency == want.high.currency and want.low.amount > want.high.amount:
        raise DeskError(f"The low {want.low} is above the high {want.high}. Nothing was changed.")
    if implied is not None:
        desk.shelf.store.merge_issues([implied])
    judging.judging_is_due(desk)
    desk.shelf.notebook.wants.put(want)


def drop_want(desk: Desk, id: str) -> None:
    """Take a want out; `judge_wants` is due."""
    judging.judging_is_due(desk)
    desk.shelf.notebook.wants.drop(id)


def judge_wants(desk: Desk) -> None:
    """The want-list has changed: all open lots are judged anew. Raises Stopped, and it stays due."""
    desk.forget()
    judging.judge_all(desk)


def _series_known(desk: Desk, denomination: str) -> bool:
    return any(issue.denomination == denomination and not issue.implied for issue in desk.catalogue.by_key.values())


def grade_range(desk: Desk, text: str) -> tuple[int, int | None]:
    """`40-55`, `VF-30`, `VF`; one number is a floor without a top. Raises DeskError."""
    low, dash, high = text.replace(" ", "").partition("-")
    if low.isdecimal() and (high.isdecimal() or not dash):
        span: tuple[int, int | None] = int(low), int(high) if dash else None
    else:
        found = read_grade(text, tables=desk.words)
        if found is None or found.low is None or found.high is None:
            raise DeskError(f"`{text}` is no grade: write 40-55, VF-30 or VF. Nothing was changed.")
        span = found.low, found.high if found.high != found.low else None
    if not 1 <= span[0] <= (span[1] or 70) <= 70:
        raise DeskError(f"`{text}` is no range of the 70-point scale. Nothing was changed.")
    return span


def _money(desk: Desk, text: str) -> Money | None:
    return Money.parse(text, default=desk.home, codes=desk.currencies) if text else None


def _whole(text: str, what: str) -> int:
    if not text.isdecimal():
        raise DeskError(f"{what.capitalize()} is a whole number, not `{text}`. Nothing was changed.")
    return int(text)


def _yes(typed: Mapping[str, str], name: str) -> bool:
    return typed.get(name, "").casefold() in YES


def put_venue(desk: Desk, typed: Mapping[str, str]) -> str:
    """Keep a venue with its terms; that prices and marks follow is due. Its name. Raises TermsError."""
    row = {name: text for name, text in typed.items() if text}
    made = terms_from_row({"currency": desk.home, **row}, codes=desk.currencies)
    pricing.mark_dirty(desk)
    judging.judging_is_due(desk)
    desk.shelf.notebook.venues.put(made)
    desk.forget()
    return made.venue


def source_from(desk: Desk, typed: Mapping[str, str]) -> Source:
    """A source as typed; nothing is kept yet. Raises DeskError."""
    for needed in ("name", "address"):
        if not typed.get(needed):
            raise DeskError(f"A source needs {'a name' if needed == 'name' else 'an address or a file'}.")
    kind = typed.get("kind", "")
    if kind not in ("", "rss", "json", "csv"):
        raise DeskError(f"The kind is rss, json, csv or empty, not `{kind}`.")
    venue = typed.get("venue", "")
    address = typed["address"]
    kinds: dict[str, SourceKind] = {"rss": "rss", "json": "json", "csv": "csv"}
    return Source(
        typed["name"], address if is_web(address) else str(Path(address).expanduser().resolve()),
        venue=desk.known_venue(venue) if venue and desk.terms else venue, kind=kinds.get(kind, ""),
        encoding=typed.get("encoding", ""), decimal_mark=typed.get("decimal_mark", ""),
        date_order=typed.get("date_order", ""), time_zone=typed.get("time_zone", ""),
        currency=typed.get("currency", "").upper(), price_kind=typed.get("price_kind", ""),
        columns=column_map(typed.get("columns", "")),
    )


def column_map(text: str) -> dict[str, str]:
    """`price=Ausruf; title=Los` as a map of column to heading. Raises DeskError."""
    pairs = [part.partition("=") for part in text.split(";") if part.strip()]
    if any(not mark or not name.strip() or not heading.strip() for name, mark, heading in pairs):
        raise DeskError("Columns are written price=Ausruf; title=Los: our name, then the heading in the file.")
    return {name.strip(): heading.strip() for name, _, heading in pairs}


def put_source(desk: Desk, source: Source, over: str = "") -> None:
    """Keep a source, new or in the place of the one named `over`. Raises DeskError when it would push out another."""
    if source.name != over and source.name in desk.sources:
        raise DeskError(f"There is a source {source.name} already; edit it, or give another name. Nothing was changed.")
    desk.shelf.notebook.sources.put(source)
    desk.forget()


def drop_source(desk: Desk, name: str) -> None:
    """Drop a source; its lots and the decisions stay. Added again, it is read anew."""
    desk.shelf.notebook.sources.drop(name)
    desk.shelf.store.forget_source(name)
    desk.forget()
