"""Bids on paper: a sheet that a venue takes, and the plan of a day. No ceiling and no limit stands on either."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, datetime, tzinfo
from decimal import Decimal

from watchlist.core.money.amount import Money
from watchlist.page.columns import table, wrap
from watchlist.page.dates import day_words


@dataclass(frozen=True, slots=True)
class SheetBid:
    """One bid as it goes on paper."""

    lot: str
    """The venue's own number."""
    piece: str
    venue: str
    bid: Money | None
    """Hammer, before fees; None: no amount was set."""
    closes: datetime | None
    stage: str = ""
    note: str = ""
    """`or 230, not both`."""


def sheet(
    sale: Sequence[str], day: date | None, by: datetime | None, bids: Sequence[SheetBid], currency: str, now: datetime
) -> list[str]:
    """The bids of one sale, its venue and name, for that venue; `by` is by the venue's own clock."""
    head = ", ".join(filter(None, (*sale, f"{day.day} {day:%B %Y}" if day else "")))
    until = f"   bids {'by' if by > now else 'were due'} {by.day} {by:%B %H:%M} there" if by else ""
    rows = [("lot", "piece", f"highest bid, {currency}, before fees")]
    wide = max((len(_figure(bid.bid)) for bid in bids), default=0)
    rows += [(bid.lot, bid.piece, f"{_figure(bid.bid):>{wide}}   {bid.note}".rstrip()) for bid in bids]
    total = sum((bid.bid.amount for bid in bids if bid.bid), Decimal(0))
    foot = f"At most {Money(total, currency)} hammer in all.   Bidder ____________   Signed ____________"
    return [f"{head}{until}", "", *table(rows), "", foot]


def _figure(bid: Money | None) -> str:
    return f"{bid.amount:,f}" if bid else "____"


def day_plan(day: date, bids: Sequence[SheetBid], home: tzinfo, width: int) -> list[str]:
    """The bids of one day in the order of their hours, by the person's own clock."""
    rows = []
    for bid in bids:
        hour = f"{bid.closes.astimezone(home):%H:%M}" if bid.closes else ""
        amount = f"{bid.bid} hammer" if bid.bid else "no amount set"
        rows.append((hour, bid.venue, bid.lot, bid.piece, amount, bid.stage or "planned"))
    heads = ("hour", "venue", "lot", "piece", "bid", "stage")
    lines = table([heads, *rows], right=frozenset({4}), width=width, give=(3, 1))
    return [f"{day_words(day)} {day.year}, by your clock ({home})", "", *lines, "", *wrap(_sums(bids), width)]


def _sums(bids: Sequence[SheetBid]) -> str:
    """What all these bids come to, by currency."""
    sums: dict[str, Decimal] = {}
    for bid in bids:
        if bid.bid is not None:
            sums[bid.bid.currency] = sums.get(bid.bid.currency, Decimal(0)) + bid.bid.amount
    said = " and ".join(str(Money(amount, code)) for code, amount in sums.items())
    count = f"{len(bids)} bid{'' if len(bids) == 1 else 's'}"
    return f"{count}, at most {said} hammer in all; fees are not included." if said else f"{count} without an amount."
