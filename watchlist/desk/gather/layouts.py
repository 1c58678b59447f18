"""A source whose layout changed: what came is held back whole, until the person says which heading is which."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import asdict, dataclass, replace
from datetime import datetime
from typing import TYPE_CHECKING, Any

from watchlist.core.imports.headings import fold
from watchlist.core.imports.layout import Layout, layout_of, lost
from watchlist.core.lots.entry import Entry
from watchlist.core.lots.record import Lot
from watchlist.core.lots.source import Source
from watchlist.desk.desk import Desk
from watchlist.page.wording import count
from watchlist.shelf.store.rows import LotRow

if TYPE_CHECKING:
    from watchlist.feeds.read import Read

SAMPLE = 60
"""Entries looked at; a layout holds for all of them."""
LAYOUT, HELD, HEADINGS = "layout", "held", "headings"
"""What the state of a source says: its layout, the pairs that may cure a changed one, all its headings or elements."""
MOST_HEADINGS = 300
NO_TITLE = "title=HEADING"
SHOWN = 12
UNDECIDED = ("new", "seen", "ended")


def sampled(entries: Sequence[Entry]) -> Sequence[Entry]:
    """Some entries from the whole length of a list."""
    return entries[:: max(1, len(entries) // SAMPLE)][:SAMPLE]


def layout(read: Read, entries: Sequence[Entry], lots: Sequence[Lot]) -> Layout:
    """The layout of what was read."""
    found = layout_of(read.columns, entries, lots)
    names = tuple(dict.fromkeys([*found.names, *read.unknown_columns]))
    return Layout(found.columns, names, found.shares, found.lots)


def headings(state: Mapping[str, Any], read: Read, now: Layout, *, same: bool = True) -> dict[str, Any]:
    """The headings of a table, or all elements that a feed has had so far; `same`: its layout is the one of before."""
    names = [*now.names, *(name for entry in read.entries for name in entry.extra)]
    before = state.get(HEADINGS, ()) if same and read.kind != "csv" else ()
    return {HEADINGS: list(dict.fromkeys([*before, *names]))[:MOST_HEADINGS], "kind": read.kind}


def no_heading(state: Mapping[str, Any], columns: Iterable[str]) -> tuple[str, list[str]] | None:
    """The first of some headings that a source does not have, with those that it has; None where it was never read, or
    has them all. Headings of a table may be written in any case, elements of a feed may not."""
    names: list[str] = state.get(HEADINGS) or []
    written = fold if state.get("kind") == "csv" else str
    known = set(map(written, names))
    missing = next((each for each in columns if written(each) not in known), "") if names else ""
    return (missing, names) if missing else None


def kept_layout(state: Mapping[str, Any], now: Layout) -> dict[str, Any]:
    """The layout to remember: the one of now, unless too few lots came to say anything."""
    before = state.get(LAYOUT)
    return before if before and not now.lots else asdict(now)


@dataclass(frozen=True, slots=True)
class Held:
    """What came is held back: why, and what the person may say to cure it."""

    why: str
    pairs: tuple[str, ...]

    @property
    def state(self) -> dict[str, Any]:
        """What is noted of the source."""
        return {"trouble": self.why, HELD: list(self.pairs)}


def held_back(name: str, state: Mapping[str, Any], now: Layout, lots: int) -> Held | None:
    """Why the lots of a source are held back; None when they are not."""
    before = state.get(LAYOUT)
    gone = lost(_from_data(before), now) if before and now.lots else []
    if not gone:
        return None
    pairs = tuple(each.pair for each in gone)
    words = " ".join(f'"{pair}"' if " " in pair else pair for pair in pairs)
    what = " and ".join(each.what for each in gone)
    cure = f"`watchlist source map {name} {words}` corrects it; `watchlist source map {name} --as-it-is` takes it so"
    why = f"{what}: its layout changed. {count(lots, 'lot')} held back, stored lots are unchanged"
    return Held(f"{why}. Its headings are now {', '.join(now.names[:SHOWN])}. {cure}", pairs)


def _from_data(data: Mapping[str, Any]) -> Layout:
    names = tuple(data.get("names", ()))
    return Layout(data.get("columns", {}), names, data.get("shares", {}), data.get("lots", 0))


def read_differently(before: Source, now: Source) -> bool:
    """Something changed that entries are read by."""
    names = (
        "columns",
        "encoding",
        "decimal_mark",
        "date_order",
        "time_zone",
        "currency",
        "price_kind",
        "kind",
        "venue",
    )
    return any(getattr(before, name) != getattr(now, name) for name in names)


class Again:
    """The lots of a source that is read by a new map of columns: each keeps its key, and nothing stays doubled."""

    def __init__(self, desk: Desk, source: str, present: Sequence[str], last_read: str | None) -> None:
        store = desk.shelf.store
        keys = [key for found in store.lots.gone(source, frozenset(present)).values() for key in found]
        since = datetime.fromisoformat(last_read).replace(microsecond=0) if last_read else None
        lines = [line for key in keys if (line := store.listing.line(key))]
        self._left = {line.key: line for line in lines if not since or not line.last_seen or line.last_seen >= since}
        """Lots of the last reading that do not come again under their ids."""
        links: dict[str, list[Lot]] = {}
        for row in store.lots.by_key(self._left).values():
            if row.lot.link:
                links.setdefault(row.lot.link, []).append(row.lot)
        self._by_link = {link: found[0] for link, found in links.items() if len(found) == 1}

    def same(self, rows: Sequence[LotRow]) -> list[LotRow]:
        """The rows, those of a link that is known under the key that they had."""
        made = []
        for row in rows:
            if old := self._by_link.pop(row.lot.link, None):
                row = replace(row, lot=replace(row.lot, key=old.key, id=old.id))
                self._left.pop(old.key, None)
            made.append(row)
        return made

    def leave(self, desk: Desk) -> None:
        """Lots that were read by the old map and came under no key, and about which nothing was decided, go."""
        store = desk.shelf.store
        still = [line for key in self._left if (line := store.listing.line(key))]
        store.lots.drop(
            [line.key for line in still if line.state in UNDECIDED and line.last_seen == self._left[line.key].last_seen]
        )
