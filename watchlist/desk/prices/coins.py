"""The coins that prices are known of, for the list of the Prices screen."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date

from watchlist.core.coins.issue import Issue
from watchlist.core.coins.varieties import of_variety
from watchlist.desk.desk import Desk


@dataclass(frozen=True, slots=True)
class Priced:
    """One issue, how many prices realised of it are kept, and the newest."""

    issue: Issue
    prices: int
    newest: date | None
    wanted: bool


def priced(desk: Desk) -> Sequence[Priced]:
    """Issues with prices first, then the rest of the catalogue; by country, denomination and year."""
    known = desk.shelf.store.prices.by_issue()
    found: list[Priced] = []
    for key, issue in desk.catalogue.by_key.items():
        number, newest = known.get(key, (0, None))
        found.append(Priced(issue, number, newest, _wanted(desk, issue)))
    return sorted(found, key=_place)


def _wanted(desk: Desk, issue: Issue) -> bool:
    """A want that still asks means this issue: its mint and its variety too."""
    return any(
        want.asking
        and (want.mint is None or want.mint.casefold() == issue.mint.casefold())
        and (want.variety is None or bool(of_variety([issue], want.variety, desk.catalogue.words)))
        for want in desk.wants.asking_for(issue)
    )


def _place(each: Priced) -> tuple[object, ...]:
    issue = each.issue
    return not each.prices, issue.country, issue.denomination, issue.year, issue.mint, issue.variety
