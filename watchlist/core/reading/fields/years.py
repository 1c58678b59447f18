"""The dates of a title as they are found."""

from __future__ import annotations

from dataclasses import dataclass, field


@dataclass(slots=True)
class Year:
    """One date of a title."""

    year: int
    start: int
    end: int
    """Token after the date's last figure; a mint letter may follow."""
    last: int | None = None
    """Last year of a range."""
    over: str = ""
    """Figures under the date: `1` of 1942/1."""
    bracketed: bool = False
    denied: bool = False
    score: float = 0.95


@dataclass(slots=True)
class Dates:
    """All dates of a title."""

    found: list[Year] = field(default_factory=list)
    era: Year | None = None
    """A year of another era, converted."""
    restruck: bool = False
    """A later year says when the piece was struck again."""
