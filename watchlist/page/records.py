"""Records as the JSON and the CSV that scripts rely on: a table of names, and where each value stands in the record."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date
from typing import Any


def told(record: object, fields: Mapping[str, str]) -> dict[str, Any]:
    """The values at the paths, as JSON holds them; None where something on the way is not known."""
    return {name: plain(value_at(record, path)) for name, path in fields.items()}


def value_at(record: object, path: str) -> Any:
    """The value at the end of names with points between them; None where one of them is not known."""
    value: Any = record
    for name in path.split("."):
        value = None if value is None else getattr(value, name)
    return value


def plain(value: Any) -> Any:
    """Amounts and bands as their own JSON, days and times in ISO 8601, tuples as lists."""
    if hasattr(value, "json"):
        return value.json()
    if isinstance(value, date):
        return value.isoformat()
    return list(value) if isinstance(value, tuple) else value
