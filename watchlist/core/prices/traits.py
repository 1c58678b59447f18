"""What moves a value beyond the grade: strike, date, colour, fields, cameo, plus, the service that certified it.

A trait is told as one word, `colour:RD`. Its usual effect and the reason for it stand in words/traits.toml; the market
learns each series' own."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property
from typing import Any, Protocol

from watchlist.core.tables import once

SERVICE = "service"
SEEN = 0.005
"""A smaller effect on log price rounds to no per cent."""


class Told(Protocol):
    """What a reading says of a piece's traits."""

    @property
    def designations(self) -> tuple[str, ...]: ...  # noqa: D102
    @property
    def strike(self) -> str | None: ...  # noqa: D102
    @property
    def date_state(self) -> str | None: ...  # noqa: D102
    @property
    def service(self) -> str | None: ...  # noqa: D102
    @property
    def certified(self) -> bool: ...  # noqa: D102


@dataclass(frozen=True)
class Traits:
    """The known traits, with the usual effect of each on log price and how far a series may differ from it."""

    effects: Mapping[str, tuple[float, float]]
    said: Mapping[str, str]
    """What a reading says to the trait's name."""
    service: tuple[float, float]

    def usual(self, name: str) -> tuple[float, float]:
        """Usual effect and spread of a trait; any service has the same."""
        return self.service if kind_of(name) == SERVICE else self.effects[name]

    def of(self, told: Told) -> tuple[str, ...]:
        """The traits of a reading, one a kind; a doubted one (`RD?`) is none."""
        words = (*told.designations, *filter(None, (told.strike, told.date_state)))
        found = {kind_of(name): name for word in reversed(words) if (name := self.said.get(word))}
        if told.certified and told.service:
            found[SERVICE] = f"{SERVICE}:{told.service.replace(',', ' ')}"
        return tuple(sorted(found.values()))

    @cached_property
    def typed(self) -> Mapping[str, str]:
        """What a person may type for a trait, in lower case, to its name."""
        names = {word.casefold(): name for word, name in self.said.items()}
        return names | {name.casefold(): name for name in self.effects}


@once
def traits_from(table: Mapping[str, Any]) -> Traits:
    """Traits from the parsed words/traits.toml."""
    rows: Sequence[Mapping[str, Any]] = table["trait"]
    names = [f"{row['kind']}:{row['word']}" for row in rows]
    return Traits(
        {name: (float(row["effect"]), float(row["spread"])) for name, row in zip(names, rows, strict=True)},
        {word: name for name, row in zip(names, rows, strict=True) for word in row["says"]},
        (float(table[SERVICE]["effect"]), float(table[SERVICE]["spread"])),
    )


def kind_of(name: str) -> str:
    """`colour` of `colour:RD`."""
    return name.partition(":")[0]


def of_kind(kind: str, names: Iterable[str]) -> str:
    """`weak` of `strike:weak`; empty where none is of the kind."""
    return next((name.partition(":")[2] for name in names if kind_of(name) == kind), "")


def trait_words(names: Iterable[str]) -> str:
    """Traits as people say them: `colour RD, strike weak, plus`."""
    return ", ".join(name.replace(":", " ").removesuffix(" +") for name in names)


def effect_of(header: Mapping[str, Any], series: str, names: Iterable[str]) -> tuple[float, float]:
    """Effect of some traits on log price in a series, and how unsure it is; names that nobody knows have none."""
    own = header["series"].get(series, {}).get("traits", {})
    found = [tuple(own.get(name) or header.get("traits", {}).get(name) or (0.0, 0.0)) for name in names]
    return sum(effect for effect, _ in found), sum(spread * spread for _, spread in found) ** 0.5


def effects_told(header: Mapping[str, Any], series: str, names: Iterable[str]) -> tuple[tuple[str, float], ...]:
    """What each of some traits, and of those that the series has figures of its own for, does to log price there;
    those that would round to no per cent left out."""
    own = header["series"].get(series, {}).get("traits", {})
    found = ((name, effect_of(header, series, (name,))[0]) for name in sorted({*own, *names}))
    return tuple((name, effect) for name, effect in found if abs(effect) >= SEEN)


def unsaid_spread(header: Mapping[str, Any], series: str, names: Iterable[str]) -> float:
    """Spread of log value that the kinds leave of which nothing is said: a mixture of what the archive holds."""
    spreads: Mapping[str, float] = header["series"].get(series, {}).get("unsaid", {})
    kinds = set(map(kind_of, names))
    return float(sum(spread * spread for kind, spread in spreads.items() if kind not in kinds) ** 0.5)
