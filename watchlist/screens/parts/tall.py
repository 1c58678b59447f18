"""A list whose rows may take more than one line: what is too long for its column runs on below."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Protocol

from textual.geometry import Region

from watchlist.screens.looks import Paint
from watchlist.screens.parts.listing import Content, Listing


class TallContent(Content, Protocol):
    """What such a list is about."""

    def lines(self, at: int, width: int) -> Sequence[Paint]:
        """All lines of one row."""


class TallListing(Listing):
    """The rows in sight, each with its further lines; few enough that all of them can be looked at."""

    content: TallContent

    def _height(self, at: int) -> int:
        return len(self.content.lines(at, self.size.width))

    def place(self, y: int) -> tuple[int, int]:
        """The row that stands in a line, and which of its lines that is."""
        at, left = self.top, y - self.head_lines
        while self.rows.low <= at < self.rows.high and left >= self._height(at):
            left -= self._height(at)
            at += 1
        return at, left

    def line_of(self, at: int) -> int:
        """The line in which a row begins."""
        return self.head_lines + sum(self._height(each) for each in range(self.top, at))

    @property
    def room(self) -> int:
        """Rows that are whole in sight."""
        left, at = super().room, self.top
        while at < self.rows.high and left >= (tall := self._height(at)):
            left, at = left - tall, at + 1
        return max(at - self.top + max(left, 0) * (at >= self.rows.high), 1)

    def _follow(self) -> None:
        super()._follow()
        while self.top < self.at and self.line_of(self.at) + self._height(self.at) > self.size.height:
            self.top += 1
        while self.top > self.rows.low and self.top + super().room >= self.rows.high and self._blank(self.top - 1):
            self.top -= 1

    def _blank(self, top: int) -> bool:
        """With this row at the top, too, the last one is whole in sight."""
        return self.head_lines + sum(map(self._height, range(top, self.rows.high))) <= self.size.height

    def _text(self, at: int, line: int, width: int) -> Paint:
        return self.content.lines(at, width)[line]

    def refresh_row(self, at: int) -> None:
        """Draw one row again, all its lines."""
        if self.top <= at < self.rows.high:
            self.refresh(Region(0, self.line_of(at), self.size.width, self._height(at)))
