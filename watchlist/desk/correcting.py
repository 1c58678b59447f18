"""Corrections of the title reader: one lot mended, or a word taught for one source or for all."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from typing import Any

from watchlist.core.reading import Correction, Reading
from watchlist.core.reading.output import from_json, to_json
from watchlist.desk import judging
from watchlist.desk.desk import Desk
from watchlist.desk.errors import DeskError
from watchlist.shelf.store.rows import LotRow


def taught(desk: Desk) -> list[Correction]:
    """Words taught, for all sources or for one."""
    return [
        Correction(row["words"], row["field"], row["value"], row.get("source", ""))
        for row in desk.corrections
        if row.get("kind") == "word"
    ]


def listed(desk: Desk) -> list[Mapping[str, Any]]:
    """All corrections, oldest first."""
    return list(desk.corrections)


def teach(desk: Desk, words: str, field: str, value: str, source: str = "") -> str:
    """Teach the reader that these words mean this value; all open lots are read anew. The correction's id."""
    _known_field(field)
    if source:
        source = desk.known_source(source).name
    id = desk.shelf.notebook.corrections.free_id("c")
    desk.shelf.notebook.corrections.put(
        {"id": id, "kind": "word", "words": words, "field": field, "value": value, "source": source}
    )
    _read_all_again(desk)
    return id


def mend(desk: Desk, key: str, field: str, value: str) -> LotRow:
    """Mend one field of one lot's reading; it is judged anew and keeps the correction when it is read again."""
    _known_field(field)
    row = desk.shelf.store.lot(desk.lot_key(key))
    assert row is not None
    reading = _with(row.reading, field, value)
    drawer = desk.shelf.notebook.corrections
    drawer.put({
        "id": drawer.free_id("c"), "kind": "lot", "lot": row.lot.key, "field": field, "value": value,
        "was": to_json(row.reading).get(field),
    })
    desk.forget()
    made = judging.Judge(desk).judge(replace(row, reading=reading))
    desk.shelf.store.save_lots([made])
    return made


def drop(desk: Desk, id: str) -> None:
    """Take a correction back; what it touched is read anew."""
    if not desk.shelf.notebook.corrections.drop(id):
        raise DeskError(f"There is no correction `{id}`; `watchlist read --correct list` lists them.")
    _read_all_again(desk)


def mended(desk: Desk, row: LotRow) -> LotRow:
    """The lot with the person's own corrections of it put over what was read."""
    reading = row.reading
    for each in desk.corrections:
        if each.get("kind") == "lot" and each.get("lot") == row.lot.key:
            reading = _with(reading, each["field"], each["value"])
    return replace(row, reading=reading)


def _read_all_again(desk: Desk) -> None:
    desk.forget()
    rows = [mended(desk, judging.read_again(desk, row)) for row in judging.open_rows(desk)]
    desk.shelf.store.save_lots(rows)
    judging.judge_again(desk, rows)


FIELDS = ("country", "denomination", "year", "mint", "variety", "grade_low", "grade_high", "grade", "certified",
          "service", "cert_number", "designations", "problems", "multiple", "quantity", "replica")


def _known_field(field: str) -> None:
    if field not in FIELDS:
        raise DeskError(f"`{field}` is no field of a reading; fields are {', '.join(FIELDS)}.")


def _with(reading: Reading, field: str, value: str) -> Reading:
    """The reading with one field set by the person; what was unsure about it is sure now."""
    data = to_json(reading)
    if field == "grade":
        low, _, high = value.partition("-")
        data |= {"grade_low": _typed("grade_low", low), "grade_high": _typed("grade_high", high or low)}
    else:
        data[field] = _typed(field, value)
    made = from_json(data)
    settled = tuple(each for each in reading.unsure if each != field and not each.startswith(field))
    return replace(made, unsure=settled, confidence=max(reading.confidence, 0.9))


def _typed(field: str, value: str) -> Any:
    value = value.strip()
    if field in ("certified", "multiple", "replica"):
        return value.casefold() in ("yes", "true", "1")
    if not value or value.casefold() in ("none", "null"):
        return [] if field in ("designations", "problems") else None
    if field in ("designations", "problems"):
        return [each.strip() for each in value.split(",")]
    if field in ("year", "grade_low", "grade_high", "quantity"):
        try:
            return int(value)
        except ValueError:
            raise DeskError(f"`{field}` is a whole number, not `{value}`. Nothing was changed.") from None
    return value
