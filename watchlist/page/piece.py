"""A piece as it was read, in the few words that a list of bids or a date has room for."""

from __future__ import annotations

from watchlist.core.clean import clean
from watchlist.core.coins.issue import Issue
from watchlist.page.wording import grades


def coin(issue: Issue | None, title: str) -> str:
    """`5 tor 1891-M, wide date`, without its country; the title where no issue was told."""
    if issue is None:
        return clean(title)
    named = f"{issue.denomination} {issue.date}"
    return f"{named}, {issue.variety}" if issue.variety else named


def piece(issue: Issue | None, title: str, low: int | None, high: int | None, *, details: bool) -> str:
    """The same with its grade: `5 tor 1891-M, MS-60`."""
    grade = grades(low, high, details=details) if issue else ""
    return f"{coin(issue, title)}, {grade}" if grade else coin(issue, title)


def where(venue: str, lot: str) -> str:
    """`Lindmoor Auctions, lot 212`."""
    return ", ".join(filter(None, (clean(venue), f"lot {clean(lot)}" if lot else "")))
