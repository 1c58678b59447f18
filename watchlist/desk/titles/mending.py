"""A reading with single fields set by the person. What was unsure about them is sure then."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from typing import Any

from watchlist.core.reading.asjson import from_json, to_json
from watchlist.core.reading.record import Reading, Span
from watchlist.core.typed.words import is_yes, whole_grade
from watchlist.desk.errors import DeskError, refusing

YES_OR_NO = ("certified", "multiple", "replica")
LISTS = ("designations", "problems")
RANGES = {"year": (-3000, 9999), "quantity": (1, 1_000_000), "grade_low": (1, 70), "grade_high": (1, 70)}
"""Fields that are whole numbers, with the least and the greatest that may be typed."""
FIELDS = (
    *("country", "denomination", "year", "mint", "variety", "grade_low", "grade_high", "grade", "certified"),
    *("service", "cert_number", "designations", "problems", "multiple", "quantity", "replica", "issue"),
)
SALE = "sale"
"""Of a lot, not of its reading: the name of the sale that it is in."""
OF_COIN = ("country", "denomination", "year", "mint", "variety")
"""Fields that an issue settles."""
SURE = 0.9
"""The least confidence in a reading that the person has mended."""


def check_field(field: str) -> None:
    """Raises DeskError for a word that is not a field of a reading."""
    if field not in (*FIELDS, SALE):
        raise DeskError(f"`{field}` is not a field of a reading; fields are {', '.join((*FIELDS, SALE))}.")


def mended(reading: Reading, field: str, value: str, words: Mapping[str, Any]) -> Reading:
    """The reading with one field set. Raises DeskError for a value that cannot be."""
    data = to_json(reading)
    if field == "grade":
        data["grade_low"], data["grade_high"] = grades(value, words)
    else:
        data[field] = _value(field, value.strip())
    if field == "issue":
        return _bound(from_json(data | {"issue": value.strip()}))
    spans = (each for each in reading.spans if each.field not in (field, f"{field}_low", f"{field}_high"))
    return replace(
        from_json(data),
        unsure=tuple(each for each in reading.unsure if not each.startswith(field)),
        alternatives=tuple(pair for pair in reading.alternatives if not pair[0].startswith(field)),
        confidence=max(reading.confidence, SURE),
        spans=(*spans, Span(field, 0, 0, value.strip(), 1.0)),
    )


def _bound(reading: Reading) -> Reading:
    """What was unsure about the coin is sure: the person said which it is."""
    return replace(
        reading,
        unsure=tuple(each for each in reading.unsure if not each.startswith(OF_COIN)),
        alternatives=tuple(pair for pair in reading.alternatives if pair[0] not in OF_COIN),
        confidence=max(reading.confidence, SURE),
    )


def _value(field: str, value: str) -> Any:
    if field in YES_OR_NO:
        with refusing():
            return is_yes(field, value)
    if _is_none(value):
        return [] if field in LISTS else None
    if field in LISTS:
        return [each.strip() for each in value.split(",")]
    return _whole(field, value) if field in RANGES else value


def grades(value: str, words: Mapping[str, Any]) -> tuple[int | None, int | None]:
    """`40`, `40-50`, `VF`, `VF-30`, or nothing. Raises DeskError."""
    value = value.strip()
    if _is_none(value):
        return None, None
    span = _figures(value) or _grade_words(value, words)
    if span[0] > span[1]:
        raise DeskError(f"`{value}` runs backwards: write the lower grade first. Nothing was changed.")
    return span


def _figures(value: str) -> tuple[int, int] | None:
    """A grade of the 70-point scale, or two of them; None for words."""
    low, dash, high = value.partition("-")
    if not low.strip().isdecimal() or not (high.strip().isdecimal() or not dash):
        return None
    return _whole("grade_low", low), _whole("grade_high", high if dash else low)


def _grade_words(value: str, words: Mapping[str, Any]) -> tuple[int, int]:
    found = whole_grade(value, words)
    if found is None or found.low is None or found.high is None:
        raise DeskError(f"`{value}` is not a valid grade: write 40, 40-50, VF-30 or VF. Nothing was changed.")
    return found.low, found.high


def _whole(field: str, value: str) -> int:
    low, high = RANGES[field]
    try:
        number = int(value)
    except ValueError:
        raise DeskError(f"`{field}` is a whole number, not `{value}`. Nothing was changed.") from None
    if not low <= number <= high:
        raise DeskError(f"`{field}` lies between {low} and {high}, not at {value}. Nothing was changed.")
    return number


def _is_none(value: str) -> bool:
    return not value or value.casefold() in ("none", "null")
