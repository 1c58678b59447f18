"""A title to a reading."""

from watchlist.core.reading.output import from_json, to_json
from watchlist.core.reading.reader import Correction, Reader
from watchlist.core.reading.record import Reading, Span

__all__ = ["Correction", "Reader", "Reading", "Span", "from_json", "to_json"]
