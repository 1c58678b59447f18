"""The pieces that feeds have shown, issue by issue, for counts of how often one is met."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from datetime import date

from watchlist.shelf.store.connection import Connection
from watchlist.shelf.store.filters import MARKS
from watchlist.shelf.store.rows import instant

_SQL = f"""SELECT issue, key, grade_low, service, cert, fingerprint, first_seen FROM lots
    WHERE issue = ? AND mark IS NOT {MARKS.index("copy")}"""


@dataclass(frozen=True, slots=True)
class Sighting:
    """One lot of an issue; lots that show the same piece share its name."""

    issue: str
    lot: str
    piece: str
    """Its certificate, else what a relisted lot keeps, else the lot's key."""
    grade: int | None
    """Number of the 70-point scale, the least that was stated."""
    day: date | None


class Sightings:
    """Lots as sightings of pieces; disclosed copies are none."""

    def __init__(self, db: Connection) -> None:
        self._db = db

    def of(self, issues: Iterable[str]) -> Iterator[Sighting]:
        """All lots of these issues that are kept."""
        for issue in issues:
            for name, key, grade, service, cert, fingerprint, first in self._db.each(_SQL, (issue,)):
                piece = f"{service} {cert}" if cert else fingerprint or key
                seen = instant(first)
                yield Sighting(name, key, piece, grade, seen.date() if seen else None)
