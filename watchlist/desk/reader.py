"""The title reader, taught with the catalogue's own words and with what the person has corrected."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from typing import Any

from watchlist.core.coins.catalogue import Catalogue
from watchlist.core.imports.spelling import Joins
from watchlist.core.reading.reader import Reader
from watchlist.core.reading.vocabulary.corrections import Correction
from watchlist.core.reading.vocabulary.vocabulary import Vocabulary


def build_reader(
    words: Mapping[str, Any], services: Iterable[str], catalogue: Catalogue, corrections: Sequence[Mapping[str, Any]]
) -> Reader:
    """The reader of one shelf: its word tables, grading services, catalogue and corrections."""
    return Reader(Vocabulary(words, services, taught(corrections), catalogue.catalogued))


def taught(corrections: Iterable[Mapping[str, Any]]) -> list[Correction]:
    """Words taught, for all sources or for one; a correction of a single lot teaches nothing."""
    return [
        Correction(row["words"], row["field"], row["value"], row.get("source", ""))
        for row in corrections
        if row.get("kind") == "word"
    ]


def joined_words(joins: Joins) -> list[Mapping[str, str]]:
    """Spellings joined to names of the catalogue, as words taught."""
    return [
        {"kind": "word", "words": written, "field": what, "value": meant}
        for what, names in joins.items()
        for written, meant in names.items()
    ]
