"""Corrections of the title reader: one lot mended, or a word taught for one source or for all."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace
from typing import Any

from watchlist.core.clean import clean
from watchlist.core.lots.lot import LONGEST_SALE
from watchlist.core.reading.asjson import to_json
from watchlist.core.reading.record import Reading
from watchlist.core.reading.vocabulary.corrections import TEACHABLE
from watchlist.desk import naming
from watchlist.desk.changes import entry
from watchlist.desk.desk import Desk
from watchlist.desk.due import MARKET, NOTHING, TITLES, Due
from watchlist.desk.errors import DeskError
from watchlist.desk.recording import lot_of
from watchlist.desk.results.sold import follow_sales, sales_of
from watchlist.desk.settling import settle
from watchlist.desk.titles.mending import SALE, check_field, grades, mended
from watchlist.shelf.store.rows import LotRow


def listed(desk: Desk) -> list[Mapping[str, Any]]:
    """All corrections, oldest first."""
    return list(desk.corrections)


def teach(desk: Desk, words: str, field: str, value: str, source: str = "") -> str:
    """Teach the reader that these words mean this value; TITLES are due. The correction's id. Raises DeskError."""
    if field not in TEACHABLE:
        raise DeskError(
            f"No word can be taught for `{field}`; fields are {', '.join(TEACHABLE)}. To correct one lot, "
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
    with entry(desk, f"correction {id} removed", due=TITLES) as change:
        change.drop("correction", id)


def mend(desk: Desk, key: str, fields: Mapping[str, str]) -> LotRow:
    """Mend fields of one lot's reading; it is judged anew and keeps the correction when it is read again."""
    lot = lot_of(desk, key).lot.key
    mend_all(desk, [lot], fields)
    return lot_of(desk, lot)


def mend_all(desk: Desk, lots: Sequence[str], fields: Mapping[str, str]) -> str:
    """Mend fields of the readings of several lots, as one entry of the list; a sentence on it. Raises DeskError.

    What they were sold for, as a result of the person's or as their source said, moves and changes with them."""
    values = {field: _checked(desk, field, value) for field, value in fields.items()}
    rows = [lot_of(desk, key) for key in lots]
    made = [_corrected(desk, row, values) for row in rows]
    first = int(desk.shelf.notebook.corrections.free_id("c").removeprefix("c"))
    pairs = ((row, *each) for row in rows for each in values.items())
    kept = [
        {"id": f"c{number}", "kind": "lot", "lot": row.lot.key, "field": field, "value": value, "was": _was(row, field)}
        for number, (row, field, value) in enumerate(pairs, first)
    ]
    due = Due(marks_of=frozenset(row.lot.key for row in rows))
    what = naming.named(desk, rows[0]) if len(rows) == 1 else f"{len(rows)} lots"
    told = ", ".join(f"{name} is {value or 'empty'}" for name, value in values.items())
    said = f"correction of {what}: {told}"
    due |= MARKET if any(sales_of(desk, row) for row in rows) else NOTHING
    with entry(desk, said, due=due, back=due | Due(titles_of=due.marks_of)) as change:
        change.put("correction", *kept)
        if SALE in values:
            change.touch("lot", [row.lot.key for row in rows])
        desk.shelf.store.lots.save(made)
        follow_sales(desk, change, rows, made)
    settle(desk, due)
    return said


def _checked(desk: Desk, field: str, value: str) -> str:
    check_field(field)
    if field != "issue" or not value.strip():
        return clean(value)[: LONGEST_SALE if field == SALE else None]
    try:
        return naming.coin(desk, clean(value)).key
    except DeskError as error:
        raise DeskError(f"{str(error).rstrip('.')}. Nothing was changed.") from None


def _corrected(desk: Desk, row: LotRow, values: Mapping[str, str]) -> LotRow:
    lot, reading = row.lot, row.reading
    for field, value in values.items():
        if field == SALE:
            lot = replace(lot, sale=value)
        else:
            reading = mended(reading, field, value, desk.words)
    return replace(row, lot=lot, reading=reading)


def _was(row: LotRow, field: str) -> Any:
    return row.lot.sale if field == SALE else to_json(row.reading).get(field)
