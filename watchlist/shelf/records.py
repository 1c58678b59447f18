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
from datetime import date, datetime, timedelta
from decimal import Decimal, InvalidOperation
from enum import Enum
from functools import cache
from typing import Any, Literal, TypeVar, Union, get_args, get_origin, get_type_hints

from watchlist.shelf.errors import RecordError

T = TypeVar("T")
Turn = Callable[[Any], Any]
_PLAIN: dict[Any, tuple[type, ...]] = {str: (str,), int: (int,), bool: (bool,), type(None): (type(None),)}
_COMPACT = json.JSONEncoder(separators=(",", ":"), allow_nan=False, check_circular=False)
"""ASCII, so that even a lone surrogate survives the way through a store. Frozen records hold no circle."""


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
        return _encoder(type(record))(record)  # type: ignore[no-any-return, arg-type]
    except (TypeError, ValueError, AttributeError) as error:
        raise RecordError(f"This {type(record).__name__} cannot be kept: {error}.") from error


def from_data(kind: type[T], data: object) -> T:
    """A record of `kind` from the dict that `to_data` made."""
    try:
        return _decoder(kind)(data)  # type: ignore[no-any-return, arg-type]
    except _WRONG as error:
        raise RecordError(f"A kept {kind.__name__} cannot be read: {error}.") from error


# --- writing -------------------------------------------------------------------------------------------------------


@cache
def _encoder(hint: Any) -> Turn:
    """The function that turns a value of this type hint into what JSON can hold."""
    origin, args = get_origin(hint), get_args(hint)
    if dataclasses.is_dataclass(hint) and isinstance(hint, type):
        return _record_encoder(hint)
    if origin in (Union, types.UnionType):
        return _union_encoder(args)
    if origin in (tuple, list):
        return _sequence_encoder(origin, args)
    if origin is not None and origin is not Literal and issubclass(origin, Mapping):
        inner = _encoder(args[1])
        return lambda value: {_text(key): inner(item) for key, item in value.items()}
    return _LEAVES.get(hint, _enum_or_same(hint))


def _enum_or_same(hint: Any) -> Turn:
    if isinstance(hint, type) and issubclass(hint, Enum):
        return lambda value: value.value
    return lambda value: value


def _record_encoder(kind: type) -> Turn:
    hints = get_type_hints(kind)
    fields = [(f.name, _encoder(hints[f.name]), _empty_default(f)) for f in dataclasses.fields(kind) if f.init]

    def encode(record: Any) -> dict[str, Any]:
        if type(record) is not kind:
            raise TypeError(f"{kind.__name__} wanted, not {type(record).__name__}")
        data = {}
        for name, turn, empty in fields:
            if (value := getattr(record, name)) or type(value) is not empty:
                data[name] = turn(value)
        return data

    return encode


def _empty_default(field: dataclasses.Field[Any]) -> type | None:
    """The type of a default that is empty (None, "", 0, (), {}); such a value need not be written."""
    if field.default is not dataclasses.MISSING:
        default = field.default
    elif field.default_factory is not dataclasses.MISSING:
        default = field.default_factory()
    else:
        return None
    return None if default else type(default)


def _sequence_encoder(origin: type, args: tuple[Any, ...]) -> Turn:
    if origin is list or args[-1] is Ellipsis:
        inner = _encoder(args[0])
        return lambda values: [inner(value) for value in values]
    turns = [_encoder(arg) for arg in args]
    return lambda values: [turn(value) for turn, value in zip(turns, values, strict=True)]


def _union_encoder(args: tuple[Any, ...]) -> Turn:
    members = [arg for arg in args if arg is not type(None)]
    if len(members) == 1:
        inner = _encoder(members[0])
        return lambda value: None if value is None else inner(value)
    by_type = {get_origin(member) or member: _encoder(member) for member in members}
    return lambda value: None if value is None else by_type[type(value)](value)


def _text(value: Any) -> str:
    if not isinstance(value, str):
        raise TypeError(f"text wanted, not {type(value).__name__}")
    return value


def _finite(value: Any) -> float:
    if not math.isfinite(value):
        raise ValueError(f"{value} is no figure")
    return float(value)


def _amount(value: Decimal) -> str:
    if not value.is_finite():
        raise ValueError(f"{value} is no amount")
    return str(value)


def _aware(value: datetime) -> str:
    if value.tzinfo is None:
        raise ValueError(f"the time {value} has no zone")
    return value.isoformat()


_LEAVES: dict[Any, Turn] = {
    str: _text,
    float: _finite,
    Decimal: _amount,
    datetime: _aware,
    date: lambda value: value.isoformat(),
    timedelta: lambda value: value.total_seconds(),
}


# --- reading -------------------------------------------------------------------------------------------------------


@cache
def _decoder(hint: Any) -> Turn:
    """The function that turns JSON back into a value of this type hint."""
    origin, args = get_origin(hint), get_args(hint)
    if dataclasses.is_dataclass(hint) and isinstance(hint, type):
        return _record_decoder(hint)
    if origin in (Union, types.UnionType):
        return _union_decoder(args)
    if origin is Literal:
        return _literal(args)
    if origin in (tuple, list):
        return _sequence_decoder(origin, args)
    if origin is not None and issubclass(origin, Mapping):
        inner = _decoder(args[1])
        return lambda data: {key: inner(item) for key, item in _only(dict, data).items()}
    return _leaf_decoder(hint)


def _leaf_decoder(hint: Any) -> Turn:
    if hint in _PLAIN:
        return lambda data: _only(hint, data)
    if hint in _FROM_TEXT:
        read = _FROM_TEXT[hint]
        return lambda data: read(_only(str, data))
    if hint is float:
        return lambda data: data if type(data) is float else float(_only(int, data))
    if hint is timedelta:
        return lambda data: timedelta(seconds=data)
    if isinstance(hint, type) and issubclass(hint, Enum):
        return hint
    if hint in (Any, object):
        return lambda data: data
    raise RecordError(f"Fields of the kind {hint} cannot be kept.")


def _only(kind: Any, data: Any) -> Any:
    if type(data) is not kind:
        raise TypeError(f"{kind.__name__} wanted, not {type(data).__name__}")
    return data


def _instant(text: str) -> datetime:
    moment = datetime.fromisoformat(text)
    if moment.tzinfo is None:
        raise ValueError(f"the time {text} has no zone")
    return moment


def _decimal(text: str) -> Decimal:
    try:
        amount = Decimal(text)
    except InvalidOperation:
        raise ValueError(f"`{text}` is no amount") from None
    if not amount.is_finite():
        raise ValueError(f"`{text}` is no amount")
    return amount


_FROM_TEXT: dict[Any, Callable[[str], Any]] = {Decimal: _decimal, datetime: _instant, date: date.fromisoformat}


def _record_decoder(kind: type) -> Turn:
    hints = get_type_hints(kind)
    turns = {f.name: _decoder(hints[f.name]) for f in dataclasses.fields(kind) if f.init}

    def decode(data: Any) -> Any:
        given = _only(dict, data)
        try:
            return kind(**{name: turn(given[name]) for name, turn in turns.items() if name in given})
        except _WRONG as error:
            raise ValueError(_field_at_fault(turns, given) or error) from error

    return decode


_WRONG = (TypeError, ValueError, KeyError, AttributeError, InvalidOperation, OverflowError)


def _field_at_fault(turns: Mapping[str, Turn], given: Mapping[str, Any]) -> str:
    """The first field that cannot be read, with the reason; empty when each can for itself."""
    for name, turn in turns.items():
        try:
            turn(given.get(name))
        except _WRONG as error:
            if name in given:
                return f"{name}: {error}"
    return ""


def _sequence_decoder(origin: type, args: tuple[Any, ...]) -> Turn:
    if origin is list or args[-1] is Ellipsis:
        inner = _decoder(args[0])
        return lambda data: origin(inner(item) for item in _only(list, data))
    turns = [_decoder(arg) for arg in args]
    return lambda data: tuple(turn(item) for turn, item in zip(turns, _only(list, data), strict=True))


def _literal(allowed: tuple[Any, ...]) -> Turn:
    def check(data: Any) -> Any:
        if data not in allowed:
            raise ValueError(f"{data!r} is none of {', '.join(map(str, allowed))}")
        return data

    return check


def _union_decoder(args: tuple[Any, ...]) -> Turn:
    members = [_decoder(arg) for arg in args if arg is not type(None)]

    def decode(data: Any) -> Any:
        if data is None:
            return None
        for turn in members[:-1]:
            try:
                return turn(data)
            except (TypeError, ValueError, InvalidOperation):
                continue
        return members[-1](data)

    return decode
