"""A sign set aside: the lot is marked anew at once, later judging respects it, undo reverses it."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.cli.conftest import Run

NOTE = "known to me"
LOTS = "id,title,price,price_kind,currency,seller,ratings,description\n" + (
    "1,Orvany 5 tor 1893-V VF-30,%s,fixed,EUR,anna,3,as is\n"
)


@pytest.fixture
def shelf(run: Run, tmp_path: Path) -> Run:
    """One lot of a seller with few ratings, well under its band."""
    (tmp_path / "catalogue.csv").write_text(
        "issue,country,denomination,year,mint,mintage,copied\nt1,Orvany,5 tor,1893,V,1000,yes\n", "utf-8"
    )
    (tmp_path / "prices.csv").write_text(
        "sale_date,country,denomination,year,mint,grade,hammer,currency\n"
        + "".join(f"2025-{month:02}-05,Orvany,5 tor,1893,V,VF-30,{400 + month},EUR\n" for month in range(1, 13)),
        "utf-8",
    )
    (tmp_path / "lots.csv").write_text(LOTS % 300, "utf-8")
    assert run("import", "catalogue", str(tmp_path / "catalogue.csv")).code == 0
    assert run("import", "prices", str(tmp_path / "prices.csv")).code == 0
    assert run("source", "add", "east", str(tmp_path / "lots.csv"), "--kind", "csv").code == 0
    assert run("gather").code == 0
    return run


def lot(run: Run) -> dict[str, object]:
    return run("lot", "east:1", "--json").rows[0]


def name(run: Run, words: str) -> str:
    """The name of the sign with these words."""
    reasons = run("lot", "east:1", "--json").rows[0]["reasons"]
    return str(next(reason["name"] for reason in reasons if words in reason["text"]))


def set_aside(run: Run) -> None:
    for words in ("ratings", "known to be copied", '"as is"'):
        assert run("lot", "east:1", "--dismiss", name(run, words), "--note", NOTE).code == 0


def test_the_lot_is_marked_anew_and_the_reasons_go_on_showing_the_sign(shelf: Run) -> None:
    assert lot(shelf)["mark"] == "doubt"
    done = shelf("lot", "east:1", "--dismiss", name(shelf, "known to be copied"), "--note", NOTE)
    assert "Dismissed: an issue known to be copied or altered. Now " in done.err
    set_aside_reason = next(each for each in lot(shelf)["reasons"] if "known to be copied" in each["text"])  # type: ignore[attr-defined]
    assert set_aside_reason["dismissed"] == NOTE
    assert f"Dismissed: {NOTE}, so it is not counted." in " ".join(shelf("lot", "east:1").out.split())


def test_without_its_signs_it_is_no_doubt_and_undo_brings_that_back(shelf: Run) -> None:
    set_aside(shelf)
    assert (lot(shelf)["mark"], lot(shelf)["doubt"]) == ("bargain", "none")
    for _ in range(3):
        assert "Undone: sign dismissed" in shelf("undo").err
    assert lot(shelf)["mark"] == "doubt"
    shelf("redo")
    assert "dismissed" in next(each for each in lot(shelf)["reasons"] if "ratings" in each["text"])  # type: ignore[attr-defined]


def test_a_gather_a_fit_and_a_new_price_respect_it(shelf: Run, tmp_path: Path) -> None:
    set_aside(shelf)
    assert shelf("price", "--refit").code == 0
    assert lot(shelf)["mark"] == "bargain"
    (tmp_path / "lots.csv").write_text(LOTS % 299, "utf-8")
    assert shelf("gather", now="2026-03-04T07:30:00+01:00").code == 0
    assert lot(shelf)["mark"] == "bargain"
    assert sum("dismissed" in each for each in lot(shelf)["reasons"]) == 3  # type: ignore[attr-defined]


def test_a_name_means_the_same_sign_whatever_else_is_seen(shelf: Run) -> None:
    """A sign that is set aside moves no other: the place in the list is no name."""
    names = {words: name(shelf, words) for words in ("ratings", "known to be copied", '"as is"')}
    assert len(set(names.values())) == 3
    set_aside(shelf)
    assert names == {words: name(shelf, words) for words in names}
    assert names["ratings"] in shelf("lot", "east:1").out


def test_the_same_again_restores_it(shelf: Run) -> None:
    before = lot(shelf)
    at = name(shelf, "known to be copied")
    assert shelf("lot", "east:1", "--dismiss", at).code == 0
    assert "Restored: " in shelf("lot", "east:1", "--dismiss", name(shelf, "known to be copied")).err
    assert lot(shelf) == before


def test_a_decision_on_the_lot_is_left_as_it_is(shelf: Run) -> None:
    shelf("decide", "east:1", "follow")
    set_aside(shelf)
    assert lot(shelf)["state"] == "followed"
    shelf("undo")
    assert lot(shelf)["state"] == "followed"


def test_a_name_that_is_no_sign_is_told(shelf: Run) -> None:
    done = shelf("lot", "east:1", "--dismiss", "99")
    assert done.code == 2
    assert "--dismiss takes the name of a sign" in done.err
