"""The want-list: a want kept as it is typed, or dropped. MARKS are due then."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from itertools import compress

from watchlist.core.coins.catalogue import implied_issue
from watchlist.core.coins.finishes import finish_of
from watchlist.core.coins.issue import Issue
from watchlist.core.decisions.results import own_number
from watchlist.core.marks.record import Want
from watchlist.core.typed.want import TypedWords, lacking, want_from
from watchlist.core.typed.words import TypedError
from watchlist.desk import naming
from watchlist.desk.changes import entry
from watchlist.desk.desk import Desk
from watchlist.desk.due import MARKS
from watchlist.desk.errors import refusing
from watchlist.page.wants import coin

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
    if not id and (there := _asked_already(desk, want)):
        return there, None
    with entry(desk, f"want {want.id} {'changed' if id else 'added'} ({coin(want)})", due=MARKS) as change:
        if implied is not None:
            change.touch("issue", [implied.key])
            desk.shelf.store.catalogue.merge([implied])
        change.put("want", as_kept(desk, want))
    return want, implied


def as_kept(desk: Desk, want: Want) -> Want:
    """A want as it goes into the notebook: what was bought for it is no part of its own number."""
    return own_number(want, desk.bought.get(want.id, 0))


def _asked_already(desk: Desk, want: Want) -> Want | None:
    """A want that is the same word for word and still asks: the step was done before."""
    alike = (
        replace(each, id=want.id, filled=want.filled) == want and each.asking for each in desk.wants.by_id.values()
    )
    return next(compress(desk.wants.by_id.values(), alike), None)


def _variety(desk: Desk, issue: Issue) -> str | None:
    """The variety a want asks for; of an issue whose finish stands in its type, that finish."""
    return issue.variety or finish_of(issue, desk.tongues) or None


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
    want = Want(id, issue.country, issue.denomination, issue.year, issue.mint, _variety(desk, issue))
    if base is None:
        return want, implied
    return replace(base, **{name: getattr(want, name) for name in COIN}), implied


def _series_known(desk: Desk, denomination: str) -> bool:
    return any(issue.denomination == denomination and not issue.implied for issue in desk.catalogue.by_key.values())


def drop_want(desk: Desk, id: str) -> None:
    """Take a want out."""
    want = desk.wants.by_id.get(id)
    with entry(desk, f"want {id} removed{f' ({coin(want)})' if want else ''}", due=MARKS) as change:
        change.drop("want", id)
