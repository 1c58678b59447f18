"""Corrections of the title reader: one lot mended, or a word taught for one source or for all."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from typing import Any

from watchlist.core.clean import clean
from watchlist.core.reading.asjson import to_json
from watchlist.core.reading.record import Reading
from watchlist.core.reading.vocabulary.corrections import TEACHABLE
from watchlist.desk import naming
from watchlist.desk.changes import entry
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
    row = {"id": id, "kind": "word", "words": words, "field": field, "value": value, "source": source}
    with entry(desk, f'word {id} taught: "{words}" means {field} {value}'.rstrip(), due=TITLES) as change:
        change.put("correction", row)
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
    with entry(desk, f"correction {id} dropped", due=TITLES) as change:
        change.drop("correction", id)


def mend(desk: Desk, key: str, fields: Mapping[str, str]) -> LotRow:
    """Mend fields of one lot's reading; it is judged anew and keeps the correction when it is read again."""
    row = lot_of(desk, key)
    lot, reading, was = row.lot.key, row.reading, to_json(row.reading)
    for field, value in fields.items():
        check_field(field)
        reading = mended(reading, field, clean(value), desk.words)
    first = int(desk.shelf.notebook.corrections.free_id("c").removeprefix("c"))
    rows = [
        {"id": f"c{number}", "kind": "lot", "lot": lot, "field": field, "value": value, "was": was.get(field)}
        for number, (field, value) in enumerate(fields.items(), first)
    ]
    due = Due(marks_of=frozenset({lot}))
    told = ", ".join(f"{field} is {value or 'empty'}" for field, value in fields.items())
    with entry(desk, f"correction of {lot}: {told}", due=due, back=due | Due(titles_of=frozenset({lot}))) as change:
        change.put("correction", *rows)
        desk.shelf.store.lots.save([replace(row, reading=reading)])
    settle(desk, due)
    return lot_of(desk, lot)
