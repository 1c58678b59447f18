"""Two themes and none. Colour only repeats what sign, word and position say; `contrast` is what the tests compute."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from rich.segment import Segment
from rich.style import Style
from textual.strip import Strip
from textual.theme import Theme

from watchlist.page.columns import cells, cut

Paint = Sequence[tuple[str, str]]
"""One line as (role, text) pieces. Roles: ink, quiet, bargain, doubt, over, head, new, and with `!` at the end bold."""


def ink(lines: Iterable[str]) -> list[Paint]:
    """Lines of plain text."""
    return [[("ink", line)] for line in lines]


@dataclass(frozen=True, slots=True)
class Look:
    """Colours by role, as #rrggbb."""

    name: str
    dark: bool
    ground: str
    ink: str
    quiet: str
    bargain: str
    doubt: str
    over: str


DARK = Look("dark", True, "#14171a", "#e6e2d8", "#a8a69e", "#7cc4ff", "#ffb454", "#c9a0dc")
LIGHT = Look("light", False, "#f7f4ec", "#1d1f21", "#5a5850", "#0b5cad", "#8a4600", "#6a3a86")
LOOKS = {look.name: look for look in (DARK, LIGHT)}
PICTURES = {0xFE0E: None, 0xFE0F: None}
"""Asks for a picture or a letter: terminals do not agree how wide the sign before it then is, so it is left out."""
ROLES = ("ink", "quiet", "bargain", "doubt", "over")


def theme(look: Look) -> Theme:
    """The look as the terminal library takes it."""
    return Theme(
        look.name,
        primary=look.bargain,
        secondary=look.over,
        warning=look.doubt,
        error=look.doubt,
        success=look.bargain,
        accent=look.bargain,
        foreground=look.ink,
        background=look.ground,
        surface=look.ground,
        panel=look.ground,
        dark=look.dark,
        text_alpha=1.0,
        variables={
            "input-cursor-background": look.ink,
            "input-cursor-foreground": look.ground,
            "input-selection-background": look.quiet,
            "input-selection-foreground": look.ground,
        },
    )


def contrast(one: str, other: str) -> float:
    """The contrast of two colours by WCAG 2.2, 1 to 21."""
    high, low = sorted((_light(one), _light(other)), reverse=True)
    return (high + 0.05) / (low + 0.05)


def _light(colour: str) -> float:
    parts = [int(colour[place : place + 2], 16) / 255 for place in (1, 3, 5)]
    red, green, blue = (part / 12.92 if part <= 0.04045 else ((part + 0.055) / 1.055) ** 2.4 for part in parts)
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue


class Brush:
    """Styles by role for one look; without colour only bold, reverse and underline are left."""

    def __init__(self, look: Look, *, colour: bool) -> None:
        self.look, self.colour = look, colour
        self._styles: dict[tuple[str, bool], Style] = {}

    def take(self, look: Look) -> None:
        """Paint with another look from now on."""
        self.look = look
        self._styles.clear()

    def style(self, role: str, *, reverse: bool = False) -> Style:
        """The style of a role; `reverse` for the highlighted row."""
        known = self._styles.get((role, reverse))
        if known is None:
            known = self._styles[role, reverse] = self._make(role, reverse)
        return known

    def _make(self, role: str, reverse: bool) -> Style:
        name, bold = role.removesuffix("!"), role.endswith("!")
        ink = getattr(self.look, name) if name in ROLES else self.look.ink
        return Style(
            color=ink if self.colour else None,
            bgcolor=self.look.ground if self.colour else None,
            bold=bold or name in ("new", "head") or None,
            underline=name == "head" or None,
            reverse=reverse or None,
        )

    def strip(self, paint: Paint, width: int, *, reverse: bool = False) -> Strip:
        """One line in exactly `width` cells; what is too long is cut with two dots."""
        pieces: list[Segment] = []
        used, last = 0, "ink"
        for role, text in paint:
            if used >= width:
                break
            text, last = cut(_printable(text), width - used), role
            pieces.append(Segment(text, self.style(_highlighted(role) if reverse else role, reverse=reverse)))
            used += cells(text)
        if used < width:
            rest = "head" if last == "head" else "ink"  # a head is underlined to the edge of the window
            pieces.append(Segment(" " * (width - used), self.style(rest, reverse=reverse)))
        return Strip(pieces, width)


def _highlighted(role: str) -> str:
    """Reversed, colours are hard to read: only what is bold keeps its own."""
    return role if role.endswith("!") or role == "new" else "ink"


def _printable(text: str) -> str:
    if not text.isascii():
        text = text.translate(PICTURES)
    if not text.isprintable():  # stored before it was cleaned: nothing of it may reach the terminal raw
        text = "".join(letter for letter in text if letter.isprintable())
    return text
