"""Each verb that writes, cut short at every sync: what it was to do is done or not, and never half.

A kill leaves all that was written, a power cut what was synced: tests/shelf/power.py replays both. By hand, at every
step of the disk instead of every sync: `python -m tests.cli.test_cut_short`."""

from __future__ import annotations

import json
import shlex
import shutil
import sys
import tempfile
import zipfile
from collections.abc import Iterator
from contextlib import redirect_stdout
from io import StringIO
from pathlib import Path
from typing import Any

import pytest

from tests.shelf.power import SYNCS, Event, Recording, Replay, lay_out, record
from watchlist.cli import main
from watchlist.shelf.shelf import Shelf

EVENING = "2026-03-05T20:00:00+01:00"
OFTEN = ("decide 6 bid 200 --anyway", "result 7 205 --won", "undo", "want drop w3")
VERBS = (
    *OFTEN, "want edit w01 --quantity 5", "decide 6 skip", "decide 8 placed", "decide 7 cancelled", "result 7 205",
    "redo",
    "want add --coin 'Orvany 5 tor 1891-M' --grade 20-40 --ceiling 90EUR", "import wants wants.csv",
    "source add mill mill.csv --venue 'Fen Sales'", "source drop fen", "venue add 'Mill Sales' --currency EUR",
    "venue edit 'Fen Sales' --shipping 12", "price --weight 3 1", "read --correct 5 grade=30",
    "import prices prices.csv", "import rates rates.csv", "import catalogue catalogue.csv",
    "lot add --title 'Orvany 5 tor 1893-V VF-30' --venue 'Fen Sales' --price 120EUR", "outcome fen:1 genuine",
    "piece fen:1 checked", "piece fen:1 sold 300", "parcel P2 join 8",
    "plan budget March 900 --from 2026-03-01 --to 2026-03-31",
    "bench fen:1 --weight 25.0",
)  # fmt: skip
FILES = {
    "wants.csv": "want_id,country,denomination,year,min_grade,ceiling,quantity\n"
    "w02,Orvany,5 tor,1893,20,300,2\nw09,Orvany,1 tor,1889,20,60,1\n",
    "prices.csv": "sale_date,country,denomination,year,mint,grade,hammer,currency,source\n"
    "2025-11-12,Orvany,5 tor,1891,M,VF-30,255,EUR,Fen Sales\n2025-11-13,Orvany,5 tor,1893,V,VF-30,256,EUR,Fen Sales\n",
    "rates.csv": "month,currency,units_per_EUR\n2026-03,GBP,0.87\n",
    "catalogue.csv": "issue,country,denomination,year,mint,variety,weight_g\nOR-5T-1895,Orvany,5 tor,1895,,,25.00\n",
    "mill.csv": "id,title\n1,Orvany 5 tor 1893-V VF-30\n",
}
KEPT = {
    "decisions": "*", "results": "*", "purchases": "*", "prices": "*", "findings": "*", "issues": "*", "rates": "*",
    "lots": "key, title, state", "entries": "batch, back", "changes": "batch, place, key, before, after",
}  # fmt: skip
"""What is the person's own; marks, bands and what is due follow."""


def kept(shelf: Path) -> dict[str, Any]:
    """What the shelf holds once a writer has opened it."""
    with Shelf.open(shelf, write=True) as opened:
        assert opened.notices == []
        held: dict[str, Any] = {name: opened.store.db.rows(f"SELECT {what} FROM {name}") for name, what in KEPT.items()}
        assert opened.store.db.rows("PRAGMA foreign_key_check") == []
    held["notebook"] = json.loads((shelf / "notebook.json").read_bytes())
    return held


@pytest.fixture(scope="module")
def shelf_of_the_day(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return prepared(tmp_path_factory.mktemp("cut"))


def prepared(folder: Path) -> Path:
    """A shelf with bids, pieces and wants, of this schema, beside files to import."""
    with zipfile.ZipFile(Path(__file__).parents[1] / "data" / "shelf_schema_1.zip") as frozen:
        frozen.extractall(folder / "shelf")
    for name, text in FILES.items():
        (folder / name).write_text(text)
    Shelf.open(folder / "shelf", write=True).close()
    return folder / "shelf"


def ran(verb: str, shelf: Path) -> int:
    words = [str(shelf.parent / word) if word in FILES else word for word in shlex.split(verb)]
    return main([*words, "--shelf", str(shelf), "--now", EVENING])


def recorded(verb: str, shelf: Path) -> tuple[dict[Path, bytes], list[Event]]:
    """The files before, and what the verb asked of the disk."""
    if verb == "redo":
        assert ran("undo", shelf) == 0
    found = {path: path.read_bytes() for path in shelf.rglob("*") if path.is_file()}

    def work(recording: Recording) -> None:
        assert ran(verb, shelf) == 0
        recording.tell("done")

    with pytest.MonkeyPatch.context() as patch:
        events = record(work, patch)
    return found, events


def cuts(
    found: dict[Path, bytes], events: list[Event], *, everywhere: bool
) -> Iterator[tuple[bool, dict[Path, bytes]]]:
    """The files as a kill or a power cut may leave them, and whether the verb had ended."""
    replay = Replay(found)
    for event in events:
        if everywhere or event.kind in SYNCS:
            yield from ((bool(replay.told), files) for files in replay.cuts())
        replay.take(event)
    yield from ((True, files) for files in replay.cuts())


def cut_short(verb: str, shelf: Path, cut: Path, *, everywhere: bool = False) -> int:
    """How many cuts of a verb were looked at; AssertionError at one that left it half done."""

    def kept_of(files: dict[Path, bytes]) -> dict[str, Any]:
        lay_out(files, shelf, cut)
        return kept(cut)

    found, events = recorded(verb, shelf)
    before, after, number = kept_of(found), kept(shelf), 0
    assert before != after, "it changed nothing"
    for number, (told, files) in enumerate(cuts(found, events, everywhere=everywhere), 1):
        state = kept_of(files)
        assert state == after or (not told and state == before), f"{verb}: half done at cut {number}"
    return number


@pytest.mark.parametrize("verb", OFTEN)
def test_a_verb_that_is_cut_short_is_done_or_not(verb: str, shelf_of_the_day: Path, tmp_path: Path) -> None:
    shutil.copytree(shelf_of_the_day.parent, tmp_path / "day")
    assert cut_short(verb, tmp_path / "day" / "shelf", tmp_path / "cut") > 3


ENDS = {
    "make room and do this step again.": False,
    "written there when the shelf is next opened to write, once there is room; do not do it again.": True,
    "is kept: do not do it again. What follows from it, prices and marks, comes at the next gather": True,
    "w3: removed": True,
}
"""How a message ends, and whether the thing is done."""


def test_a_disk_that_refuses_any_step_leaves_a_verb_done_or_not(
    shelf_of_the_day: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    before, met = len(kept(shelf_of_the_day)["entries"]), set()
    for fails_at in (0, 12, 24, 30, 36, 40, 45, 55, 60, 10_000):
        shelf = Path(shutil.copytree(shelf_of_the_day, tmp_path / str(fails_at)))
        with pytest.MonkeyPatch.context() as patch:
            record(lambda _: ran("want drop w3", shelf), patch, fails_at)  # noqa: B023 - it runs here
        said, left = capsys.readouterr().err, kept(shelf)
        (told,) = (end for end in ENDS if end in said)
        met.add(told)
        gone = "3" not in left["notebook"]["wants"]
        assert gone == (len(left["entries"]) > before) == ENDS[told], said
    assert met == set(ENDS)


def by_hand() -> None:
    """Every verb, at every step."""
    done = 0
    for verb in VERBS:
        with tempfile.TemporaryDirectory() as folder, redirect_stdout(StringIO()):
            number = cut_short(verb, prepared(Path(folder) / "day"), Path(folder) / "cut", everywhere=True)
        done += number
        print(f"{number:5} cuts  {verb}", file=sys.stderr)
    print(f"{done:,} cuts of {len(VERBS)} verbs: each done or not, none half")


if __name__ == "__main__":
    by_hand()
