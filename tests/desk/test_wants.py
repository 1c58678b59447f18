"""Wants as typed into the form: what no want can be is refused whole, as on the command line."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.screens.pieces import NOW
from watchlist import words
from watchlist.core.typed.words import whole_grade
from watchlist.desk.desk import Desk
from watchlist.desk.errors import DeskError
from watchlist.desk.typed.sources import address_of
from watchlist.desk.typed.wants import put_want
from watchlist.shelf.shelf import Shelf

TYPED = {"coin": "Orvany 5 tor 1893-V", "ceiling": "300 EUR"}


@pytest.mark.parametrize(
    ("wrong", "said"),
    [
        ({"ceiling": "-5 EUR"}, "ceiling"),
        ({"ceiling": "0 EUR"}, "above zero"),
        ({"ceiling": ""}, "needs a ceiling"),
        ({"low": "70 EUR"}, "both ends"),
        ({"low": "90 EUR", "high": "70 EUR"}, "above the high"),
        ({"quantity": "0"}, "one piece or more"),
        ({"coin": ""}, "needs a coin"),
        ({"certified": "maybe"}, "Certified is yes, no or any, not `maybe`"),
        ({"certified": "PVG"}, "not `PVG`"),
        ({"upgrade": "perhaps"}, "Upgrade is yes or no, not `perhaps`"),
        ({"grade": "fine-ish"}, "`fine-ish` is not a valid grade"),
    ],
)
def test_what_no_want_can_be_is_refused_and_its_coin_is_not_kept(
    tmp_path: Path, wrong: dict[str, str], said: str
) -> None:
    with Shelf.open(tmp_path / "shelf", write=True, today=NOW.date) as shelf:
        with pytest.raises((DeskError, ValueError), match=said):
            put_want(Desk(shelf, NOW), TYPED | wrong)
        assert shelf.notebook.wants.list() == []
        assert shelf.store.catalogue.issues() == []


def test_a_coin_of_no_catalogue_is_kept_with_its_want(tmp_path: Path) -> None:
    with Shelf.open(tmp_path / "shelf", write=True, today=NOW.date) as shelf:
        want, implied = put_want(Desk(shelf, NOW), TYPED)
        assert implied is not None
        assert shelf.notebook.wants.list() == [want]
        assert [(issue.year, issue.mint, issue.implied) for issue in shelf.store.catalogue.issues()] == [
            (1893, "V", True)
        ]


@pytest.mark.parametrize(
    ("typed", "meant"),
    [("yes", True), ("TRUE", True), ("1", True), ("Y", True), ("any", False), ("no", False), ("", False)],
)
def test_certified_is_yes_no_or_any(tmp_path: Path, typed: str, meant: bool) -> None:
    with Shelf.open(tmp_path / "shelf", write=True, today=NOW.date) as shelf:
        assert put_want(Desk(shelf, NOW), TYPED | {"certified": typed})[0].certified is meant


@pytest.mark.parametrize(
    "text",
    [
        "VF",
        "VF-30",
        "about VF",
        "vz-st",
        "(VF)",
        "VF.",
        "fine to very fine",
        "40+",
        "ss/vz",
        "MS 63",
        " gVF ",
        "VF details",
    ],
)
def test_a_grade_in_words_is_taken_as_a_whole(text: str) -> None:
    assert whole_grade(text, words.load())
    assert not whole_grade(f"{text} ish", words.load())


@pytest.mark.parametrize(
    "text",
    [
        "lindmoor.example/feed",
        "127.0.0.1:8931/x.rss",
        "127.0.0.1/x.rss",
        "localhost:80",
        "www.vessick.example",
        "localhost/a",
        "ftp://vessick.example/x.csv",
        "host:8080",
    ],
)
def test_an_address_without_its_beginning_is_refused(text: str) -> None:
    with pytest.raises(DeskError, match="begins with http:// or https://"):
        address_of(text)


@pytest.mark.parametrize("text", ["lots.csv", "feeds/lots.csv", "/x/none.csv", "./a.b/lots.csv", "~/lots.rss", "lots"])
def test_a_file_may_still_have_to_come(text: str) -> None:
    assert Path(address_of(text)).is_absolute()


def test_a_file_that_looks_like_an_address_is_a_file(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(tmp_path)
    (tmp_path / "vessick.example").mkdir()
    (tmp_path / "vessick.example" / "feed").write_text("x", "utf-8")
    assert address_of("vessick.example/feed") == str(tmp_path / "vessick.example" / "feed")
    assert address_of("https://vessick.example/feed") == "https://vessick.example/feed"
