"""Which prices of an import are known already: sales that stand there, and sales that the person took away.

A sale is told by its issue and by what its cells say of it (a digest), and by its lot's number where two are known. Of
several sales with all that in common each has a place of its own, from 1 on."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator, Sequence
from itertools import count

from watchlist.shelf.store.connection import Connection, Row
from watchlist.shelf.store.price_columns import COLUMNS, content_of, digest, identity_of, result_digest

LOT, ORIGIN = COLUMNS.index("lot"), COLUMNS.index("origin")
FURTHER = 4
"""Places beyond the rows that stand there, at which an earlier program may have had a deleted sale."""


def number_of(lot: object) -> str:
    """A lot's number as numbers are compared; empty where none is known."""
    return " ".join(str(lot).split()).casefold()


def gone(key: bytes, lot: object) -> str:
    """A sale that is there no more, as the list of deleted sales has it: its digest and its lot's number."""
    return f"{key.hex()} {number_of(lot)}"


def vacant(db: Connection, cells: Row) -> bytes:
    """The digest of these cells in the first place that no price has."""
    identity = identity_of(cells)
    keys = (digest(identity, place) for place in count(1))
    return next(key for key in keys if not db.row("SELECT 1 FROM prices WHERE digest = ?", (key,)))


def moved(db: Connection, before: Row, key: bytes, cells: Row) -> bytes:
    """The digest of a price that had this one before its cells were changed; that of a result tells its lot."""
    same = identity_of(before) == identity_of(cells) or key == result_digest(before[ORIGIN])
    return key if same else vacant(db, cells)


class Deleted:
    """Sales that the person deleted, or made others of.

    A digest without a lot's number was written by an earlier program: it tells a sale whatever its issue."""

    def __init__(self, said: Iterable[str] = ()) -> None:
        told = [each.partition(" ") for each in said]
        self.numbers = {bytes.fromhex(key): lot for key, mark, lot in told if mark}
        """Digest to the lot's number."""
        self._contents = {bytes.fromhex(key) for key, mark, _ in told if not mark}

    def none_of(self, keys: Iterable[bytes]) -> bool:
        """Surely no row with one of these digests was deleted, nor one that is like it."""
        return not self._contents and self.numbers.keys().isdisjoint(keys)

    def take_content(self, cells: Row, place: int) -> bool:
        """Whether the row was deleted under an earlier program; a deleted sale answers for one row of an import."""
        if not self._contents:
            return False
        content = content_of(cells)
        found = self._contents.intersection(digest(content, each) for each in range(1, place + FURTHER))
        self._contents.difference_update(list(found)[:1])
        return bool(found)


class Known:
    """What one import meets: each price from before, or deleted one, answers for one of its rows."""

    def __init__(self, db: Connection, newest: int, deleted: Deleted) -> None:
        self._db, self._newest, self._deleted = db, newest, deleted
        self._places: dict[bytes, int] = {}
        """By the digest of the first place: the first place that was not looked at."""
        self._open: dict[bytes, Counter[str]] = {}
        """The same for the lots' numbers of those from before that no row has met yet."""

    def all_new(self, keys: Sequence[bytes]) -> bool:
        """Rows with these digests can be put there, if no price has one of them."""
        return self._deleted.none_of(keys)

    def place_of(self, cells: Row, first: bytes) -> bytes | None:
        """The digest for a row that is new; None for one that was there. `first`: its digest in the first place.

        A row meets one with its lot's number, else one where either leaves the number open."""
        lot, identity = number_of(cells[LOT]), identity_of(cells)
        if self._meet(first, lot) or any(number == lot for number in self._further(first, identity, lot)):
            return None
        numbers = [""] if lot else list(self._open.get(first, ()))
        place = self._places[first]
        if any(self._meet(first, number) for number in numbers) or self._deleted.take_content(cells, place):
            return None
        self._places[first] = place + 1
        return digest(identity, place)

    def _meet(self, first: bytes, number: str) -> bool:
        there = self._open.get(first)
        if not there or not there[number]:
            return False
        there[number] -= 1
        return True

    def _further(self, first: bytes, identity: bytes, lot: str) -> Iterator[str]:
        """The numbers of those from before at the places that were not looked at, up to the first with this number."""
        while True:
            place = self._places.setdefault(first, 1)
            key = digest(identity, place)
            there = self._db.row("SELECT id, lot FROM prices WHERE digest = ?", (key,))
            if there is None and key not in self._deleted.numbers:
                return
            self._places[first] = place + 1
            if there and there[0] > self._newest:  # this very import brought it
                continue
            number = number_of(there[1]) if there else self._deleted.numbers[key]
            if number != lot:
                self._open.setdefault(first, Counter())[number] += 1
            yield number
