"""The want-list: a want kept as it is typed, dropped, put back. MARKS are due then."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace

from watchlist.core.coins.catalogue import implied_issue
from watchlist.core.coins.issue import Issue
from watchlist.core.marks.record import Want
from watchlist.core.typed.want import TypedWords, lacking, want_from
from watchlist.core.typed.words import TypedError
from watchlist.desk import naming
from watchlist.desk.desk import Desk
from watchlist.desk.due import MARKS
from watchlist.desk.errors import refusing

COIN = ("country", "denomination", "year", "mint", "variety")
"""The fields of a want that say its coin."""


def put_want(desk: Desk, typed: Mapping[str, str], id: str = "") -> tuple[Want, Issue | None]:
    """Keep a want as typed, new or put over that of the id; and its coin, which is given back, where no catalogue lists
    it. A field that is not named stays. Raises DeskError and MoneyError for what no want can be: nothing is kept."""
    base, implied = desk.wants.by_id.get(id), None
    with refusing():
        if base is None or "coin" in typed:
            named = id or desk.shelf.notebook.wants.free_id("w")
            base, implied = _with_coin(desk, typed.get("coin", ""), named, base)
        want = want_from(typed, base, TypedWords(desk.words, desk.home, desk.currencies))
        if lacks := lacking(want):
            raise TypedError(lacks)
    if implied is not None:
        desk.shelf.store.catalogue.merge([implied])
    restore_want(desk, want.id, want)
    return want, implied


def _with_coin(desk: Desk, text: str, id: str, base: Want | None) -> tuple[Want, Issue | None]:
    """The want, new or `base`, for the coin that the words mean; and that coin where no catalogue lists it.

    Raises TypedError for no words, DeskError when they mean no coin, or several."""
    if not text:
        raise TypedError(f"A want needs a coin, such as {desk.catalogue.example}")
    found, implied = naming.find_coin(desk, text), None
    if (
        found.issue is None
        and not found.several
        and found.year is not None
        and found.denomination
        and not _series_known(desk, found.denomination)
    ):
        implied = implied_issue(found.country, found.denomination, found.year, found.mint, found.variety)
    issue = implied or naming.coin(desk, text)
    want = Want(id, issue.country, issue.denomination, issue.year, issue.mint, issue.variety or None)
    if base is None:
        return want, implied
    return replace(base, **{name: getattr(want, name) for name in COIN}), implied


def _series_known(desk: Desk, denomination: str) -> bool:
    return any(issue.denomination == denomination and not issue.implied for issue in desk.catalogue.by_key.values())


def restore_want(desk: Desk, id: str, before: Want | None) -> None:
    """A want as it is given, or as it was; None: it was new, and is dropped."""
    if before is None:
        drop_want(desk, id)
        return
    with desk.changing(MARKS):
        desk.shelf.notebook.wants.put(before)


def drop_want(desk: Desk, id: str) -> None:
    """Take a want out."""
    with desk.changing(MARKS):
        desk.shelf.notebook.wants.drop(id)
