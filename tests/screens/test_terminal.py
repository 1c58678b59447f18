"""The screens end to end in a real pseudo-terminal: start, decide, leave, and be sent away by a signal."""

from __future__ import annotations

import os
import re
import select
import signal
import subprocess
import sys
import time
from collections.abc import Iterator
from pathlib import Path

import pytest

pty = pytest.importorskip("pty")
fcntl = pytest.importorskip("fcntl")
termios = pytest.importorskip("termios")

ROOT = Path(__file__).resolve().parents[2]
PATIENCE = 20.0
"""Seconds after which a test gives up on a word; what is measured is in the bench."""
COLOUR = re.compile(rb"\x1b\[(?:[\d;]*;)?(?:3[0-8]|4[0-8]|9[0-7]|10[0-7])(?:;[\d;]*)?m")
DRAWING = re.compile(rb"\x1b\[[?>=\d;]*[ -/]*[@-~]|\x1b\][^\x07\x1b]*(?:\x07|\x1b\\)|\x1b[PX^_].*?\x1b\\|\x1b.", re.S)


def environment(**given: str) -> dict[str, str]:
    kept = {name: value for name, value in os.environ.items() if name not in ("NO_COLOR", "TEXTUAL", "COLORTERM")}
    return kept | {"TERM": "xterm-256color", "LANG": "C.UTF-8", "PYTHONPATH": str(ROOT)} | given


def command(shelf: Path) -> list[str]:
    return [sys.executable, "-m", "watchlist", "--shelf", str(shelf), "--now", "2026-03-03T07:30:00+01:00"]


class Terminal:
    """One run of the screens at 80x24, and all that it sent."""

    def __init__(self, shelf: Path, **given: str) -> None:
        self.master, slave = pty.openpty()
        termios.tcsetwinsize(slave, (24, 80))
        self.process = subprocess.Popen(
            command(shelf), stdin=slave, stdout=slave, stderr=slave, env=environment(**given), start_new_session=True
        )
        os.close(slave)
        self.sent = b""

    def read(self, seconds: float) -> bool:
        """Take what comes within so many seconds; False when nothing came or the other end is closed."""
        if not select.select([self.master], [], [], seconds)[0]:
            return False
        try:
            part = os.read(self.master, 65536)
        except OSError:
            return False
        self.sent += part
        return bool(part)

    def until(self, word: str, start: int = 0) -> None:
        """Wait until this word stands in what was sent from a place on."""
        end = time.monotonic() + PATIENCE
        while word not in self.text(start):
            assert time.monotonic() < end, f"no {word!r} in {self.text(start)[-2000:]!r}"
            self.read(0.5)
            assert self.process.poll() is None or word in self.text(start), self.text(start)[-2000:]

    def text(self, start: int = 0) -> str:
        return DRAWING.sub(b" ", self.sent[start:]).decode("utf-8", "replace")

    def press(self, keys: str) -> int:
        """Press keys; where in `sent` the answer begins."""
        place = len(self.sent)
        os.write(self.master, keys.encode())
        return place

    def end(self) -> int:
        """Wait for the end; the exit code."""
        end = time.monotonic() + PATIENCE
        while self.process.poll() is None and time.monotonic() < end:
            self.read(0.2)
        while self.read(0):
            pass
        return self.process.wait(timeout=1)

    def close(self) -> None:
        if self.process.poll() is None:
            self.process.kill()
            self.process.wait()
        os.close(self.master)


@pytest.fixture
def terminal(sample_shelf: Path) -> Iterator[Terminal]:
    made = Terminal(sample_shelf)
    yield made
    made.close()


def assert_whole(sent: bytes) -> None:
    """Every mode that was switched on is off at the end: other screen, mouse, hidden cursor, paste."""
    for mode, left in ((b"1049", b"l"), (b"1003", b"l"), (b"1006", b"l"), (b"2004", b"l"), (b"25", b"h")):
        used = re.findall(rb"\x1b\[\?" + mode + rb"([hl])", sent)
        assert not used or used[-1] == left, mode
    assert b"\x1b[?1049l" in sent


def test_start_follow_undo_quit(terminal: Terminal) -> None:
    terminal.until("Tray")
    terminal.until("Quit")
    terminal.until("Following", terminal.press("f"))
    terminal.until("Undone", terminal.press("u"))
    terminal.press("q")
    assert terminal.end() == 0
    assert_whole(terminal.sent)


@pytest.mark.parametrize("name", ["SIGTERM", "SIGHUP"])
def test_a_signal_leaves_the_terminal_whole(terminal: Terminal, name: str) -> None:
    terminal.until("Quit")
    number = getattr(signal, name)
    terminal.process.send_signal(number)
    assert terminal.end() == 128 + number
    assert_whole(terminal.sent)


def test_no_color_sends_no_colour_code(sample_shelf: Path) -> None:
    terminal = Terminal(sample_shelf, NO_COLOR="1")
    try:
        terminal.until("Quit")
        terminal.until("Following", terminal.press("jf"))
        terminal.press("q")
        assert terminal.end() == 0
        assert COLOUR.findall(terminal.sent) == []
        assert re.search(rb"\x1b\[(?:[\d;]*;)?7(?:;[\d;]*)?m", terminal.sent), "the highlight is not reversed"
    finally:
        terminal.close()


def test_colours_are_sent_without_it(terminal: Terminal) -> None:
    """The check above can see a colour."""
    terminal.until("Quit")
    assert COLOUR.search(terminal.sent)


def test_a_dumb_terminal_is_refused(sample_shelf: Path) -> None:
    terminal = Terminal(sample_shelf, TERM="dumb")
    try:
        assert terminal.end() == 2
        assert "the screens need a terminal" in terminal.text()
        assert b"\x1b[?1049h" not in terminal.sent
    finally:
        terminal.close()


def test_a_pipe_is_refused(sample_shelf: Path) -> None:
    done = subprocess.run(
        command(sample_shelf),
        capture_output=True,
        text=True,
        env=environment(),
        stdin=subprocess.DEVNULL,
        check=False,
        timeout=PATIENCE,
    )
    assert (done.returncode, done.stdout) == (2, "")
    assert "`watchlist lots --plain`" in done.stderr


def test_a_window_that_is_closed_ends_the_program_without_any_signal(sample_shelf: Path) -> None:
    """With no controlling terminal nobody sends SIGHUP: the program must see by itself that its window is gone."""
    gone = Terminal(sample_shelf)
    gone.until("Quit")
    os.close(gone.master)
    try:
        assert gone.process.wait(timeout=PATIENCE) != 0
    finally:
        gone.process.kill()
        gone.process.wait()


COUNTED = """
import signal, sys, threading
from pathlib import Path

def tell(*_):
    names = [each.name for each in threading.enumerate()]
    Path(sys.argv[-1]).with_suffix(".new").write_text("\\n".join(names))
    Path(sys.argv[-1]).with_suffix(".new").replace(sys.argv[-1])

signal.signal(signal.SIGUSR1, tell)
from watchlist.cli.main import main
sys.exit(main(sys.argv[1:-1]))
"""
"""The program, which writes the names of its threads to a file when it is asked to."""


def test_a_signal_to_go_on_takes_the_terminal_once(
    sample_shelf: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The system sends SIGCONT along with a hang-up: a second reader of keys would outlive the program's end."""
    told = tmp_path / "threads"
    words = [sys.executable, "-c", COUNTED, *command(sample_shelf)[3:], str(told)]
    monkeypatch.setattr(sys.modules[__name__], "command", lambda _: words)
    gone = Terminal(sample_shelf)

    def readers() -> int:
        told.unlink(missing_ok=True)
        gone.process.send_signal(signal.SIGUSR1)
        end = time.monotonic() + PATIENCE
        while not told.exists():
            assert time.monotonic() < end
            gone.read(0.01)
        return told.read_text("utf-8").count("textual-input")

    try:
        gone.until("Quit")
        gone.until("Following", gone.press("f"))
        assert readers() == 1
        for _ in range(3):
            place = len(gone.sent)
            gone.process.send_signal(signal.SIGCONT)
            gone.until("Quit", place)
            assert readers() == 1
        gone.until("Skipped", gone.press("x"))
        gone.process.send_signal(signal.SIGCONT)
        os.close(gone.master)
        assert gone.process.wait(timeout=PATIENCE) != 0
    finally:
        gone.process.kill()
        gone.process.wait()
