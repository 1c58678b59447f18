"""Changes of a person's own data as entries of the list of decisions: in order with them, undone like them.

    with entry(desk, "want w04 added", due=MARKS) as change:
        change.put("want", want)

All of an entry is on the disk when the block ends, or nothing of it. Records of the notebook (want, venue, source,
correction, as `Notebook.places` lists them) are put and dropped by the entry itself. Those of the store (price, issue,
rate, guides, lot, finding, ... as `shelf/store/images.py` lists them) are changed by the store's own methods inside the
block, once `touch` or `added` has said which.
"""

from __future__ import annotations

import json
import uuid
from collections.abc import Iterable, Iterator, Sequence
from contextlib import contextmanager
from dataclasses import replace
from typing import Any

from watchlist.core.decisions.review import Decision
from watchlist.desk.desk import Desk
from watchlist.desk.due import NOTHING, Due, from_data, to_data
from watchlist.shelf.errors import ShelfRefused
from watchlist.shelf.store.changes import Written
from watchlist.shelf.store.images import Place


def batch_name() -> str:
    """A name for decisions made in one stroke."""
    return uuid.uuid4().hex[:12]


def append(desk: Desk, decisions: Sequence[Decision]) -> None:
    """Decisions go on the list. What was undone before can be done again no more, so what it brought is forgotten."""
    store = desk.shelf.store
    with store.together():
        store.changes.forget(store.decisions.batches().undone)
        store.decisions.add(replace(each, who=desk.shelf.who) for each in decisions)


class Change:
    """One entry while it is being made."""

    def __init__(self, desk: Desk, words: str) -> None:
        self._store, self._notebook = desk.shelf.store, desk.shelf.notebook
        self.batch, self.words = batch_name(), words
        self.written: list[Written] = []
        """What the notebook is to be given."""
        self._touched: set[tuple[str, str]] = set()

    def __bool__(self) -> bool:
        return bool(self._touched)

    def say(self, words: str) -> None:
        """What was done, where it is known only now: `want w04 added (Orvany 1 tor 1889-S)`."""
        self.words = words

    def put(self, place: str, *records: Any) -> None:
        """Records of the notebook as they are to be, new or in the place of those with the same id."""
        drawer = self._notebook.places[place]
        for record in records:
            key = drawer.id_of(record)
            self._keep(place, key, drawer.image(key))
            self.written.append(Written(place, key, drawer.image_of(record)))

    def drop(self, place: str, *keys: str) -> None:
        """Take records out, of the notebook or of the store; one that is not there leaves no trace."""
        drawer = self._notebook.places.get(place)
        where: Place = drawer or self._store.places[place]
        for key in keys:
            before = where.image(key)
            if before is None:
                continue
            self._keep(place, key, before)
            if drawer:
                self.written.append(Written(place, key, None))
            else:
                where.put_image(key, None)

    def touch(self, place: str, keys: Iterable[str]) -> None:
        """These records of the store are about to be changed, or made: what they are now is kept."""
        for key in keys:
            if (place, key) not in self._touched:
                self._keep(place, key, self._store.places[place].image(key))

    def added(self, place: str, first: int, last: int) -> None:
        """The records of the store with these numbers, first to last, are new: one line, however many they are."""
        if first <= last:
            self._touched.add((place, f"{first} {last}"))
            self._store.changes.keep_added(self.batch, place, first, last)

    def decided(self) -> None:
        """Decisions that share its stroke are on the list: they are turned round with it."""
        self._touched.add(("decision", ""))

    def _keep(self, place: str, key: str, before: str | None) -> None:
        if (place, key) not in self._touched:
            self._touched.add((place, key))
            self._store.changes.keep(self.batch, place, key, before)


@contextmanager
def entry(desk: Desk, words: str = "", *, due: Due = NOTHING, back: Due | None = None) -> Iterator[Change]:
    """One entry of the list. `due` has to follow it; `back` where it is turned round, if that is something else.

    A block that changes nothing is no entry. Raises ShelfRefused when the disk takes no more: then all of it is undone,
    or it is on the list and the notebook is given it when the shelf is next opened; the sentence says which."""
    store, change = desk.shelf.store, Change(desk, words)
    try:
        with store.together():
            yield change
            if change:
                desk.owed.add(due)
                turned = json.dumps(to_data(due if back is None else back))
                append(desk, [Decision(0, change.batch, desk.now, "change", "", note=change.words)])
                store.changes.close(change.batch, turned, change.written)
    finally:
        desk.forget()
    if change.written:
        finish(desk, change.words)


def finish(desk: Desk, words: str) -> None:
    """Give the notebook what waits for it."""
    try:
        desk.shelf.finish()
    except ShelfRefused as error:
        raise ShelfRefused(
            f"On the list: {words}; but {str(error).partition('. ')[0]}. It is written there when the shelf is next "
            "opened to write, once there is room; do not do it again."
        ) from error
    finally:
        desk.forget()


def turn(desk: Desk, batch: str, *, back: bool) -> Due:
    """Turn what a batch changed round, inside the transaction of who asks; what has to follow."""
    store = desk.shelf.store
    kept = store.changes.back(batch)
    if not kept:
        return NOTHING
    due = from_data(json.loads(kept))
    desk.owed.add(due)
    keys = store.changes.keys(batch)
    store.changes.turn(batch, store.places, desk.shelf.notebook.places, back=back)
    for place, key in keys:
        if place == "source":  # it is read in another way again
            store.feeds.read_anew(key)
    return due
