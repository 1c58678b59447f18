"""Two programs that decide at random on one shelf, each as an account of its own where that is asked for.

`python -m tests.bench.two_programs SHELF WHO SEED SECONDS` is one of them; it prints every line of the list that it was
told is written."""

from __future__ import annotations

import json
import os
import random
import subprocess
import sys
import time
from collections.abc import Callable, Iterator
from contextlib import suppress
from datetime import timedelta
from pathlib import Path
from typing import Any

from tests.desk.pieces import NOW, come, furnish, row
from watchlist.core.decisions.review import Decision
from watchlist.desk import undoing
from watchlist.desk.decisions import deciding
from watchlist.desk.desk import Desk
from watchlist.desk.errors import DeskError
from watchlist.desk.held import pieces
from watchlist.desk.results import results
from watchlist.shelf.shelf import Shelf

LOTS = 40
GROUP, ACCOUNTS = 65_500, {"anna": 65_501, "ben": 65_502}
VERBS = ("follow", "skip", "bid", "placed", "outbid", "unsold", "clear")


def lay_out(folder: Path, *, accounts: bool = False) -> None:
    """A shelf with lots that the two share; with `accounts` it belongs to a group of theirs."""
    folder.mkdir()
    (folder / "settings.toml").write_text("[home]\nshared = true\n", "utf-8")
    with Shelf.open(folder, write=True) as shelf:
        furnish(shelf)
        come(Desk(shelf, NOW), *(row(str(n), price="20", hours=24) for n in range(LOTS)))
    if accounts:
        for path in (folder, *folder.rglob("*")):
            os.chown(path, ACCOUNTS["anna"], GROUP)
            path.chmod(0o2770 if path.is_dir() else 0o660)  # a change of owner takes the set-group-id away


def programs(folder: Path, seconds: float, *, accounts: bool = False) -> Iterator[tuple[int, list[dict[str, Any]]]]:
    """Run both until the time is up: how many times each tried, and the lines that it was told are written."""
    running = []
    for seed, (who, number) in enumerate(ACCOUNTS.items()):
        words = [sys.executable, "-m", "tests.bench.two_programs", str(folder), who, str(seed), str(seconds)]
        own = {"user": number, "group": GROUP, "extra_groups": [GROUP], "umask": 0o022} if accounts else {}
        running.append(subprocess.Popen(words, stdout=subprocess.PIPE, text=True, **own))  # type: ignore[call-overload]
    for each in running:
        said, _ = each.communicate()
        assert each.returncode == 0, said
        tried, *lines = map(json.loads, said.splitlines())
        yield tried, lines


def lost(folder: Path, told: list[dict[str, Any]]) -> list[str]:
    """What is wrong with the shelf after both: lines that were said to be written and are not, or are there unsaid."""
    with Shelf.open(folder, write=False) as shelf:
        desk = Desk(shelf, NOW)
        there = {line.seq: as_data(line) for line in shelf.store.decisions.all()}
        said = {line["seq"]: line for line in told}
        wrong = [f"line {seq}: {said.get(seq)} said, {there.get(seq)} written" for seq in said.keys() | there.keys()
                 if said.get(seq) != there.get(seq)]  # fmt: skip
        wrong += [f"{len(told)} lines said, {len(said)} numbers"] if len(told) != len(said) else []
        return [*wrong, *(f"{lot}: {why}" for lot, why in results.mismatches(desk).items()), *shelf.notices]


def as_data(line: Decision) -> dict[str, Any]:
    return {"seq": line.seq, "verb": line.verb, "lot": line.lot, "amount": str(line.amount), "who": line.who}


def one(folder: Path, seed: int, until: float) -> tuple[int, list[Decision]]:
    """Decide at random until the time is up, a shelf opened for each."""
    chance, told, tried = random.Random(seed), list[Decision](), 0
    while time.monotonic() < until:
        tried += 1
        with Shelf.open(folder, write=True, wait=60) as shelf:
            desk, decisions = Desk(shelf, NOW + timedelta(seconds=tried)), shelf.store.decisions
            before = len(decisions.all())
            with suppress(DeskError):
                something(desk, chance)()
            told += decisions.all()[before:]
    return tried, told


def something(desk: Desk, chance: random.Random) -> Callable[[], object]:
    """One of the things that a person decides."""
    lot, amount = f"north:{chance.randrange(LOTS)}", str(chance.randrange(20, 90))
    verb = chance.choice(VERBS)
    paid = amount if verb in ("bid", "placed") else ""
    piece = pieces.Said(chance.choice(("kept", "returned", "disputed", "settled", "sold")), "")
    return chance.choices(
        (
            lambda: deciding.decide(desk, [lot], verb, paid, anyway=True),  # type: ignore[arg-type]
            lambda: results.result(desk, lot, amount, won=chance.random() < 0.5),
            lambda: pieces.say(desk, lot, piece, anyway=True),
            lambda: undoing.undo(desk),
            lambda: undoing.redo(desk),
        ),
        (6, 3, 2, 2, 1),
    )[0]


if __name__ == "__main__":
    os.environ["LOGNAME"] = sys.argv[2]
    tries, lines = one(Path(sys.argv[1]), int(sys.argv[3]), time.monotonic() + float(sys.argv[4]))
    print(tries)
    for each in lines:
        print(json.dumps(as_data(each)))
