"""Rows 2, 3, 7, 10 and 24 of the list in docs/screens.md, in a real pseudo-terminal."""

from __future__ import annotations

import os
import re
import shlex
import shutil
import signal
import subprocess
import sys
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest

from tests.screens import test_terminal as real
from tests.screens.test_terminal import COLOUR, Terminal, assert_whole
from watchlist.shelf.shelf import Shelf

termios = pytest.importorskip("termios")

FALLING = """
import sys
from watchlist.screens.parts.decisions import Decisions
def fall(self, verb):
    raise RuntimeError("made by a test")
Decisions._decide = fall
from watchlist.cli.main import main
sys.exit(main(sys.argv[1:]))
"""
SHELL = """
import fcntl, os, termios
fcntl.ioctl(0, termios.TIOCSCTTY, 0)
os.environ["PS1"] = "READY"
os.execvp("bash", ["bash", "--norc", "--noprofile", "--noediting", "-i"])
"""
Start = Callable[..., Terminal]


@pytest.fixture
def shelf(sample_shelf: Path) -> Path:
    return sample_shelf


@pytest.fixture
def start(shelf: Path, monkeypatch: pytest.MonkeyPatch) -> Iterator[Start]:
    """Open a terminal on the shelf; `words` take the place of the usual command."""
    opened: list[Terminal] = []

    def make(words: list[str] | None = None, **given: str) -> Terminal:
        if words is not None:
            monkeypatch.setattr(real, "command", lambda _: words)
        opened.append(Terminal(shelf, **given))
        return opened[-1]

    yield make
    for each in opened:
        each.close()


def modes(terminal: Terminal) -> list[object]:
    """How the terminal's line treats keys: echo, whole lines, signals."""
    kept: list[object] = termios.tcgetattr(terminal.master)
    return kept[:4]


@pytest.mark.parametrize("key", ["q", "\x11"])
def test_q_and_ctrl_q_leave_with_0_and_the_terminal_as_it_was(start: Start, key: str) -> None:
    terminal = start()
    before = modes(terminal)
    terminal.until("Quit")
    terminal.press(key)
    assert terminal.end() == 0
    assert_whole(terminal.sent)
    assert modes(terminal) == before


def test_a_crash_leaves_the_terminal_whole_a_log_and_exit_code_1(start: Start, shelf: Path, tmp_path: Path) -> None:
    own = {name: str(tmp_path) for name in ("HOME", "XDG_STATE_HOME", "TMPDIR")}
    terminal = start([sys.executable, "-c", FALLING, *real.command(shelf)[3:]], **own)
    before = modes(terminal)
    terminal.until("Quit")
    terminal.press("f")
    assert terminal.end() == 1
    assert_whole(terminal.sent)
    assert modes(terminal) == before
    said = " ".join(terminal.text().split())
    assert "an internal error (RuntimeError); stored data is intact. The details are in" in said
    assert "Traceback" not in said
    logs = [path for path in tmp_path.rglob("*") if path.is_file() and b"made by a test" in path.read_bytes()]
    assert logs, "no log was written"


@pytest.mark.parametrize("name", ["SIGTERM", "SIGHUP"])
def test_a_signal_leaves_the_keys_of_the_terminal_as_they_were(start: Start, name: str) -> None:
    terminal = start()
    before = modes(terminal)
    terminal.until("Quit")
    number = getattr(signal, name)
    terminal.process.send_signal(number)
    assert terminal.end() == 128 + number
    assert modes(terminal) == before


@pytest.mark.skipif(shutil.which("bash") is None, reason="the stop and the return need a shell with jobs")
def test_ctrl_z_gives_the_shell_back_and_fg_the_same_screen(start: Start, shelf: Path) -> None:
    words = shlex.join(real.command(shelf))
    terminal = start([sys.executable, "-c", SHELL], HOME=str(shelf.parent))
    terminal.until("READY")
    terminal.press(f"{words}\n")
    terminal.until("Quit", terminal.press(""))
    place = terminal.press("jj")
    terminal.until("the median", place)
    stopped = terminal.press("\x1a")
    terminal.until("READY", stopped)
    assert_whole(terminal.sent)
    back = terminal.press("fg\n")
    terminal.until("Quit", back)
    terminal.until("243 of 243 lots", back)
    ended = terminal.press("q")
    terminal.until("READY", ended)
    assert_whole(terminal.sent)
    asked = terminal.press("echo code=$?\n")
    terminal.until("code=0", asked)
    terminal.press("exit\n")
    terminal.end()


def test_no_color_and_its_option_send_no_colour_and_bold_tells_what_is_new(start: Start, shelf: Path) -> None:
    for words, given in (([*real.command(shelf), "--no-color"], {}), (real.command(shelf), {"NO_COLOR": "1"})):
        terminal = start(words, **given)
        terminal.until("Quit")
        for keys, word in (("2", "Wants"), ("3", "Bids"), ("4", "Prices"), ("5", "Sources"), ("?", "Help")):
            terminal.until(word, terminal.press(keys))
        terminal.press("\x1bq")
        terminal.press("q")
        assert terminal.end() == 0
        assert COLOUR.findall(terminal.sent) == []
        for code in (b"1", b"4", b"7"):
            assert re.search(rb"\x1b\[(?:[\d;]*;)?" + code + rb"(?:;[\d;]*)?m", terminal.sent), code


def test_a_copied_line_goes_through_osc_52_and_is_shown(start: Start) -> None:
    from base64 import b64decode

    terminal = start(SSH_CONNECTION="1 2 3 4")
    terminal.until("Quit")
    place = terminal.press("y")
    terminal.until("Copied:", place)
    found = re.search(rb"\x1b\]52;c;([A-Za-z0-9+/=]+)(?:\x07|\x1b\\)", terminal.sent[place:])
    assert found
    line = b64decode(found[1]).decode()
    terminal.until(f"Copied: {line[:40]}", place)
    place = terminal.press("Y")
    terminal.until("Copied:", place)
    link = re.search(rb"\x1b\]52;c;([A-Za-z0-9+/=]+)", terminal.sent[place:])
    assert link
    assert b64decode(link[1]).startswith(b"https://")


def test_without_the_mouse_no_mouse_mode_is_asked_for(start: Start, shelf: Path) -> None:
    terminal = start([*real.command(shelf), "--no-mouse"])
    terminal.until("Quit")
    terminal.press("q")
    assert terminal.end() == 0
    assert not re.search(rb"\x1b\[\?(1000|1002|1003|1006|1015)h", terminal.sent)


@pytest.mark.parametrize("name", ["screen", "screen-256color", "tmux-256color", "vt100", "xterm", "linux"])
def test_other_terminals_show_the_tray_and_leave_whole(start: Start, name: str) -> None:
    terminal = start(TERM=name)
    terminal.until("Tray")
    terminal.until("Quit")
    terminal.until("Following", terminal.press("f"))
    terminal.press("q")
    assert terminal.end() == 0
    assert_whole(terminal.sent)


@pytest.mark.skipif(shutil.which("tmux") is None, reason="tmux is not here")
def test_in_tmux_a_decision_outlives_the_window(shelf: Path, tmp_path: Path) -> None:
    def tmux(*words: str) -> str:
        done = subprocess.run(
            ["tmux", "-S", str(tmp_path / "t"), "-f", os.devnull, *words],
            capture_output=True,
            text=True,
            check=False,
            env=real.environment(),
        )
        return done.stdout

    def wait_for(word: str) -> None:
        for _ in range(400):
            if word in tmux("capture-pane", "-p"):
                return
            subprocess.run(["sleep", "0.05"], check=True)
        raise AssertionError(f"no {word!r} in {tmux('capture-pane', '-p')}")

    tmux("new-session", "-d", "-x", "80", "-y", "24", shlex.join(real.command(shelf)))
    try:
        wait_for("Quit")
        tmux("send-keys", "f")
        wait_for("Following")
        tmux("resize-window", "-x", "20", "-y", "5")
        wait_for("Tray")
        tmux("resize-window", "-x", "80", "-y", "24")
        wait_for("Quit")
    finally:
        tmux("kill-server")
    with Shelf.open(shelf, write=False) as opened:
        assert opened.store.listing.count_by("state").get("followed", 0) >= 1


@pytest.mark.skipif(shutil.which("screen") is None, reason="GNU screen is not here")
def test_in_screen_a_decision_outlives_the_window(shelf: Path, tmp_path: Path) -> None:
    (tmp_path / "s").mkdir(mode=0o700)
    env, copy = {**real.environment(), "SCREENDIR": str(tmp_path / "s")}, tmp_path / "copy"

    def screen(*words: str) -> None:
        subprocess.run(["screen", "-c", os.devnull, "-S", "watch", *words], check=False, env=env, capture_output=True)

    def wait_for(word: str) -> None:
        for _ in range(400):
            screen("-p", "0", "-X", "hardcopy", str(copy))
            if copy.exists() and word in copy.read_text("utf-8", "replace"):
                return
            subprocess.run(["sleep", "0.05"], check=True)
        raise AssertionError(f"no {word!r} in {copy.read_text() if copy.exists() else 'nothing'}")

    screen("-d", "-m", *real.command(shelf))
    try:
        wait_for("Quit")
        screen("-p", "0", "-X", "stuff", "f")
        wait_for("Following")
        screen("-p", "0", "-X", "stuff", "\r")
        wait_for("Ticket")
        screen("-p", "0", "-X", "stuff", "\033")
        wait_for("Tray")
    finally:
        screen("-X", "quit")
    with Shelf.open(shelf, write=False) as opened:
        assert opened.store.listing.count_by("state").get("followed", 0) >= 1
