"""Rows of pieces that a person has had from before: what each is, when and from whom it came, what it cost."""

from __future__ import annotations

import hashlib
from collections import Counter
from dataclasses import dataclass, replace
from datetime import date

from watchlist.core.imports.cells import money, named
from watchlist.core.imports.dates import day
from watchlist.core.imports.kind import COIN, File, Kind
from watchlist.core.imports.prices import certified, graded
from watchlist.core.imports.record import CellError, Row
from watchlist.core.money.amount import Money
from watchlist.core.reading.record import Reading


@dataclass(frozen=True, slots=True)
class OwnPiece:
    """One piece."""

    id: str
    """The person's own number; without one of what the row says, so that the same file again brings no second piece."""
    number: str
    """The person's own; empty without one."""
    issue: str
    reading: Reading
    bought: date | None
    source: str
    """From whom."""
    cost: Money | None
    """With everything it cost to have it."""
    note: str
    pictures: tuple[str, ...]
    """Paths, as written."""
    want: str
    """The want that it fills."""
    place: str = ""
    """Where it is stored."""


class _Rows:
    """The rows of one file."""

    def __init__(self, file: File) -> None:
        self._file = file
        self._said = Counter[str]()

    def read(self, row: Row) -> OwnPiece:
        """The piece that a row names. Raises CellError."""
        context = self._file.context
        issue, _, reading = self._file.finder.of_row(row)
        title = row.get("title") or " ".join(filter(None, (issue.name, row.get("grade"))))
        told = reading or context.reader.read(title, "", row.values)
        low, high, problems = graded(row, issue, context)
        holds, service = certified(row.get("certified"), context)
        told = replace(
            told,
            issue=issue.key,
            grade_low=told.grade_low if low is None else low,
            grade_high=told.grade_high if high is None else high,
            grade_text=row.get("grade") or told.grade_text,
            problems=problems or told.problems,
            certified=holds or bool(service) or told.certified,
            service=service or told.service,
            cert_number=row.get("cert_number") or told.cert_number,
        )
        want = row.get("want_id")
        if want and want not in context.wants:
            raise CellError(f"there is no want `{want}`")
        return OwnPiece(
            row.get("lot_id") or self._id(row),
            row.get("lot_id"),
            issue.key,
            told,
            self._bought(row),
            row.get("source"),
            self._cost(row),
            row.get("note"),
            tuple(filter(None, map(str.strip, row.get("image").split(";")))),
            want,
            row.get("place"),
        )

    def _bought(self, row: Row) -> date | None:
        """The day; one that is only half known, as of old pieces it often is, costs no row."""
        text = row.get("sale_date")
        try:
            return day(text, self._file.order, self._file.context) if text else None
        except CellError as error:
            self._file.leave_open(row.line, f"the day {error}; the piece is kept without one")
            return None

    def _cost(self, row: Row) -> Money | None:
        text, context = row.get("all_in"), self._file.context
        if not text:
            return None
        return named(
            "cost", lambda cell: money(cell, row.get("currency"), self._file.mark, context, kind="all_in"), text
        )

    def _id(self, row: Row) -> str:
        """Two rows that say just the same are two pieces."""
        said = repr(sorted(row.values.items()))
        self._said[said] += 1
        return hashlib.sha256(f"{said} {self._said[said]}".encode()).hexdigest()[:8]


PIECES = Kind(
    "a list of pieces",
    (*COIN, ("grade", "title")),
    lambda file: _Rows(file).read,
    amounts=("all_in",),
    dates="sale_date",
    same=lambda piece: piece.id,
    again=lambda piece: f"the piece {piece.number}",
)
