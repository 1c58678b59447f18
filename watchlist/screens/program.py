"""What the program gives to each of its screens: its parts, and the way to other windows."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from typing import Any, Protocol

from watchlist.screens.background.changes import Changes
from watchlist.screens.background.follow_ups import FollowUps
from watchlist.screens.background.gathering import Gathering
from watchlist.screens.background.messages import Messages
from watchlist.screens.background.pen import Pen
from watchlist.screens.background.shelf_access import ShelfAccess
from watchlist.screens.background.undo import Undo
from watchlist.screens.background.view import View
from watchlist.screens.background.work import Work
from watchlist.screens.background.writer import Writer
from watchlist.screens.keys import Keys
from watchlist.screens.looks import Brush
from watchlist.screens.terminal.outside import Outside


class Windows(Protocol):
    """The way to other windows, and what is done to all of them."""

    def show(self, name: str) -> None:
        """One of the five screens."""

    def open(self, name: str, *given: Any, then: Callable[[Any], None] | None = None) -> None:
        """A window over the screen, made of what is given; `then` gets what it answers."""

    def close(self) -> None:
        """The window on top, where one lies over the screen."""

    def show_wants_lots(self, want: str) -> None:
        """The Tray, sifted for the lots of a want."""

    def stand_on(self, key: str) -> None:
        """Highlight a lot on the screen on top, where it is in sight."""

    def status(self) -> str:
        """What the status line shows."""

    def turn_look(self) -> None:
        """Dark to light and back."""

    def draw_again(self) -> None:
        """Send the whole screen again."""

    def back_to_shell(self) -> None:
        """Back to the shell."""

    def leave(self) -> None:
        """Quit."""


@dataclass(frozen=True, slots=True)
class Program:
    """The parts that all screens share. A part of a screen is given those of them that it needs."""

    access: ShelfAccess
    pen: Pen
    keys: Keys
    brush: Brush
    view: View
    messages: Messages
    changes: Changes
    work: Work
    writer: Writer
    follow_ups: FollowUps
    gathering: Gathering
    undo: Undo
    outside: Outside
    windows: Windows
    drafts: dict[tuple[str, str], Mapping[str, str]] = field(default_factory=dict)
    """What was typed into forms that were left, by the form and what it is about: it comes back in this run."""
