"""Text in terminal cells: how wide it is, cut, padded, wrapped, laid in columns."""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Sequence

WIDE = frozenset("WF")
ZERO = frozenset(("Mn", "Me", "Cf"))
_FIGURE = re.compile(r"[-+(]?\d")
PRINTED = 100
"""Cells of a line in a text file."""


def cell(letter: str) -> int:
    """How many cells one letter takes: 0, 1 or 2 (Unicode Standard Annex 11, east Asian width)."""
    if letter.isascii():
        return 1
    if unicodedata.category(letter) in ZERO:
        return 0
    return 2 if unicodedata.east_asian_width(letter) in WIDE else 1


def cells(text: str) -> int:
    """The width of a text in cells."""
    return len(text) if text.isascii() else sum(map(cell, text))


def cut(text: str, width: int) -> str:
    """The text in at most `width` cells, cut between words where that loses little, marked with two dots."""
    if cells(text) <= width:
        return text
    if width <= 2:
        return ".."[: max(width, 0)]
    kept = beginning(text, width - 2)
    space = kept.rfind(" ")
    if space > len(kept) * 2 // 3 and text[len(kept)] not in " ,;":
        kept = kept[:space]
    return kept.rstrip(" ,;-.") + ".."


def shortened(text: str, width: int) -> str:
    """A sentence in at most `width` cells, cut behind a word and never inside an amount, marked with two dots."""
    if cells(text) <= width:
        return text
    kept = beginning(text, max(width - 2, 0))
    words = kept.split(" ")
    words = words if text[len(kept)] == " " else words[:-1]
    while words and _FIGURE.match(words[-1]):  # its currency or its unit would be missing
        words.pop()
    return " ".join(words).rstrip(" ,;:-.") + ".." if any(words) else cut(text, width)


def beginning(text: str, width: int) -> str:
    """As many letters as fit into so many cells."""
    used = 0
    for place, letter in enumerate(text):
        used += cell(letter)
        if used > width:
            return text[:place]
    return text


def pad(text: str, width: int, *, right: bool = False) -> str:
    """The text in exactly `width` cells, cut or filled with blanks; `right` puts it at the right edge."""
    short = cut(text, width)
    fill = " " * (width - cells(short))
    return fill + short if right else short + fill


def wrap(text: str, width: int, *, indent: str = "") -> list[str]:
    """Words laid in lines of at most `width` cells; a longer word is broken. The first line begins with the blanks
    that the text begins with, later lines with `indent`."""
    lines: list[str] = []
    line = ""
    lead = text[: len(text) - len(text.lstrip(" "))]
    for word in text.split():
        if line and cells(line) + 1 + cells(word) <= width:
            line += " " + word
            continue
        if line:
            lines.append(line)
        *full, line = _broken(word, indent if lines else lead, indent, width)
        lines += full
    return [*lines, line] if line or not lines else lines


def _broken(word: str, start: str, indent: str, width: int) -> list[str]:
    """The lines of one word behind `start`, later ones behind `indent`; the last has room for more, or is empty."""
    lines: list[str] = []
    while word and cells(start) + cells(word) > width:
        head = beginning(word, max(width - cells(start), 1)) or word[:1]
        lines.append(start + head)
        word, start = word[len(head) :], indent
    return [*lines, start + word if word else ""]


def fitting(text: str, width: int, lines: int) -> list[str]:
    """The text in at most so many lines: whole sentences and clauses go from the end until it fits; a first one that
    is too long by itself is cut."""
    ends = [at for at, sign in enumerate(text) if sign in ".;" and text[at + 1 : at + 2] == " "]
    last: list[str] = []
    for said in (text, *(f"{text[:end]}." for end in reversed(ends))):
        last = wrap(said, width)
        if len(last) <= lines:
            return last
    return [*last[: lines - 1], shortened(" ".join(last[lines - 1 :]), width)]


def table(
    rows: Sequence[Sequence[str]],
    *,
    right: frozenset[int] = frozenset(),
    gap: int = 2,
    width: int = 0,
    give: Sequence[int] = (),
) -> list[str]:
    """Rows in columns as wide as their widest cell; `right` names the columns of figures.

    With a `width`, the columns of `give` are cut in turn, each to no less than 12 cells, until the lines fit."""
    if not rows:
        return []
    widths = [max(cells(row[i]) for row in rows) for i in range(len(rows[0]))]
    for column in give if width else ():
        over = sum(widths) + gap * (len(widths) - 1) - width
        widths[column] = max(min(widths[column], 12), widths[column] - max(over, 0))
    blank = " " * gap
    return [blank.join(pad(text, widths[i], right=i in right) for i, text in enumerate(row)).rstrip() for row in rows]
