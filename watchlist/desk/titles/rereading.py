"""Titles read as this shelf reads them: with its own words, and with what the person has set by hand."""

from __future__ import annotations

from collections.abc import Sequence
from contextlib import suppress
from dataclasses import replace

from watchlist.core.lots.record import Lot
from watchlist.core.reading.record import Reading
from watchlist.desk.desk import Desk
from watchlist.desk.errors import DeskError, Stopped
from watchlist.desk.titles.mending import SALE, mended
from watchlist.shelf.store.rows import LotRow

BATCH = 250
"""Lots read and kept in one go; between two of them a decision may be written, and Esc is heard."""
READ_WITH = "read_with"
"""Name of the fact that says for which grading services the open lots were last read. A shelf on which reading was
broken off by an earlier program holds a star there."""


def read_lot(desk: Desk, lot: Lot) -> Reading:
    """What the title of a lot says, with the person's own corrections of this lot put over it."""
    reading = desk.reader.read(lot.title, lot.description, dict(lot.fields), source=lot.source)
    for each in desk.corrections:
        if each.get("kind") == "lot" and each.get("lot") == lot.key and each["field"] != SALE:
            with suppress(DeskError):  # kept before such a word was refused: the lot stays as it is read
                value = desk.current(each["value"]) if each["field"] == "issue" else each["value"]
                reading = mended(reading, each["field"], value, desk.words)
    return reading


def of_sale(desk: Desk, lot: Lot) -> Lot:
    """The lot with the name of its sale as the person gave it, where its source gives none or another."""
    named = [each["value"] for each in desk.corrections if each.get("field") == SALE and each.get("lot") == lot.key]
    return replace(lot, sale=named[-1]) if named else lot


def read_again(desk: Desk, rows: Sequence[LotRow]) -> None:
    """Read the titles of these lots anew and keep what they say. Raises Stopped between two batches."""
    for start in range(0, len(rows), BATCH):
        if not desk.go_on("reading the lots again", start / len(rows)):
            raise Stopped("Reading was stopped: some lots keep their earlier reading until the next gather.")
        batch = rows[start : start + BATCH]
        desk.shelf.store.lots.save([replace(row, reading=read_lot(desk, row.lot)) for row in batch])


def read_all_again(desk: Desk) -> None:
    """Read all open titles anew: the catalogue, the services or the corrections have changed. Raises Stopped."""
    read_again(desk, list(desk.shelf.store.lots.open(desk.now)))  # read whole before any is written
    desk.shelf.store.facts.put(READ_WITH, list(desk.settings.reading.services))


def is_due(desk: Desk) -> bool:
    """Words were taught or the catalogue has grown, or the settings name other grading services than at the last
    reading of all lots."""
    before = desk.shelf.store.facts.get(READ_WITH)
    return desk.owed.all().titles or before not in (None, list(desk.settings.reading.services))


def remember_services(desk: Desk) -> None:
    """Lots are read as they come: where nothing says otherwise they were read for the services of today."""
    if desk.shelf.store.facts.get(READ_WITH) is None:
        desk.shelf.store.facts.put(READ_WITH, list(desk.settings.reading.services))
