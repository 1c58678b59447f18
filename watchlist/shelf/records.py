"""Frozen dataclasses to JSON and back, from their type hints alone.

Decimal is text, so that no cent is lost; datetimes are ISO 8601 and aware; tuples are lists. A field that is empty
and whose default is the same emptiness is left out, which keeps a million readings small. Keys that a record does
not know are ignored on reading, so that a field may go; a field that comes needs a default.
"""

from __future__ import annotations

import dataclasses
import json
import math
import types
from collections.abc import Callable, Mapping
from datetime import date, datetime
from decimal import Decimal, InvalidOperation
from functools import cache, partial
from typing import Any, Literal, NamedTuple, TypeVar, Union, get_args, get_origin, get_type_hints

from watchlist.shelf.errors import RecordError

T = TypeVar("T")
Turn = Callable[[Any], Any]
_COMPACT = json.JSONEncoder(separators=(",", ":"), allow_nan=False, check_circular=False)
"""ASCII, so that even a lone surrogate survives the way through a store. Frozen records hold no circle."""
_WRONG = (TypeError, ValueError, KeyError, AttributeError, InvalidOperation, OverflowError)


class Ways(NamedTuple):
    """How a value of one type hint becomes what JSON can hold, and how it comes back."""

    write: Turn
    read: Turn


def dumps(record: object) -> str:
    """One record as compact JSON text."""
    return _COMPACT.encode(to_data(record))


def loads(kind: type[T], text: str, **known: Any) -> T:
    """The record that `dumps` made, with what is known of it besides; RecordError when the text is none."""
    try:
        data = json.loads(text)
    except ValueError as error:
        raise RecordError(f"A kept {kind.__name__} is not JSON: {error}.") from error
    return from_data(kind, {**data, **known} if known and type(data) is dict else data)


def to_data(record: object) -> dict[str, Any]:
    """A record as a dict that JSON can hold; RecordError for a value that its hint does not allow."""
    try:
        return _ways(type(record)).write(record)  # type: ignore[no-any-return, arg-type]
    except (TypeError, ValueError, AttributeError) as error:
        raise RecordError(f"This {type(record).__name__} cannot be kept: {error}.") from error


def from_data(kind: type[T], data: object) -> T:
    """A record of `kind` from the dict that `to_data` made."""
    try:
        return _ways(kind).read(data)  # type: ignore[no-any-return, arg-type]
    except _WRONG as error:
        raise RecordError(f"A kept {kind.__name__} cannot be read: {error}.") from error


@cache
def _ways(hint: Any) -> Ways:
    """Both ways of a type hint; RecordError for a hint that no record kept has had so far."""
    origin, args = get_origin(hint), get_args(hint)
    if dataclasses.is_dataclass(hint) and isinstance(hint, type):
        return _record(hint)
    if origin in (Union, types.UnionType) and len(args) == 2 and args[1] is type(None):
        return _optional(_ways(args[0]))
    if origin is tuple:
        return _row(_ways(args[0])) if args[-1] is Ellipsis else _tuple([_ways(arg) for arg in args])
    if origin is Literal:
        return Ways(_same, partial(_one_of, args))
    if origin is Mapping:
        return _mapping(_ways(args[1]))
    if hint in _LEAVES:
        return _LEAVES[hint]
    raise RecordError(f"Fields of the kind {hint} cannot be kept.")


def _record(kind: type) -> Ways:
    hints = get_type_hints(kind)
    fields = [(field, _ways(hints[field.name])) for field in dataclasses.fields(kind) if field.init]
    writes = [(field.name, ways.write, _empty_default(field)) for field, ways in fields]
    reads = {field.name: ways.read for field, ways in fields}

    def write(record: Any) -> dict[str, Any]:
        if type(record) is not kind:
            raise TypeError(f"{kind.__name__} wanted, not {type(record).__name__}")
        data = {}
        for name, turn, empty in writes:
            if (value := getattr(record, name)) or type(value) is not empty:
                data[name] = turn(value)
        return data

    def read(data: Any) -> Any:
        given = _only(dict, data)
        try:
            return kind(**{name: turn(given[name]) for name, turn in reads.items() if name in given})
        except _WRONG as error:
            raise ValueError(_field_at_fault(reads, given) or error) from error

    return Ways(write, read)


def _empty_default(field: dataclasses.Field[Any]) -> type | None:
    """The type of a default that is empty (None, "", 0, (), {}); such a value need not be written."""
    default = field.default
    if field.default_factory is not dataclasses.MISSING:
        default = field.default_factory()
    return None if default or default is dataclasses.MISSING else type(default)


def _field_at_fault(reads: Mapping[str, Turn], given: Mapping[str, Any]) -> str:
    """The first field that cannot be read, with the reason; empty when each can for itself."""
    for name in filter(given.__contains__, reads):
        try:
            reads[name](given[name])
        except _WRONG as error:
            return f"{name}: {error}"
    return ""


def _optional(inner: Ways) -> Ways:
    write, read = inner
    return Ways(
        lambda value: None if value is None else write(value), lambda data: None if data is None else read(data)
    )


def _row(inner: Ways) -> Ways:
    """A tuple of any length, all of one kind."""
    write, read = inner
    return Ways(
        lambda values: [write(value) for value in values],
        lambda data: tuple(read(item) for item in _only(list, data)),
    )


def _tuple(each: list[Ways]) -> Ways:
    """A tuple of just these."""
    return Ways(
        lambda values: [ways.write(value) for ways, value in zip(each, values, strict=True)],
        lambda data: tuple(ways.read(item) for ways, item in zip(each, _only(list, data), strict=True)),
    )


def _mapping(inner: Ways) -> Ways:
    write, read = inner
    return Ways(
        lambda value: {_text(key): write(item) for key, item in value.items()},
        lambda data: {key: read(item) for key, item in _only(dict, data).items()},
    )


def _same(value: Any) -> Any:
    return value


def _only(kind: Any, data: Any) -> Any:
    if type(data) is not kind:
        raise TypeError(f"{kind.__name__} wanted, not {type(data).__name__}")
    return data


def _one_of(allowed: tuple[Any, ...], data: Any) -> Any:
    if data not in allowed:
        raise ValueError(f"{data!r} is none of {', '.join(map(str, allowed))}")
    return data


def _text(value: Any) -> str:
    if not isinstance(value, str):
        raise TypeError(f"text wanted, not {type(value).__name__}")
    return value


def _figure(value: Any) -> float:
    if not math.isfinite(value):
        raise ValueError(f"{value} is not a number")
    return float(value)


def _to_figure(data: Any) -> float:
    return data if type(data) is float else float(_only(int, data))


def _amount(value: Decimal) -> str:
    if not value.is_finite():
        raise ValueError(f"{value} is not a valid amount")
    return str(value)


def _to_amount(data: Any) -> Decimal:
    try:
        amount = Decimal(_only(str, data))
    except InvalidOperation:
        raise ValueError(f"`{data}` is not a valid amount") from None
    if not amount.is_finite():
        raise ValueError(f"`{data}` is not a valid amount")
    return amount


def _aware(value: datetime) -> str:
    if value.tzinfo is None:
        raise ValueError(f"the time {value} has no zone")
    return value.isoformat()


def _to_aware(data: Any) -> datetime:
    moment = datetime.fromisoformat(_only(str, data))
    if moment.tzinfo is None:
        raise ValueError(f"the time {data} has no zone")
    return moment


_LEAVES: dict[Any, Ways] = {
    str: Ways(_text, partial(_only, str)),
    int: Ways(_same, partial(_only, int)),
    bool: Ways(_same, partial(_only, bool)),
    float: Ways(_figure, _to_figure),
    Decimal: Ways(_amount, _to_amount),
    datetime: Ways(_aware, _to_aware),
    date: Ways(date.isoformat, lambda data: date.fromisoformat(_only(str, data))),
}
