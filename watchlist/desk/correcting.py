"""Corrections of the title reader: one lot mended, or a word taught for one source or for all."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import replace
from typing import Any

from watchlist.core.clean import clean
from watchlist.core.reading.asjson import to_json
from watchlist.core.reading.record import Reading
from watchlist.core.reading.vocabulary.corrections import TEACHABLE
from watchlist.desk import naming
from watchlist.desk.desk import Desk
from watchlist.desk.due import TITLES, Due
from watchlist.desk.errors import DeskError
from watchlist.desk.mending import check_field, grades, mended
from watchlist.desk.recording import lot_of
from watchlist.desk.settling import settle
from watchlist.shelf.store.rows import LotRow


def listed(desk: Desk) -> list[Mapping[str, Any]]:
    """All corrections, oldest first."""
    return list(desk.corrections)


def teach(desk: Desk, words: str, field: str, value: str, source: str = "") -> str:
    """Teach the reader that these words mean this value; TITLES are due. The correction's id. Raises DeskError."""
    if field not in TEACHABLE:
        raise DeskError(
            f"No word can be taught for `{field}`; fields are {', '.join(TEACHABLE)}. To mend one lot, "
            "name its key. Nothing was changed."
        )
    words, value = clean(words), clean(value)
    if not any(map(str.isalnum, words)):
        raise DeskError('Name the words to teach, such as "schnieke" grade=40. Nothing was changed.')
    if field == "service" and not words.isalpha():
        raise DeskError(f"A grading service is taught by one word of letters, not `{words}`. Nothing was changed.")
    if field == "grade":
        value = _band(desk, value)
    elif field != "nothing":
        mended(Reading(words), field, value, desk.words)  # says so at once when the value is none
    if source:
        source = naming.source(desk.sources, source).name
    drawer = desk.shelf.notebook.corrections
    id = drawer.free_id("c")
    with desk.changing(TITLES):
        drawer.put({"id": id, "kind": "word", "words": words, "field": field, "value": value, "source": source})
    return id


def _band(desk: Desk, value: str) -> str:
    """A grade word's band in figures, as the reader knows it in any scale: `40`, `62-63`."""
    low, high = grades(value, desk.words)
    if low is None:
        raise DeskError(
            "A grade word needs a grade, such as 40 or VF-30; words without a meaning are taught as "
            "nothing=yes. Nothing was changed."
        )
    return str(low) if low == high else f"{low}-{high}"


def drop(desk: Desk, id: str) -> None:
    """Take a correction back; TITLES are due. Raises DeskError when there is none."""
    drawer = desk.shelf.notebook.corrections
    if id not in drawer.ids():
        raise DeskError(f"There is no correction `{id}`; `watchlist read --correct list` lists them.")
    with desk.changing(TITLES):
        drawer.drop(id)


def mend(desk: Desk, key: str, field: str, value: str) -> LotRow:
    """Mend one field of one lot's reading; it is judged anew and keeps the correction when it is read again."""
    check_field(field)
    row = lot_of(desk, key)
    made = replace(row, reading=mended(row.reading, field, clean(value), desk.words))
    drawer, lot, due = desk.shelf.notebook.corrections, row.lot.key, Due(marks_of=frozenset({row.lot.key}))
    was = to_json(row.reading).get(field)
    with desk.changing(due):
        drawer.put({"id": drawer.free_id("c"), "kind": "lot", "lot": lot, "field": field, "value": value, "was": was})
        desk.shelf.store.lots.save([made])
    settle(desk, due)
    return lot_of(desk, lot)


def take_back(desk: Desk, ids: Iterable[str]) -> None:
    """Take corrections of single lots back; these lots are read and judged anew."""
    drawer, gone = desk.shelf.notebook.corrections, frozenset(ids)
    lots = frozenset(each["lot"] for each in drawer.list() if each["id"] in gone and each.get("lot"))
    due = Due(titles_of=lots, marks_of=lots)
    with desk.changing(due):
        drawer.drop(*gone)
    settle(desk, due)
