"""Random command lines made from the parser itself: no traceback, no internal error, whatever the words."""

from __future__ import annotations

import argparse
import io
import random
from pathlib import Path

import pytest

from tests.cli.conftest import Run
from watchlist.cli.parser import build

WORDS = (
    "",
    "x",
    "w01",
    "w1",
    "c1",
    "LM-101",
    "2023",
    "TS-5149",
    "hand:fair",
    "wexby",
    "lindmoor",
    "Lindmoor Sales",
    "OR-5T-1891M",
    "Orvany 5 tor 1891-M",
    "5 tor 1891",
    "300EUR",
    "300",
    "0",
    "-1",
    "1e5",
    "nan",
    "inf",
    "Infinity EUR",
    "40-55",
    "VF",
    "MS-65",
    "70-1",
    "9" * 30,
    "mark:b",
    "gap<-10",
    "all-in<300",
    "closes<2d",
    "not",
    "state:f",
    "want:w01",
    "\x1b[31m",
    "\udcff",
    "=1+1",
    "ü銀",
    "[/]",
    "'",
    "--",
    "%",
    "{}",
    "a=b",
    "grade=VF",
    "year=1900",
    "list",
    "drop",
    "add",
    "yes",
    "/dev/null",
    "2026-03-04T10:00",
    "EUR",
    "0:5;100:10",
    "Europe/Berlin",
    "bid",
)


def words_for(action: argparse.Action, dice: random.Random) -> list[str]:
    if action.choices and not isinstance(action, argparse._SubParsersAction) and dice.random() < 0.85:
        return [str(dice.choice(list(action.choices)))]
    if isinstance(action.nargs, int):
        return [dice.choice(WORDS) for _ in range(action.nargs)]
    least, most = {"*": (0, 3), "+": (1, 3), "?": (0, 1)}.get(action.nargs or "", (1, 1))
    return [dice.choice(WORDS) for _ in range(dice.randint(least, most))]


def line(parser: argparse.ArgumentParser, dice: random.Random) -> list[str]:
    said: list[str] = []
    for action in parser._actions:
        if isinstance(action, argparse._SubParsersAction):
            verb = dice.choice([name for name in action.choices if name != "try"])
            said += [verb, *line(action.choices[verb].filled(), dice)]
        elif action.dest in ("shelf", "now", "settings", "help", "version"):
            continue
        elif not action.option_strings:
            said += words_for(action, dice)
        elif dice.random() < (0.9 if action.required else 0.15):
            said += [dice.choice(action.option_strings), *([] if action.nargs == 0 else words_for(action, dice))]
    return said


@pytest.mark.parametrize("seed", range(4))
def test_no_words_make_a_fault(on_sample: Run, seed: int, monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    monkeypatch.chdir(tmp_path)
    dice = random.Random(seed)
    parser = build()
    for _ in range(30):
        words = line(parser, dice)
        monkeypatch.setattr("sys.stdin", io.TextIOWrapper(io.BytesIO(b"1 tor 1899 VF\n")))
        done = on_sample(*words)
        assert done.code in (0, 2, 3, 5), (words, done.err)
        assert "Traceback" not in done.err, words
        if done.code == 2:
            assert done.err.strip(), words
