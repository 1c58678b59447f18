"""Population counts: how many pieces of an issue a grading service says it has certified, grade by grade, on a day."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import date


@dataclass(frozen=True, slots=True)
class Count:
    """One row of a service's list."""

    issue: str
    service: str
    grade: int
    pieces: int
    day: date


@dataclass(frozen=True, slots=True)
class Population:
    """What one service has certified of one issue."""

    service: str
    day: date
    grades: Mapping[int, int] = field(default_factory=dict)
    """By grade of the 70-point scale: pieces. One that was sent in twice counts twice."""

    @property
    def total(self) -> int:
        """Pieces in any grade."""
        return sum(self.grades.values())

    @property
    def finest(self) -> int:
        """The finest grade with a piece."""
        return max(grade for grade, pieces in self.grades.items() if pieces)

    def at_or_above(self, grade: int) -> int:
        """Pieces in this grade or better."""
        return sum(pieces for each, pieces in self.grades.items() if each >= grade)
