"""The whole shelf out and in again, equal to the byte; what is not one is refused by name and changes nothing."""

from __future__ import annotations

import json
import random
import zipfile
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from tests.shelf.pieces import NOW, TODAY, FailingDisk, is_a_sentence, judged, row, sold
from watchlist.core.decisions.review import Decision
from watchlist.core.marks.record import Want
from watchlist.core.sift.filter import Filter
from watchlist.shelf.errors import ShelfError, ShelfNotEmpty, ShelfRefused, ShelfTorn
from watchlist.shelf.open_form import bring_in, write_out
from watchlist.shelf.shelf import Shelf


@pytest.fixture(scope="module")
def shelf(tmp_path_factory: pytest.TempPathFactory) -> Path:
    path = tmp_path_factory.mktemp("open") / "shelf"
    with Shelf.open(path, write=True, today=lambda: TODAY) as opened:
        store = opened.store
        title = "=1+1 <b>5 tor</b> 1893, schön \u20ac"
        store.lots.save([row(2, judgement=judged("bargain"), title=title), row(1), row(3, title="gone")])
        store.lots.drop(["north:3"])
        store.prices.add([sold(title=title), sold(sale_date=TODAY)])
        store.decisions.add([Decision(0, "b1", NOW, "follow", "north:2"), Decision(0, "b2", NOW, "skip", "north:1")])
        store.facts.put("a number", 7)
        store.changes.keep("b1", "price", "1", json.dumps({"held": "\ud800"}))
        opened.notebook.wants.put(Want("w1", "Orvany", "5 tor", 1893))
    (path / "settings.toml").write_text('# mine\n[home]\ncurrency = "GBP"\n')
    return path


@pytest.fixture(scope="module")
def written(shelf: Path) -> Path:
    return write_out(shelf, shelf.parent / "shelf.zip")


def test_out_in_and_out_again_gives_the_same_bytes(shelf: Path, written: Path, tmp_path: Path) -> None:
    bring_in(written, tmp_path / "new")
    assert write_out(tmp_path / "new", tmp_path / "again.zip").read_bytes() == written.read_bytes()
    for name in ("notebook.json", "settings.toml"):
        assert (tmp_path / "new" / name).read_bytes() == (shelf / name).read_bytes()
    with Shelf.open(tmp_path / "new", write=True) as opened:
        found = opened.store.listing.each(Filter(words=("schon",)))
        assert [line.key for line in found] == ["north:2"], "titles can be searched"
        assert opened.store.prices.add([sold(sale_date=TODAY)]) == (0, 1), "it is still known as there already"
        (added,) = opened.store.decisions.add([Decision(0, "b3", NOW, "undo", "", target="b2")])
        assert added.seq == 3


def test_any_program_can_read_it(written: Path) -> None:
    with zipfile.ZipFile(written) as file:
        about = json.loads(file.read("about.json"))
        assert about["form"] == "open shelf 1"
        for name in (each for each in file.namelist() if each.endswith(".jsonl")):
            lines = [json.loads(line) for line in file.read(name).splitlines()]
            assert len(lines) == about["rows"][Path(name).stem]
        (first, second) = map(json.loads, file.read("store/texts.jsonl").splitlines())
        assert first["lot"]["price"] == {"amount": "80", "currency": "EUR"}
        assert (first["judgement"]["mark"], second["judgement"]) == ("bargain", None)


Harm = Callable[[dict[str, bytes]], Any]


def changed(name: str, **cells: Any) -> Harm:
    """The first line of a table with other cells."""

    def harm(files: dict[str, bytes]) -> None:
        first, rest = files[name].split(b"\n", 1)
        files[name] = json.dumps(json.loads(first) | cells).encode() + b"\n" + rest

    return harm


def put(name: str, text: bytes) -> Harm:
    return lambda files: files.update({name: text})


LOTS, PRICES = "store/lots.jsonl", "store/prices.jsonl"


@pytest.mark.parametrize(
    ("harm", "said"),
    [
        (lambda files: files.pop("about.json"), "is not a shelf in the open form"),
        (put("about.json", b"[]"), "about.json is not an object"),
        (put("about.json", b"{"), "about.json is not JSON"),
        (put("about.json", b'{"form": "another 1"}'), "it is of the form 'another 1'"),
        (put("about.json", b" " * 1_000_001), "about.json in it is too long"),
        (put("../evil.sh", b"x"), "'../evil.sh' in it is not a file of a shelf"),
        (put("store/evil.jsonl", b"{}"), "'store/evil.jsonl' in it is not a file of a shelf"),
        (put("notebook.json", b"{"), "The notebook in"),
        (put("settings.toml", b"[home"), "settings.toml"),
        (put("settings.toml", b"#" * 1_000_001), "1,000,001 bytes long"),
        (put(LOTS, b"{}\n"), "line 1 of store/lots.jsonl lacks 'all_in'"),
        (put(LOTS, b"nonsense"), "line 1 of store/lots.jsonl is not JSON"),
        (lambda files: files.pop(LOTS), "store/lots.jsonl has 0 rows, and about.json says 2"),
        (changed(LOTS, evil=1), "line 1 of store/lots.jsonl lacks 'evil', or has it"),
        (changed(LOTS, title={"a": 1}), "'title' in line 1 of store/lots.jsonl is neither a text nor a figure"),
        (changed(LOTS, title=None), "did not take this step"),
        (changed(LOTS, closes=10**30), "cannot be kept"),
        (changed(PRICES, digest="no figures"), "non-hexadecimal"),
        (changed(PRICES, amount="dear"), "record 1 of prices"),
        (changed("store/texts.jsonl", lot={"key": "x"}), "record 1 of texts"),
        (changed("store/decisions.jsonl", data="[]"), "record 1 of decisions"),
    ],
)
def test_what_is_no_shelf_is_refused_and_nothing_is_put_there(
    written: Path, tmp_path: Path, harm: Harm, said: str
) -> None:
    with zipfile.ZipFile(written) as whole:
        files = {name: whole.read(name) for name in whole.namelist()}
    harm(files)
    with zipfile.ZipFile(tmp_path / "harmed.zip", "w", zipfile.ZIP_DEFLATED) as file:
        for name, content in files.items():
            file.writestr(name, content)
    with pytest.raises(ShelfError) as refused:
        bring_in(tmp_path / "harmed.zip", tmp_path / "new")
    is_a_sentence(refused.value, said)
    assert str(tmp_path / "new") not in str(refused.value)
    assert [file.name for file in (tmp_path / "new").iterdir()] == ["lock"]


def test_what_has_more_than_the_disk_has_room_for_is_refused_before_it_is_unpacked(
    written: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("watchlist.shelf.open_form.room", lambda _: 1_000)
    with pytest.raises(ShelfTorn, match="the disk has space for 1,000"):
        bring_in(written, tmp_path / "new")


def test_a_line_without_an_end_is_not_read_whole(
    written: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("watchlist.shelf.open_form.LONGEST", 50)
    with pytest.raises(ShelfTorn, match=r"line 1 of store/\w+\.jsonl is too long"):
        bring_in(written, tmp_path / "new")


def test_a_file_twice_in_the_zip_is_refused(written: Path, tmp_path: Path) -> None:
    harmed = tmp_path / "harmed.zip"
    harmed.write_bytes(written.read_bytes())
    with zipfile.ZipFile(harmed, "a") as file, pytest.warns(UserWarning, match="Duplicate name"):
        file.writestr("notebook.json", "{}")
    with pytest.raises(ShelfTorn, match="stands there twice"):
        bring_in(harmed, tmp_path / "new")


def test_a_shelf_that_is_there_stays(shelf: Path, written: Path) -> None:
    before = {file.name: file.read_bytes() for file in shelf.iterdir() if file.suffix in (".json", ".toml")}
    with pytest.raises(ShelfNotEmpty, match=r"holds a shelf already\. Nothing was changed"):
        bring_in(written, shelf)
    assert {file.name: file.read_bytes() for file in shelf.iterdir() if file.suffix in (".json", ".toml")} == before


def test_a_damaged_file_is_refused_or_gives_the_same_shelf(written: Path, tmp_path: Path) -> None:
    raw, chance = written.read_bytes(), random.Random(17)
    for turn in range(12):
        harmed = bytearray(raw[: chance.randrange(len(raw))] if turn % 3 == 0 else raw)
        if harmed:
            harmed[chance.randrange(len(harmed))] ^= 0xFF
        (tmp_path / "harmed.zip").write_bytes(harmed)
        try:
            bring_in(tmp_path / "harmed.zip", tmp_path / f"new{turn}")
        except ShelfError as error:
            is_a_sentence(error)
            assert [file.name for file in (tmp_path / f"new{turn}").iterdir()] == ["lock"]
        else:
            again = write_out(tmp_path / f"new{turn}", tmp_path / "again.zip")
            assert again.read_bytes() == raw, "the flip fell on something that does not matter"


def test_every_step_may_fail(written: Path, tmp_path: Path) -> None:
    for fails_at in (1, 3, 5):
        with pytest.raises(ShelfRefused):
            bring_in(written, tmp_path / "new", disk=FailingDisk(fails_at))
        assert [file.name for file in (tmp_path / "new").iterdir()] == ["lock"]
