"""A title's fields while they are being put together."""

from __future__ import annotations

from dataclasses import dataclass, field

from watchlist.core.reading.fields.facevalues import Value
from watchlist.core.reading.fields.grouplots import Many
from watchlist.core.reading.fields.mints import Mints
from watchlist.core.reading.fields.services import Holder
from watchlist.core.reading.fields.years import Dates
from watchlist.core.reading.scanning.scan import Scan
from watchlist.core.reading.vocabulary.gradegrammar import Grade


@dataclass(slots=True)
class Draft:
    """The fields of a title while they are being put together."""

    scan: Scan
    many: Many = field(default_factory=Many)
    dates: Dates = field(default_factory=Dates)
    values: list[Value] = field(default_factory=list)
    holder: Holder = field(default_factory=Holder)
    mint: Mints = field(default_factory=Mints)
    grade: Grade | None = None
    grade_score: float = 0.0
    grade_text: str | None = None
    country: str | None = None
    country_sure: float = 0.0
    unsure: dict[str, None] = field(default_factory=dict)
    other: list[tuple[str, str]] = field(default_factory=list)

    def doubt(self, name: str, *others: str) -> None:
        """A field is not sure; `others`: what else it may be."""
        self.unsure[name] = None
        self.other += [(name, other) for other in others]
