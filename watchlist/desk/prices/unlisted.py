"""What hangs on an issue that is not in your catalogue, and what helps."""

from __future__ import annotations

from collections.abc import Iterator

from watchlist.core.imports.coin import series_known
from watchlist.core.imports.moves import coin_of, like_listed
from watchlist.desk.desk import Desk
from watchlist.page.wording import count

TOLD = 6
"""Issues that are named one by one."""


def unlisted(desk: Desk) -> Iterator[str]:
    """A sentence for each issue with prices or lots that the catalogue does not list; none without a catalogue."""
    if all(issue.implied for issue in desk.catalogue):
        return
    store = desk.shelf.store
    prices = {key: number for key, (number, _) in store.prices.by_issue().items()}
    lots = store.listing.count_by("issue")
    listed = {issue.key for issue in desk.catalogue if not issue.implied}
    keys = sorted({*prices, *lots} - listed - {""})
    for key in keys[:TOLD]:
        yield _sentence(desk, key, prices.get(key, 0), lots.get(key, 0))
    if len(keys) > TOLD:
        yield f"and {len(keys) - TOLD} more such issues"


def _sentence(desk: Desk, key: str, prices: int, lots: int) -> str:
    named = (count(number, what) for number, what in ((prices, "price"), (lots, "lot")) if number)
    return f"{' and '.join(named)} of {key}, not in your catalogue: {_cure(desk, key)}"


def _cure(desk: Desk, key: str) -> str:
    issue = desk.catalogue.by_key.get(key)
    like = like_listed(desk.catalogue, issue) if issue else None
    if like:
        return f"if {like.what} `{like.written}` is {like.meant}, {like.command}"
    if issue and not series_known(desk.catalogue, coin_of(issue)):
        return "import its catalogue"
    return f'import its row of the catalogue, or `watchlist price --move "issue:{key}" ISSUE`'
