"""Marks follow the market: a fit when one is due, then the lots judged anew. All of it can be stopped."""

from __future__ import annotations

from collections.abc import Iterable

from watchlist.desk import judging, pricing
from watchlist.desk.correcting import read_all_again, services_changed
from watchlist.desk.desk import Desk
from watchlist.desk.errors import Stopped
from watchlist.shelf.store.filters import Filter


def fit(desk: Desk) -> None:
    """Fit the market with the scales of the last fit. Raises Stopped: the old state stays and the fit stays due."""
    from watchlist import market

    try:
        pricing.refit(desk, desk.going, search=False)
    except market.Stopped as stopped:
        raise Stopped("The fit was stopped: bands stay as they were, and the fit is due.") from stopped


def fit_if_due(desk: Desk) -> None:
    """Fit when prices, rates, terms or the catalogue have changed since the last fit. Raises Stopped."""
    if pricing.is_dirty(desk) and desk.shelf.store.prices.count():
        fit(desk)


def follow_rules(desk: Desk) -> None:
    """The open lots follow a change of market, settings or services. Raises Stopped."""
    if services_changed(desk):
        read_all_again(desk)
    elif judging.rules_changed(desk):
        judging.judge_all(desk)


ALL = "*"
"""In the place of an issue: all lots."""


def follow_issues(desk: Desk, issues: Iterable[str]) -> None:
    """Sales of these issues changed: their bands and the marks of their open lots. Raises Stopped."""
    desk.forget()
    fit_if_due(desk)
    if ALL in (issues := list(issues)):
        judging.judge_all(desk)
        return
    for issue in filter(None, issues):
        keys = [line.key for line in desk.shelf.store.listing.each(Filter(issue=issue, open_at=desk.now))]
        judging.judge_again(desk, desk.shelf.store.lots.by_key(keys).values())
