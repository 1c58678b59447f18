"""The morning put together, the same after a gather, on the sample, on the screens and in a digest."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from watchlist.core.calendar.record import Dated
from watchlist.core.decisions.bids import BidRow
from watchlist.core.marks.record import Judgement
from watchlist.desk.desk import Desk
from watchlist.desk.held.parcels import parcels
from watchlist.desk.in_hand.asked import Question
from watchlist.desk.in_hand.dates import bids_by
from watchlist.desk.judging.called import calls
from watchlist.desk.morning.morning import Group, Morning, Today, morning
from watchlist.desk.morning.overnight import Changed
from watchlist.desk.naming import issue_name, piece_of, short_key
from watchlist.page import today
from watchlist.page.columns import cut
from watchlist.page.dates import day_words
from watchlist.page.legend import whole
from watchlist.page.morning import ENDED, HOW_ENDED, MOST, Paper, Part, Said, Seen, ended_bid, part_lines, text
from watchlist.page.parcels import summary
from watchlist.page.today import Counts
from watchlist.page.wording import CAUTION_BIDS, CAUTION_DOUBTS, local
from watchlist.shelf.store.rows import LotRow


def lines(desk: Desk, wide: int) -> list[str]:
    """The morning in print."""
    return text(paper(desk), wide)


def paper(desk: Desk) -> Paper:
    """The morning in words."""
    found = morning(desk)
    zone = desk.settings.home.time_zone
    parts = [part for part in _parts(desk, found) if part.seen or part.said or part.more]
    head = f"{local(desk.now, zone)}, {zone}. {today.headline(_counts(found), found.since, zone)}"
    doubts = any(group.lots and "!" in group.sift for group in found.wanted)
    legend = f"Marks: {whole()}" if found.open else ""
    cautions = (CAUTION_BIDS, CAUTION_DOUBTS) if doubts else (CAUTION_BIDS,)
    return Paper(_title(desk, found), desk.now, zone, head, parts, legend, cautions)


def _title(desk: Desk, found: Morning) -> str:
    do = found.today
    to_do = sum(map(len, (do.to_place, do.ended, do.due, do.questions)))
    bargains = found.wanted[0].total + found.bargains.total
    return today.title(desk.local_today(), to_do, bargains, found.wanted[-1].total)


def _counts(found: Morning) -> Counts:
    wanted = sum(group.total for group in found.wanted)
    return Counts(
        found.new, found.new_wanted, found.open, wanted, found.bargains.total, found.closing_all, bool(found.wants)
    )


def _parts(desk: Desk, found: Morning) -> Iterator[Part]:
    """What to do, what changed, what is offered, what is wrong; in the order in which it is read."""
    yield from _today(desk, found.today)
    yield _overnight(desk, found.overnight)
    yield from (_lots(desk, group) for group in found.wanted)
    yield Part("", more=today.above(found.above))
    yield _lots(desk, found.bargains)
    yield _parcels(desk)
    yield Part("Return windows", said=_days(found.windows))
    yield from _checked(desk, found)
    yield Part("Sources", said=[Said(f"source:{each.name}", f"{each.name}: {each.what}") for each in found.troubles])
    yield Part("Needs attention", said=[Said(f"attention:{each}", each) for each in found.stale])


def _parcels(desk: Desk) -> Part:
    """Parcels of several lots, and those with something won, while anything of them is left to do: what each costs."""
    told = [each for each in parcels(desk) if not each.done and (len(each.lots) > 1 or each.state != "planned")]
    more = today.rest(len(told) - MOST, "`watchlist parcel`")
    return Part("Parcels", said=[Said(f"parcel:{each.id}", summary(each)) for each in told[:MOST]], more=more)


def _checked(desk: Desk, found: Morning) -> Iterator[Part]:
    """Once a month, on its first morning: how the marks of the last months came out."""
    zone = desk.settings.home.zone
    if found.since is None or found.since.astimezone(zone).month == desk.local_today().month:
        return
    checked = calls(desk)
    if checked.sold:
        yield Part("", more=today.checked(checked.line))


def _today(desk: Desk, do: Today) -> Iterator[Part]:
    """What has to be done."""
    later = today.to_place_later(do.to_place_later)
    yield Part("Today: Bids not yet placed", said=[_to_place(desk, row) for row in do.to_place], more=later)
    yield _ended(desk, do.ended)
    yield Part("Today: days that are near", said=_days(do.due))
    yield Part("Today: questions without an answer", said=[_question(desk, each) for each in do.questions])
    closing = tuple(sorted(do.closing, key=lambda row: row.lot.closes or desk.now))
    yield _lots(desk, Group("Closing today, followed or bid on", closing[:MOST], len(closing), "closes<1d state:f,b"))


def _to_place(desk: Desk, row: BidRow) -> Said:
    assert row.closes is not None, "a bid is loud because it closes"
    lot = desk.shelf.store.lots.get(row.lot)
    coin = piece_of(desk.catalogue, lot) if lot else cut(row.title, today.LONGEST)
    by, zone = row.closes - bids_by(desk, row.venue), desk.settings.home.time_zone
    told = today.to_place(_key(desk, row.lot), coin, row.bid, row.closes, by, desk.now, zone)
    return Said(f"place:{row.lot}:{row.closes}", told)


def ended_bids(desk: Desk, rows: Sequence[BidRow], wide: int) -> list[str]:
    """The bids whose sale is over, and how to say what became of them."""
    return ["", *part_lines(_ended(desk, rows), desk.now, wide)] if rows else []


def _ended(desk: Desk, rows: Sequence[BidRow]) -> Part:
    told = [Said(f"ended:{row.lot}", _over(desk, row)) for row in rows]
    return Part(ENDED, said=told, more=HOW_ENDED if told else "")


def _over(desk: Desk, row: BidRow) -> str:
    lot = desk.shelf.store.lots.get(row.lot)
    coin = piece_of(desk.catalogue, lot) if lot else row.title
    return ended_bid(_key(desk, row.lot), cut(coin, today.LONGEST), row.bid, row.stage, row.fell, unsold=row.unsold)


def _days(days: Sequence[Dated]) -> list[Said]:
    return [Said(f"{each.kind}:{each.key}:{each.day}", f"{day_words(each.day)}: {each.what}") for each in days]


def _question(desk: Desk, asked: Question) -> Said:
    told = today.question(_key(desk, asked.lot), asked.day, asked.text)
    return Said(f"question:{asked.lot}:{asked.day}:{asked.text}", told)


def _overnight(desk: Desk, changed: Sequence[Changed]) -> Part:
    """What has changed of lots followed, bid on or wanted."""
    told = [Said(f"overnight:{each.row.lot.key}:{desk.local_today()}", _turned(desk, each)) for each in changed[:MOST]]
    more = today.rest(len(changed) - MOST, "`watchlist lots changed`")
    return Part("Overnight: followed, bid on or wanted", said=told, more=more)


def _turned(desk: Desk, each: Changed) -> str:
    coin = piece_of(desk.catalogue, each.row)
    return today.turned(_key(desk, each.row.lot.key), coin, each.row.state, each.said)


def _lots(desk: Desk, group: Group) -> Part:
    seen = [_seen(desk, row, row.judgement) for row in group.lots if row.judgement is not None]
    more = today.rest(group.total - len(group.lots), f"watchlist lots {group.sift}")
    return Part(group.name, seen, more=more)


def _seen(desk: Desk, row: LotRow, judged: Judgement) -> Seen:
    lot, store = row.lot, desk.shelf.store
    moved = [when for when, _ in store.lots.history(lot.key)]
    since = moved[-1] if moved else lot.first_seen or desk.now
    return Seen(lot, judged, _name(desk, row), _key(desk, lot.key), row.reading, since)


def _name(desk: Desk, row: LotRow) -> str:
    issue = row.judgement.issue if row.judgement else None
    return issue_name(desk.catalogue, issue) if issue else row.lot.title


def _key(desk: Desk, key: str) -> str:
    return short_key(desk.shelf.store, key)
