"""Corrections of the title reader: one lot mended, or a word taught for one source or for all."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from contextlib import suppress
from dataclasses import replace
from typing import Any

from watchlist.core.clean import clean
from watchlist.core.reading.asjson import from_json, to_json
from watchlist.core.reading.record import Reading, Span
from watchlist.core.reading.vocabulary.corrections import TEACHABLE, Correction
from watchlist.desk import judging
from watchlist.desk.desk import Desk
from watchlist.desk.errors import DeskError, Stopped
from watchlist.desk.typed import is_yes, whole_grade
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
    """Teach the reader that these words mean this value; `read_all_again` is due. The correction's id."""
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
        _with(desk, Reading(words), field, value)  # says so at once when the value is none
    if source:
        source = desk.known_source(source).name
    id = desk.shelf.notebook.corrections.free_id("c")
    desk.shelf.notebook.corrections.put(
        {"id": id, "kind": "word", "words": words, "field": field, "value": value, "source": source}
    )
    reading_is_due(desk)
    desk.forget()
    return id


def _band(desk: Desk, value: str) -> str:
    """A grade word's band in figures, as the reader knows it in any scale: `40`, `62-63`."""
    low, high = _grades(desk, value)
    if low is None:
        raise DeskError(
            "A grade word needs a grade, such as 40 or VF-30; words without a meaning are taught as "
            "nothing=yes. Nothing was changed."
        )
    return str(low) if low == high else f"{low}-{high}"


def mend(desk: Desk, key: str, field: str, value: str) -> LotRow:
    """Mend one field of one lot's reading; it is judged anew and keeps the correction when it is read again."""
    _known_field(field)
    row = desk.shelf.store.lot(desk.lot_key(key))
    assert row is not None
    reading = _with(desk, row.reading, field, clean(value))
    drawer = desk.shelf.notebook.corrections
    drawer.put(
        {
            "id": drawer.free_id("c"),
            "kind": "lot",
            "lot": row.lot.key,
            "field": field,
            "value": value,
            "was": to_json(row.reading).get(field),
        }
    )
    desk.forget()
    made = judging.Judge(desk).judge(replace(row, reading=reading))
    desk.shelf.store.save_lots([made])
    return made


def take_back(desk: Desk, ids: Iterable[str]) -> None:
    """Take corrections of single lots back; these lots are read and judged anew."""
    drawer, gone = desk.shelf.notebook.corrections, frozenset(ids)
    lots = {each["lot"] for each in drawer.list() if each["id"] in gone and each.get("lot")}
    drawer.drop(*gone)
    desk.forget()
    found = desk.shelf.store.lots_by_key(list(lots)).values()
    judge = judging.Judge(desk)
    desk.shelf.store.save_lots([judge.judge(mended(desk, judging.read_again(desk, row))) for row in found])


def drop(desk: Desk, id: str) -> None:
    """Take a correction back; what it touched is read anew."""
    if not desk.shelf.notebook.corrections.drop(id):
        raise DeskError(f"There is no correction `{id}`; `watchlist read --correct list` lists them.")
    read_all_again(desk)


def mended(desk: Desk, row: LotRow) -> LotRow:
    """The lot with the person's own corrections of it put over what was read."""
    reading = row.reading
    for each in desk.corrections:
        if each.get("kind") == "lot" and each.get("lot") == row.lot.key:
            with suppress(DeskError):  # kept before such a word was refused: the lot stays as it is read
                reading = _with(desk, reading, each["field"], each["value"])
    return row if reading is row.reading else replace(row, reading=reading)


def read_all_again(desk: Desk) -> None:
    """Read all open lots anew and judge them: the catalogue, the services or the corrections have changed.

    Raises Stopped between two batches; broken off, it stays due."""
    desk.forget()
    reading_is_due(desk)
    rows = judging.open_rows(desk)
    for start in range(0, len(rows), judging.BATCH):
        if not desk.going("reading the lots anew", start / len(rows)):
            raise Stopped("Reading was stopped: some lots stay as they were read; the next gather reads them anew.")
        batch = rows[start : start + judging.BATCH]
        desk.shelf.store.save_lots([mended(desk, judging.read_again(desk, row)) for row in batch])
    judging.judge_all(desk)
    desk.shelf.store.put_fact(READ_WITH, list(desk.settings.reading.services))


UNDER_WAY = ["*"]
"""In the place of the services while lots are read anew."""
READ_WITH = "read_with"
"""Name of the fact that says for which grading services the open lots were last read."""


def reading_is_due(desk: Desk) -> None:
    """The next gather reads all open lots anew."""
    desk.shelf.store.put_fact(READ_WITH, UNDER_WAY)


def services_changed(desk: Desk) -> bool:
    """The settings name other grading services than when the open lots were last read as a whole."""
    before = desk.shelf.store.fact(READ_WITH)
    if before is None:  # nothing says otherwise: they were read as they came
        desk.shelf.store.put_fact(READ_WITH, list(desk.settings.reading.services))
        return False
    return bool(before != list(desk.settings.reading.services))


FIELDS = (
    "country",
    "denomination",
    "year",
    "mint",
    "variety",
    "grade_low",
    "grade_high",
    "grade",
    "certified",
    "service",
    "cert_number",
    "designations",
    "problems",
    "multiple",
    "quantity",
    "replica",
)


def _known_field(field: str) -> None:
    if field not in FIELDS:
        raise DeskError(f"`{field}` is no field of a reading; fields are {', '.join(FIELDS)}.")


def _with(desk: Desk, reading: Reading, field: str, value: str) -> Reading:
    """The reading with one field set by the person; what was unsure about it is sure now."""
    data = to_json(reading)
    if field == "grade":
        data["grade_low"], data["grade_high"] = _grades(desk, value)
    else:
        data[field] = _typed(field, value)
    made = from_json(data)
    words = (each for each in reading.spans if each.field not in (field, f"{field}_low", f"{field}_high"))
    settled = tuple(each for each in reading.unsure if each != field and not each.startswith(field))
    others = tuple(pair for pair in reading.alternatives if pair[0] != field and not pair[0].startswith(field))
    return replace(
        made,
        unsure=settled,
        alternatives=others,
        confidence=max(reading.confidence, 0.9),
        spans=(*words, Span(field, 0, 0, value.strip(), 1.0)),
    )


def _typed(field: str, value: str) -> Any:
    value = value.strip()
    if field in ("certified", "multiple", "replica"):
        return is_yes(field, value)
    if not value or value.casefold() in ("none", "null"):
        return [] if field in ("designations", "problems") else None
    if field in ("designations", "problems"):
        return [each.strip() for each in value.split(",")]
    if field in ("year", "grade_low", "grade_high", "quantity"):
        return _whole(field, value)
    return value


RANGES = {"year": (-3000, 9999), "quantity": (1, 1_000_000), "grade_low": (1, 70), "grade_high": (1, 70)}


def _whole(field: str, value: str) -> int:
    low, high = RANGES[field]
    try:
        number = int(value)
    except ValueError:
        raise DeskError(f"`{field}` is a whole number, not `{value}`. Nothing was changed.") from None
    if not low <= number <= high:
        raise DeskError(f"`{field}` lies between {low} and {high}, not at {value}. Nothing was changed.")
    return number


def _grades(desk: Desk, value: str) -> tuple[int | None, int | None]:
    """`40`, `40-50`, `VF`, `VF-30`, or nothing."""
    value = value.strip()
    if not value or value.casefold() in ("none", "null"):
        return None, None
    low, dash, high = value.partition("-")
    if low.strip().isdigit() and (high.strip().isdigit() or not dash):
        span = _whole("grade_low", low), _whole("grade_high", high if dash else low)
    elif (found := whole_grade(desk, value)) and found.low is not None and found.high is not None:
        span = found.low, found.high
    else:
        raise DeskError(f"`{value}` is no grade: write 40, 40-50, VF-30 or VF. Nothing was changed.")
    if span[0] > span[1]:
        raise DeskError(f"`{value}` runs backwards: write the lower grade first. Nothing was changed.")
    return span
