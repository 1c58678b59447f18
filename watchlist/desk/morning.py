"""What a collector reads first: what is new, what is cheap, what is doubtful, what closes, what is not placed."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import datetime, time, timedelta

from watchlist.core.decisions.plan import BidRow
from watchlist.core.sift.filter import Filter
from watchlist.desk import bidding
from watchlist.desk.desk import Desk
from watchlist.desk.gather_times import gather_before, last_gather
from watchlist.desk.source_health import trouble
from watchlist.shelf.store.rows import LotRow


@dataclass(frozen=True, slots=True)
class SourceTrouble:
    """A source that failed, went quiet or is late, in one sentence."""

    name: str
    what: str


@dataclass(frozen=True, slots=True)
class Morning:
    """The facts of one morning; `page.morning` puts them in words."""

    since: datetime | None
    """The gather before; None on the first one."""
    new: int
    open: int
    new_wanted: int
    """New lots that answer a want."""
    bargains: tuple[LotRow, ...]
    doubts: tuple[LotRow, ...]
    """Doubtful lots that answer a want."""
    closing: tuple[LotRow, ...]
    """Lots that close today and answer a want, are followed or on the bid list."""
    closing_all: int
    unplaced: tuple[BidRow, ...]
    ended: tuple[BidRow, ...]
    """Bids whose sale is over: won or lost?"""
    troubles: tuple[SourceTrouble, ...]
    wants: int
    sources: int
    prices: int
    stale: tuple[str, ...] = ()
    """Rates, prices or terms that are too old to lean on, or missing."""


def morning(desk: Desk) -> Morning:
    """The morning as the shelf stands."""
    store = desk.shelf.store
    listed = bidding.bids(desk)
    new = store.lots.by_key(line.key for line in store.listing.each(Filter(states=frozenset({"new"}))))
    closing = _closing_today(desk)
    open_now = Filter(open_at=desk.now)
    return Morning(
        since=gather_before(store),
        new=len(new),
        open=store.listing.count(open_now),
        new_wanted=sum(bool(row.judgement and row.judgement.wants) for row in new.values()),
        bargains=_marked(desk, "bargain"),
        doubts=tuple(row for row in _marked(desk, "doubt") if row.judgement and row.judgement.wants),
        closing=tuple(row for row in closing if _concerns(row)),
        closing_all=len(closing),
        unplaced=bidding.unplaced(listed),
        ended=listed.ended,
        troubles=tuple(source_troubles(desk)),
        wants=len(desk.wants),
        sources=len(desk.sources),
        prices=store.prices.count(),
        stale=tuple(stale(desk)),
    )


def _marked(desk: Desk, mark: str) -> tuple[LotRow, ...]:
    """Open lots with this mark, not skipped; those that answer a want first."""
    store = desk.shelf.store
    wanted = Filter(marks=frozenset({mark}), open_at=desk.now)
    keys = [line.key for line in store.listing.each(wanted) if line.state not in ("skipped", "won", "lost", "ended")]
    rows = store.lots.by_key(keys).values()
    return tuple(sorted(rows, key=lambda row: not (row.judgement and row.judgement.wants)))


def _closing_today(desk: Desk) -> list[LotRow]:
    zone = desk.settings.home.zone
    tomorrow = datetime.combine(desk.local_today() + timedelta(days=1), time(), zone)
    today = Filter(closes_after=desk.now, closes_before=tomorrow, open_at=desk.now)
    keys = [line.key for line in desk.shelf.store.listing.each(today)]
    return list(desk.shelf.store.lots.by_key(keys).values())


def _concerns(row: LotRow) -> bool:
    wanted = bool(row.judgement and row.judgement.wants)
    return row.state in ("followed", "bid") or (wanted and row.state != "skipped")


def source_troubles(desk: Desk) -> Iterable[SourceTrouble]:
    """Sources that failed, went quiet, are late or are not asked any more."""
    for name, source in desk.sources.items():
        if what := trouble(source, desk.shelf.store.feeds.state(name), desk.now):
            yield SourceTrouble(name, what)


BACK, AHEAD = timedelta(days=1), timedelta(days=365)
"""How far the clock may stand before or after the last gather before that is said."""


def odd_clock(desk: Desk) -> Iterable[str]:
    """The clock stands far from the last one seen: lots end by it."""
    store = desk.shelf.store
    seen = last_gather(store)
    if seen == desk.now:  # the gather of this very morning
        seen = gather_before(store)
    if seen is not None and not -BACK <= desk.now - seen <= AHEAD:
        side = "before" if desk.now < seen else "after"
        yield (
            f"the clock says {desk.now:%Y-%m-%d}, far {side} the last gather on {seen:%Y-%m-%d}; lots end by the clock "
            "and nothing is lost: set it right if it is wrong and gather again"
        )


def stale(desk: Desk) -> Iterable[str]:
    """What the figures lean on and is missing or old."""
    yield from odd_clock(desk)
    today = desk.local_today()
    abroad = {terms.currency for terms in desk.terms.values()} - {desk.home}
    missing = sorted(code for code in abroad if desk.rates.to_home_factor(code, today) is None)
    if missing:
        yield f"no exchange rate near today for {', '.join(missing)}: import rates"
    elif abroad and (age := desk.rates.age_days(today)) is not None and age > 45:
        yield f"the newest exchange rate is {age} days old: import rates"
    lonely = sorted({each.venue or name for name, each in desk.sources.items() if each.venue not in desk.terms})
    if lonely:
        yield f"no terms for {', '.join(lonely)}: prices there count without fees; `watchlist venue add` gives them"
    if not desk.shelf.store.prices.count():
        yield "no prices realised yet: import prices, or give wants a low and a high"
