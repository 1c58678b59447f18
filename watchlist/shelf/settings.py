"""settings.toml: every key has a default; what cannot be used is named with its place and with what is allowed."""

from __future__ import annotations

import difflib
import os
import re
import tomllib
from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from datetime import timedelta
from decimal import Decimal
from pathlib import Path
from types import MappingProxyType
from typing import Any, Literal
from zoneinfo import ZoneInfo

from watchlist import words
from watchlist.core.money.codes import USUAL, known_codes, nearest_code
from watchlist.shelf.errors import SettingsError


@dataclass(frozen=True, slots=True)
class Home:
    """Where the person lives."""

    currency: str = "EUR"
    time_zone: str = "Europe/Berlin"
    who: str = ""
    """What each entry of the list carries; on a shared shelf an account's name where this is empty."""
    shared: bool = False
    """Two accounts of this machine write in the shelf, by its folder's group."""

    @property
    def zone(self) -> ZoneInfo:
        """The time zone itself."""
        return ZoneInfo(self.time_zone)


@dataclass(frozen=True, slots=True)
class Prices:
    """What a band means, and the rules of the marks."""

    kind: Literal["", "before postage", "all-in", "hammer"] = ""
    """Empty: as the bands of the shelf were calculated, until they are calculated otherwise."""
    years: float = 5.0
    """How far back a price counts in full view."""
    bargain_at: Decimal = Decimal("0.80")
    """A Bargain is worth its cost over this."""
    bargain_chance: Decimal = Decimal("0.36")
    """Least chance that a Bargain is genuine and worth that."""
    max_ratio: Decimal = Decimal(4)
    """High over low of a band; a wider one says few sales."""
    own: float = 1.0
    """How much what the person bought counts in the bands, 0 to 1."""


@dataclass(frozen=True, slots=True)
class ReadingSettings:
    """How titles are read."""

    services: tuple[str, ...] = ("QCG", "HNS")


@dataclass(frozen=True, slots=True)
class Bids:
    """The plan's budget, and who bids beside you."""

    budget: Decimal = Decimal(1500)
    """Home currency, all-in."""
    rivals: int = 2
    """Other bidders on a lot who can judge it as well: for what is said of the winner's curse, 0 for nothing."""


@dataclass(frozen=True, slots=True)
class Morning:
    """When the person gathers."""

    every: timedelta = timedelta(days=1)
    """From one usual gather to the next."""


@dataclass(frozen=True, slots=True)
class AssumedFees:
    """What venues without terms are taken to charge."""

    auction: Decimal = Decimal(20)
    """Premium, per cent."""
    marketplace: Decimal = Decimal(0)
    dealer: Decimal = Decimal(0)
    postage: Decimal = Decimal(8)
    """Home currency."""
    count: bool = True
    """False: prices without terms count as they are written, and make no Bargain."""


@dataclass(frozen=True, slots=True)
class Settings:
    """All settings."""

    home: Home = field(default_factory=Home)
    prices: Prices = field(default_factory=Prices)
    morning: Morning = field(default_factory=Morning)
    assumed_fees: AssumedFees = field(default_factory=AssumedFees)
    reading: ReadingSettings = field(default_factory=ReadingSettings)
    bids: Bids = field(default_factory=Bids)
    keys: Mapping[str, str] = field(default_factory=lambda: MappingProxyType({}))
    """Action id to key, in place of the built-in one."""
    plots: Literal["drawn", "ascii", "words"] = "drawn"
    """Charts as well as the terminal can, in plain letters, or as sentences alone."""
    notices: tuple[str, ...] = ()
    """A sentence for each key that is not known."""


Check = Callable[[Any], Any]
SHOWN = 60
"""Letters of a key or a value that a sentence shows."""


class _Wrong(Exception):
    """A value that is not allowed; the text says what is."""


def default_shelf(environ: Mapping[str, str] | None = None) -> Path:
    """The folder of the shelf: WATCHLIST_SHELF, else where this system keeps a person's data."""
    given = (os.environ if environ is None else environ).get("WATCHLIST_SHELF", "")
    if given:
        return Path(given).expanduser()
    from platformdirs import user_data_path  # only where nothing else names the shelf: most starts do without

    return user_data_path("watchlist", appauthor=False)


def load(path: Path) -> Settings:
    """The settings in this file, or the defaults without one; SettingsError names file, key and what is allowed."""
    try:
        data = tomllib.loads(path.read_bytes().decode("utf-8-sig"), parse_float=Decimal)
    except FileNotFoundError:
        return Settings()
    except OSError as error:
        raise SettingsError(f"{path} cannot be read ({error.strerror}).") from error
    except (tomllib.TOMLDecodeError, UnicodeDecodeError, RecursionError) as error:
        raise SettingsError(f"{path} is not TOML: {_short(str(error))}. Nothing was changed.") from error
    except ValueError as error:  # Python reads no whole number of thousands of digits
        raise SettingsError(f"{path} holds a number that is too long to be one. Nothing was changed.") from error
    return parse(data, str(path))


def parse(data: Mapping[str, Any], name: str = "settings.toml") -> Settings:
    """The settings in a parsed TOML file; `name` is the file's, for sentences."""
    notices: list[str] = []
    known = [*_TABLES, "keys", "plots"]
    notices += [_unknown(name, key, "", known) for key in data if key not in known]
    parts: dict[str, Any] = {}
    for table, (kind, checks) in _TABLES.items():
        rows = _table(data, table, name)
        notices += [_unknown(name, key, f"[{table}] ", list(checks)) for key in rows if key not in checks]
        given = {key: check for key, check in checks.items() if key in rows}
        parts[table] = kind(**{key: _checked(name, f"{table}.{key}", check, rows[key]) for key, check in given.items()})
    keys = {action: _checked(name, f"keys.{action}", _text, key) for action, key in _table(data, "keys", name).items()}
    plots = _checked(name, "plots", _one_of("drawn", "ascii", "words"), data.get("plots", "drawn"))
    return Settings(**parts, keys=MappingProxyType(keys), plots=plots, notices=tuple(notices))


def _table(data: Mapping[str, Any], table: str, name: str) -> Mapping[str, Any]:
    rows = data.get(table, {})
    if not isinstance(rows, dict):
        raise SettingsError(f"{name}: {table} is {_short(repr(rows))}; it must be a table, written [{table}].")
    return rows


def _checked(name: str, key: str, check: Check, value: Any) -> Any:
    try:
        return check(value)
    except _Wrong as wrong:
        shown = str(value) if isinstance(value, Decimal) else repr(value)
        raise SettingsError(f"{name}: {_short(key)} is {_short(shown)}; it must be {wrong}.") from None


def _short(text: str) -> str:
    """A key or a value as a sentence has room for it."""
    return text if len(text) <= SHOWN else f"{text[: SHOWN - 2]}.."


def _unknown(name: str, key: str, table: str, known: list[str]) -> str:
    near = difflib.get_close_matches(key[:SHOWN], known, n=1, cutoff=0.5) or _elsewhere(key[:SHOWN])
    hint = f" (did you mean `{near[0]}`?)" if near else f"; known are {', '.join(known)}"
    return f"{name}: {table}`{_short(key)}` is not a setting{hint}. It was passed over."


def _elsewhere(key: str) -> list[str]:
    """A key that stands in the wrong table."""
    homes = {inner: f"{table}.{inner}" for table, (_, checks) in _TABLES.items() for inner in checks}
    return [homes[near] for near in difflib.get_close_matches(key, homes, n=1, cutoff=0.7)]


# --- what is allowed -----------------------------------------------------------------------------------------------


def _text(value: Any) -> str:
    if not isinstance(value, str) or not value.strip():
        raise _Wrong("text in quotes")
    return value


def _one_of(*allowed: str) -> Check:
    def check(value: Any) -> str:
        if value not in allowed:
            raise _Wrong(" or ".join(f'"{word}"' for word in allowed))
        return str(value)

    return check


def _currency(value: Any) -> str:
    code = value.strip().upper() if isinstance(value, str) else ""
    if code in USUAL:  # the whole list takes a while to read, and every start passes here
        return code
    codes = known_codes(words.load("money"))
    if code not in codes:
        near = nearest_code(code, codes)
        raise _Wrong(
            f'the three letters of a currency, such as "{near or "EUR"}"{" (did you mean it?)" if near else ""}'
        )
    return code


def _zone(value: Any) -> str:
    try:
        ZoneInfo(value)
    except (KeyError, ValueError, TypeError, OSError, AttributeError):  # OSError: a folder of zones, as "Europe"
        raise _Wrong('a zone of the IANA list, such as "Europe/Berlin"') from None
    return str(value)


def _number(what: str, low: Decimal, high: Decimal) -> Callable[[Any], Decimal]:
    def check(value: Any) -> Decimal:
        if isinstance(value, bool) or not isinstance(value, int | Decimal):
            raise _Wrong(what)
        number = Decimal(value)
        if not number.is_finite() or not low <= number <= high:
            raise _Wrong(what)
        return number

    return check


def _people(value: Any) -> int:
    if isinstance(value, bool) or not isinstance(value, int) or not 0 <= value <= 50:
        raise _Wrong("a whole number from 0 to 50")
    return value


def _years(value: Any) -> float:
    return float(_number("a number of years from 0.5 to 100", Decimal("0.5"), Decimal(100))(value))


def _span(value: Any) -> timedelta:
    """`12h`, `1d`, `2d`."""
    found = re.fullmatch(r"\s*([1-9]\d{0,2})\s*([hd])\s*", value) if isinstance(value, str) else None
    hours = int(found[1]) * (24 if found[2] == "d" else 1) if found else 0
    if not 1 <= hours <= 14 * 24:
        raise _Wrong('a time from "1h" to "14d", such as "12h" or "1d"')
    return timedelta(hours=hours)


def _yes(value: Any) -> bool:
    if not isinstance(value, bool):
        raise _Wrong("true or false")
    return value


def _share(value: Any) -> float:
    """True or false are all and nothing."""
    if isinstance(value, bool):
        return float(value)
    return float(_number("true, false or a weight from 0 to 1", Decimal(0), Decimal(1))(value))


def _services(value: Any) -> tuple[str, ...]:
    if not isinstance(value, list) or not all(isinstance(code, str) and code.strip() for code in value):
        raise _Wrong('a list of codes, such as ["QCG", "HNS"]')
    return tuple(code.strip() for code in value)


_KINDS = ("auction", "marketplace", "dealer")
_TABLES: dict[str, tuple[type, dict[str, Check]]] = {
    "home": (Home, {"currency": _currency, "time_zone": _zone, "who": _text, "shared": _yes}),
    "prices": (
        Prices,
        {
            "kind": _one_of("before postage", "all-in", "hammer"),
            "years": _years,
            "bargain_at": _number("a number above 0, up to 1", Decimal("0.01"), Decimal(1)),
            "bargain_chance": _number("a chance above 0 and below 1, such as 0.36", Decimal("0.01"), Decimal("0.99")),
            "max_ratio": _number("a number above 1", Decimal("1.01"), Decimal(1000)),
            "own": _share,
        },
    ),
    "morning": (Morning, {"every": _span}),
    "assumed_fees": (
        AssumedFees,
        {
            **{kind: _number("per cent from 0 to 100", Decimal(0), Decimal(100)) for kind in _KINDS},
            "postage": _number("an amount, 0 or more", Decimal(0), Decimal(10) ** 6),
            "count": _yes,
        },
    ),
    "reading": (ReadingSettings, {"services": _services}),
    "bids": (Bids, {"budget": _number("an amount, 0 or more", Decimal(0), Decimal(10) ** 12), "rivals": _people}),
}
