"""The answer of one source taken in: read, matched, valued, doubted, marked and kept, batch by batch."""

from __future__ import annotations

from collections.abc import Callable, Container, Sequence
from dataclasses import dataclass, field, replace
from functools import cache, partial
from typing import TYPE_CHECKING, Any

from watchlist.core.decisions import results
from watchlist.core.imports.layout import Layout
from watchlist.core.lots.address import shown
from watchlist.core.lots.entry import Entry
from watchlist.core.lots.lot import fingerprint, make_lot
from watchlist.core.lots.record import Lot
from watchlist.core.lots.source import Source
from watchlist.core.lots.trouble import Trouble
from watchlist.core.money.text import learn_decimal_mark
from watchlist.core.prices.realised import PriceRealised
from watchlist.core.prices.traits import traits_from
from watchlist.core.times.text import learn_date_order
from watchlist.desk.desk import DELETED_SALES, Desk
from watchlist.desk.due import Due
from watchlist.desk.errors import DeskError
from watchlist.desk.gather import layouts
from watchlist.desk.gather.fetching import Fetching
from watchlist.desk.gather.layouts import Again
from watchlist.desk.judging import relisting
from watchlist.desk.judging.judging import CALLED, Judge
from watchlist.desk.titles.rereading import of_sale, read_lot
from watchlist.feeds.answers import Ask, Fetched
from watchlist.feeds.failures import FetchError
from watchlist.page.troubles import sentence, trouble_line
from watchlist.page.wording import count
from watchlist.shelf.store.feeds import MAPPED
from watchlist.shelf.store.filters import epoch
from watchlist.shelf.store.rows import LotRow

if TYPE_CHECKING:
    from watchlist.feeds.read import Read

STORE_BATCH = 100
"""Lots kept in one go; between two of them a decision may be written, and Esc is heard."""
STOPPED = "stopped: the rest is read at the next gather"


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
        aside = f", {count(len(self.troubles), 'problem')}" if self.troubles else ""
        note = f" ({self.note})" if self.note else ""
        return f"{self.name}: {self.lots} lots, {self.new} new{aside}{note}"


@dataclass(slots=True)
class Found:
    """What a gather finds out on its way and follows up at its end."""

    touched: set[str] = field(default_factory=set)
    """Lots kept before that newcomers throw a light on: the same certificate number, the same seller's rarity."""
    _judge: tuple[Desk, Judge] | None = None

    def judge(self, desk: Desk) -> Judge:
        """The judge of this desk, the same for all sources that are taken in on it."""
        if self._judge is None or self._judge[0] is not desk:
            self._judge = desk, Judge(desk)
        return self._judge[1]


@dataclass(frozen=True, slots=True)
class Body:
    """What a source answered, read into entries. Nothing is kept yet."""

    source: Source
    came: Fetched
    read: Read


def read_body(source: Source, came: Fetched, seen: Container[str]) -> Body:
    """Read an answer; needs no shelf, so that others may write meanwhile. `seen`: entries that were read before."""
    from watchlist.feeds.read import read_entries  # only those who gather load it

    return Body(source, came, read_entries(source, came.body, content_type=came.content_type, seen=seen))


def take(desk: Desk, source: Source, came: Body | Fetched | FetchError, found: Found) -> SourceReport:
    """Keep what a source gave, or why it gave nothing."""
    store = desk.shelf.store
    state = store.feeds.state(source.name)
    if isinstance(came, Exception):
        why = sentence(came.trouble)
        store.feeds.put_state(source.name, {**state, "trouble": why, "failed_at": desk.now.isoformat()})
        return SourceReport(source.name, failed=why)
    if isinstance(came, Body):
        return _take_body(desk, came, state | _headers(came.came), found)
    return _take_note(desk, source, came, state | _headers(came))


def has_body(came: Fetched) -> bool:
    """There is something to read: neither unchanged, nor gone, nor put off."""
    return not (came.status == 304 or came.disabled or came.retry_after)


def _take_note(desk: Desk, source: Source, came: Fetched, state: dict[str, Any]) -> SourceReport:
    """An answer without a body."""
    if came.disabled:
        desk.shelf.notebook.sources.put(replace(source, disabled=_told(came)))
    if came.status == 304:
        state |= {"last_ok": desk.now.isoformat(), "trouble": ""}
    desk.shelf.store.feeds.put_state(source.name, state)
    return SourceReport(source.name, lots=state.get("lots", 0), note=_told(came) or "unchanged")


def _told(came: Fetched) -> str:
    return sentence(came.told) if came.told else ""


def _headers(came: Fetched) -> dict[str, Any]:
    return {
        "etag": came.etag,
        "last_modified": came.last_modified,
        "moved_to": came.moved_to,
        "retry_after": came.retry_after.isoformat() if came.retry_after else "",
    }


UNREAD = {"etag": "", "last_modified": ""}
"""What may not be remembered of an answer that was not taken in whole: the source would say "unchanged"."""


def _take_body(desk: Desk, body: Body, state: dict[str, Any], found: Found) -> SourceReport:
    store, read, came, name = desk.shelf.store, body.read, body.came, body.source.name
    source, learned = _learned(body.source, read, state)
    sample = layouts.sampled(read.entries)
    make = _Maker(desk, source, sample)
    now = layouts.layout(read, sample, make.first)
    if told := _refused(read) or _held_back(name, state, now, read):
        return _not_taken(desk, name, state, told | layouts.headings(state, read, now, same=False))
    again = Again(desk, name, read.present, state.get("last_ok")) if state.get(MAPPED) else None
    kept = _keep(desk, make, read, found, again)
    if kept.stopped:
        store.feeds.put_state(name, {**state, **UNREAD})
        return SourceReport(name, read.total, kept.new, kept.read, note=STOPPED)
    whole = not (read.partial or came.partial)
    if again and whole and not read.left:
        again.leave(desk)
        state[MAPPED] = False
    store.feeds.remember(name, _had(read) if whole else read.unseen, only=whole)
    all_troubles = tuple(trouble_line(each) for each in (*read.troubles, *kept.troubles))
    note = _note(read, came, state)
    learnt = {"learned": learned, layouts.LAYOUT: layouts.kept_layout(state, now), layouts.HELD: []}
    learnt |= layouts.headings(state, read, now)
    told = {"trouble": "" if whole and not read.left else note, "troubles": all_troubles[:20]}
    store.feeds.put_state(name, {**state, **_listed(desk, read, state, whole=whole), **learnt, **told})
    return SourceReport(name, read.total, kept.new, len(read.entries), all_troubles, note=note)


def _refused(read: Read) -> dict[str, Any]:
    """What is noted of a body of which nothing could be read; empty for any other."""
    if not read.failed:
        return {}
    why = "; ".join(sentence(trouble) for trouble in read.troubles if trouble.fatal)
    untitled = any(trouble.kind == "no title column" for trouble in read.troubles)
    return {"trouble": why, layouts.HELD: [layouts.NO_TITLE] if untitled else []}


def _held_back(name: str, state: dict[str, Any], now: Layout, read: Read) -> dict[str, Any]:
    """What is noted of a body whose layout has changed; empty for any other."""
    held = layouts.held_back(name, state, now, read.total)
    return held.state if held else {}


def _not_taken(desk: Desk, name: str, state: dict[str, Any], told: dict[str, Any]) -> SourceReport:
    """Nothing of the answer is kept: why, and what may cure it, is noted."""
    desk.shelf.store.feeds.put_state(name, {**state, **UNREAD, **told, "failed_at": desk.now.isoformat()})
    return SourceReport(name, failed=told["trouble"])


def _listed(desk: Desk, read: Read, state: dict[str, Any], *, whole: bool) -> dict[str, Any]:
    """What a source lists, as it is noted of it."""
    return {
        **(UNREAD if read.left else {}),
        "last_ok": desk.now.isoformat(),
        **({"listed_at": epoch(desk.now)} if whole and not read.left else {}),
        "lots": read.total,
        "columns": read.columns,
        "kind": read.kind,
        "quiet": bool(state.get("lots")) and not read.total,
        "unknown_columns": read.unknown_columns,
    }


def _had(read: Read) -> set[str]:
    """Hashes of the entries that need no second reading: all but those that time ran out for."""
    return set(read.hashes).difference(read.left)


def _note(read: Read, came: Fetched, state: dict[str, Any]) -> str:
    notes = [_told(came)] if came.told else []
    if read.partial or came.partial:
        notes.append("partial: it broke off; lots that are missing have not ended")
    if not read.total and state.get("lots"):
        notes.append(f"quiet: 0 lots, last time {state['lots']}")
    if came.moved_to:
        notes.append(f"it has moved to {shown(came.moved_to)}; add it there")
    if read.left:
        notes.append(f"partial: {len(read.left):,} entries are left for the next gather")
    elif read.total and not read.entries:
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
        source,
        decimal_mark=source.decimal_mark or learned.get("decimal_mark", ""),
        date_order=source.date_order or learned.get("date_order", ""),
    ), learned


PRICE_FIELDS = frozenset({"price", "current_bid", "start_price", "estimate", "hammer", "buy_now"})


class _Maker:
    """Makes the entries of one source definite; those looked at first, for the layout, are not made again."""

    def __init__(self, desk: Desk, source: Source, sample: Sequence[Entry] = ()) -> None:
        self.source, self._desk = source, desk
        self._terms = desk.terms.get(source.venue)
        self._made = {id(entry): self._make(entry) for entry in sample}
        self.first = [lot for lot, _ in self._made.values()]

    def lots(self, entries: Sequence[Entry]) -> tuple[list[Lot], list[Trouble]]:
        """Entries made definite, with the troubles named."""
        made = [self._made.get(id(entry)) or self._make(entry) for entry in entries]
        return [lot for lot, _ in made], [trouble for _, troubles in made for trouble in troubles]

    def _make(self, entry: Entry) -> tuple[Lot, Sequence[Trouble]]:
        desk = self._desk
        return make_lot(
            entry,
            self.source,
            self._terms,
            words=desk.words,
            now=desk.now,
            home_currency=desk.home,
            home_zone=desk.settings.home.time_zone,
        )


@dataclass(frozen=True, slots=True)
class _Kept:
    new: int
    """Lots that were not there before."""
    read: int
    troubles: Sequence[Trouble] = ()
    stopped: bool = False


def _keep(desk: Desk, make: _Maker, read: Read, found: Found, again: Again | None = None) -> _Kept:
    """Read, judge and store the entries of one source; between two batches it can be stopped."""
    store, judge, source = desk.shelf.store, found.judge(desk), make.source
    new, troubles = 0, list[Trouble]()
    gone = cache(partial(store.lots.gone, source.name, frozenset(read.present)))  # asked once, when it is needed
    for start in range(0, len(read.entries), STORE_BATCH):
        if not desk.go_on(f"reading {source.name}", start / len(read.entries)):
            return _Kept(new, start, stopped=True)
        made, trouble = make.lots(read.entries[start : start + STORE_BATCH])
        troubles += trouble
        batch = [_row(desk, lot) for lot in made if lot.key not in desk.deleted_lots]
        batch = _same_lots(desk, again.same(batch) if again else batch, gone)
        known = store.lots.known([row.lot.key for row in batch])
        rows = judge.judge_new(batch)
        back = relisting.returned(store, (row for row in rows if row.lot.key in known), desk.now)
        store.before.add((key for key, _ in back), desk.now)
        store.lots.save(rows)
        _note_calls(desk, rows)
        relisting.keep(store, back, desk.now)
        _end_sold(desk, rows)
        _keep_results(desk, rows)
        found.touched |= judge.neighbours.touched(rows)
        new += len(rows) - len(known)
    store.lots.seen_again(source.name, read.present, desk.now)
    return _Kept(new, len(read.entries), troubles)


def _note_calls(desk: Desk, rows: Sequence[LotRow]) -> None:
    """Lots marked Bargain for the first time, with cost and value, so that the call can be checked later."""
    store, called = desk.shelf.store, dict[str, dict[str, str]]()
    for row in rows:
        mark = row.judgement
        if mark and mark.mark == "bargain" and mark.value and mark.all_in and row.lot.price_kind != "ended":
            called[row.lot.key] = {"mid": str(mark.value.mid), "cost": str(mark.all_in.amount)}
    known = store.findings.lots(CALLED, list(called))
    store.findings.note(CALLED, desk.now, {key: figures for key, figures in called.items() if key not in known})


def _row(desk: Desk, lot: Lot) -> LotRow:
    return LotRow(of_sale(desk, lot), read_lot(desk, lot), fingerprint=fingerprint(lot))


def _same_lots(desk: Desk, batch: list[LotRow], gone: Callable[[], dict[str, dict[str, str]]]) -> list[LotRow]:
    """A lot that came under a new id, while its old id is gone from the source and was not sold, keeps its old key."""
    known = desk.shelf.store.lots.known([row.lot.key for row in batch])
    renamed: list[LotRow] = []
    for row in batch:
        old = gone().get(row.fingerprint, {}) if row.lot.key not in known else {}
        again = relisting.may_be(desk.shelf.store, list(old), row) if old else []
        if len(again) == 1:
            row = replace(row, lot=replace(row.lot, key=again[0], id=old.pop(again[0])))  # no other lot is it too
        renamed.append(row)
    return renamed


def _end_sold(desk: Desk, rows: Sequence[LotRow]) -> None:
    """A piece that is said to be sold has ended, with or without a closing time."""
    store = desk.shelf.store
    sold = (store.listing.line(row.lot.key) for row in rows if row.lot.price_kind == "ended")
    store.lots.set_states([(line.key, "ended") for line in sold if line and line.state in ("new", "seen", "followed")])


def _keep_results(desk: Desk, rows: Sequence[LotRow]) -> None:
    """Ended lots with a hammer price are prices realised at once, and a fit is due: both, or neither."""
    if made := _results(desk, rows):
        with desk.shelf.store.together():
            deleted = desk.shelf.store.facts.get(DELETED_SALES) or ()
            if desk.shelf.store.prices.add(made, deleted)[0]:
                desk.owed.add(Due(market=True))


def _results(desk: Desk, rows: Sequence[LotRow]) -> list[PriceRealised]:
    """Ended lots with a hammer price, where title and issue are sure."""
    found: list[PriceRealised] = []
    known = traits_from(desk.words["traits"])
    for row in rows:
        issue = row.judgement.issue if row.judgement else None
        if row.lot.price_kind != "ended" or row.lot.price is None or issue is None or row.reading.unsure:
            continue
        day = (row.lot.closes or desk.now).astimezone(desk.settings.home.zone).date()
        traits = known.of(row.reading)
        found.append(results.to_price(row.lot, row.reading, issue, row.lot.price, min(day, desk.local_today()), traits))
    return found


def try_source(desk: Desk, source: Source) -> tuple[Read, list[Lot], list[Trouble]]:
    """Read a source once and store nothing. Raises DeskError when no body could be had."""
    from watchlist.feeds.read import read_entries  # only those who gather load it

    ((_, came),) = Fetching([Ask(source.name, source.address, headers=source.headers)], desk.now)
    if isinstance(came, Exception):
        raise DeskError(sentence(came.trouble))
    if not has_body(came):  # gone for good, or to be asked later
        raise DeskError(_told(came))
    read = read_entries(source, came.body, content_type=came.content_type)
    source, _ = _learned(source, read, {})
    return (read, *_Maker(desk, source).lots(read.entries))
