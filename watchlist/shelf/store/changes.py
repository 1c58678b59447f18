"""What each change of a person's own data replaced, by its batch of the list of decisions. Durable.

What a change replaced is kept when it is made; what it brought is kept when it is turned back. So an import of many
new rows costs one line here until somebody undoes it. What concerns the notebook, which is another file, waits here as
`pending` from the commit of the list until it stands in the notebook: a stop between the two is mended on opening.
"""

from __future__ import annotations

import json
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from typing import NamedTuple, cast

from watchlist.shelf.store.connection import Connection
from watchlist.shelf.store.images import Place, Rows

ADDED = "added"
"""Stands for `before` where a line is of many rows that were all new."""


class Written(NamedTuple):
    """A record of the notebook as it is to be; None: it is to go."""

    place: str
    key: str
    image: str | None


@dataclass(frozen=True, slots=True)
class Pending:
    """What a change still has to write into the notebook."""

    batch: str
    written: tuple[Written, ...]


class Changes:
    """The changes of all batches, and how they are turned round."""

    def __init__(self, db: Connection) -> None:
        self._db = db

    def keep(self, batch: str, place: str, key: str, before: str | None) -> None:
        """A record is changed; what it was, None: it is new."""
        with self._db.writing(durable=True):
            self._db.run(
                "INSERT INTO changes(batch, place, key, before) VALUES (?, ?, ?, ?)", (batch, place, key, before)
            )

    def keep_added(self, batch: str, place: str, first: int, last: int) -> None:
        """Records of these numbers are new."""
        with self._db.writing(durable=True):
            values = (batch, place, f"{first} {last}", ADDED)
            self._db.run("INSERT INTO changes(batch, place, key, before) VALUES (?, ?, ?, ?)", values)

    def close(self, batch: str, back: str, written: Sequence[Written]) -> None:
        """The change is whole: what is due when it is turned round, and what the notebook has still to be given."""
        with self._db.writing(durable=True):
            self._db.run("INSERT INTO entries(batch, back) VALUES (?, ?)", (batch, back))
            self._wait(batch, written)

    def back(self, batch: str) -> str:
        """What is due when the change is turned round, as it was given; empty for a batch without changes."""
        row = self._db.row("SELECT back FROM entries WHERE batch = ?", (batch,))
        return str(row[0]) if row else ""

    def keys(self, batch: str) -> list[tuple[str, str]]:
        """Place and key of every record that the change concerns; rows added together stand as `first last`."""
        return [
            (place, key) for place, key in self._db.rows("SELECT place, key FROM changes WHERE batch = ?", (batch,))
        ]

    def turn(self, batch: str, places: Mapping[str, Place], notebook: Mapping[str, Place], *, back: bool) -> None:
        """Turn the change round, the last record first, and back again the first record first.

        `places` are those of the store; what goes into the notebook waits as pending."""
        order = "DESC" if back else "ASC"
        sql = f"SELECT id, place, key, before, after FROM changes WHERE batch = ? ORDER BY id {order}"
        both, written = {**places, **notebook}, []
        with self._db.writing(durable=True):
            for number, place, key, before, after in self._db.rows(sql, (batch,)):
                if before == ADDED and place not in notebook:
                    self._take_out(number, batch, place, key, cast(Rows, places[place]))
                    continue
                if back:
                    self._note(number, both[place].image(key))
                image = before if back else after
                if place in notebook:
                    written.append(Written(place, key, image))
                else:
                    both[place].put_image(key, image)
            self._wait(batch, written)

    def _note(self, number: int, after: str | None) -> None:
        self._db.run("UPDATE changes SET after = ? WHERE id = ?", (after, number))

    def _take_out(self, number: int, batch: str, place: str, key: str, rows: Rows) -> None:
        """Rows that were added together go, and are kept one by one, should they be wanted again."""
        first, last = map(int, key.split(" "))
        kept = ((batch, place, each, image) for each, image in rows.images(first, last))
        self._db.many("INSERT INTO changes(batch, place, key, after) VALUES (?, ?, ?, ?)", kept)
        rows.drop(first, last)
        self._db.run("DELETE FROM changes WHERE id = ?", (number,))

    def _wait(self, batch: str, written: Sequence[Written]) -> None:
        if written:
            self._db.run("UPDATE entries SET pending = ? WHERE batch = ?", (json.dumps(written), batch))

    def pending(self) -> list[Pending]:
        """What the notebook has still to be given, in order."""
        sql = "SELECT batch, pending FROM entries WHERE pending IS NOT NULL ORDER BY rowid"
        return [
            Pending(batch, tuple(Written(*each) for each in self._db.json(text))) for batch, text in self._db.rows(sql)
        ]

    def done(self, batch: str) -> None:
        """The notebook has been given it."""
        with self._db.writing():
            self._db.run("UPDATE entries SET pending = NULL WHERE batch = ?", (batch,))

    def forget(self, batches: Iterable[str]) -> None:
        """What can be turned round no more."""
        with self._db.writing(durable=True):
            for batch in batches:
                self._db.run("DELETE FROM changes WHERE batch = ?", (batch,))
                self._db.run("DELETE FROM entries WHERE batch = ? AND pending IS NULL", (batch,))
