"""Help for one screen: its keys, the marks and states, the sift, where files live."""

from __future__ import annotations

from collections.abc import Sequence

from watchlist.core.marks.record import SIGNS
from watchlist.page.columns import wrap
from watchlist.page.rows import STATES
from watchlist.page.wording import MARK_WORDS
from watchlist.screens import actions
from watchlist.screens.looks import Paint, ink
from watchlist.screens.program import Program
from watchlist.screens.text_screen import TextScreen

WHEN = {
    "copy": "the title or description says copy, replica, tribute or fantasy",
    "doubt": "signs seen at caution or stronger; never a verdict",
    "unclear": "no coin, no grade where one is needed, several pieces, or two readings",
    "few sales": "not enough sales for a value, or one too wide to judge by, and no band of your own",
    "bargain": "final price, or bid near the end, well below value; no doubt",
    "low": "under the value's low but no Bargain: signs, unsure, or too small a chance",
    "over": "above the value's high",
    "above ceiling": "not above the value's high, but dearer than your ceiling",
    "in range": "inside the value, or an open auction, too early to judge",
}
SIFTS = "WORD YEAR mark:b gap<-10 all-in<300 closes<2d venue:NAME seller:NAME state:f not WORD"


def help_for(program: Program, screen: str) -> TextScreen:
    """Help for a screen."""

    def lines(width: int) -> Sequence[Paint]:
        found: list[Paint] = []
        for action in actions.on(screen):
            if program.keys.of(action):
                found += _entry(program.keys.label(action), f"{action.name}: {action.words}", 14, width)
        found += _head("Marks")
        for mark, sign in SIGNS.items():
            found += _entry(sign, f"{MARK_WORDS[mark]}: {WHEN[mark]}", 3, width)
        states = ", ".join(f"{letter} {state}" for state, letter in STATES.items())
        found += [*_head("States"), *_entry("", f"{states}; a seen lot has none", 0, width)]
        sifts = f"{SIFTS}. Words begin words of the title; marks and states by letter or name."
        found += [*_head("Sift"), *_entry("", sifts, 0, width)]
        path = program.access.path
        files = f"Everything is saved in {path}; settings.toml there takes [keys] by the names in docs/keys.md."
        return [*found, *_head("Files"), *_entry("", files, 0, width)]

    return TextScreen(program, "help", (f"Help: {screen.capitalize()}", "esc goes back"), lines)


def _head(name: str) -> list[Paint]:
    return [[("ink", "")], [("head", name)]]


def _entry(label: str, text: str, wide: int, width: int) -> list[Paint]:
    if width < 2 * wide:
        return ink(wrap(f"{label}  {text}", max(width, 8), indent="  "))
    room = max(width - wide - 1, 8)
    parts = wrap(text, room)
    first = label.ljust(wide)
    if len(label) > wide:
        return [[("ink!", label)], *([("ink", " " * wide + " " + part)] for part in parts)]
    return [[("ink!", first), ("ink", " " + parts[0])], *([("ink", " " * wide + " " + part)] for part in parts[1:])]
