"""What the screens cost in a real pseudo-terminal. Not part of the suite; run by hand.

python tests/bench/bench_screens.py [N]      N lots, a million without one: start, keys, bytes, idle, bare fsync
python tests/bench/bench_screens.py storm    500 sizes and 2,000 keys in any order
"""

from __future__ import annotations

import fcntl
import os
import pty
import random
import select
import statistics
import struct
import subprocess
import sys
import tempfile
import termios
import time
from datetime import timedelta
from itertools import islice
from pathlib import Path

sys.path.insert(0, str(Path(__file__).resolve().parents[2]))

from tests.bench.bench_shelf import NOW, made_up
from tests.bench.filling import filling
from watchlist.core.decisions.review import STATES, Verb, decide
from watchlist.core.sift.filter import Filter
from watchlist.shelf.shelf import Shelf

WIDTH, HEIGHT = 80, 24
EARLIER = 5_000
"""Decisions of earlier days."""
SIFTS = (
    "silver",
    "zzz",
    "77777",
    "mark:b",
    "not toned",
    "seller:anna",
    "1893 m toned",
    "bronze gap<-20",
    "rare mark:d",
)
"""What is typed, letter by letter."""
SORTS = ("", "sss", "sS")
"""Keys that order by gap, and by mark turned round."""
KEYS = (
    "j",
    "k",
    "g",
    "G",
    "f",
    "x",
    "b",
    " ",
    "u",
    "\x12",
    "s",
    "S",
    "\t",
    "1",
    "2",
    "3",
    "4",
    "5",
    "\r",
    "\x1b",
    "n",
    "N",
    "L",
    "?",
    "y",
    "Y",
    "A",
    "d",
    "c",
    "a",
    "e",
    "/",
    "t",
    "m",
    "v",
    "i",
    "\x1b[6~",
    "\x1b[5~",
    "\x1b[A",
    "\x1b[B",
    ":",
)

UNLIKE_A_USER = ("NO_COLOR", "CI", "PYTHONDONTWRITEBYTECODE")
"""Left out of the environment: an installed program has its bytecode."""


class Terminal:
    """The program on a shelf, in a window."""

    def __init__(self, shelf: Path, width: int = WIDTH, height: int = HEIGHT) -> None:
        self.master, slave = pty.openpty()
        self.size(width, height)
        env = {name: text for name, text in os.environ.items() if name not in UNLIKE_A_USER}
        self.started = time.perf_counter()
        self.process = subprocess.Popen(
            [sys.executable, "-m", "watchlist", "--shelf", str(shelf), "--now", NOW.isoformat()],
            stdin=slave,
            stdout=slave,
            stderr=slave,
            start_new_session=True,
            env={**env, "TERM": "xterm-256color", "COLORTERM": "truecolor"},
        )
        os.close(slave)

    def size(self, width: int, height: int) -> None:
        """Another size."""
        fcntl.ioctl(self.master, termios.TIOCSWINSZ, struct.pack("HHHH", height, width, 0, 0))

    def press(self, key: str, quiet: float = 0.12) -> tuple[int, float, float]:
        """Bytes sent for a key, and milliseconds to the first and to the last of them."""
        start = time.perf_counter()
        os.write(self.master, key.encode())
        return self.drain(start, quiet, 1.0)

    def drain(self, start: float, quiet: float, first: float) -> tuple[int, float, float]:
        """Read until nothing has come for a while."""
        size, came, last = 0, 0.0, 0.0
        while select.select([self.master], [], [], quiet if size else first)[0]:
            try:
                size += len(os.read(self.master, 65_536))
            except OSError:
                break
            last = (time.perf_counter() - start) * 1000
            came = came or last
        return size, came, last


def start(shelf: Path, width: int = WIDTH, height: int = HEIGHT) -> tuple[Terminal, float]:
    """Start; seconds to the first text."""
    there = Terminal(shelf, width, height)
    seen = b""
    while b"Tray" not in seen:
        seen += os.read(there.master, 65_536)
    took = time.perf_counter() - there.started
    there.drain(time.perf_counter(), 1.5, 1.5)
    return there, took


def leave(there: Terminal) -> int:
    """Quit; the exit code."""
    os.write(there.master, b"q")
    while there.process.poll() is None:
        there.drain(time.perf_counter(), 0.05, 0.05)
    os.close(there.master)
    return there.process.returncode


def fill(shelf: Path, number: int) -> None:
    """So many open lots, and earlier decisions on some of the first."""
    rows = made_up(number, archive=False)
    with Shelf.open(shelf, write=True, today=NOW.date) as opened, filling(opened.store):
        while batch := list(islice(rows, 20_000)):
            opened.store.lots.save(batch)
    with Shelf.open(shelf, write=True, today=NOW.date) as opened, opened.store.together():
        lines = islice(opened.store.listing.each(Filter(open_at=NOW)), 0, min(5 * EARLIER, number), 5)
        for at, line in enumerate(list(lines)):
            verb: Verb = "bid" if at % 100 == 0 else "follow" if at % 5 == 0 else "skip"
            opened.store.decisions.add(decide(verb, [line.key], batch=f"b{at}", at=NOW - timedelta(days=9)))
            opened.store.lots.set_states([(line.key, STATES[verb])])


def bare_fsync(folder: Path) -> float:
    """Milliseconds of the disk's own fsync of four pages: the median of fifty."""
    found = []
    with (folder / "fsync").open("wb", buffering=0) as file:
        for _ in range(50):
            file.write(b"x" * 16_384)
            since = time.perf_counter()
            os.fsync(file.fileno())
            found.append((time.perf_counter() - since) * 1000)
    (folder / "fsync").unlink()
    return statistics.median(found)


def measure(shelf: Path) -> None:
    """All of it, in two windows."""
    os.sync()  # else the first decisions wait until the disk has taken in the shelf that was just made
    leave(start(shelf)[0])  # it writes the bytecode where it is not there yet
    took = []
    for _ in range(10):
        there, seconds = start(shelf)
        took.append(seconds)
        leave(there)
    print(f"first text: median {statistics.median(took):.3f} s, worst {max(took):.3f} of {len(took)}")
    disk = bare_fsync(shelf)
    there, _ = start(shelf)
    moving(there)
    decided = deciding(there)
    print(f"bare fsync {disk:.2f} ms; a decision is {decided / disk:.0f} times that")
    sifting(there)
    elsewhere(there)
    there.press("\x1b", 1.0)
    there.drain(time.perf_counter(), 4.0, 4.0)  # what was decided last is counted late
    print(f"idle 5 s: {there.drain(time.perf_counter(), 5.0, 5.0)[0]} bytes")
    print(f"exit code {leave(there)}")
    there, _ = start(shelf, 160, 50)
    print("160x50:")
    tell("cursor key", [there.press("j") for _ in range(50)])
    tell("decision", [there.press(key, 0.15) for key in "fxfu" * 8])
    _ticket(there)
    print(f"exit code {leave(there)}")


def moving(there: Terminal) -> None:
    """Through the list."""
    tell("cursor key", [there.press("j") for _ in range(100)])
    tell("page", [there.press("\x1b[6~") for _ in range(20)])
    tell("first and last", [there.press(key, 0.2) for key in "Gg" * 5])


def deciding(there: Terminal) -> float:
    """On single lots and on many; the median to the first paint of all single ones."""
    found = []
    for name, keys in (("follow", "fj" * 25), ("skip", "x" * 30), ("bid", "bj" * 25), ("undo", "u" * 30)):
        times = [_press(there, key) for key in keys]
        found.append([each for each, key in zip(times, keys, strict=True) if key != "j"])
        tell(name, found[-1])
    every = [each for some in found for each in some]
    tell("every decision", every)
    for key in " " * 50:
        there.press(key, 0.03)
    tell("skip 50 ticked, undo", [there.press("x", 0.3), there.press("u", 0.3)])
    return statistics.median(each[1] for each in every)


def _press(there: Terminal, key: str) -> tuple[int, float, float]:
    """A key; where no ceiling gives a limit `b` asks for the amount, and what is measured is the Enter behind it."""
    if key != "b":
        return there.press(key, 0.12)
    for letter in "b5":
        there.press(letter, 0.06)
    return there.press("\r", 0.12)


def sifting(there: Terminal) -> None:
    """As one types, in several orders."""
    found = []
    for turn in SORTS:
        for key in turn:
            there.press(key, 0.3)
        for text in SIFTS:
            there.press("/", 0.1)
            there.press("\x15", 0.2)  # the line is cleared
            times = [there.press(key, 0.12) for key in text]
            tell(f"  {text}", times)
            found += times
            there.press("\x1b", 0.2)
    tell("every letter of a sift", found)


def elsewhere(there: Terminal) -> None:
    """The other screens, and the Ticket."""
    tell("screens 1 to 5", [there.press(key, 0.3) for _ in range(3) for key in "23451"])
    _ticket(there)


def _ticket(there: Terminal) -> None:
    found = [(there.press("\r", 0.2), there.press("\x1b", 0.2)) for _ in range(10)]
    tell("Ticket opened", [opened for opened, _ in found])
    tell("Ticket closed with Esc", [closed for _, closed in found])


def tell(what: str, found: list[tuple[int, float, float]]) -> None:
    """Median and worst."""
    sizes, first, last = zip(*found, strict=True)
    print(
        f"{what}: bytes median {statistics.median(sizes):.0f} most {max(sizes)}; first paint median "
        f"{statistics.median(first):.1f} ms worst {max(first):.1f}; "
        f"last {statistics.median(last):.1f} / {max(last):.1f}"
    )


def storm(shelf: Path) -> None:
    """Sizes and keys in any order."""
    chance = random.Random(3)
    there, _ = start(shelf)
    for _ in range(500):
        there.size(chance.randint(1, 300), chance.randint(1, 100))
        there.process.send_signal(28)  # SIGWINCH
        there.drain(time.perf_counter(), 0.005, 0.01)
        assert there.process.poll() is None
    there.size(WIDTH, HEIGHT)
    for _ in range(2000):
        os.write(there.master, chance.choice(KEYS).encode())
        there.drain(time.perf_counter(), 0.005, 0.01)
        assert there.process.poll() is None
    print("500 sizes and 2,000 keys: still there")
    there.process.terminate()
    while there.process.poll() is None:
        there.drain(time.perf_counter(), 0.1, 0.1)
    print(f"exit code after SIGTERM {there.process.returncode}")


if __name__ == "__main__":
    with tempfile.TemporaryDirectory() as folder:
        asked = sys.argv[1] if len(sys.argv) > 1 else "1000000"
        if asked == "storm":
            fill(Path(folder) / "shelf", 500)
            storm(Path(folder) / "shelf")
        elif asked.isdigit():
            fill(Path(folder) / "shelf", int(asked))
            measure(Path(folder) / "shelf")
        else:
            measure(Path(asked))
