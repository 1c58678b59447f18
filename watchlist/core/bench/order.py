"""Which checks to make of a piece, in what order, by its metal and by how its kind is copied."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any, Literal

from watchlist.core.bench.alloys import Metals
from watchlist.core.coins.issue import Issue, bare_words

Kind = Literal["altered", "gold", "plated", "cast", "silver", "base"]
MINT_STATE = 60
"""From this grade on nothing is wetted."""


@dataclass(frozen=True, slots=True)
class Step:
    """One check to make."""

    name: str
    text: str
    """What to do."""
    tells: str
    """What it can and cannot say."""


@dataclass(frozen=True, slots=True)
class Order:
    """The checks of one issue, the first first."""

    kind: Kind
    steps: tuple[Step, ...]
    avoid: tuple[str, ...]
    """What not to do."""
    made: str = ""
    """How copies of such a piece are usually made."""


def order_of(issue: Issue, grade: int | None, metals: Metals, table: Mapping[str, Any]) -> Order:
    """The order for an issue in a grade, from the parsed words/bench.toml."""
    kind = kind_of(issue, metals, table)
    dry = grade is not None and grade >= MINT_STATE
    names = [name for name in table["order"][kind] if not (dry and table["check"][name].get("wet"))]
    steps = [Step(name, table["check"][name]["text"], table["check"][name]["tells"]) for name in names]
    return Order(kind, tuple(steps), (table["avoid"]["all"], table["avoid"]["wet"]), table["made"][kind])


def kind_of(issue: Issue, metals: Metals, table: Mapping[str, Any]) -> Kind:
    """How a piece of this issue is likely to be copied: as the catalogue's note says, else by its metal."""
    note = f" {bare_words(issue.note)} "
    kinds: tuple[Kind, ...] = ("altered", "plated", "cast")
    for kind in kinds:
        if any(f" {words} " in note for words in table["kinds"][kind]):
            return kind
    alloy = metals.named(issue.metal)
    words = bare_words(issue.metal).split()
    has = {element for element, _ in alloy.shares} if alloy else {metals.names[w] for w in words if w in metals.names}
    return "gold" if "Au" in has else "silver" if "Ag" in has else "base"
