"""The bid list: what each bid costs in its parcel, what all cost together, what is left of the budgets, its chance."""

from __future__ import annotations

from collections.abc import Container, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from decimal import Decimal

from watchlist.core.decisions.bids import BidRow, close_together, same_want
from watchlist.core.fees.costs import bid_limit
from watchlist.core.money.amount import Money, cents
from watchlist.core.parcels.costs import as_shared, lot_costs, worst_hammer
from watchlist.core.parcels.outcomes import Sent
from watchlist.core.plan.budgets import Held
from watchlist.core.times.zones import source_zone
from watchlist.desk.desk import Desk
from watchlist.desk.in_hand import bidding
from watchlist.desk.in_hand.committed import added, bound, costed, either_or, season, waiting
from watchlist.desk.in_hand.dates import bids_by
from watchlist.desk.in_hand.hands import Hands, InHand, hammered, hands, sale_day, sent_by
from watchlist.desk.naming import piece_of
from watchlist.desk.plan.prospects import likely_price
from watchlist.page.bids import BidLine
from watchlist.page.wording import count
from watchlist.shelf.store.rows import LotRow

MAY_RUN_ON = "may close later"
"""Words of a closing that is only its sale's."""


@dataclass(frozen=True, slots=True)
class BidList:
    """All bids, closing soonest first, with their sum and warnings."""

    lines: tuple[BidLine, ...]
    """Bids whose sale is still to come."""
    ended: tuple[BidLine, ...]
    """Bids whose sale is over: to be told won or lost."""
    total: Money
    """The worst case of all that bind together, as their parcels come: those of a sale that is over too, until somebody
    says what came of them."""
    budgets: tuple[Held, ...]
    """The budgets that hold their days, with all of these bids in them."""
    warnings: tuple[str, ...] = ()

    @property
    def foot(self) -> str:
        """The line under the list: `5 bids, 1,240 of 1,500 EUR committed if all win; ...`."""
        return "; ".join(self.parts)

    @property
    def parts(self) -> tuple[str, ...]:
        """The same piece by piece, the weightiest first."""
        bids = count(sum(line.row.binding for line in (*self.lines, *self.ended)), "bid")
        ended = f"{_number(len(self.ended))} ended: record the result" if self.ended else ""
        home = self.total.currency
        known = f"{bids}, up to {self.total.amount:,.0f} {home} committed if all win"
        gone: list[str] = []
        for held in self.budgets:
            if held.first is None:
                known = f"{bids}, {held.committed:,.0f} of {held.amount:,.0f} {home} committed if all win"
                gone = [f"{amount:,.0f} of it {what}" for amount, what in held.gone if amount]
            else:
                gone.append(f"{held.name}: {held.left:,.0f} of {held.amount:,.0f} left")
        return tuple(filter(None, (known, *self.warnings, *gone, ended)))


def bids(desk: Desk, budget: Decimal | None = None) -> BidList:
    """The bid list: all lots with a bid planned, placed or outbid, and fixed-price pieces to buy.

    `budget`: in place of that of the settings and of those with dates."""
    found = hands(desk)
    rows = sorted(bidding.rows(desk), key=lambda row: not row.ended)
    counted = {each.key: each for each in costed(found)}
    mine = [row.lot for row in rows if row.binding and row.lot in counted]
    base = season(desk, budget, found=replace(found, lots=_but(found.lots, mine)))
    _, *sums = added(desk, found, [list(_but(counted, mine).values()), *([counted[key]] for key in mine)])
    drawn = _Drawn(base, dict(zip(mine, sums, strict=True)))
    lines = list(_lines(desk, found, rows, mine))
    lines = [_against(line, *drawn.draw(line.row, counted.get(line.row.lot)), desk.home) for line in lines]
    coming = tuple(line for line in lines if not line.row.ended)
    return BidList(
        coming,
        tuple(line for line in lines if line.row.ended),
        Money(sum(sums, Decimal(0)), desk.home),
        drawn.budgets,
        tuple(_warnings(desk, [line.row for line in coming], drawn.budgets)),
    )


def _but(lots: Mapping[str, InHand], keys: Container[str]) -> dict[str, InHand]:
    return {key: each for key, each in lots.items() if key not in keys}


class _Drawn:
    """What one bid after the other draws from the budgets that hold its day."""

    def __init__(self, base: Sequence[Held], adds: Mapping[str, Decimal]) -> None:
        self._base, self._adds = base, adds
        self._taken: dict[str, Decimal] = {}

    def draw(self, row: BidRow, each: InHand | None) -> tuple[Decimal, Decimal | None]:
        """What a bid draws, and what is then left of the least budget; None where none holds its day."""
        adds = self._adds.get(row.lot, Decimal(0))
        holds = [held for held in self._base if each is None or held.covers(each.day)]
        for held in holds:
            self._taken[held.name] = self._taken.get(held.name, Decimal(0)) + adds
        return adds, min((held.left - self._taken[held.name] for held in holds), default=None)

    @property
    def budgets(self) -> tuple[Held, ...]:
        """Those that were drawn from, the bids in them, and one without dates."""
        drawn = (held for held in self._base if held.first is None or held.name in self._taken)
        return tuple(replace(held, planned=held.planned + self._taken.get(held.name, Decimal(0))) for held in drawn)


def held_for(desk: Desk, keys: Iterable[str]) -> Money:
    """What the budget holds for these lots beside the others of their parcels and groups, home currency."""
    standing = desk.shelf.store.decisions.review().lots
    bound_by = {key for key in keys if key in standing and standing[key].state in ("bid", "won")}
    if not bound_by:  # followed or skipped: parcels need not be worked out at a key
        return Money(Decimal(0), desk.home)
    found = hands(desk)
    mine = {key for key in bound_by if key in found.lots}
    groups = [group.lots for group in desk.shelf.notebook.groups.list() if not mine.isdisjoint(group.lots)]
    parcels = {found.of[key] for key in (*mine, *(lot for lots in groups for lot in lots)) if key in found.of}
    near = {key: each for key, each in found.lots.items() if found.of[key] in parcels}
    whole, less = (
        sum((each.amount for each in bound(desk, replace(found, lots=lots))), Decimal(0))
        for lots in (near, _but(near, mine))
    )
    return Money(whole - less, desk.home)


def _against(line: BidLine, adds: Decimal, left: Decimal | None, home: str) -> BidLine:
    """The line with what it leaves of the budget, and the warning where that is less than nothing."""
    line = replace(line, adds=adds)
    row = line.row
    if row.ended or left is None:
        return line
    if left < 0 and row.binding:
        row = replace(row, warnings=(*row.warnings, "over the budget if this and all earlier bids win"))
    return replace(line, row=row, left=Money(left, home))


def _warnings(desk: Desk, rows: Sequence[BidRow], budgets: Iterable[Held]) -> Iterator[str]:
    for held in budgets:
        if held.left < 0:
            name = f"the budget {held.name}" if held.first else "the budget"
            yield f"over {name} by {Money(-held.left, desk.home)} if all win"
    binding = [row for row in rows if row.binding]
    if unknown := sum(row.worst is None for row in binding):
        yield f"{unknown} of unknown cost not counted"
    if clashes := close_together(binding):
        yield f"{_number(len(clashes))} close within 10 minutes"
    for want, lots in same_want(binding).items():
        yield f"{len(lots)} bids for want {want}, you may win several: {', '.join(lots)}"


def _number(count: int) -> str:
    words = ("no bids", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten")
    return words[count] if count < len(words) else str(count)


def _lines(desk: Desk, found: Hands, rows: Sequence[BidRow], mine: Sequence[str]) -> Iterator[BidLine]:
    places = {lot.key: name for name, parcel in found.parcels.items() for lot in parcel.lots}
    groups = either_or(desk)
    waits, seen = waiting(desk, found, mine, groups), set()
    for row in rows:
        name, each = places.get(row.lot, ""), found.lots.get(row.lot)
        lot = desk.shelf.store.lots.get(row.lot)
        assert lot is not None, "a bid is read from its lot"
        stage = "waits" if row.lot in waits else row.stage
        line = replace(_line(desk, row, lot), parcel=name, group=groups.get(row.lot, ""), stage=stage)
        if each is not None:
            line = _costed(desk, found, line, each, beside=name in seen)
            seen.add(name)
        yield line if row.ended or row.bid is None else _chanced(desk, line, lot)


def _line(desk: Desk, row: BidRow, lot: LotRow) -> BidLine:
    terms = desk.terms.get(row.venue)
    zone = source_zone(terms.time_zone) if terms else None
    return BidLine(
        row,
        lot.lot.id,
        piece_of(desk.catalogue, lot),
        lot.lot.sale,
        now=lot.lot.price,
        closes_there=row.closes.astimezone(zone.tz) if row.closes and zone else None,
        due=row.closes - bids_by(desk, row.venue) if row.closes and not row.ended else None,
        day=sale_day(desk, lot.lot),
        may_run_on=MAY_RUN_ON in lot.lot.closes_note,
    )


def _costed(desk: Desk, found: Hands, line: BidLine, each: InHand, *, beside: bool) -> BidLine:
    """What the bid costs alone and beside another lot of its parcel, and how high it may go there."""
    sent, parcel = found.sent.get(found.of[each.key]), found.parcels[line.parcel]
    if sent is None:
        return line
    three = lot_costs(sent.terms, worst_hammer(sent.terms, hammered(desk, each.lot, each.price)), sent.money)
    counts = not parcel.assumed and len(parcel.lots) > 1
    return replace(
        line,
        alone=Money(three.alone, desk.home),
        shared=Money(three.shared, desk.home),
        beside=counts and (beside or parcel.won),
        limit_shared=_limit(sent, line.row) if counts else None,
    )


def _limit(sent: Sent, row: BidRow) -> Money | None:
    if row.limit is None or row.ceiling is None:
        return None
    return bid_limit(as_shared(sent.terms), row.ceiling.amount, home=sent.money.home, fx=sent.money.fx).limit


def _chanced(desk: Desk, line: BidLine, lot: LotRow) -> BidLine:
    """How likely the bid is to win, and what the lot is likely sold for; nothing where no price is to rise."""
    bid = line.row.bid
    assert bid is not None
    sent = sent_by(desk, lot.lot.venue, bid.currency) if lot.lot.price_kind != "fixed" else None
    told = likely_price(lot, sent) if sent is not None and sent.terms.currency == bid.currency else None
    if told is None:
        return line
    median = Money(cents(Decimal(told.median)), bid.currency)
    return replace(line, chance=told.reached(float(bid.amount)), likely=median)
