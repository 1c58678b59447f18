"""Amounts of a source's own brought to one shape: `price/value` with `price/currency`, hundredths to whole units."""

from __future__ import annotations

from collections.abc import Mapping
from functools import cache

from watchlist.core.folding import folded
from watchlist.core.money.minor import whole_units, without_cents
from watchlist.feeds.names import listed, local
from watchlist.words import load

VALUES = frozenset(("amount", "value"))
UNIT_NAMES = frozenset(("unit", "units", "scale"))


def plain_amounts(own: Mapping[str, str]) -> dict[str, str]:
    """The same names and texts, with each amount under the name of its element and in whole units.

    `price/amount` and `price/currency` become `price` and `price@currency`; `price_cents` of 12550, or a price whose
    unit is cents, becomes a `price` of 125.50.
    """
    made = _joined(own)
    for key, text in list(made.items()):
        path, attribute = key.partition("@")[::2]
        unit = made.get(f"{path}@unit", "")
        if attribute in ("", *VALUES) and folded(unit) in _hundredths():
            made[key] = whole_units(text)
        elif not attribute and (bare := _bare(path)) and bare not in made:
            made[bare] = whole_units(text)
    return made


def _joined(own: Mapping[str, str]) -> dict[str, str]:
    """`price/amount` as `price`, what stands beside it as attributes."""
    own = {_out_of_group(key): text for key, text in own.items()}
    amounts = {name for key in own if (name := _amount_of(key))}
    made: dict[str, str] = {}
    for key, text in own.items():
        name, _, last = key.rpartition("/")
        part = local(last)
        if name in amounts and part in VALUES:
            made.setdefault(name, text)
        elif name in amounts and (part in UNIT_NAMES or part in listed("currencies")):
            made[f"{name}@{'unit' if part in UNIT_NAMES else part}"] = text
        else:
            path, _, attribute = key.partition("@")
            made[f"{path}@unit" if local(attribute) in UNIT_NAMES else key] = text
    return made


def _out_of_group(key: str) -> str:
    """`auction@end` as `auction/end`: the attributes of a group are elements written short."""
    path, found, attribute = key.partition("@")
    return f"{path}/{attribute}" if found and local(path.rpartition("/")[2]) in listed("groups") else key


def _amount_of(key: str) -> str:
    """The element whose amount a path ends in; empty when it is none, or when a group of elements holds it."""
    name, slash, last = key.rpartition("/")
    if not slash or "@" in key or local(last) not in VALUES:
        return ""
    extension = name.startswith("_") and "/" not in name
    return "" if extension or local(name.rpartition("/")[2]) in listed("groups") else name


def _bare(path: str) -> str:
    """The path without `cents` at its end; empty when it has none."""
    before, slash, last = path.rpartition("/")
    bare = without_cents(last)
    return f"{before}{slash}{bare}" if bare else ""


@cache
def _hundredths() -> frozenset[str]:
    """Units that say of an amount that it is in hundredths."""
    return frozenset(("minor", "minorunits", *map(folded, load("money")["minor"])))
