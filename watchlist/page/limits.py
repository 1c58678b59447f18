"""What is said of a bid before it is left: what it would stand at, and what would allow for the winner's curse."""

from __future__ import annotations

from decimal import Decimal

from watchlist.core.marks.reasons import figure
from watchlist.core.money.amount import Money
from watchlist.page.wording import about, count


def left_now(bid: Money, at: Money, price: Money, *, bid_seen: bool, assumed: bool) -> str:
    """`Left now, 240 EUR hammer leads at 165 EUR, unless somebody left more than the current bid of 160 EUR.`

    `price`: the current bid, or the start price where none is seen; `assumed`: the increments are."""
    steps = " by assumed increments" if assumed else ""
    unless = f"somebody left more than the current bid of {price}" if bid_seen else "somebody has bid"
    return f"Left now, {bid} hammer leads at {at}{steps}, unless {unless}."


def allowing(bid: Money, limit: Money, rivals: int, median: Money, worth: Decimal) -> str:
    """The bid that would allow for the winner's curse, and why. `worth`: what a piece of this median is worth on
    average where the highest of so many estimates wins it, in the same currency."""
    return (
        f"Winner's curse: with {count(rivals, 'rival')} who can judge it as well as you, a median of {about(median)} "
        f"means {figure(worth)} on average when you win; {bid} hammer would allow for that, your limit stays {limit}."
    )
