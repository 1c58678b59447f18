"""Help for one screen, and the list of messages."""

from __future__ import annotations

from collections.abc import Sequence

from watchlist.core.marks.record import SIGNS
from watchlist.page.columns import wrap
from watchlist.page.rows import STATES, head_line
from watchlist.page.wording import MARK_WORDS
from watchlist.screens import keys
from watchlist.screens.frame import Frame
from watchlist.screens.looks import Paint

WHEN = {
    "copy": "the title or description says copy, replica, tribute or fantasy",
    "doubt": "signs seen at caution or stronger; never a verdict",
    "unclear": "no coin, no grade where one is needed, several pieces, or two readings",
    "few sales": "no band, or one too wide, and none of your own",
    "bargain": "the bargain rule of docs/marks holds",
    "in range": "inside the band",
    "over": "above the high edge, or above your ceiling",
}
SIFTS = "tor 1893 mark:b gap<-10 all-in<300 closes<2d venue:north seller:anna state:f not toned"


class Text(Frame):
    """A screen of text."""

    HAS_LIST = False
    AUTO_FOCUS = ""
    WHY = 0

    def text(self, width: int) -> Sequence[Paint]:
        """All lines."""
        return ()

    def pane(self, width: int, height: int) -> Sequence[Paint]:
        """The lines."""
        return self.text(width)

    def do_help(self) -> None:
        """Close it again."""
        self.app.pop_screen()


class Help(Text):
    """The keys of a screen, the marks and states, where files live."""

    ID = "help"
    TITLE = "Help"

    def __init__(self, screen: str) -> None:
        super().__init__()
        self._for = screen

    def head(self) -> Paint:
        """For which screen."""
        return [("ink!", head_line([f"{self.TITLE}: {self._for.capitalize()}", "esc goes back"], self.app.size.width))]

    def text(self, width: int) -> Sequence[Paint]:
        """Keys, marks, states, sift, files."""
        lines: list[Paint] = []
        table = self.app.keys
        actions = [action for action in keys.on(self._for) if table.of(action)]
        for action in actions:
            lines += _entry(table.label(action), f"{action.name}: {action.words}", 14, width)
        lines += [[("ink", "")], [("head", "Marks")]]
        for mark, sign in SIGNS.items():
            lines += _entry(sign, f"{MARK_WORDS[mark]}: {WHEN[mark]}", 3, width)
        lines += [[("ink", "")], [("head", "States")]]
        lines += _entry(
            "", ", ".join(f"{letter} {state}" for state, letter in STATES.items()) + "; a seen lot has none", 0, width
        )
        lines += [[("ink", "")], [("head", "Sift")]]
        lines += _entry("", f"{SIFTS}. Words begin words of the title; marks and states by letter or name.", 0, width)
        lines += [[("ink", "")], [("head", "Files")]]
        lines += _entry(
            "",
            f"Everything is kept in {self.app.session.path}; settings.toml there takes [keys] by "
            "the names in docs/keys.md.",
            0,
            width,
        )
        return lines


def _entry(label: str, text: str, wide: int, width: int) -> list[Paint]:
    if width < 2 * wide:
        return [[("ink", part)] for part in wrap(f"{label}  {text}", max(width, 8), indent="  ")]
    room = max(width - wide - 1, 8)
    parts = wrap(text, room)
    first = label.ljust(wide)
    if len(label) > wide:
        return [[("ink!", label)], *([("ink", " " * wide + " " + part)] for part in parts)]
    return [[("ink!", first), ("ink", " " + parts[0])], *([("ink", " " * wide + " " + part)] for part in parts[1:])]


class Messages(Text):
    """The last 200 messages, newest first."""

    ID = "messages"
    TITLE = "Messages"

    def text(self, width: int) -> Sequence[Paint]:
        """One message after the other."""
        lines: list[Paint] = []
        for message in reversed(self.app.messages):
            lines += [[("ink", part)] for part in wrap(message, width, indent=" " * 7)]
        return lines or [[("quiet", "No messages yet.")]]

    def do_messages(self) -> None:
        """Close it again."""
        self.app.pop_screen()
