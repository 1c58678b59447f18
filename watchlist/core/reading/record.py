"""What a lot says of its piece, field by field, with the words each field rests on and where they stand."""

from __future__ import annotations

from dataclasses import dataclass

TITLE = "title"
DESCRIPTION = "description"
COLUMN = "column"
"""Where the words of a field stand."""


@dataclass(frozen=True, slots=True)
class Span:
    """The words that one field rests on; start and end count within the text where they stand."""

    field: str
    start: int
    end: int
    text: str
    confidence: float
    """0 to 1; under .5 the field is a guess."""
    place: str = TITLE
    """Title, description or column: a cell of the lot's table, or an element of its feed."""


@dataclass(frozen=True, slots=True)
class Reading:
    """One title read. Vocabulary: docs/formats.md; a field the title does not give is None, empty or False."""

    title: str
    country: str | None = None
    denomination: str | None = None
    year: int | None = None
    years: tuple[int, ...] = ()
    """All years when the title names several; then `year` is None."""
    mint: str | None = None
    denied_mints: tuple[str, ...] = ()
    """Mint marks that the title denies ("no D", "not S")."""
    variety: str | None = None
    grade_low: int | None = None
    grade_high: int | None = None
    grade_text: str | None = None
    certified: bool = False
    service: str | None = None
    cert_number: str | None = None
    designations: tuple[str, ...] = ()
    strike: str | None = None
    """sharp, full details, weak or flat."""
    date_state: str | None = None
    """What wear has left of the date: readable, partial or gone."""
    problems: tuple[str, ...] = ()
    problem_words: tuple[str, ...] = ()
    multiple: bool = False
    quantity: int | None = None
    replica: bool = False
    kind: str = "coin"
    """coin, medal, token, bar, set or other."""
    unsure: tuple[str, ...] = ()
    """Fields where two readings survive or the seller hedges: no bargain mark then."""
    alternatives: tuple[tuple[str, str], ...] = ()
    """(field, value) of readings that were nearly as good."""
    confidence: float = 0.0
    """0 to 1, of the fields that decide what the piece is."""
    spans: tuple[Span, ...] = ()
    issue: str = ""
    """Key of the issue that the person bound the lot to; empty: told from the fields."""

    @property
    def details(self) -> bool:
        """A details grade: said to be one, or certified with a fault. Such a grade speaks of the wear alone."""
        return "details" in self.problems or (self.certified and bool(self.problems))
