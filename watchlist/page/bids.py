"""The bid list in columns: when a lot closes at home, venue, lot, coin, bid, cost, what is left, how far it is."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from datetime import date, datetime, tzinfo
from decimal import Decimal

from watchlist.core.decisions.bids import BidRow
from watchlist.core.marks.reasons import figure
from watchlist.core.money.amount import Money
from watchlist.page.lists import Column, Fitted, fit

COLUMNS = (
    Column("closes", 9),
    Column("there", 5, rank=13),
    Column("venue", 10, rank=2, below=True),
    Column("sale", 8, rank=15),
    Column("lot", 3),
    Column("coin", 20),
    Column("", 0, rank=1),
    Column("now", 6, right=True, rank=12),
    Column("bid", 6, right=True),
    Column("limit", 6, right=True, rank=9),
    Column("cost", 5, right=True, rank=1),
    Column("shared", 6, right=True, rank=14),
    Column("alone", 6, right=True, rank=11),
    Column("wins", 4, right=True, rank=8),
    Column("likely", 6, right=True, rank=10),
    Column("left", 5, right=True, rank=4),
    Column("stage", 8, rank=3, below=True),
)
_AT = {column.name: at for at, column in enumerate(COLUMNS)}
LOT, COIN = _AT["lot"], _AT["coin"]
NEEDED = 4
"""Rank of the last column that comes back where room is left: cost, venue, stage and what is left of the budget."""
ROOMY = 100
"""Cells from which on a list has blanks to spare."""
SHORT = 5
"""Letters of a first word that does not name a venue by itself."""
STAGES = {"planned": "to place", "": "to place"}
"""Stages that the list calls something else."""
SHARED = "+"
"""Behind a cost that counts on another lot of its parcel."""
RUNS_ON = "~"
"""Behind an hour that is the sale's: the lot may close later."""


@dataclass(frozen=True, slots=True)
class BidLine:
    """One bid with all that the list shows beside its row. Money is in home currency unless it says otherwise."""

    row: BidRow
    number: str
    """At its venue."""
    coin: str
    sale: str = ""
    parcel: str = ""
    group: str = ""
    """The either-or group that it is in."""
    now: Money | None = None
    """Current bid or price, sale currency."""
    limit_shared: Money | None = None
    """The bid limit once another piece of its parcel is won; sale currency, None where nothing shares its parcel."""
    alone: Money | None = None
    shared: Money | None = None
    beside: bool = False
    """Another lot of its parcel stands before it: it counts at its shared cost."""
    chance: float | None = None
    """To win at this bid, as far as its band tells."""
    likely: Money | None = None
    """Median hammer price, sale currency."""
    closes_there: datetime | None = None
    """By the venue's own clock."""
    due: datetime | None = None
    """By when the bid has to be with its venue."""
    day: date | None = None
    """Of the sale, where it is held."""
    adds: Decimal = Decimal(0)
    """What it adds to the cost of all above it."""
    may_run_on: bool = False
    stage: str = ""
    left: Money | None = None
    """Of the least budget that holds its day, when this bid and all above it win at their worst."""

    @property
    def cost(self) -> Money | None:
        """What it counts at."""
        return self.shared if self.beside else self.row.worst


def lines_in_cells(lines: Sequence[BidLine], home: str, zone: tzinfo, today: date) -> Iterator[tuple[str, ...]]:
    """A row of cells for each bid; the day stands once."""
    day, own = "", own_currency((amount for line in lines for amount in (line.row.bid, line.now)), home)
    for line in lines:
        when = _closes(line, zone, today)
        same = bool(day) and when.startswith(day) and not line.row.ended
        day = when[:3] if line.row.closes else ""
        yield _cells(line, own, f"    {when[4:]}" if same else when)


def own_currency(amounts: Iterable[Money | None], home: str) -> str:
    """One's own currency, which need not be named; none where it stands beside others."""
    return "" if any(amount is not None and amount.currency != home for amount in amounts) else home


def _cells(line: BidLine, own: str, closes: str) -> tuple[str, ...]:
    row = line.row
    return (
        closes,
        f"{line.closes_there:%H:%M}" if line.closes_there else "",
        short_venue(row.venue),
        line.sale,
        short_number(line.number),
        line.coin,
        line.group,
        in_sale(line.now, own),
        in_sale(row.bid, own) or "-",
        in_sale(row.limit, own),
        (_figure(line.cost) or "-") + (SHARED if line.beside else ""),
        _figure(line.shared),
        _figure(line.alone),
        share(line.chance),
        in_sale(line.likely, own),
        _figure(line.left),
        "result?" if row.ended and line.stage != "not placed" else STAGES.get(line.stage, line.stage),
    )


def signs_of(lines: Sequence[BidLine]) -> Sequence[str]:
    """What the signs behind a cost and an hour mean, where there are any."""
    beside = f"{SHARED} with shared postage" if any(line.beside for line in lines) else ""
    later = f"{RUNS_ON} may close later" if any(line.may_run_on for line in lines) else ""
    return [*filter(None, (beside, later))]


def fitted(columns: Sequence[Column], width: int, coin: int = COIN) -> Fitted:
    """The measured columns that have room; a coin has its cells before others have theirs, and runs on below."""
    least = min(columns[coin].wide, 26 if width >= ROOMY else 19)
    return fit(columns, width, flexible=coin, least=least, gap=2 if width >= ROOMY else 1, needed=NEEDED)


def _closes(line: BidLine, zone: tzinfo, today: date) -> str:
    """Day and clock time at home: `Tue 14:02`; further on than a week its date."""
    closes = line.row.closes
    if closes is None:
        return "ended" if line.row.ended else "fixed"
    if line.row.ended:
        return f"{closes.astimezone(zone):%a} ended"
    return hour_at_home(closes, zone, today) + (RUNS_ON if line.may_run_on else "")


def hour_at_home(closes: datetime, zone: tzinfo, today: date) -> str:
    """`Tue 14:02`, `13 Mar 14:02`."""
    here = closes.astimezone(zone)
    far = (here.date() - today).days > 6
    return f"{here.day:>2} {here:%b} {here:%H:%M}" if far else f"{here:%a %H:%M}"


def short_venue(name: str) -> str:
    """A venue by its first word, or by two where that is short: `Lindmoor`, `Brannental`."""
    first, *rest = name.split() or [""]
    return f"{first} {rest[0]}" if rest and len(first) < SHORT else first


def short_number(id: str) -> str:
    """A lot's number as its venue shows it: of a tag (RFC 4151, `tag:who,day:number`) what stands behind the day."""
    return id.rpartition(":")[2] if id.startswith("tag:") else id


def share(chance: float | None) -> str:
    """`81%`, `<1%`, empty where it is not known."""
    return "" if chance is None else f"{chance:.0%}" if chance >= 0.01 else "<1%"


def in_sale(amount: Money | None, own: str) -> str:
    """An amount in sale currency, which stands there where it is not `own`."""
    return str(amount).removesuffix(f" {own}") if amount else ""


def _figure(amount: Money | None) -> str:
    return f"{'-' if amount.amount < 0 else ''}{figure(abs(amount.amount))}" if amount else ""
