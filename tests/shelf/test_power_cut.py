"""The power goes: what was told to be kept is there, whatever became of the writes that were not synced."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from pathlib import Path

import pytest

from tests.shelf.pieces import NOW, TODAY, judged, row
from tests.shelf.power import SYNCS, Event, Recording, Replay, lay_out, record
from watchlist.core.decisions.review import Decision
from watchlist.core.marks.record import Want
from watchlist.shelf.errors import ShelfError
from watchlist.shelf.safe_storage import parse
from watchlist.shelf.shelf import Shelf

ROUNDS = 2


def follow(number: int) -> Decision:
    return Decision(0, f"b{number}", NOW, "follow", f"north:{number}")


def a_day(path: Path) -> Callable[[Recording], None]:
    """A shelf is made; decisions, wants and lots are kept; it is opened again, and more are."""

    def work(recording: Recording) -> None:
        for first in (0, ROUNDS):
            with Shelf.open(path, write=True, today=lambda: TODAY) as shelf:
                shelf.store.db.run("PRAGMA wal_autocheckpoint=4")  # pages: else this little would never leave the log
                for number in range(first, first + ROUNDS):
                    shelf.store.lots.save([row(number, judgement=judged())])  # lots come again: they are not told
                    shelf.store.decisions.add([follow(number)])
                    recording.tell(f"decided {number}")
                    shelf.notebook.wants.put(Want(f"w{number}", "Orvany", "5 tor", 1893))
                    recording.tell(f"wanted {number}")

    return work


@pytest.fixture(scope="module")
def home(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return tmp_path_factory.mktemp("power") / "shelf"


@pytest.fixture(scope="module")
def day(home: Path) -> list[Event]:
    with pytest.MonkeyPatch.context() as patch:
        return record(a_day(home), patch)


def check(events: Sequence[Event], home: Path, folder: Path, first: int = 0) -> None:
    """After a cut before any sync, or when something was just told, all that was told before is there."""
    replay = Replay()
    for number, event in enumerate(events):
        if event.kind in SYNCS and number >= first:
            check_here(replay, home, folder)
        replay.take(event)
        if event.kind == "told" and number >= first:
            check_here(replay, home, folder)


def check_here(replay: Replay, home: Path, folder: Path) -> None:
    """Both files and the copies of one are whole, and hold what was told."""
    decided, wanted = ({int(told.split()[1]) for told in replay.told if told.startswith(what)} for what in ("d", "w"))
    for files in replay.cuts():
        lay_out(files, home, folder)
        with Shelf.open(folder, write=False) as shelf:
            assert shelf.notices == []
            assert decided <= {int(each.batch[1:]) for each in shelf.store.decisions.all()}
            assert wanted <= {int(want.id[1:]) for want in shelf.notebook.wants.list()}
            assert shelf.store.db.rows("PRAGMA integrity_check") == [("ok",)]
        if len(wanted) > 1:
            copies = [parse((folder / "copies" / f"notebook-{name}.json").read_bytes()) for name in ("previous", TODAY)]
            copied = {want["id"] for want in copies[0].get("wants", {}).values()}
            assert f"w{max(wanted) - 1}" in copied, "the copy is older than the last write"


def test_what_was_told_outlives_a_power_cut(day: list[Event], home: Path, tmp_path: Path) -> None:
    check(day, home, tmp_path / "cut")


def test_a_store_that_was_never_begun_is_made_anew(tmp_path: Path) -> None:
    (tmp_path / "shelf.db").touch()
    Shelf.open(tmp_path, write=False).close()
    assert (tmp_path / "notebook.json").exists()


SORTS: dict[str, Callable[[Event], bool]] = {
    "the notebook": lambda event: event.kind == "sync" and event.path.name == "notebook.json.new",
    "its folder": lambda event: event.kind == "names" and event.path.name == "shelf",
    "its copies": lambda event: event.kind == "sync" and event.path.parent.name == "copies",
    "the folder of its copies": lambda event: event.kind == "names" and event.path.name == "copies",
    "the store's log": lambda event: event.kind == "sync" and event.path.name == "shelf.db-wal",
    "the store": lambda event: event.kind == "sync" and event.path.name == "shelf.db",
}


@pytest.mark.parametrize("sort", SORTS)
def test_every_sort_of_sync_is_needed(sort: str, day: list[Event], home: Path, tmp_path: Path) -> None:
    last = max(n for n, event in enumerate(day[: len(day) * 3 // 4]) if SORTS[sort](event))
    with pytest.raises((AssertionError, ShelfError, ValueError, OSError)):
        check(day[:last] + day[last + 1 :], home, tmp_path / "cut", last)
