"""A source's own names mapped onto the canonical fields, where their name is known."""

from __future__ import annotations

import re
from collections.abc import Mapping
from functools import cache
from typing import NamedTuple

from watchlist.core.folding import any_of
from watchlist.core.imports.headings import fold, looks_of, synonyms_of
from watchlist.core.money.codes import known_codes
from watchlist.feeds.amounts import plain_amounts
from watchlist.feeds.names import bare, labels_as_headings, listed
from watchlist.words import load

END = ("end=", "/")
DATE_PARTS = frozenset(("date", "$date", "datetime", "time", "iso", "utc", "timestamp", "value"))
"""Parts of a closing time that is an element of elements."""
FIGURE = re.compile(r"\d+(?:[.,]\d+)*", re.ASCII)


def canonical(
    own: Mapping[str, str], columns: Mapping[str, str] | None = None, *, headings: bool = False
) -> dict[str, str]:
    """Canonical fields found among a source's own names; `columns` is the person's own map and comes first.

    `headings`: a name that no element has may be one that a table has for a heading."""
    if not own:
        return {}
    fields = _fields(own, columns or {})
    for again in _repeats(own):
        fields = _contested(fields, _fields(again, {}))
    return _by_headings(own) | fields if headings else fields


OWN_PLACES = ("title", "description", "url", "lot_id")
"""Parts of an entry, not among its fields."""
DATES = ("ends_at", "starts_at", "ends_time", "year")
"""Fields that a mere `date` may be: nothing says which."""


CELL = 120
"""Characters of a text that tell what it is."""


def _by_headings(own: Mapping[str, str]) -> dict[str, str]:
    """Fields by the names that headings of tables have: `Zuschlag`, `prix_de_depart`, `hammerPrice`."""
    found: dict[str, str] = {}
    looks = looks_of(load("columns"))
    for key, text in own.items():
        names = headed(key) if "/" not in key and "@" not in key and "#" not in key else ()
        cell = text.strip()[:CELL]
        fits = [name for name in names if name not in looks or looks[name](cell)]
        if fits and fits[0] not in OWN_PLACES and not (len(names) > 1 and fits[0] in DATES):
            found.setdefault(fits[0], text)
    return found


def headed(name: str) -> tuple[str, ...]:
    """The fields that a heading of this name means in a table of lots, the likeliest first."""
    return _headings().get(fold(name), ())


@cache
def _headings() -> Mapping[str, tuple[str, ...]]:
    return {**labels_as_headings(), **synonyms_of(load("columns"), "lots")}


def heads_bids(heading: str, *, timed: bool = False) -> bool:
    """Whether the prices of a column are bids, by its heading: they still rise. `timed`: the lots have a closing time,
    so that a `Current price` is one of bids too."""
    return field_of(heading) == "current_bid" or fold(heading) in _bids() or (timed and fold(heading) in _rising())


@cache
def _bids() -> frozenset[str]:
    return frozenset(map(fold, load("money")["labels"]["current_bid"]))


@cache
def _rising() -> frozenset[str]:
    return frozenset(map(fold, load("money")["around"]["rising"]))


def _repeats(own: Mapping[str, str]) -> list[dict[str, str]]:
    """Elements that stand again, under their own names: the second ones, the third ones, ..."""
    made: dict[str, dict[str, str]] = {}
    for key, text in own.items():
        name, numbered, number = key.rpartition("#")
        if numbered:
            made.setdefault(number, {})[name] = text
    return list(made.values())


def _contested(fields: dict[str, str], again: Mapping[str, str]) -> dict[str, str]:
    """Fields where an amount that stands again is another one: both are told, so that neither is taken silently."""
    own, other = fields.get("currency", ""), again.get("currency", "") or fields.get("currency", "")
    for name in load("feeds")["money"]:
        text, more = fields.get(name, ""), again.get(name, "")
        if text and more and (_figure(text) != _figure(more) or own != other):
            first = text if " | " in text else _named(text, own)
            fields = {**fields, name: f"{first} | {_named(more, other)}"}
    return fields


def _named(text: str, currency: str) -> str:
    return f"{text} {currency}" if currency and FIGURE.fullmatch(text) else text


def _figure(text: str) -> str:
    """The first figure of a text without the noughts of its cents."""
    found = FIGURE.search(text)
    return re.sub(r"\.0{1,2}$", "", found[0].replace(",", ".")) if found else text


class _Found(NamedTuple):
    """What fills a field: the rank of its name, best first, the name and the text."""

    rank: int
    key: str
    text: str


def _fields(own: Mapping[str, str], columns: Mapping[str, str]) -> dict[str, str]:
    given, own = own, _with_codes(plain_amounts(own))
    found, rivals = _best(own)
    for name, key in columns.items():
        if given.get(key):
            found[name] = _Found(-1, key, given[key])
            rivals.pop(name, None)
    fields = {name: _end_of(best.key, best.text) for name, best in found.items()}
    if "currency" not in fields and (currency := _currency(own, found)):
        fields["currency"] = currency
    return _contested(fields, rivals) if rivals else fields


def _best(own: Mapping[str, str]) -> tuple[dict[str, _Found], dict[str, str]]:
    """For each field the first of its names that is there, and the texts that stand under a name as good."""
    found: dict[str, _Found] = {}
    rivals: dict[str, str] = {}
    for key, text in _with_values(own):
        name, rank = _place(key, text)
        best = found.get(name) if name else None
        if name and (best is None or rank < best.rank):
            found[name] = _Found(rank, key, text)
            rivals.pop(name, None)
        elif best and rank == best.rank:
            rivals[name] = text
    return found, rivals


def _place(key: str, text: str) -> tuple[str, int]:
    """The field that a name fills, and the rank of the name; no field for a name that is not known."""
    table = _names()
    name, rank = next((table[form] for form in _forms(key) if form in table), ("", 0))
    # A closing time of hours alone: its day stands in an element of its own.
    return ("ends_time" if name == "ends_at" and _clock().fullmatch(text) else name), rank


def field_of(name: str) -> str:
    """The canonical field that an element or heading of this name fills; empty for none."""
    return _names().get(bare(name).replace(" ", ""), ("", 0))[0]


@cache
def _clock() -> re.Pattern[str]:
    """A clock time alone: its day stands in an element of its own."""
    hours = any_of(load("columns")["cells"]["hour"])
    return re.compile(rf"\d{{1,2}}[:.h]\d\d(?::\d\d)?(?:\s?(?:[ap]\.?m\.?|{hours}))?", re.IGNORECASE | re.ASCII)


@cache
def _names() -> dict[str, tuple[str, int]]:
    """Folded name to canonical field and rank."""
    elements: Mapping[str, list[str]] = load("feeds")["elements"]
    return {bare(name): (field, rank) for field, names in elements.items() for rank, name in enumerate(names)}


def _forms(key: str) -> list[str]:
    """The names under which a path is looked for: whole, and without the groups and the extension it begins with."""
    key, _, attribute = key.partition("@")
    parts = [bare(part) for part in key.split("/")]
    at = f"@{bare(attribute)}" if attribute else ""
    local = [part.rpartition(":")[2] for part in parts]
    forms = ["/".join(parts) + at, "/".join(local) + at]
    start = 1 if key.startswith("_") and len(local) > 1 else 0  # JSON Feed 1.1: `_north` holds what north adds
    while start < len(local) - 1 and local[start] in listed("groups"):
        start += 1
    if len(local) > 1 and _names().get(local[-2], ("",))[0] == "ends_at":  # `closes/date` and `closes/time`
        forms += local[-2:-1] if local[-1] in DATE_PARTS else local[-1:]
    if start:
        forms += ["/".join(parts[start:]) + at, "/".join(local[start:]) + at]
    return forms


def _with_codes(own: Mapping[str, str]) -> dict[str, str]:
    """`price_eur` of 45.50 as a `price` with its currency."""
    made = dict(own)
    for key, text in own.items():
        name, found, code = key.rpartition("_")
        if found and code.upper() in _codes() and field_of(name.rpartition("/")[2]) in load("feeds")["money"]:
            made.setdefault(name, text)
            made.setdefault(f"{name}@currency", code.upper())
    return made


@cache
def _codes() -> frozenset[str]:
    return known_codes(load("money"))


def _with_values(own: Mapping[str, str]) -> list[tuple[str, str]]:
    """Keys with their texts; an empty element speaks through its `value` or `amount`."""
    rows = [(key, text) for key, text in own.items() if "#" not in key]
    for key, text in own.items():
        name, _, attribute = key.partition("@")
        if attribute and name not in own and bare(attribute) in listed("values"):
            rows.append((name, text))
    return rows


def _currency(own: Mapping[str, str], found: Mapping[str, _Found]) -> str:
    """The currency that stands as an attribute of an amount."""
    for field in load("feeds")["money"]:
        for key, text in own.items():
            name, _, attribute = key.partition("@")
            if field in found and name == found[field].key and bare(attribute) in listed("currencies"):
                return text
    return ""


def _end_of(key: str, text: str) -> str:
    """The end of an interval; any other text as it is."""
    if bare(key) not in map(bare, listed("intervals")):
        return text
    for mark in END:
        before, found, after = text.partition(mark)
        if found and (mark != "/" or len(before) >= 8):
            return after.partition(";")[0].strip()
    return text
