"""The filter line of the Tray: `tor 1893 mark:b gap<-10 all-in<300 closes<2d venue:north not toned`."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from decimal import Decimal, InvalidOperation
from difflib import get_close_matches

from watchlist.core.marks.record import SIGNS
from watchlist.core.sift.filter import Filter

STATES = {"n": "new", "s": "seen", "f": "followed", "x": "skipped", "b": "bid", "w": "won", "l": "lost", "e": "ended"}
"""Letters of the states, as the list shows them."""
WAITING = frozenset({"new", "seen", "followed", "bid"})
"""States of the lots that the Tray and `wanted` show where no state is named."""
MARKS = {sign.lower(): mark for mark, sign in SIGNS.items()} | {"d": "doubt", "u": "unclear", "f": "few sales"}
"""Letters and signs of the marks."""
OF_LOT = ("mark", "state", "venue", "seller", "want", "issue", "source")
TOGETHER = ("parcel", "group")
"""What several lots are in together: which they are is not told by the lots themselves."""
NAMED = {name: f"{name}s" for name in (*OF_LOT, *TOGETHER)}
"""Fields that take `:`, and what holds their values."""
ALONE = ("wanted", "changed")
"""Words that ask for open lots which answer some want, or for those that have changed since the last gather; in quotes
they are words of a title."""
MEASURED = ("gap", "all-in", "closes")
"""Fields that take `<`, `<=`, `>` or `>=`: per cent, home currency, time from now."""
UNITS = {"m": 1, "h": 60, "d": 1440, "w": 10080}
"""Minutes of a unit of time."""
STEPS = {"gap": Decimal("0.01"), "all-in": Decimal("0.01"), "closes": Decimal(1)}
"""The smallest steps: .0001 of the middle, a cent, a minute."""

_TOKEN = re.compile(r'\s*(?:([\w-]+:)?"([^"]*)("?)|(\S+))')
_BOUND = re.compile(r"([^<>=\s]+)(<=|>=|<|>)(.*)", re.S)


class SiftError(ValueError):
    """A word of the filter line that means nothing; the message names it and the nearest right one."""


@dataclass(frozen=True, slots=True)
class Bound:
    """`field op value`; gap in per cent, all-in in home currency, closes in minutes from now."""

    field: str
    op: str
    value: Decimal

    def __str__(self) -> str:
        value = _span(self.value) if self.field == "closes" else f"{self.value:f}"
        return f"{self.field}{self.op}{value}"


@dataclass(frozen=True, slots=True)
class Sift:
    """A filter line understood. All its words must hold; of several values of one field one is enough."""

    words: tuple[str, ...] = ()
    not_words: tuple[str, ...] = ()
    marks: tuple[str, ...] = ()
    states: tuple[str, ...] = ()
    venues: tuple[str, ...] = ()
    sellers: tuple[str, ...] = ()
    wants: tuple[str, ...] = ()
    issues: tuple[str, ...] = ()
    sources: tuple[str, ...] = ()
    parcels: tuple[str, ...] = ()
    groups: tuple[str, ...] = ()
    bounds: tuple[Bound, ...] = ()
    alone: tuple[str, ...] = ()
    """Those of ALONE that are asked for."""

    def __bool__(self) -> bool:
        return self != Sift()

    def __str__(self) -> str:
        """The line again, in a settled order; parsing it gives an equal sift."""
        parts = [_quoted(word, plain=True) for word in self.words]
        parts += self.alone
        parts += [f"{name}:{_quoted(value)}" for name, values in NAMED.items() for value in getattr(self, values)]
        parts += [str(bound) for bound in self.bounds]
        parts += [f"not {_quoted(word, plain=True)}" for word in self.not_words]
        return " ".join(parts)

    def at(self, now: datetime) -> Filter:
        """What the line asks for at this time, in closed bounds: a strict one moves by the smallest step of its
        field."""
        low, high = self._ends()
        wanted = "wanted" in self.alone
        states = frozenset(self.states) or (WAITING if wanted else frozenset())
        return Filter(
            words=self.words,
            not_words=self.not_words,
            marks=frozenset(self.marks),
            states=states,
            venues=self.venues,
            sellers=self.sellers,
            wants=self.wants,
            issues=self.issues,
            sources=self.sources,
            wanted=wanted,
            open_at=now if wanted and not self.states else None,
            changed_by=now if "changed" in self.alone else None,
            all_in_min=low.get("all-in"),
            all_in_max=high.get("all-in"),
            gap_min=_share(low.get("gap")),
            gap_max=_share(high.get("gap")),
            closes_after=_moment(now, low.get("closes"), 0),
            closes_before=_moment(now, high.get("closes"), 1),
        )

    def _ends(self) -> tuple[dict[str, Decimal], dict[str, Decimal]]:
        """The narrowest lower and upper bound of each field."""
        low: dict[str, Decimal] = {}
        high: dict[str, Decimal] = {}
        for bound in self.bounds:
            step = 0 if "=" in bound.op else STEPS[bound.field]
            if "<" in bound.op:
                high[bound.field] = min(high.get(bound.field, bound.value - step), bound.value - step)
            else:
                low[bound.field] = max(low.get(bound.field, bound.value + step), bound.value + step)
        return low, high


def _share(per_cent: Decimal | None) -> Decimal | None:
    return None if per_cent is None else per_cent / 100


def _moment(now: datetime, minutes: Decimal | None, more: int) -> datetime | None:
    """Minutes from now as a time; whole minutes count, so an upper bound holds through its minute."""
    if minutes is None:
        return None
    try:
        found = now + timedelta(minutes=int(minutes) + more)
    except OverflowError:
        return datetime.max.replace(tzinfo=UTC) if minutes > 0 else datetime.min.replace(tzinfo=UTC)
    return found - timedelta(microseconds=1) if more else found


def parse(line: str) -> Sift:
    """Understand a filter line. SiftError names the wrong word and the nearest right one; nothing else is raised."""
    found: dict[str, list[str]] = {name: [] for name in ("words", "not_words", "alone", *NAMED.values())}
    bounds: list[Bound] = []
    for word, denied in _denials(_words(line)):
        bound = None if word.field else _bound(word.text, word.quoted)
        if denied and (word.field or bound):
            raise SiftError(f"`not` stands before words of the title only, not before `{word.field or word.text}`.")
        if bound:
            bounds.append(bound)
        elif word.field:
            found[NAMED[word.field]] += _values(word.field, word.text)
        elif word.text.lower() in ALONE and not word.quoted and not denied:
            found["alone"].append(word.text.lower())
        else:
            found["not_words" if denied else "words"].append(word.text)
    once = {name: tuple(dict.fromkeys(values)) for name, values in found.items()}
    return Sift(**once, bounds=tuple(dict.fromkeys(bounds)))


@dataclass(frozen=True, slots=True)
class _Word:
    """One word of the line, or several in quotes."""

    text: str
    quoted: bool = False
    field: str = ""
    """What stands before its colon."""


def _words(line: str) -> Iterator[_Word]:
    for hit in _TOKEN.finditer(line.strip()):
        name, inner, closed, plain = hit.groups()
        if plain is not None:
            field, text = _field(plain)
            yield _Word(text, field=field)
            continue
        if not closed:
            raise SiftError(f"The quote before `{(inner or '')[:40]}` is not closed.")
        if inner.strip():
            yield _Word(inner, True, _named(name[:-1]) if name else "")


def _denials(words: Iterable[_Word]) -> Iterator[tuple[_Word, bool]]:
    """The words, each with whether a `not` stands before it."""
    denied = False
    for word in words:
        if word.quoted or word.field or word.text.lower() != "not":
            yield word, denied
            denied = False
        elif denied:
            raise SiftError("`not not` says nothing: write one `not` and a word.")
        else:
            denied = True
    if denied:
        raise SiftError("`not` needs a word after it, such as `not toned`.")


def _field(token: str) -> tuple[str, str]:
    """`mark:b` as field and value; a word without a colon has no field."""
    name, colon, value = token.partition(":")
    if not colon or not name or _BOUND.fullmatch(token):
        return "", token
    if not value:
        raise SiftError(f"`{token}` needs a value, such as `{name}:{_example(name)}`.")
    return _named(name), value


def _named(name: str) -> str:
    if name.lower() in NAMED:
        return name.lower()
    if name.lower() in MEASURED:
        raise SiftError(f"`{name}` is compared with < or >, such as `{name.lower()}<{_example(name.lower())}`.")
    raise SiftError(f'`{name}:` is not a field{_nearest(name, NAMED)} Write a word with a colon in "quotes".')


def _example(name: str) -> str:
    known = {"mark": "b", "state": "f", "parcel": "P12", "group": "a", "closes": "2d", "gap": "-10", "all-in": "300"}
    return known.get(name.lower(), "name")


def _values(field: str, value: str) -> list[str]:
    """The values of a field; marks and states may be several with commas, as letters or words."""
    if field not in ("mark", "state"):
        return [value]
    known = MARKS if field == "mark" else STATES
    return [_choice(field, item, known) for item in value.split(",") if item.strip()]


def _choice(field: str, item: str, known: dict[str, str]) -> str:
    name = item.strip().lower().replace("-", " ") if len(item.strip()) > 1 else item.strip().lower()
    words = sorted(set(known.values()))
    found = known.get(name) or (name if name in words else None)
    if found is None:
        begins = [word for word in words if len(name) > 1 and word.startswith(name)]
        if len(begins) == 1:
            return begins[0]
        letters = ", ".join(f"{letter} {word}" for letter, word in known.items() if letter.isalpha())
        raise SiftError(f"`{item}` is not a {field}{_nearest(name, words)} There are: {letters}.")
    return found


def _bound(token: str, quoted: bool) -> Bound | None:
    """`gap<-10` as a bound; None for an ordinary word."""
    hit = None if quoted else _BOUND.fullmatch(token)
    if hit is None:
        return None
    name, op, text = hit[1].lower().replace("_", "-"), hit[2], hit[3]
    name = {"allin": "all-in"}.get(name, name)
    if name not in MEASURED:
        raise SiftError(f"`{hit[1]}` cannot be compared{_nearest(name, MEASURED)} Only gap, all-in and closes can.")
    value = _minutes(text, token) if name == "closes" else _number(text.removesuffix("%"), token)
    return Bound(name, op, value)


def _number(text: str, token: str) -> Decimal:
    try:
        value = Decimal(text.replace(",", "."))
    except InvalidOperation:
        value = Decimal("NaN")
    if not re.fullmatch(r"[-+]?\d{0,12}([.,]\d{0,4})?", text, re.ASCII) or not value.is_finite():
        raise SiftError(f"`{token}` needs a number, such as `{token.split(text)[0] if text else token}100`.")
    return value.normalize() + 0


def _minutes(text: str, token: str) -> Decimal:
    hit = re.fullmatch(r"([-+]?\d{1,5})([mhdw])", text.lower(), re.ASCII)
    if hit is None:
        raise SiftError(f"`{token}` needs a time from now in m, h, d or w, such as `closes<2d`.")
    return Decimal(int(hit[1]) * UNITS[hit[2]])


def _span(minutes: Decimal) -> str:
    """Minutes in the largest unit that is whole."""
    count = int(minutes)
    unit = next((unit for unit in ("w", "d", "h") if count % UNITS[unit] == 0), "m")
    return f"{count // UNITS[unit]}{unit}"


def _nearest(name: str, known: Iterable[str]) -> str:
    close = get_close_matches(name.lower(), list(known), n=1, cutoff=0.4)
    return f"; did you mean `{close[0]}`?" if close else "."


def _quoted(text: str, *, plain: bool = False) -> str:
    """The text as one word of the line, in quotes where it would be read otherwise; a quote in it leaves it bare."""
    if '"' in text:
        return text
    special = plain and (":" in text or _BOUND.fullmatch(text) or text.lower() in ("not", *ALONE))
    return f'"{text}"' if special or re.search(r"\s|,", text) or not text else text
