"""The rows of a table that an import rejected, as they stood, so that they can be put right and imported again."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from itertools import islice
from typing import Any

from watchlist.core.imports.headings import synonyms_of
from watchlist.core.imports.record import SetAside
from watchlist.feeds.bodies import decode
from watchlist.feeds.separated import LOOK_FOR_HEADINGS, find_separator, records
from watchlist.feeds.table import line_of_headings

FIRST = ("rejected line", "rejected because")
"""Headings put before those of the file."""


def rejects(
    body: bytes, aside: Sequence[SetAside], kind: str, *, encoding: str = "", synonyms: Mapping[str, Any]
) -> tuple[str, list[list[str]]]:
    """The separator of the file, and its headings and rejected rows, each with line and reason before its own cells."""
    known, why = synonyms_of(synonyms, kind), {each.line: each.why for each in aside}
    mark, lines = find_separator(decode(body, encoding), known)
    rows = records(lines, mark, _pass_over)
    first = list(islice((row for row in rows if any(map(str.strip, row[1]))), LOOK_FOR_HEADINGS))
    if not first:
        return mark, []
    at = line_of_headings(first, known, lambda _line, _words: None)
    found: Iterator[tuple[int, list[str]]] = ((n, cells) for n, cells in (*first[at + 1 :], *rows) if n in why)
    return mark, [[*FIRST, *first[at][1]], *([str(n), why[n], *cells] for n, cells in found)]


def _pass_over(_line: int) -> None:
    """A lone quote was told when the file was read."""
