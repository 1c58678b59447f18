"""The title reader, taught with the catalogue's own words and with what the person has corrected."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from typing import Any

from watchlist.core.coins.catalogue import Catalogue
from watchlist.core.reading.reader import Correction, Reader


def build_reader(
    words: Mapping[str, Any], services: Iterable[str], catalogue: Catalogue, corrections: Sequence[Mapping[str, Any]]
) -> Reader:
    """The reader of one shelf: its word tables, grading services, catalogue and corrections."""
    issues = catalogue.by_key.values()
    return Reader(
        words,
        services,
        extra_words=taught(corrections),
        known_denominations=_each(issue.denomination for issue in issues),
        known_types={issue.type: issue.denomination for issue in issues if issue.type},
        known_mints=_each(issue.mint for issue in issues if issue.mint),
        known_countries=_each(issue.country for issue in issues if issue.country),
        known_places=catalogue.places,
        known_struck=catalogue.marks,
    )


def taught(corrections: Iterable[Mapping[str, Any]]) -> list[Correction]:
    """Words taught, for all sources or for one; a correction of a single lot teaches nothing."""
    return [
        Correction(row["words"], row["field"], row["value"], row.get("source", ""))
        for row in corrections
        if row.get("kind") == "word"
    ]


def _each(values: Iterable[str]) -> list[str]:
    """Each value once, in order."""
    return list(dict.fromkeys(values))
