"""Fewer bytes for a far terminal: of what the library draws again, only the cells that differ are sent.

A model of the window holds what was sent last. Anything this module does not understand passes through unchanged, and
what it may have touched is unknown from then on.
"""

from __future__ import annotations

import re
from typing import NamedTuple

from watchlist.page.columns import cell

TOKEN = re.compile(
    r"\x1b\[(\d+);(\d+)H|\x1b\[([\d;]*)m|(\x1b\[\?2026[hl])|(\n)|([ -~]+)|([^\x00-\x1f\x7f]+)|(.)", re.DOTALL
)
GAP = 6
"""Equal cells between two different ones that are sent along: moving over them costs as much."""
Cell = tuple[str, str]


class Diff:
    """One stream to a terminal: what the window shows already is left out."""

    def __init__(self) -> None:
        self._rows: dict[int, dict[int, Cell]] = {}
        self._row, self._column, self._style = 1, 1, ""
        self._at: tuple[int, int] | None = None
        """Where the terminal's cursor is, if that is known."""
        self._worn: str | None = None
        """The style the terminal writes in, if that is known."""
        self._out: list[str] = []

    def clear(self) -> None:
        """Nothing is known of the window: it was cleared, resized, or left and entered again."""
        self._rows.clear()
        self._at = self._worn = None

    def feed(self, data: str) -> str:
        """The same drawing in fewer bytes."""
        if "\x1b[" not in data or len(data) > 400_000:
            self.clear()
            return data
        self._out = []
        for found in TOKEN.finditer(data):
            row, column, style, sync, line, plain, wide, _ = found.groups()
            if plain is not None:
                self._plain(plain)
            elif style is not None:
                self._style = "" if style in ("", "0") else style
            elif row is not None:
                self._row, self._column = int(row), int(column)
            elif sync is not None:
                self._out.append(sync)
            elif wide is not None:
                self._wide(wide)
            elif line is None:
                return self._as_it_is(data[found.start() :])
        self._move()
        return "".join(self._out)

    def _plain(self, text: str) -> None:
        """A run of letters of one cell each: only what differs, with short gaps between."""
        known = self._rows.setdefault(self._row, {})
        style, column = self._style, self._column
        start = None
        last = 0
        for place, letter in enumerate(text, column):
            if known.get(place) != (letter, style):
                known[place] = (letter, style)
                if start is not None and place - last > GAP:
                    self._send(text[start - column : last - column + 1], start)
                    start = None
                if start is None:
                    start = place
                last = place
        if start is not None:
            self._send(text[start - column : last - column + 1], start)
        self._column = column + len(text)

    def _send(self, text: str, column: int) -> None:
        if self._at != (self._row, column):
            self._out.append(f"\x1b[{self._row};{column}H")
        self._wear()
        self._out.append(text)
        self._at = (self._row, column + len(text))

    def _wear(self) -> None:
        if self._worn != self._style:
            self._out.append(f"\x1b[{shift(self._worn, self._style)}m")
            self._worn = self._style

    def _move(self) -> None:
        if self._at != (self._row, self._column):
            self._out.append(f"\x1b[{self._row};{self._column}H")
            self._at = (self._row, self._column)

    def _wide(self, text: str) -> None:
        """Letters of other scripts: sent as they are; the rest of their row is unknown."""
        self._move()
        self._wear()
        self._out.append(text)
        row = self._rows.get(self._row, {})
        for place in [place for place in row if place >= self._column]:
            del row[place]
        self._at = None
        self._column += sum(map(cell, text))

    def _as_it_is(self, rest: str) -> str:
        """Something else than drawing: passed on in plain style, and nothing is known any more."""
        plain = "" if self._worn in ("", None) else "\x1b[0m"
        self.clear()
        return "".join(self._out) + plain + rest


OFF = {"1": "22", "2": "22", "3": "23", "4": "24", "7": "27"}
"""What takes an attribute off again."""
STYLE = re.compile(
    r"((?:[1-9];|[1-9]$)*)(38;2;\d+;\d+;\d+|38;5;\d+|3[0-79]|9[0-7])?"
    r";?(48;2;\d+;\d+;\d+|48;5;\d+|4[0-79]|10[0-7])?"
)


class Style(NamedTuple):
    """What stands between `CSI` and `m`, in its parts."""

    attributes: tuple[str, ...]
    ink: str
    ground: str


def shift(before: str | None, after: str) -> str:
    """The shortest way from one style to another; styles are what stands between `CSI` and `m`."""
    anew = f"0;{after}" if after else "0"
    old, new = _parts(before), _parts(after)
    if not after or old is None or new is None or _only_a_reset_clears(old, new):
        return anew
    off = dict.fromkeys(OFF[part] for part in old.attributes if part not in new.attributes)
    # bold and faint go off together, so that one that stays is put on again
    on = [part for part in new.attributes if part not in old.attributes or OFF.get(part) in off]
    colours = [colour for was, colour in zip(old[1:], new[1:], strict=True) if colour and colour != was]
    return ";".join([*off, *on, *colours]) or anew


def _only_a_reset_clears(old: Style, new: Style) -> bool:
    """Something goes that has no code of its own to take it off: an attribute we do not know, a colour."""
    unknown = any(part not in OFF for part in old.attributes if part not in new.attributes)
    return unknown or bool(old.ink and not new.ink) or bool(old.ground and not new.ground)


def _parts(style: str | None) -> Style | None:
    """Attributes, ink and ground; None for a style of another shape, or one that is not known."""
    found = STYLE.fullmatch(style) if style is not None else None
    if found is None:
        return None
    return Style(tuple(part for part in found[1].split(";") if part), found[2] or "", found[3] or "")
