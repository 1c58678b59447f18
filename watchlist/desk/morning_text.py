"""The morning in print, the same after a gather, on the sample and on the screens."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from watchlist.core.decisions.plan import BidRow
from watchlist.desk.asked import Question
from watchlist.desk.called import calls
from watchlist.desk.dates import bids_by
from watchlist.desk.desk import Desk
from watchlist.desk.morning import Group, Morning, Today, morning
from watchlist.desk.naming import issue_name, piece_of, short_key
from watchlist.desk.overnight import Changed
from watchlist.page.columns import cut, wrap
from watchlist.page.dates import day_words
from watchlist.page.legend import whole
from watchlist.page.morning import ENDED, HOW_ENDED, MOST, Section, Seen, bullets, ended_bid, sections
from watchlist.page.wording import CAUTION_BIDS, CAUTION_DOUBTS, count, local
from watchlist.shelf.store.rows import LotRow


def lines(desk: Desk, wide: int) -> list[str]:
    """The morning in print."""
    found = morning(desk)
    zone = desk.settings.home.time_zone
    text = wrap(f"{local(desk.now, zone)}, {zone}. {_headline(found, zone)}", wide)
    text += _today(desk, found.today, wide)
    text += _overnight(desk, found.overnight, wide)
    text += sections((_section(desk, group) for group in found.wanted), desk.now, wide)
    if found.above:
        above = f"{found.above} wanted above the band or your ceiling: `watchlist lots wanted mark:a,o`"
        text += ["", *wrap(above, wide)]
    text += sections([_section(desk, found.bargains)], desk.now, wide)
    text += _checked(desk, found, wide)
    text += bullets("Sources", (f"{each.name}: {each.what}" for each in found.troubles), wide)
    text += bullets("Needs attention", found.stale, wide)
    if found.open:
        text += ["", *wrap(f"Marks: {whole()}", wide)]
    text += ["", *wrap(CAUTION_BIDS, wide)]
    return (
        [*text, *wrap(CAUTION_DOUBTS, wide)]
        if any(group.lots and "!" in group.sift for group in found.wanted)
        else text
    )


def _checked(desk: Desk, found: Morning, wide: int) -> list[str]:
    """Once a month, on its first morning: how the marks of the last months came out."""
    zone = desk.settings.home.zone
    if found.since is None or found.since.astimezone(zone).month == desk.local_today().month:
        return []
    checked = calls(desk)
    return ["", *wrap(f"Marks checked: {checked.line} `watchlist check --marks`", wide)] if checked.sold else []


def _today(desk: Desk, today: Today, wide: int) -> list[str]:
    """What has to be done."""
    text = bullets("Today: Bids not yet placed", _to_place(desk, today), wide)
    text += ended_bids(desk, today.ended, wide)
    text += bullets("Today: days that are near", (f"{day_words(each.day)}: {each.what}" for each in today.due), wide)
    text += bullets("Today: questions without an answer", (_question(desk, each) for each in today.questions), wide)
    closing = tuple(sorted(today.closing, key=lambda row: row.lot.closes or desk.now))
    group = Group("Closing today, followed or bid on", closing[:MOST], len(closing), "closes<1d state:f,b")
    return text + sections([_section(desk, group)], desk.now, wide)


def _to_place(desk: Desk, today: Today) -> Iterator[str]:
    for row in today.to_place:
        assert row.closes is not None, "a bid is loud because it closes"
        by = row.closes - bids_by(desk, row.venue)
        zone = desk.settings.home.time_zone
        due = f"bids were due {local(by, zone)}" if by <= desk.now else f"bids by {local(by, zone)}"
        bid = f"bid {row.bid} hammer" if row.bid else "no amount set"
        lot = desk.shelf.store.lots.get(row.lot)
        what = piece_of(desk.catalogue, lot) if lot else cut(row.title, 60)
        yield f"{_key(desk, row.lot)}: {what}, {bid}, closes {local(row.closes, zone)}, {due}"
    if today.to_place_later:
        yield f"{count(today.to_place_later, 'more bid')} to place later: `watchlist bids`"


def ended_bids(desk: Desk, rows: Sequence[BidRow], wide: int) -> list[str]:
    """The bids whose sale is over, and how to say what became of them."""
    told = [ended_bid(_key(desk, row.lot), cut(row.title, 60), row.bid, row.stage, row.fell) for row in rows]
    return [*bullets(ENDED, told, wide), *wrap(f"  {HOW_ENDED}", wide, indent="  ")] if told else []


def _question(desk: Desk, asked: Question) -> str:
    key = _key(desk, asked.lot)
    return f'{key}, asked {day_words(asked.day)}: "{cut(asked.text, 60)}"; `watchlist lot {key} --answered TEXT`'


def _overnight(desk: Desk, changed: Sequence[Changed], wide: int) -> list[str]:
    """What has changed of lots followed, bid on or wanted."""
    told = [_turned(desk, each) for each in changed[:MOST]]
    if len(changed) > MOST:
        told.append(f"and {len(changed) - MOST} more: `watchlist lots changed`")
    return bullets("Overnight: followed, bid on or wanted", told, wide)


def _turned(desk: Desk, each: Changed) -> str:
    state = {"bid": ", bid", "followed": ", followed"}.get(each.row.state, "")
    return f"{_key(desk, each.row.lot.key)}: {piece_of(desk.catalogue, each.row)}{state}: {'; '.join(each.said)}"


def _headline(found: Morning, zone: str) -> str:
    since = f" since {local(found.since, zone)}" if found.since else ""
    wanted = f", {found.new_wanted} of them matching your wants" if found.new_wanted else ", none matching your wants"
    parts = [
        f"{count(found.new, 'lot')} new{since}{wanted if found.wants else ''}; {found.open:,} open."
        if found.new
        else f"nothing new{since}; {found.open:,} open.",
        f"{count(sum(group.total for group in found.wanted), 'wanted lot')}, "
        f"{count(found.bargains.total, 'other bargain')}, {found.closing_all} closing today.",
    ]
    if not found.wants:
        parts.append("No wants yet: `watchlist want add`.")
    return " ".join(part[:1].upper() + part[1:] for part in parts)


def _section(desk: Desk, group: Group) -> Section:
    seen = [
        Seen(row.lot, row.judgement, _name(desk, row), _key(desk, row.lot.key))
        for row in group.lots
        if row.judgement is not None
    ]
    return Section(group.name, seen, group.total, f"watchlist lots {group.sift}")


def _name(desk: Desk, row: LotRow) -> str:
    issue = row.judgement.issue if row.judgement else None
    return issue_name(desk.catalogue, issue) if issue else row.lot.title


def _key(desk: Desk, key: str) -> str:
    return short_key(desk.shelf.store, key)
