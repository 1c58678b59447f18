"""The road of a lot from a source to its mark: fetch, read, match, value, doubt, mark, keep."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field, replace
from datetime import datetime
from pathlib import Path
from typing import TYPE_CHECKING, Any

from watchlist.core.decisions import results
from watchlist.core.lots.entry import Trouble
from watchlist.core.lots.lot import Lot, fingerprint, make_lot
from watchlist.core.lots.source import Source, is_web
from watchlist.core.money.amount import learn_decimal_mark
from watchlist.core.prices.realised import PriceRealised
from watchlist.core.times.text import learn_date_order
from watchlist.desk import judging, pricing
from watchlist.desk.correcting import mended, read_all_again, services_changed
from watchlist.desk.desk import Desk
from watchlist.desk.fetching import Fetching
from watchlist.shelf.store.filters import Filter
from watchlist.shelf.store.rows import LotRow

if TYPE_CHECKING:
    from watchlist.feeds.failures import FetchError
    from watchlist.feeds.fetch import Fetched
    from watchlist.feeds.gather import Ask
    from watchlist.feeds.read import Read

LAST_GATHER, GATHER_BEFORE = "last_gather", "gather_before"
STORE_BATCH = 500


@dataclass(frozen=True, slots=True)
class SourceReport:
    """What one source gave."""

    name: str
    lots: int = 0
    """Entries that it lists today."""
    new: int = 0
    read: int = 0
    """Entries read this time: new, or changed since."""
    troubles: tuple[str, ...] = ()
    failed: str = ""
    """Why nothing could be read; empty when something was."""
    note: str = ""
    """Unchanged, waiting, quiet, moved."""

    @property
    def line(self) -> str:
        """One line for people."""
        if self.failed:
            return f"{self.name}: failed. {self.failed}"
        aside = f", {len(self.troubles)} with trouble" if self.troubles else ""
        note = f" ({self.note})" if self.note else ""
        return f"{self.name}: {self.lots} lots, {self.new} new{aside}{note}"


@dataclass(slots=True)
class _Work:
    """One gather in progress."""

    desk: Desk
    judge: judging.Judge
    results: list[PriceRealised]
    touched: set[str] = field(default_factory=set)
    """Lots kept before that newcomers throw a light on: the same certificate number, the same seller's rarity."""


def gather(desk: Desk, names: Sequence[str] = (), *, offline: bool = False) -> Iterator[SourceReport]:
    """Fetch and take in all sources, or those named; a report each, as they finish.

    Closing the iterator stops the gather: what came is kept. Raises DeskError for a name that is no source.
    """
    sources = [desk.known_source(name) for name in names] or list(desk.sources.values())
    _begin(desk)
    if pricing.is_dirty(desk) and desk.shelf.store.prices_kept():
        pricing.refit(desk, search=False)
    _follow_rules(desk)
    work = _Work(desk, judging.Judge(desk), [])
    try:
        yield from _gather(work, sources, offline)
    finally:
        _finish(work)


def _follow_rules(desk: Desk) -> None:
    """The lots kept before follow a change of market, settings or services before new ones join them."""
    if services_changed(desk):
        read_all_again(desk)
    elif judging.rules_changed(desk):
        judging.judge_all(desk)


def _gather(work: _Work, sources: Sequence[Source], offline: bool) -> Iterator[SourceReport]:
    asks: list[Ask] = []
    for source in sources:
        if waits := _waits(work.desk, source, offline):
            yield SourceReport(source.name, note=waits)
        else:
            asks.append(_ask(work.desk, source))
    fetching = Fetching(asks, work.desk.now)
    try:
        for ask, came in fetching:
            yield _take(work, work.desk.sources[ask.name], came)
    finally:
        fetching.stop()


def _begin(desk: Desk) -> None:
    """What was new at the last gather has been there since."""
    store = desk.shelf.store
    store.put_fact(GATHER_BEFORE, store.fact(LAST_GATHER))
    store.put_fact(LAST_GATHER, desk.now.isoformat())
    old = [(line.key, "seen") for line in store.each_line(Filter(states=frozenset({"new"})))]
    store.set_states(old)  # type: ignore[arg-type]


def _waits(desk: Desk, source: Source, offline: bool) -> str:
    """Why a source is not asked now; empty when it is."""
    if source.disabled:
        return f"not asked: {source.disabled}"
    if offline and is_web(source.address):
        return "not asked: offline"
    until = desk.shelf.store.feed_state(source.name).get("retry_after")
    if until and datetime.fromisoformat(until) > desk.now:
        return f"not asked before {until[:16]}: it asked to be left alone until then"
    return ""


def _ask(desk: Desk, source: Source) -> Ask:
    from watchlist.feeds.gather import Ask

    state = desk.shelf.store.feed_state(source.name)
    return Ask(source.name, source.address, state.get("etag", ""), state.get("last_modified", ""), source.headers)


def _take(work: _Work, source: Source, came: Fetched | FetchError) -> SourceReport:
    store = work.desk.shelf.store
    state = store.feed_state(source.name)
    if isinstance(came, Exception):
        store.put_feed_state(source.name, {**state, "trouble": str(came), "failed_at": work.desk.now.isoformat()})
        return SourceReport(source.name, failed=str(came))
    state |= _headers(came)
    if came.disabled:
        work.desk.shelf.notebook.sources.put(replace(source, disabled=came.note or "the address is gone for good"))
    if came.status == 304 or came.disabled or came.retry_after:
        if came.status == 304:
            state |= {"last_ok": work.desk.now.isoformat(), "trouble": ""}
        store.put_feed_state(source.name, state)
        return SourceReport(source.name, lots=state.get("lots", 0), note=came.note or "unchanged")
    return _take_body(work, source, came, state)


def _headers(came: Fetched) -> dict[str, Any]:
    return {
        "etag": came.etag, "last_modified": came.last_modified, "moved_to": came.moved_to,
        "retry_after": came.retry_after.isoformat() if came.retry_after else "",
    }


def _take_body(work: _Work, source: Source, came: Fetched, state: dict[str, Any]) -> SourceReport:
    from watchlist.feeds.read import read_entries

    store = work.desk.shelf.store
    read = read_entries(source, came.body, content_type=came.content_type, seen=store.seen(source.name))
    if read.failed:
        why = "; ".join(trouble.what for trouble in read.troubles if trouble.fatal)
        store.put_feed_state(source.name, {
            **state, "etag": "", "last_modified": "", "trouble": why, "failed_at": work.desk.now.isoformat(),
        })
        return SourceReport(source.name, failed=why)
    source, learned = _learned(source, read, state)
    new, troubles = _keep(work, source, read)
    whole = not (read.partial or came.partial)
    store.remember(source.name, read.hashes if whole else read.unseen, only=whole)
    all_troubles = tuple(str(each) for each in (*read.troubles, *troubles))
    note = _note(read, came, state)
    store.put_feed_state(source.name, {
        **state, "last_ok": work.desk.now.isoformat(), "lots": read.total, "trouble": "" if whole else note,
        "troubles": all_troubles[:20], "learned": learned, "columns": read.columns, "kind": read.kind,
        "quiet": bool(state.get("lots")) and not read.total, "unknown_columns": read.unknown_columns,
    })
    return SourceReport(source.name, read.total, new, len(read.entries), all_troubles, note=note)


def _note(read: Read, came: Fetched, state: dict[str, Any]) -> str:
    notes = [came.note] if came.note else []
    if read.partial or came.partial:
        notes.append("partial: it broke off; lots that are missing have not ended")
    if not read.total and state.get("lots"):
        notes.append(f"quiet: 0 lots, last time {state['lots']}")
    if came.moved_to:
        notes.append(f"it has moved to {came.moved_to}; add it there")
    if read.total and not read.entries:
        notes.append("unchanged")
    return "; ".join(notes)


def _learned(source: Source, read: Read, state: dict[str, Any]) -> tuple[Source, dict[str, str]]:
    """The source with its own decimal mark and order of dates, set by the person, learnt now or before."""
    learned = dict(state.get("learned") or {})
    texts = [text for entry in read.entries for name, text in entry.fields.items() if name in PRICE_FIELDS]
    dates = [text for entry in read.entries if (text := entry.fields.get("ends_at", ""))]
    if not source.decimal_mark and (mark := learn_decimal_mark(texts)):
        learned["decimal_mark"] = mark
    if not source.date_order and (order := learn_date_order(dates)):
        learned["date_order"] = order
    return replace(
        source, decimal_mark=source.decimal_mark or learned.get("decimal_mark", ""),
        date_order=source.date_order or learned.get("date_order", ""),
    ), learned


PRICE_FIELDS = frozenset({"price", "current_bid", "start_price", "estimate", "hammer", "buy_now"})


def lots_of(desk: Desk, source: Source, read: Read) -> tuple[list[Lot], list[Trouble]]:
    """The entries of one reading made definite, with the troubles named."""
    terms = desk.terms.get(source.venue)
    made: list[Lot] = []
    troubles: list[Trouble] = []
    for entry in read.entries:
        lot, trouble = make_lot(entry, source, terms, words=desk.words, now=desk.now, home_currency=desk.home,
            home_zone=desk.settings.home.time_zone)
        made.append(lot)
        troubles += trouble
    return made, troubles


def _keep(work: _Work, source: Source, read: Read) -> tuple[int, list[Trouble]]:
    """Read, judge and store the entries of one source; how many lots were not there before."""
    desk, store = work.desk, work.desk.shelf.store
    made, troubles = lots_of(desk, source, read)
    new = 0
    for start in range(0, len(made), STORE_BATCH):
        batch = [_row(desk, lot) for lot in made[start : start + STORE_BATCH]]
        batch = _same_lots(desk, source, batch, frozenset(read.present))
        known = store.known_keys([row.lot.key for row in batch])
        rows = work.judge.judge_new(batch)
        store.save_lots(rows)
        work.results += _results(desk, rows)
        work.touched |= work.judge.touched(rows)
        new += len(rows) - len(known)
    store.seen_again(source.name, read.present, desk.now)
    return new, troubles


def _row(desk: Desk, lot: Lot) -> LotRow:
    lot = replace(lot, first_seen=desk.now, last_seen=desk.now)
    reading = desk.reader.read(lot.title, lot.description, dict(lot.fields), source=lot.source)
    return mended(desk, LotRow(lot, reading, fingerprint=fingerprint(lot)))


def _same_lots(desk: Desk, source: Source, batch: list[LotRow], present: frozenset[str]) -> list[LotRow]:
    """A lot that came under a new id, while its old id is gone from the source, keeps its old key."""
    store = desk.shelf.store
    known = store.known_keys([row.lot.key for row in batch])
    fresh = [row.fingerprint for row in batch if row.fingerprint and row.lot.key not in known]
    alike = store.like_keys(source.name, fresh)
    renamed: list[LotRow] = []
    for row in batch:
        old = [pair for pair in alike.get(row.fingerprint, []) if pair[1] not in present]
        if len(old) == 1 and row.lot.key not in known:
            key, own = old[0]
            row = replace(row, lot=replace(row.lot, key=key, id=own))
        renamed.append(row)
    return renamed


def _results(desk: Desk, rows: Sequence[LotRow]) -> list[PriceRealised]:
    """Ended lots with a hammer price: tomorrow's prices, where title and issue are sure."""
    found: list[PriceRealised] = []
    for row in rows:
        issue = row.judgement.issue if row.judgement else None
        if row.lot.price_kind != "ended" or row.lot.price is None or issue is None or row.reading.unsure:
            continue
        day = (row.lot.closes or desk.now).astimezone(desk.settings.home.zone).date()
        found.append(results.to_price(row.lot, row.reading, issue, row.lot.price, min(day, desk.local_today())))
    return found


def _finish(work: _Work) -> None:
    """Results to prices, a fit when they came, marks that time has changed, lots that have ended."""
    desk, store = work.desk, work.desk.shelf.store
    added = store.add_prices(work.results)[0] if work.results else 0
    if added:
        pricing.mark_dirty(desk)
        pricing.refit(desk, search=False)
        judging.judge_all(desk)
    else:
        soon = (row for row in judging.closing_soon(desk) if row.lot.last_seen != desk.now)
        judging.judge_again(desk, soon, work.judge)
        judging.judge_again(desk, store.lots_by_key(work.touched).values(), work.judge)
    past = Filter(closes_before=desk.now, states=frozenset({"new", "seen", "followed"}))
    store.set_states([(line.key, "ended") for line in store.each_line(past)])


def try_source(desk: Desk, source: Source) -> tuple[Read, list[Lot], list[Trouble]]:
    """Read a source once and store nothing. Raises FetchError when no body could be had."""
    from watchlist.feeds.failures import FetchError
    from watchlist.feeds.fetch import read_file
    from watchlist.feeds.gather import Ask
    from watchlist.feeds.read import read_entries

    if not is_web(source.address):
        body, kind = read_file(Path(source.address)), ""
    else:
        ((_, came),) = Fetching([Ask(source.name, source.address, headers=source.headers)], desk.now)
        if isinstance(came, FetchError):
            raise came
        body, kind = came.body, came.content_type
    read = read_entries(source, body, content_type=kind)
    source, _ = _learned(source, read, {})
    return (read, *lots_of(desk, source, read))
