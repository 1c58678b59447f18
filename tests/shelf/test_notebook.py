"""The notebook: put, drop, copies, torn files, and every step of the disk made to fail."""

from __future__ import annotations

import json
from collections.abc import Callable
from datetime import date, timedelta
from decimal import Decimal
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tests.shelf.pieces import TODAY, FailingDisk, is_a_sentence
from watchlist.core.fees.terms import Terms
from watchlist.core.lots.source import Source
from watchlist.core.marks.record import Want
from watchlist.core.money.amount import Money
from watchlist.shelf.copies import COPIES_KEPT
from watchlist.shelf.disk import Disk
from watchlist.shelf.errors import ShelfNewer, ShelfReading, ShelfRefused, ShelfTorn
from watchlist.shelf.notebook import STEPS, Notebook, steps
from watchlist.shelf.safe_storage import Tables, lay_out, parse

OURS = STEPS + 1
"""The schema of a notebook today."""


def want(number: int, year: int = 1893) -> Want:
    return Want(f"w{number}", "Orvany", "5 tor", year)


def opened(folder: Path, *, write: bool = True, day: date = TODAY, disk: Disk | None = None) -> Notebook:
    return Notebook(folder / "notebook.json", write=write, today=lambda: day, disk=disk)


def ids(notebook: Notebook) -> list[str]:
    return [record.id for record in notebook.wants.list()]


def test_what_is_put_is_there_for_the_next_reader(tmp_path: Path) -> None:
    book = opened(tmp_path)
    reader = opened(tmp_path, write=False)
    book.wants.put(want(1), want(2))
    book.venues.put(Terms("Lindmoor Sales", "EUR"))
    book.sources.put(Source("north", "north.csv"))
    assert ids(reader) == ["w1", "w2"]
    book.wants.put(want(1, 1901))
    assert [(w.id, w.year) for w in reader.wants.list()] == [("w1", 1901), ("w2", 1893)]
    assert book.wants.drop("w1", "w9") == 1
    assert ids(reader) == ["w2"]
    assert reader.wants.get("w2") == want(2)
    assert reader.wants.get("w1") is None
    assert reader.venues.list() == [Terms("Lindmoor Sales", "EUR")]
    assert reader.sources.list() == [Source("north", "north.csv")]


def test_corrections_are_plain_rows_with_an_id(tmp_path: Path) -> None:
    book = opened(tmp_path)
    book.corrections.put({"id": "c1", "word": "schoen", "means": "VF"})
    book.corrections.put({"id": "c1", "word": "schoen", "means": "F"})
    assert opened(tmp_path, write=False).corrections.list() == [{"id": "c1", "word": "schoen", "means": "F"}]


def test_the_next_free_id(tmp_path: Path) -> None:
    book = opened(tmp_path)
    assert book.wants.free_id("w") == "w1"
    book.wants.put(want(1), want(12), Want("mine", "Orvany", "5 tor", 1893))
    assert book.wants.free_id("w") == "w13"


def test_a_thousand_wants_are_one_write(tmp_path: Path) -> None:
    disk = FailingDisk(10**9)
    book = opened(tmp_path, disk=disk)
    before = disk.steps
    with book.together():
        for start in range(0, 1000, 250):
            book.wants.put(*map(want, range(start, start + 250)))
        book.sources.put(Source("north", "north.csv"))
    assert disk.steps - before == 15  # the copy of the last, of the day, and the file: five steps each
    assert len(opened(tmp_path, write=False).wants.list()) == 1000


def test_a_block_that_fails_leaves_nothing(tmp_path: Path) -> None:
    book = opened(tmp_path)
    book.wants.put(want(1))

    def broken() -> None:
        with book.together():
            book.wants.put(want(2))
            raise KeyError

    with pytest.raises(KeyError):
        broken()
    assert ids(book) == ids(opened(tmp_path, write=False)) == ["w1"]


def test_a_reader_cannot_write(tmp_path: Path) -> None:
    opened(tmp_path)
    with pytest.raises(ShelfReading, match="reading only"):
        opened(tmp_path, write=False).wants.put(want(1))


def test_it_can_be_read_and_edited_by_hand(tmp_path: Path) -> None:
    book = opened(tmp_path)
    book.wants.put(Want("w1", "Orvany", "5 tor", 1893, note="schön"))
    path = tmp_path / "notebook.json"
    assert "schön" in path.read_text("utf-8")
    path.write_text(path.read_text("utf-8").replace("1893", "1894"), "utf-8")
    assert book.wants.list()[0].year == 1894  # seen although the notebook is open
    book.wants.put(want(2))
    assert [w.year for w in book.wants.list()] == [1894, 1893]


def test_rows_copied_by_hand_under_one_number_are_all_kept(tmp_path: Path) -> None:
    book = opened(tmp_path)
    book.wants.put(want(1), want(2))
    path = tmp_path / "notebook.json"
    path.write_text(path.read_text("utf-8").replace('"2": {"id": "w2"', '"01": {"id": "w2"'), "utf-8")
    assert ids(book) == ["w1", "w2"]
    book.wants.put(want(3), want(1, 1901))
    assert [(w.id, w.year) for w in opened(tmp_path, write=False).wants.list()] == [
        ("w1", 1901),
        ("w2", 1893),
        ("w3", 1893),
    ]


def test_rows_keep_their_numbers_when_another_is_dropped(tmp_path: Path) -> None:
    book = opened(tmp_path)
    book.wants.put(want(1), want(2))
    book.wants.drop("w1")
    book.wants.put(want(3))
    path = tmp_path / "notebook.json"
    assert {number: row["id"] for number, row in parse(path.read_bytes())["wants"].items()} == {"2": "w2", "3": "w3"}


def test_a_row_that_cannot_be_read_is_named_and_stays(tmp_path: Path) -> None:
    book = opened(tmp_path)
    book.wants.put(want(1))
    path = tmp_path / "notebook.json"
    path.write_text(path.read_text("utf-8").replace("1893", '"soon"'), "utf-8")
    book.wants.put(want(2))
    assert ids(book) == ["w2"]
    (notice,) = book.notices
    assert "wants, w1" in notice
    assert '"soon"' in path.read_text("utf-8")


def test_a_row_that_cannot_be_read_is_named_as_soon_as_it_is_opened(tmp_path: Path) -> None:
    book = opened(tmp_path)
    for number in range(1, 4):
        book.wants.put(Want(f"w{number}", "Orvany", "5 tor", 1893, ceiling=Money(Decimal(number), "EUR")))
    path = tmp_path / "notebook.json"
    text = path.read_text("utf-8")
    text = text.replace('"amount": "1"', '"amount": "abc"').replace('"amount": "2"', '"amount": "NaN"')
    path.write_text(text, "utf-8")
    broken = [line for line in path.read_text("utf-8").splitlines() if "abc" in line or "NaN" in line]
    again = opened(tmp_path)
    assert again.notices == [
        "notebook.json, wants, w1: A kept Want cannot be read: ceiling: amount: `abc` is not a valid amount. "
        "It was passed over "
        "and stays in the file.",
        "notebook.json, wants, w2: A kept Want cannot be read: ceiling: amount: `NaN` is not a valid amount. "
        "It was passed over "
        "and stays in the file.",
    ]
    again.wants.put(want(9))
    assert [line for line in path.read_text("utf-8").splitlines() if "abc" in line or "NaN" in line] == broken
    assert again.wants.ids() == {"w1", "w2", "w3", "w9"}
    assert again.wants.free_id("w") == "w10"


def test_copies_before_each_days_first_write(tmp_path: Path) -> None:
    opened(tmp_path).wants.put(want(0))
    for number in range(1, 20):
        book = opened(tmp_path, day=TODAY + timedelta(days=number))
        book.wants.put(want(number))
        book.wants.put(want(number + 100))
    daily = sorted(file.name for file in (tmp_path / "copies").glob("notebook-2*"))
    assert len(daily) == COPIES_KEPT
    assert daily[-1] == "notebook-2026-06-20.json"
    newest = parse((tmp_path / "copies" / daily[-1]).read_bytes())["wants"]
    assert len(newest) == 1 + 2 * 18  # as it was before that day


@pytest.mark.parametrize(
    "harm",
    [
        lambda raw: raw[: len(raw) // 2],
        lambda raw: b"",
        lambda raw: b"\0" * len(raw),
        lambda raw: b"\xff" + raw,
        lambda raw: b"[]",
        lambda raw: b'{"wants": []}',
        lambda raw: b"[" * 100_000,
    ],
    ids=["cut", "empty", "noughts", "no text", "no tables", "no rows", "deep"],
)
@pytest.mark.parametrize("write", [True, False])
def test_a_torn_notebook_opens_from_the_copy_and_is_kept(
    tmp_path: Path, harm: Callable[[bytes], bytes], write: bool
) -> None:
    book = opened(tmp_path)
    book.wants.put(want(1))
    book.wants.put(want(2))
    path = tmp_path / "notebook.json"
    torn = harm(path.read_bytes())
    path.write_bytes(torn)
    again = opened(tmp_path, write=write)
    assert ids(again) == ["w1"]
    (notice,) = again.notices
    assert "copies/notebook-previous.json was opened" in notice
    if write:
        assert (tmp_path / "notebook.torn-2026-06-01.json").read_bytes() == torn
        assert "notebook.torn-2026-06-01.json" in notice
        again.wants.put(want(3))
        assert ids(opened(tmp_path, write=False)) == ["w1", "w3"]
    else:
        assert path.read_bytes() == torn


def test_two_torn_notebooks_of_one_day_are_both_kept(tmp_path: Path) -> None:
    opened(tmp_path).wants.put(want(1))
    for _ in range(2):
        (tmp_path / "notebook.json").write_bytes(b"{")
        opened(tmp_path)
    assert len(list(tmp_path.glob("notebook.torn-*"))) == 2


def test_a_torn_notebook_without_a_copy_is_left_alone(tmp_path: Path) -> None:
    (tmp_path / "notebook.json").write_bytes(b"{")
    for write in (True, False):
        with pytest.raises(ShelfTorn, match=r"restore FILE"):
            opened(tmp_path, write=write)
    assert (tmp_path / "notebook.json").read_bytes() == b"{"


def test_every_step_of_the_disk_may_fail(tmp_path: Path) -> None:
    """For each N: the Nth step fails. What was acknowledged is there, and the old or the new file, whole."""
    for fails_at in range(1, 60):
        folder = tmp_path / str(fails_at)
        folder.mkdir()
        opened(folder).wants.put(want(0))
        acknowledged, refused = {"w0"}, False
        disk = FailingDisk(fails_at)
        book = opened(folder, day=TODAY + timedelta(days=1), disk=disk)
        for number in range(1, 6):
            try:
                book.wants.put(want(number))
                acknowledged.add(f"w{number}")
            except ShelfRefused as error:
                refused = True
                is_a_sentence(error, "No space left")
        there = opened(folder, write=False)
        assert acknowledged <= set(ids(there)), fails_at
        assert set(ids(there)) == set(ids(book)), fails_at
        assert there.notices == []
        if not refused:
            assert disk.steps < fails_at
            return
    pytest.fail("the writes never went through")


def test_every_step_of_mending_may_fail(tmp_path: Path) -> None:
    opened(tmp_path).wants.put(want(1))
    path = tmp_path / "notebook.json"
    for fails_at in range(1, 11):
        path.write_bytes(b"{torn")
        try:
            opened(tmp_path, disk=FailingDisk(fails_at))
        except ShelfRefused:
            kept = [file.read_bytes() for file in tmp_path.glob("notebook*json")]
            assert b"{torn" in kept
    assert opened(tmp_path, write=False).wants.list() == []


@pytest.mark.parametrize("said", [b'{"schema": 0}', b'{"schema": "one"}', b"{}"])
def test_a_notebook_that_does_not_say_its_schema_is_left_alone(tmp_path: Path, said: bytes) -> None:
    opened(tmp_path).wants.put(want(1))
    path = tmp_path / "notebook.json"
    raw = path.read_bytes().replace(b'{"schema": %d}' % OURS, said)
    path.write_bytes(raw)
    for write in (True, False):
        with pytest.raises(ShelfTorn, match="does not say its schema"):
            opened(tmp_path, write=write)
    assert path.read_bytes() == raw


def test_what_changes_nothing_writes_nothing(tmp_path: Path) -> None:
    disk = FailingDisk(10**9)
    book = opened(tmp_path, disk=disk)
    book.wants.put(want(1))
    before = disk.steps
    with book.together():
        pass
    book.wants.put(want(1))
    assert book.wants.drop("w9") == 0
    assert disk.steps == before


def test_a_reader_is_told_once_of_the_copy_it_reads(tmp_path: Path) -> None:
    book = opened(tmp_path)
    book.wants.put(want(1))
    book.wants.put(want(2))
    reader = opened(tmp_path, write=False)
    for torn in (b"{", b"{ "):
        (tmp_path / "notebook.json").write_bytes(torn)
        assert ids(reader) == ["w1"]
    assert len(reader.notices) == 1


def test_a_torn_copy_is_passed_over_for_an_older_one(tmp_path: Path) -> None:
    book = opened(tmp_path)
    book.wants.put(want(1))
    book.wants.put(want(2))
    (tmp_path / "copies" / "notebook-previous.json").write_bytes(b"[")
    (tmp_path / "notebook.json").write_bytes(b"{")
    assert "copies/notebook-2026-06-01.json was opened" in opened(tmp_path).notices[0]


def test_a_newer_notebook_is_read_only(tmp_path: Path) -> None:
    opened(tmp_path).wants.put(want(1))
    path = tmp_path / "notebook.json"
    newer = path.read_bytes().replace(b'"schema": %d' % OURS, b'"schema": 99')
    path.write_bytes(newer)
    with pytest.raises(ShelfNewer, match=f"schema 99, this program knows {OURS}"):
        opened(tmp_path)
    reader = opened(tmp_path, write=False)
    assert ids(reader) == ["w1"]
    assert "schema 99" in reader.notices[0]
    assert path.read_bytes() == newer


def test_a_folder_in_the_place_of_the_notebook_is_refused(tmp_path: Path) -> None:
    (tmp_path / "notebook.json").mkdir()
    with pytest.raises(ShelfRefused, match=r"notebook\.json cannot be read .*it must be a file\. Nothing was changed"):
        opened(tmp_path)


def test_an_older_notebook_is_kept_and_brought_up(tmp_path: Path) -> None:
    opened(tmp_path).wants.put(want(1))
    before = (tmp_path / "notebook.json").read_bytes()

    def add_note(tables: Tables) -> None:
        for row in tables["wants"].values():
            row["note"] = "from one"

    book = Notebook(tmp_path / "notebook.json", write=True, today=lambda: TODAY, steps=(*steps(dict), add_note),
                    keep=lambda: "backups/before.zip")  # fmt: skip
    assert book.wants.list()[0].note == "from one"
    assert json.loads((tmp_path / "notebook.json").read_text())["notebook"] == {"1": {"schema": OURS + 1}}
    assert (tmp_path / "copies" / "notebook-previous.json").read_bytes() == before
    assert "as it was is kept in backups/before.zip." in book.notices[0]


def test_a_step_that_fails_leaves_the_older_notebook(tmp_path: Path) -> None:
    opened(tmp_path).wants.put(want(1))
    before = (tmp_path / "notebook.json").read_bytes()

    def fail(tables: Tables) -> None:
        tables["wants"].clear()
        raise KeyError("x")

    with pytest.raises(KeyError):
        Notebook(tmp_path / "notebook.json", write=True, steps=(*steps(dict), fail), keep=str)
    assert (tmp_path / "notebook.json").read_bytes() == before


cells = st.text(st.characters(), max_size=8) | st.integers() | st.none()
rows = st.dictionaries(st.text(max_size=5), cells, max_size=3)


@settings(max_examples=50, deadline=None)
@given(
    st.dictionaries(
        st.text(st.characters(codec="utf-8"), max_size=6),
        st.dictionaries(st.integers(0, 99).map(str), rows, max_size=4),
        max_size=4,
    )
)
def test_the_layout_is_json_and_comes_back(tables: Tables) -> None:
    assert parse(lay_out(tables)) == tables


def assert_has_words(error: ValueError) -> None:
    assert " " in str(error)


@settings(max_examples=60, deadline=None)
@given(st.binary(max_size=60))
def test_any_bytes_are_tables_or_a_reason(raw: bytes) -> None:
    try:
        parse(raw)
    except ValueError as error:
        assert_has_words(error)
