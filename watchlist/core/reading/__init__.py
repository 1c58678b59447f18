"""A title to a reading."""

from watchlist.core.reading.output import from_json, to_json
from watchlist.core.reading.reader import TEACHABLE, Correction, Reader
from watchlist.core.reading.record import Reading, Span

__all__ = ["TEACHABLE", "Correction", "Reader", "Reading", "Span", "from_json", "to_json"]
