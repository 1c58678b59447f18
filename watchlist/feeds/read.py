"""A body to entries: the one door of this room for bytes, wherever they come from."""

from __future__ import annotations

from collections.abc import Container, Mapping, Sequence
from dataclasses import dataclass, field, replace
from time import monotonic

from watchlist.core.lots.entry import Entry
from watchlist.core.lots.source import Source
from watchlist.core.lots.trouble import Trouble, TroubleKind
from watchlist.feeds.bodies import decode, kind_of
from watchlist.feeds.failures import Unlistable
from watchlist.feeds.json import list_json
from watchlist.feeds.listing import Item, Listing, Outcome
from watchlist.feeds.pages import page_trouble
from watchlist.feeds.rows import list_rows
from watchlist.feeds.rss import list_xml

SECONDS = 10.0
"""Longest time for one body, looked at between entries, or batches of them. What is left is read at the next gather.

What one entry may take is bounded by its length: `scan` and `slim` cut what would take longer than in step with it."""
TOLD = 20
"""Troubles named one by one; the rest is counted."""


@dataclass(frozen=True, slots=True)
class Read:
    """What one body gave. After a fatal trouble nothing of it counts, and its ETag must not be remembered."""

    kind: str
    """"rss", "atom", "json", "csv", or empty when it is none of them."""
    entries: tuple[Entry, ...] = ()
    """Entries not seen before, or seen with other content."""
    unseen: tuple[str, ...] = ()
    """Hash of each of these entries, in the same order: remember them once the lots are stored."""
    present: tuple[str, ...] = ()
    """Ids of all entries in the body, seen or not: what the source lists today."""
    hashes: tuple[str, ...] = ()
    """Hashes of all entries in the body; what is remembered beyond these can be forgotten."""
    total: int = 0
    """Number of entries in the body, seen or not."""
    troubles: tuple[Trouble, ...] = ()
    partial: bool = False
    """The body broke off: a lot missing from it has not ended."""
    left: tuple[str, ...] = ()
    """Hashes of entries that time ran out for: neither they nor the body's ETag may be remembered, or they are lost."""
    columns: dict[str, str] = field(default_factory=dict)
    """CSV: canonical column to the heading used for it."""
    unknown_columns: tuple[str, ...] = ()

    @property
    def failed(self) -> bool:
        """Nothing could be read."""
        return any(trouble.fatal for trouble in self.troubles)


def read_entries(
    source: Source, body: bytes, *, content_type: str = "", seen: Container[str] = (), seconds: float = SECONDS
) -> Read:
    """Read RSS, Atom, JSON Feed or CSV, told apart by content. Never raises: trouble is in the answer.

    `seen` holds hashes of earlier gathers; entries with these are counted and not read again.
    """
    try:
        listing = _list(source, body, content_type)
    except Unlistable as why:
        return Read("", troubles=(replace(why.trouble, source=source.name, fatal=True),))
    read = _Reading(source, listing)
    wanted = [index for index in read.chosen if listing.items[index].digest not in seen]
    read.take(wanted, monotonic() + seconds)
    return read.done()


def _list(source: Source, body: bytes, content_type: str) -> Listing:
    """The items of a body."""
    text = decode(body, source.encoding, content_type)
    found = kind_of(text)
    if found == "empty":
        raise Unlistable("empty")
    if found == "page":
        trouble, facts = page_trouble(text, source.address)
        raise Unlistable(trouble, "", **facts)
    kind = {"rss": "xml"}.get(source.kind, source.kind) or found
    if kind == "csv":
        return list_rows(source, body)
    return list_json(source, text) if kind == "json" else list_xml(source, text)


class _Reading:
    """Items of one listing made into entries, their ids unique."""

    def __init__(self, source: Source, listing: Listing) -> None:
        self.source, self.listing = source, listing
        self.troubles = list(listing.troubles)
        self.entries: list[Entry] = []
        self.unseen: list[str] = []
        self.left: tuple[str, ...] = ()
        self.ids = self._settled(listing.items)
        self.chosen = [index for index, name in enumerate(self.ids) if name]

    def _settled(self, items: Sequence[Item]) -> list[str]:
        """One id each; empty for an entry that says the same as an earlier one."""
        first: dict[str, Item] = {}
        for item in items:
            first.setdefault(item.id, item)
        told: dict[str, dict[str, str]] = {name: {item.digest: name} for name, item in first.items()}
        return [item.id if first[item.id] is item else self._again(item, first, told[item.id]) for item in items]

    def _again(self, item: Item, first: Mapping[str, Item], told: dict[str, str]) -> str:
        """The id of an entry whose id stood before: under a suffix when it says something else."""
        earlier = first[item.id].place
        if item.digest in told:
            self.tell("repeat", item, earlier=earlier)
            return ""
        name = f"{item.id}~{len(told) + 1}"
        while name in first:
            name += "~"
        told[item.digest] = name
        self.tell("same id", item, earlier=earlier, name=name)
        return name

    def tell(self, kind: TroubleKind, item: Item | None = None, **facts: object) -> None:
        """Note a trouble of one item, or of the whole body."""
        place = item.place if item else ""
        self.troubles.append(Trouble(kind, facts=facts, source=self.source.name, place=place))

    def take(self, wanted: Sequence[int], until: float) -> None:
        """Read the wanted items until the time is up."""
        done = 0
        for read in self.listing.build(wanted):
            for index, outcome in read:
                self._keep(index, outcome)
            done += len(read)
            if monotonic() > until:
                break
        self.left = tuple(self.listing.items[index].digest for index in wanted[done:])
        if self.left:
            self.tell("time up", left=len(self.left))

    def _keep(self, index: int, outcome: Outcome) -> None:
        item = self.listing.items[index]
        if isinstance(outcome, Trouble):
            self.troubles.append(replace(outcome, source=self.source.name, place=item.place))
        elif isinstance(outcome, str):
            self.tell(outcome, item)
        else:
            self.entries.append(outcome if outcome.id == self.ids[index] else replace(outcome, id=self.ids[index]))
            self.unseen.append(item.digest)

    def done(self) -> Read:
        listing = self.listing
        if not listing.items:
            self.tell("no entries")
        return Read(
            listing.kind,
            tuple(self.entries),
            tuple(self.unseen),
            tuple(filter(None, self.ids)),
            tuple(item.digest for item in listing.items),
            len(self.chosen),
            _few(self.source.name, self.troubles),
            listing.partial,
            self.left,
            dict(listing.columns),
            listing.unknown_columns,
        )


def _few(source: str, troubles: Sequence[Trouble]) -> tuple[Trouble, ...]:
    if len(troubles) <= TOLD:
        return tuple(troubles)
    return (*troubles[:TOLD], Trouble("more", facts={"more": len(troubles) - TOLD}, source=source))
