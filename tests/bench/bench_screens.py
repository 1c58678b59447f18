"""What the screens cost in a real pseudo-terminal. Not part of the suite; run by hand.

python tests/bench/bench_screens.py [N]      N lots, a million without one: start, keys, bytes, idle
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
from itertools import islice
from pathlib import Path

sys.path.insert(0, str(Path(__file__).resolve().parents[2]))

from tests.bench.bench_shelf import NOW, made_up
from watchlist.shelf import Shelf

WIDTH, HEIGHT = 80, 24
KEYS = ("j", "k", "g", "G", "f", "x", "b", " ", "u", "\x12", "s", "S", "\t", "1", "2", "3", "4", "5", "\r", "\x1b", "n", "N",  # noqa: E501
        "L", "?", "y", "Y", "A", "d", "c", "a", "e", "/", "t", "m", "v", "i", "\x1b[6~", "\x1b[5~", "\x1b[A", "\x1b[B", ":")  # noqa: E501


class Terminal:
    """The program on a shelf, in a window of 80 by 24."""

    def __init__(self, shelf: Path) -> None:
        self.master, slave = pty.openpty()
        self.size(WIDTH, HEIGHT)
        env = {name: text for name, text in os.environ.items() if name not in ("NO_COLOR", "CI")}
        self.started = time.perf_counter()
        self.process = subprocess.Popen(
            [sys.executable, "-m", "watchlist", "--shelf", str(shelf), "--now", NOW.isoformat()],
            stdin=slave, stdout=slave, stderr=slave, start_new_session=True,
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


def start(shelf: Path) -> Terminal:
    """Start; says how long the first text took."""
    there = Terminal(shelf)
    seen = b""
    while b"Tray" not in seen:
        seen += os.read(there.master, 65_536)
    print(f"first text after {time.perf_counter() - there.started:.3f} s")
    there.drain(time.perf_counter(), 1.0, 1.0)
    return there


def fill(shelf: Path, number: int) -> None:
    """So many open lots."""
    rows = made_up(number, archive=False)
    with Shelf.open(shelf, write=True, today=NOW.date) as opened, opened.store.bulk():
        while batch := list(islice(rows, 20_000)):
            opened.store.save_lots(batch)


def measure(shelf: Path) -> None:
    """Start, a hundred cursor keys, decisions, idle."""
    for _ in range(5):
        there = start(shelf)
        os.write(there.master, b"q")
        there.process.wait(20)
    there = start(shelf)
    tell("cursor key", [there.press("j") for _ in range(100)])
    tell("page", [there.press("\x1b[6~", 0.2) for _ in range(20)])
    tell("first and last", [there.press(key, 0.3) for key in "GgGgGg"])
    tell("follow", [there.press("f", 0.4) for _ in range(10)])
    tell("skip", [there.press("x", 0.4) for _ in range(10)])
    tell("undo", [there.press("u", 0.4) for _ in range(10)])
    tell("a letter of a sift", [there.press(key, 0.5) for key in "/silver"])
    there.press("\x1b", 3.0)  # the count of a million lots comes late
    print(f"idle 5 s: {there.drain(time.perf_counter(), 5.0, 5.0)[0]} bytes")
    os.write(there.master, b"q")
    print(f"exit code {there.process.wait(20)}")


def tell(what: str, found: list[tuple[int, float, float]]) -> None:
    """Median and worst."""
    sizes, first, last = zip(*found, strict=True)
    print(f"{what}: bytes median {statistics.median(sizes):.0f} most {max(sizes)}; first paint median "
          f"{statistics.median(first):.1f} ms worst {max(first):.1f}; last {statistics.median(last):.1f} / {max(last):.1f}")  # noqa: E501


def storm(shelf: Path) -> None:
    """Sizes and keys in any order."""
    chance = random.Random(3)
    there = start(shelf)
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
