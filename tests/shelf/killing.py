"""A child that writes and says what was acknowledged; a parent that kills it and checks that all of it is there."""

from __future__ import annotations

import itertools
import os
import random
import signal
import subprocess
import sys
from datetime import UTC, date, datetime, timedelta
from pathlib import Path

from watchlist.core.decisions.review import Decision
from watchlist.core.marks.record import Want
from watchlist.shelf.errors import ShelfRefused
from watchlist.shelf.shelf import Shelf

HERE = Path(__file__).resolve()
NOW = datetime(2026, 6, 1, 12, tzinfo=UTC)


def write_for_ever(folder: Path, first: int, day: date) -> None:
    """Write, then print what was acknowledged, until killed. Wants are dropped as well as put."""
    with Shelf.open(folder, write=True, wait=10, today=lambda: day) as shelf:
        for number in itertools.count(first):
            lot = f"north:{number}"
            shelf.store.decisions.add([Decision(0, f"b{number}", NOW, "follow", lot)])
            print(f"decided {number}", flush=True)
            shelf.notebook.wants.put(Want(f"w{number}", "Orvany", "5 tor", 1893))
            print(f"wanted {number}", flush=True)
            if number % 5 == 0:
                shelf.notebook.wants.drop(f"w{number - 3}")
                print(f"dropped {number - 3}", flush=True)


def kill_loop(folder: Path, count: int) -> str:
    """Kill a writing child `count` times; AssertionError when an acknowledged write is missing or a file unreadable."""
    chance, path = random.Random(count), folder / "kept"
    decided: set[int] = set()
    wanted: set[int] = set()
    dropped: set[int] = set()
    following = 1
    for turn in range(count):
        lines = _one_life(path, following, chance.randint(1, 40), turn)
        for what, number in (line.split() for line in lines):
            {"decided": decided, "wanted": wanted, "dropped": dropped}[what].add(int(number))
        following = max(decided, default=0) + 10
        _check(path, decided, wanted, dropped)
    return f"{count} kills, {len(decided)} decisions and {len(wanted)} wants acknowledged, none lost"


def _one_life(path: Path, first: int, lines: int, turn: int) -> list[str]:
    """Start a child, read that many lines, kill it in whatever it is doing then; all lines it printed."""
    day = date(2026, 6, 1) + timedelta(days=turn)
    child = subprocess.Popen(
        [sys.executable, "-m", "tests.shelf.killing", str(path), str(first), str(day)],
        stdout=subprocess.PIPE,
        text=True,
        cwd=HERE.parents[2],
    )
    assert child.stdout is not None
    with child.stdout as out:
        told = [line for line, _ in zip(out, range(lines), strict=False)]
        os.kill(child.pid, getattr(signal, "SIGKILL", signal.SIGTERM))
        told += out.readlines()
    child.wait()
    assert told, "the child wrote nothing"
    return [line for line in told if line.endswith("\n")]


def _check(path: Path, decided: set[int], wanted: set[int], dropped: set[int]) -> None:
    with Shelf.open(path, write=False) as shelf:
        assert shelf.notices == []
        kept = {int(decision.batch[1:]) for decision in shelf.store.decisions.all()}
        assert decided <= kept, f"lost decisions {decided - kept}"
        listed = {int(want.id[1:]) for want in shelf.notebook.wants.list()}
        started = {max(kept) + 2 - 5, *(n - 3 for n in kept)}  # a drop that was begun, not acknowledged
        assert wanted - dropped - listed <= started, f"lost wants {wanted - dropped - listed}"
        assert not dropped & listed, f"dropped wants are back: {dropped & listed}"
        assert shelf.store.db.rows("PRAGMA quick_check") == [("ok",)]


def write_on_a_full_disk(folder: Path, limit: int) -> None:
    """No file may grow beyond the limit, as on a full disk; says what was acknowledged."""
    import resource

    signal.signal(signal.SIGXFSZ, signal.SIG_IGN)
    resource.setrlimit(resource.RLIMIT_FSIZE, (limit, limit))
    try:
        with Shelf.open(folder, write=True) as shelf:
            for number in range(1000, 1040):
                shelf.store.decisions.add([Decision(0, f"b{number}", NOW, "follow", "north:1")])
                print(number, flush=True)
                shelf.notebook.wants.put(Want(f"w{number}", "Orvany", "5 tor", 1893))
                print(number, flush=True)
    except ShelfRefused as error:
        print(f"refused: {error}", flush=True)


def main() -> None:
    """The child."""
    folder, what, more = Path(sys.argv[1]), sys.argv[2], sys.argv[3]
    if what == "full":
        write_on_a_full_disk(folder, int(more))
    else:
        write_for_ever(folder, int(what), date.fromisoformat(more))


if __name__ == "__main__":
    main()
