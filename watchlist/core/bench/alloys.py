"""Alloys and their densities by ideal mixing, and the alloy that a catalogue's words name."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from watchlist.core.tables import once

REAL = 0.01
"""A real alloy lies within about one per cent of the ideal (common practice)."""
Shares = tuple[tuple[str, float], ...]
"""Elements with their shares of the mass, adding up to one."""


@dataclass(frozen=True, slots=True)
class Alloy:
    """One alloy."""

    name: str
    """In plain words: `silver .900`."""
    shares: Shares
    density: float
    """g/cm3, ideally mixed."""
    fake: bool = False
    """What copies are made of; no money of its own."""

    @property
    def spread(self) -> float:
        """g/cm3 that a real alloy may lie off the ideal."""
        return REAL * self.density

    def has(self, element: str) -> bool:
        """Whether the element is in it."""
        return any(name == element for name, _ in self.shares)


@dataclass(frozen=True, slots=True)
class Metals:
    """The elements' densities and the alloys that are met."""

    densities: Mapping[str, float]
    """g/cm3 by the element's sign."""
    alloys: Sequence[Alloy]
    names: Mapping[str, str]
    """Words for an element, lower case, to its sign: `silber` to `Ag`."""

    @property
    def fakes(self) -> list[Alloy]:
        """Alloys that copies are made of."""
        return [alloy for alloy in self.alloys if alloy.fake]

    def mixed(self, shares: Shares) -> float:
        """Ideal density: the volumes add up, 1/rho = sum of share/rho."""
        return 1.0 / sum(share / self.densities[element] for element, share in shares)

    def named(self, words: str) -> Alloy | None:
        """The alloy that a catalogue's words name: `silver .835`, `Cu75Ni25`, `900 silver`, `bronze`; else None.

        A fineness without its other metal is taken with copper, the usual one (common practice).
        """
        shares = _formula(words, self.densities) or _fineness(words, self.names)
        if shares is not None:
            return Alloy(words.strip(), shares, self.mixed(shares))
        low = words.casefold()
        met = [alloy for alloy in self.alloys if not alloy.fake and alloy.name.casefold() in low]
        return max(met, key=lambda alloy: len(alloy.name), default=None)  # aluminium bronze is no plain bronze


@once
def metals_from(table: Mapping[str, Any]) -> Metals:
    """From the parsed words/alloys.toml."""
    densities = {element: float(value) for element, value in table["elements"].items()}
    bare = Metals(densities, (), {word: sign for sign, words in table["words"].items() for word in words.split()})
    alloys = []
    for row in table["alloy"]:
        shares = tuple((element, float(share)) for element, share in row["shares"].items())
        alloys.append(Alloy(row["name"], shares, bare.mixed(shares), row.get("fake", False)))
    return Metals(densities, tuple(alloys), bare.names)


_PART = re.compile(r"([A-Z][a-z]?)\s*(\d+(?:[.,]\d+)?)")
_FINE = re.compile(r"(?<![\d.,])(?:0?[.,](\d{3,4})|(\d{3})(?:[.,](\d))?)(?![\d.,])")


def _formula(words: str, known: Mapping[str, float]) -> Shares | None:
    """`Cu75Ni25`, `Ag 900 Cu 100`, `Ag835`: signs with shares; what is missing to the whole is copper."""
    found = {sign: float(share.replace(",", ".")) for sign, share in _PART.findall(words)}
    if not found or not found.keys() <= known.keys():
        return None
    total = sum(found.values())
    whole = 1.0 if total <= 1.001 else 100.0 if total <= 100.1 else 1000.0
    if total > whole * 1.001:
        return None
    if total < whole * 0.999:
        found["Cu"] = found.get("Cu", 0.0) + whole - total
    return tuple((sign, share / sum(found.values())) for sign, share in found.items())


def _fineness(words: str, names: Mapping[str, str]) -> Shares | None:
    """`silver .835`, `900 silver`, `gold 916.7`: one metal with its fineness, the rest copper."""
    sign = next((names[word] for word in re.findall(r"[^\W\d]+", words.casefold()) if word in names), None)
    fine = _FINE.search(words)
    if sign is None or fine is None:
        return None
    digits, whole, tenth = fine.groups()
    share = float(f"0.{digits}") if digits else float(f"{whole}.{tenth or 0}") / 1000
    if not 0.1 <= share <= 1:
        return None
    return ((sign, share),) if share > 0.9985 else ((sign, share), ("Cu", 1 - share))
