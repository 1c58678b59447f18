"""A reading as JSON and back."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import fields
from typing import Any

from watchlist.core.reading.record import TITLE, Reading, Span

ORDER = (
    "title", "country", "denomination", "year", "years", "mint", "variety", "grade_low", "grade_high", "grade_text",
    "certified", "service", "cert_number", "designations", "problems", "multiple", "quantity", "replica", "confidence",
    "spans",
)  # fmt: skip
"""The documented fields, in their order; the finer ones follow."""
FINER = ("issue", "strike", "date_state", "problem_words", "denied_mints", "kind", "unsure", "alternatives")


def to_json(reading: Reading) -> dict[str, Any]:
    """The reading as plain values, fields in the documented order."""
    out: dict[str, Any] = {name: _plain(getattr(reading, name)) for name in (*ORDER, *FINER)}
    out["spans"] = [
        {
            "field": s.field,
            "from": s.place,
            "start": s.start,
            "end": s.end,
            "text": s.text,
            "confidence": s.confidence,
        }
        for s in reading.spans
    ]
    return out


def _plain(value: Any) -> Any:
    return [_plain(part) for part in value] if isinstance(value, tuple) else value


def from_json(row: Mapping[str, Any]) -> Reading:
    """The reading a row of `to_json` holds; unknown keys are left out. Raises KeyError without a title."""
    known = {field.name for field in fields(Reading)} - {"spans"}
    values = {name: _frozen(row[name]) for name in known if name in row}
    return Reading(**{"title": row["title"], **values, "spans": tuple(map(_span, row.get("spans", ())))})


def _span(row: Mapping[str, Any]) -> Span:
    return Span(row["field"], row["start"], row["end"], row["text"], row["confidence"], row.get("from", TITLE))


def _frozen(value: Any) -> Any:
    return tuple(_frozen(part) for part in value) if isinstance(value, list) else value
