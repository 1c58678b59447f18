"""What a collector reads first: what is new, what is cheap, what is doubtful, what closes, what is not placed."""

from __future__ import annotations

from collections.abc import Callable, Container, Iterable, Sequence
from dataclasses import dataclass, replace
from datetime import date, datetime, time, timedelta

from watchlist.core.calendar.record import Dated
from watchlist.core.decisions.bids import BidRow
from watchlist.core.sift.filter import Filter
from watchlist.core.sift.line import WAITING
from watchlist.desk.desk import Desk
from watchlist.desk.gather.source_health import trouble
from watchlist.desk.gather_times import gather_before, last_gather
from watchlist.desk.held import unspoken
from watchlist.desk.in_hand import bidding
from watchlist.desk.in_hand.asked import Question, unanswered
from watchlist.desk.in_hand.committed import waits
from watchlist.desk.in_hand.dates import bids_by, dates
from watchlist.desk.morning.overnight import Changed, overnight
from watchlist.page.morning import MOST
from watchlist.page.wording import local
from watchlist.shelf.store.rows import LotLine, LotRow


@dataclass(frozen=True, slots=True)
class SourceTrouble:
    """A source that failed, went quiet or is late, in one sentence."""

    name: str
    what: str


@dataclass(frozen=True, slots=True)
class Group:
    """Lots under one heading: the first of them, and how many there are."""

    name: str
    lots: tuple[LotRow, ...]
    total: int
    sift: str
    """The words that list all of them."""


@dataclass(frozen=True, slots=True)
class Today:
    """What has to be done."""

    to_place: tuple[BidRow, ...]
    """Planned bids that have to be with their venue within a day."""
    to_place_later: int
    ended: tuple[BidRow, ...]
    """Bids whose sale is over: won or lost?"""
    due: tuple[Dated, ...]
    """Days to pay, to return, to report that are near."""
    questions: tuple[Question, ...]
    """Asked of a seller and not answered."""
    closing: tuple[LotRow, ...]
    """Lots that close today and are followed or bid on."""


@dataclass(frozen=True, slots=True)
class Morning:
    """The facts of one morning; `desk.morning_text` puts them in words."""

    since: datetime | None
    """The gather before; None on the first one."""
    new: int
    open: int
    new_wanted: int
    """New lots that answer a want."""
    closing_all: int
    """Lots that close today."""
    today: Today
    overnight: tuple[Changed, ...]
    wanted: tuple[Group, ...]
    """Lots that answer a want, can be had and are not skipped; groups in the order in which they are looked at."""
    above: int
    """Those of them that are above the band or the ceiling."""
    bargains: Group
    """Those that answer no want."""
    windows: tuple[Dated, ...]
    """Last days to return that are further off."""
    troubles: tuple[SourceTrouble, ...]
    wants: int
    sources: int
    prices: int
    stale: tuple[str, ...] = ()
    """Rates, prices or terms that are too old to lean on, or missing."""


NEAR = timedelta(days=3)
"""A day to pay, to return, to report is told from so far on."""
TO_DO = frozenset({"pay", "return", "report"})
SOON = timedelta(hours=24)
"""Before a bid has to be with its venue it is loud."""

Of = Callable[[LotLine], bool]
WANTED: tuple[tuple[str, str, Of], ...] = (
    ("Wanted: bargains", "b", lambda line: line.mark == "bargain"),
    ("Wanted: low, with signs: look first", "l", lambda line: line.mark == "low" and "signs" in line.also),
    ("Wanted: low", "l", lambda line: line.mark == "low" and "signs" not in line.also),
    ("Wanted: in range, or too early to judge", "i", lambda line: line.mark == "in range"),
    ("Wanted: few sales, or unclear", "-,?", lambda line: line.mark in ("few sales", "unclear")),
    ("Wanted: doubt, or said to be a copy", "!,c", lambda line: line.mark in ("doubt", "copy")),
)
"""Heading, letters of the marks, and which lots stand under it, in the order in which they are looked at."""
ABOVE = frozenset({"above ceiling", "over"})


def _is_near(each: Dated, today: date) -> bool:
    """A day to act by, told some days before; and of a parcel that was paid the day on which it should have come."""
    return each.day <= (today + NEAR if each.kind in TO_DO else today) and each.kind in TO_DO | {"arrive"}


def morning(desk: Desk) -> Morning:
    """The morning as the shelf stands."""
    store = desk.shelf.store
    listed = bidding.rows(desk)
    fresh = frozenset({"new"})
    wanted = list(store.listing.each(Filter(wanted=True, open_at=desk.now, states=WAITING)))
    closing = _closing_today(desk)
    coming, near = dates(desk).coming, desk.local_today() + NEAR
    return Morning(
        since=gather_before(store),
        new=store.listing.count(Filter(states=fresh)),
        open=store.listing.count(Filter(open_at=desk.now)),
        new_wanted=store.listing.count(Filter(states=fresh, wanted=True)),
        closing_all=len(closing),
        today=_today(desk, listed, closing, [each for each in coming if _is_near(each, desk.local_today())]),
        overnight=overnight(desk, [row for row in listed if not row.ended]),
        wanted=tuple(
            _group(desk, name, [each for each in wanted if of(each)], letters) for name, letters, of in WANTED
        ),
        above=sum(line.mark in ABOVE for line in wanted),
        bargains=_other_bargains(desk, {line.key for line in wanted}),
        windows=tuple(each for each in coming if each.kind == "return" and each.day > near),
        troubles=tuple(source_troubles(desk)),
        wants=len(desk.wants),
        sources=len(desk.sources),
        prices=store.prices.count(),
        stale=tuple(stale(desk)),
    )


def _group(desk: Desk, name: str, lines: Sequence[LotLine], letters: str) -> Group:
    rows = desk.shelf.store.lots.by_key(line.key for line in lines[:MOST])
    return Group(name, tuple(rows.values()), len(lines), f"wanted mark:{letters}")


def _other_bargains(desk: Desk, wanted: Container[str]) -> Group:
    """Bargains that answer no want, closing soonest first."""
    asked = Filter(marks=frozenset({"bargain"}), open_at=desk.now, states=WAITING)
    lines = [line for line in desk.shelf.store.listing.each(asked) if line.key not in wanted]
    return replace(_group(desk, "Other bargains", lines, ""), sift="mark:b")


def _today(desk: Desk, listed: Sequence[BidRow], closing: Sequence[LotLine], due: Iterable[Dated]) -> Today:
    later = waits(desk)
    unplaced = [row for row in listed if row.stage == "planned" and not row.ended and row.lot not in later]
    loud = tuple(row for row in unplaced if row.closes and row.closes - desk.now <= bids_by(desk, row.venue) + SOON)
    mine = [line.key for line in closing if line.state in ("followed", "bid")]
    return Today(
        to_place=loud,
        to_place_later=len(unplaced) - len(loud),
        ended=tuple(row for row in listed if row.ended),
        due=tuple(due),
        questions=unanswered(desk),
        closing=tuple(desk.shelf.store.lots.by_key(mine).values()),
    )


def _closing_today(desk: Desk) -> list[LotLine]:
    zone = desk.settings.home.zone
    tomorrow = datetime.combine(desk.local_today() + timedelta(days=1), time(), zone)
    today = Filter(closes_after=desk.now, closes_before=tomorrow, open_at=desk.now)
    return list(desk.shelf.store.listing.each(today))


def source_troubles(desk: Desk) -> Iterable[SourceTrouble]:
    """Sources that failed, went quiet, are late or are not asked any more."""
    here = desk.now.astimezone(desk.settings.home.zone)
    for name, source in desk.sources.items():
        if what := trouble(source, desk.shelf.store.feeds.state(name), here):
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


def old_lots(desk: Desk) -> Iterable[str]:
    """A gather was left out: prices and closings are as they were."""
    seen, usual = last_gather(desk.shelf.store), desk.settings.morning.every
    if seen is not None and 1.5 * usual <= desk.now - seen <= AHEAD:
        yield f"the last gather was {local(seen, desk.settings.home.time_zone)}; since then bids may have risen: gather"


def stale(desk: Desk) -> Iterable[str]:
    """What the figures lean on and is missing or old."""
    yield from odd_clock(desk)
    yield from old_lots(desk)
    if wins := unspoken.told(desk):
        yield wins
    today = desk.local_today()
    abroad = {terms.currency for terms in desk.terms.values()} - {desk.home}
    missing = sorted(code for code in abroad if desk.rates.to_home_factor(code, today) is None)
    if missing:
        yield f"no exchange rate near today for {', '.join(missing)}: import rates"
    elif abroad and (age := desk.rates.age_days(today)) is not None and age > 45:
        yield f"the newest exchange rate is {age} days old: import rates"
    lonely = sorted({each.venue or name for name, each in desk.sources.items() if each.venue not in desk.terms})
    if lonely:
        yield f"no terms for {', '.join(lonely)}: fees are not included there; `watchlist venue add` adds them"
    if not desk.shelf.store.prices.count():
        yield "no prices realised yet: import prices, or give wants a low and a high"
