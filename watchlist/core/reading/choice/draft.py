"""A title's fields while they are being put together."""

from __future__ import annotations

from dataclasses import dataclass, field

from watchlist.core.reading.fields.facevalues import Value
from watchlist.core.reading.fields.grouplots import Many
from watchlist.core.reading.fields.mints import Mints
from watchlist.core.reading.fields.services import Holder
from watchlist.core.reading.fields.years import Dates, Year
from watchlist.core.reading.scanning.scan import Scan
from watchlist.core.reading.vocabulary.gradegrammar import Grade
from watchlist.core.reading.vocabulary.vocabulary import Vocabulary


@dataclass(slots=True)
class Draft:
    """The fields of a title while they are being put together."""

    scan: Scan
    vocabulary: Vocabulary
    many: Many = field(default_factory=Many)
    dates: Dates = field(default_factory=Dates)
    year: int | None = None
    values: list[Value] = field(default_factory=list)
    holder: Holder = field(default_factory=Holder)
    certificate: str | None = None
    mint: Mints = field(default_factory=Mints)
    grade: Grade | None = None
    grade_score: float = 0.0
    grade_text: str | None = None
    country: str | None = None
    country_sure: float = 0.0
    unsure: dict[str, None] = field(default_factory=dict)
    other: list[tuple[str, str]] = field(default_factory=list)

    @property
    def single_years(self) -> list[Year]:
        """The dates of the title that are no ranges."""
        return [year for year in self.dates.found if year.last is None]

    def doubt(self, name: str, *others: str) -> None:
        """A field is not sure; `others`: what else it may be."""
        self.unsure[name] = None
        self.other += [(name, other) for other in others]
