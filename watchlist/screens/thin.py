"""Fewer bytes for a far terminal: of what the library draws again, only the cells that differ are sent.

A model of the window holds what was sent last. Anything this module does not understand passes through unchanged, and
what it may have touched is unknown from then on.
"""

from __future__ import annotations

import re

TOKEN = re.compile(
    r"\x1b\[(\d+);(\d+)H|\x1b\[([\d;]*)m|(\x1b\[\?2026[hl])|(\n)|([ -~]+)|([^\x00-\x1f\x7f]+)|(.)", re.DOTALL
)
GAP = 6
"""Equal cells between two different ones that are sent along: moving over them costs as much."""
Cell = tuple[str, str]


class Thin:
    """One stream to a terminal, thinned."""

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
        self._column += sum(map(_cell, text))

    def _as_it_is(self, rest: str) -> str:
        """Something else than drawing: passed on in plain style, and nothing is known any more."""
        plain = "" if self._worn in ("", None) else "\x1b[0m"
        self.clear()
        return "".join(self._out) + plain + rest


def _cell(letter: str) -> int:
    from watchlist.page.columns import cell

    return cell(letter)


def shift(before: str | None, after: str) -> str:
    """The shortest way from one style to another; styles are what stands between `CSI` and `m`."""
    if before is None or not after:
        return f"0;{after}" if after else "0"
    old, new = _parts(before), _parts(after)
    if old is None or new is None:
        return f"0;{after}"
    gone = [part for part in old[0] if part not in new[0]]
    if any(part not in OFF for part in gone) or (old[1] and not new[1]) or (old[2] and not new[2]):
        return f"0;{after}"
    parts = list(dict.fromkeys(OFF[part] for part in gone))
    off = set(parts)
    parts += [part for part in new[0] if part not in old[0] or OFF.get(part) in off]
    parts += [new[1]] if new[1] and new[1] != old[1] else []
    parts += [new[2]] if new[2] and new[2] != old[2] else []
    return ";".join(parts) or f"0;{after}"


OFF = {"1": "22", "2": "22", "3": "23", "4": "24", "7": "27"}
"""What takes an attribute off again."""
STYLE = re.compile(
    r"((?:[1-9];|[1-9]$)*)(38;2;\d+;\d+;\d+|38;5;\d+|3[0-79]|9[0-7])?"
    r";?(48;2;\d+;\d+;\d+|48;5;\d+|4[0-79]|10[0-7])?"
)


def _parts(style: str) -> tuple[list[str], str, str] | None:
    """Attributes, ink and ground; None for a style of another shape."""
    found = STYLE.fullmatch(style)
    if found is None:
        return None
    return [part for part in found[1].split(";") if part], found[2] or "", found[3] or ""
