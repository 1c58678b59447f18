"""Promises of the screens that can be computed: contrast, documents that agree with the keys, signs beside colours.

Contrast: Web Content Accessibility Guidelines 2.2, relative luminance and contrast ratio."""

from __future__ import annotations

import os
import pty
import select
import signal
import struct
import subprocess
import sys
import time
from pathlib import Path

import pytest

from watchlist.core.marks import SIGNS
from watchlist.screens.keydocs import page
from watchlist.screens.keys import ACTIONS, LISTS, on
from watchlist.screens.looks import LOOKS, contrast

ROOT = Path(__file__).resolve().parents[2]


@pytest.mark.parametrize("name", sorted(LOOKS))
def test_every_ink_stands_out_from_its_ground(name: str) -> None:
    look = LOOKS[name]
    for role in ("ink", "quiet", "bargain", "doubt", "over"):
        assert contrast(getattr(look, role), look.ground) >= 4.5, role


def test_the_measure_of_contrast_is_that_of_the_guidelines() -> None:
    assert contrast("#000000", "#ffffff") == pytest.approx(21.0)
    assert contrast("#777777", "#ffffff") == pytest.approx(4.48, abs=0.01)  # the guidelines' known near miss


def test_marks_differ_by_letter_not_by_colour_alone() -> None:
    assert len(set(SIGNS.values())) == len(SIGNS)


def test_the_page_of_keys_is_the_table_of_keys() -> None:
    assert (ROOT / "docs" / "keys.md").read_text("utf-8") == page()


def test_no_key_needs_altgr_alt_or_what_terminals_take() -> None:
    taken = {"ctrl+i", "ctrl+m", "ctrl+h", "ctrl+j", "ctrl+[", "ctrl+a", "ctrl+b", "ctrl+s"}
    for action in ACTIONS:
        assert not taken & set(action.keys), action.id
        assert not any(key.startswith("alt+") for key in action.keys), action.id


def test_no_screen_gives_one_key_two_meanings() -> None:
    for screen in (*LISTS, "ticket"):
        keys = [key for action in on(screen) for key in action.keys]
        assert len(keys) == len(set(keys)), screen


class Terminal:
    """The program in a pseudo-terminal of 80 by 24."""

    def __init__(self, *words: str, **environ: str) -> None:
        self.master, slave = pty.openpty()
        import fcntl
        import termios

        fcntl.ioctl(slave, termios.TIOCSWINSZ, struct.pack("HHHH", 24, 80, 0, 0))
        env = {name: text for name, text in os.environ.items() if name not in ("NO_COLOR", "CI")}
        self.process = subprocess.Popen(
            [sys.executable, "-m", "watchlist", *words], stdin=slave, stdout=slave, stderr=slave, close_fds=True,
            env={**env, "TERM": "xterm-256color", "COLORTERM": "truecolor", **environ}, start_new_session=True,
        )
        os.close(slave)
        self.seen = b""

    def until(self, text: bytes, seconds: float = 40.0) -> None:
        """Read until the text has been drawn."""
        stop = time.monotonic() + seconds
        while text not in self.seen:
            ready, _, _ = select.select([self.master], [], [], max(stop - time.monotonic(), 0))
            assert ready, f"{text!r} was not drawn; seen {self.seen[-400:]!r}"
            self.seen += os.read(self.master, 65_536)

    def end(self) -> int:
        """Read what is left and wait for the end."""
        while True:
            ready, _, _ = select.select([self.master], [], [], 20)
            assert ready, "the program does not end"
            try:
                more = os.read(self.master, 65_536)
            except OSError:
                break
            if not more:
                break
            self.seen += more
        os.close(self.master)
        return self.process.wait(20)


WHOLE = (b"\x1b[?1049l", b"\x1b[?1000l", b"\x1b[?25h")
"""The window as it was: no second screen, no mouse reports, the cursor shown."""


def test_quit_leaves_the_terminal_whole(shelf: Path) -> None:
    there = Terminal("--shelf", str(shelf))
    there.until(b"Tray")
    os.write(there.master, b"q")
    assert there.end() == 0
    assert all(code in there.seen for code in WHOLE)


def test_sigterm_leaves_the_terminal_whole_and_says_143(shelf: Path) -> None:
    there = Terminal("--shelf", str(shelf))
    there.until(b"Quit")
    there.process.send_signal(signal.SIGTERM)
    assert there.end() == 143
    assert all(code in there.seen for code in WHOLE)


def test_no_color_sends_no_colour(shelf: Path) -> None:
    import re

    there = Terminal("--shelf", str(shelf), NO_COLOR="1")
    there.until(b"Quit")
    os.write(there.master, b"q")
    there.end()
    styles = [code for found in re.findall(rb"\x1b\[([\d;]*)m", there.seen) for code in found.split(b";")]
    assert not [code for code in styles if re.fullmatch(rb"3[0-8]|4[0-8]|9[0-7]|10[0-7]", code)]
    assert b"7" in styles, "the highlighted row is reversed"


def test_a_dumb_terminal_is_refused_with_the_command_that_prints(shelf: Path) -> None:
    there = Terminal("--shelf", str(shelf), TERM="dumb")
    assert there.end() == 2
    assert b"watchlist gather" in there.seen
