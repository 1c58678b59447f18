"""The bids of a plan in columns, alike on the screen and in the print."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import date, datetime, tzinfo

from watchlist.core.marks.reasons import figure
from watchlist.core.money.amount import Money
from watchlist.page.bids import SHARED, hour_at_home, in_sale, own_currency, share, short_number, short_venue
from watchlist.page.lists import Column

COLUMNS = (
    Column("closes", 9),
    Column("venue", 8, rank=3, below=True),
    Column("lot", 3),
    Column("coin", 20),
    Column("for", 3, rank=6),
    Column("bid", 6, right=True),
    Column("limit", 6, right=True, rank=8),
    Column("cost", 5, right=True, rank=1),
    Column("wins", 4, right=True, rank=4),
    Column("saves", 5, right=True, rank=5),
    Column("likely", 6, right=True, rank=7),
    Column("left", 5, right=True, rank=2),
)
LOT, COIN = 2, 3


@dataclass(frozen=True, slots=True)
class PlannedBid:
    """One bid of a plan."""

    key: str
    number: str
    title: str
    venue: str
    closes: datetime | None
    group: str
    """The either-or group or the want that it serves."""
    parcel: str
    bid: Money
    """Sale currency."""
    limit: Money | None
    worst: Money
    """The most that winning can add to a parcel that comes anyway; home currency, as all below but the likely price."""
    alone: Money
    """The most that winning can cost with nothing else in its parcel."""
    chance: float
    saving: Money
    """Expected, under the ceiling."""
    likely: Money
    """Median hammer price, sale currency."""
    left: Money
    """Of the budget, when this bid and all above it win at their worst; attended, when this one does."""
    notes: tuple[str, ...] = ()
    beside: bool = False
    """The cost counts on another lot of its parcel; what the parcel costs once is told apart from it."""
    on_sheet: bool = False
    """Either-or with a bid of the plan, on one sheet for the venue: it is written with it."""


def lines_in_cells(
    bids: Sequence[PlannedBid], waiting: Sequence[PlannedBid], home: str, zone: tzinfo, today: date
) -> Iterator[tuple[str, ...]]:
    """A row of cells for each bid, then for each that waits for a loss."""
    found = (*bids, *waiting)
    own = own_currency((bid.bid for bid in found), home)
    for n, bid in enumerate(found):
        yield _cells(bid, own, hour_at_home(bid.closes, zone, today) if bid.closes else "no day", waits=n >= len(bids))


def _cells(bid: PlannedBid, own: str, closes: str, *, waits: bool) -> tuple[str, ...]:
    return (
        closes,
        short_venue(bid.venue),
        short_number(bid.number),
        bid.title,
        bid.group,
        "waits" if waits else in_sale(bid.bid, own),
        in_sale(bid.limit, own),
        _figure(bid.worst) + (SHARED if bid.beside else ""),
        share(bid.chance),
        _figure(bid.saving),
        in_sale(bid.likely, own),
        "" if waits else _figure(bid.left),
    )


def _figure(amount: Money) -> str:
    return f"{'-' if amount.amount < 0 else ''}{figure(abs(amount.amount))}"


def signs_of(bids: Sequence[PlannedBid]) -> Sequence[str]:
    """What the signs behind a cost mean, where there are any."""
    return (f"{SHARED} with shared postage",) if any(bid.beside for bid in bids) else ()
