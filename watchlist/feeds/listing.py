"""What every kind of body gives at first: its items with their ids and hashes, before one of them is read."""

from __future__ import annotations

import hashlib
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field

from watchlist.core.clean import clean
from watchlist.core.lots.entry import Entry
from watchlist.core.lots.trouble import Trouble, TroubleKind

ID_CAP = 300


@dataclass(frozen=True, slots=True)
class Item:
    """One item of a body, not read yet."""

    id: str
    """The source's own id, else a hash of title and link."""
    digest: str
    """SHA-256 of its bytes: the same hash another day means that there is nothing new to read."""
    place: str
    """`entry 3`, `line 14`."""


Outcome = Entry | TroubleKind | Trouble
"""An entry, or why there is none."""


@dataclass(frozen=True, slots=True)
class Listing:
    """The items of a body, and how to read the chosen ones."""

    kind: str
    items: Sequence[Item]
    build: Callable[[Sequence[int]], Iterator[Sequence[tuple[int, Outcome]]]]
    """Reads items by their index, in order; as many at once as it cannot but read together."""
    troubles: tuple[Trouble, ...] = ()
    partial: bool = False
    """The body broke off: items may be missing from it."""
    columns: Mapping[str, str] = field(default_factory=dict)
    unknown_columns: tuple[str, ...] = ()


def one_by_one(entry_of: Callable[[int], Outcome]) -> Callable[[Sequence[int]], Iterator[list[tuple[int, Outcome]]]]:
    """The build of a listing whose items are read each on its own."""
    return lambda indexes: ([(index, entry_of(index))] for index in indexes)


def digest(raw: bytes) -> str:
    """SHA-256 as hexadecimal text."""
    return hashlib.sha256(raw).hexdigest()


def stable_id(own: str, title: str, link: str) -> str:
    """The source's own id; a hash of title and link where it has none. An id too long to show becomes its hash."""
    own = clean(own, ID_CAP + 1)
    if own and len(own) <= ID_CAP:
        return own
    return digest((own or f"{title.strip()}\0{link.strip()}").encode("utf-8", "replace"))[:16]
