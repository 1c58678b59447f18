"""Which sales are one: nothing counts twice, nothing is lost, and nothing comes back that was put right or deleted."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.cli.conftest import Ran, Run, _runner

CATALOGUE = """issue,country,denomination,year,mint
V1,Vesmark,2 lund,1911,A
V2,Vesmark,2 lund,1912,A
V3,Vesmark,2 lund,1913,A
"""
HEAD = "sale_date,issue,grade,hammer,currency,source"
ONE = "2025-04-05,V1,VF-30,90,EUR,Halle"
OTHER = "2025-04-05,V2,VF-30,90,EUR,Halle"


class Sales:
    """A shelf with a catalogue, and files of prices beside it."""

    def __init__(self, run: Run, folder: Path) -> None:
        self.run, self.folder = run, folder
        self.bring("catalogue", "catalogue.csv", CATALOGUE)

    def bring(self, kind: str, name: str, text: str = "") -> Ran:
        """Import a file, written before when there is a text."""
        path = self.folder / name
        if text:
            path.write_text(text, "utf-8")
        return self.run("import", kind, str(path))

    def prices(self, name: str, *rows: str, head: str = HEAD) -> str:
        """Import these rows; what was said of them."""
        return self.bring("prices", name, "\n".join((head, *rows)) + "\n").err

    def again(self, name: str) -> str:
        """Import a file once more; what was said of it."""
        return self.bring("prices", name).err

    def shelf(self) -> list[str]:
        """Every sale, as it is exported."""
        return (self.folder / self.export()).read_text("utf-8-sig").splitlines()[1:]

    def issues(self) -> list[str]:
        """The issue of every sale."""
        return [row.split(",")[1] for row in self.shelf()]

    def export(self) -> str:
        """Export the prices; the file's name."""
        self.run("export", "prices", str(self.folder / "out.csv"), "--replace")
        return "out.csv"


@pytest.fixture
def sales(run: Run, tmp_path: Path) -> Sales:
    return Sales(run, tmp_path)


def test_two_coins_of_one_day_grade_price_and_venue_in_two_files_are_two(sales: Sales) -> None:
    assert "1 taken" in sales.prices("a.csv", ONE)
    assert "1 taken" in sales.prices("b.csv", OTHER)
    assert sales.issues() == ["V1", "V2"]
    for name in ("a.csv", "b.csv"):
        assert "0 taken, 1 duplicate" in sales.again(name)


def test_two_lots_of_one_coin_in_two_files_are_two_and_an_open_number_meets_either(sales: Sales) -> None:
    numbered = f"{HEAD},lot_id"
    assert "1 taken" in sales.prices("a.csv", f"{ONE},17", head=numbered)
    assert "1 taken" in sales.prices("b.csv", f"{ONE},18", head=numbered)
    assert "0 taken, 2 duplicates" in sales.prices("both.csv", f"{ONE},18", f"{ONE},17", head=numbered)
    assert "1 taken, 2 duplicates" in sales.prices("bare.csv", ONE, ONE, ONE)
    assert "0 taken, 3 duplicates" in sales.prices("more.csv", f"{ONE},17", f"{ONE},18", f"{ONE},19", head=numbered)
    assert "1 taken, 3 duplicates" in sales.prices(
        "most.csv", *(f"{ONE},{number}" for number in (20, 17, 18, 19)), head=numbered
    )


@pytest.mark.parametrize(
    "act",
    [
        ("--correct", "1", "price=190"),
        ("--correct", "1", "issue=V3"),
        ("--move", "1", "V3"),
        ("--delete", "1"),
    ],
)
def test_what_was_put_right_does_not_come_back(sales: Sales, act: tuple[str, ...]) -> None:
    sales.prices("a.csv", ONE, OTHER)
    before = sales.shelf()
    assert sales.run("price", *act).code == 0
    right = sales.shelf()
    assert right != before
    assert "0 taken, 2 duplicates" in sales.again("a.csv")
    assert f"0 taken, {len(right)} duplicate" in sales.again(sales.export())
    assert sales.shelf() == right
    assert sales.run("undo").code == 0
    assert sales.shelf() == before
    assert "0 taken, 2 duplicates" in sales.again("a.csv")
    assert sales.run("redo").code == 0
    assert sales.shelf() == right
    assert "0 taken, 2 duplicates" in sales.again("a.csv")
    assert sales.shelf() == right


def test_what_is_put_right_and_back_again_counts_once(sales: Sales) -> None:
    sales.prices("a.csv", ONE, OTHER)
    before = sales.shelf()
    sales.run("price", "--move", "1", "V2")
    assert sales.issues() == ["V2", "V2"]
    sales.run("price", "--move", "1", "V1")
    assert sales.shelf() == before
    assert "0 taken, 2 duplicates" in sales.again("a.csv")
    sales.run("price", "--delete", "1")
    assert "0 taken, 2 duplicates" in sales.again("a.csv")
    assert sales.issues() == ["V2"]


def test_two_lots_that_brought_the_same_both_count(sales: Sales) -> None:
    said = sales.prices("a.csv", f"{ONE},17", f"{ONE},18", f"{ONE},18", head=f"{HEAD},lot_id")
    assert "from 2 sales, 1 excluded" in said


def test_a_column_of_grams_is_no_weight_of_ones_own(sales: Sales) -> None:
    said = sales.prices("a.csv", f"{ONE},0.85", f"{OTHER},12.5", head=f"{HEAD},Weight")
    assert "the column of weights is unused: line 3 has `12.5`, not a weight of 0 to 1" in said
    assert [row.split(",")[-2] for row in sales.shelf()] == ["1.0", "1.0"]
    sales.prices("b.csv", f"{ONE},0,X", f'{OTHER},"0,5",Y', f"{OTHER},,Z", head=f"{HEAD},weight,title")
    assert [row.split(",")[-2] for row in sales.shelf()[2:]] == ["0.0", "0.5", "1.0"]


def test_a_deleted_lot_takes_no_other_lot_with_it(sales: Sales) -> None:
    numbered = f"{HEAD},lot_id"
    sales.prices("a.csv", f"{ONE},17", f"{ONE},18", head=numbered)
    sales.run("price", "--delete", "1")
    assert "0 taken, 2 duplicates" in sales.again("a.csv")
    assert "1 taken" in sales.prices("b.csv", f"{ONE},19", head=numbered)


def test_the_export_fills_an_empty_shelf_with_equal_figures(
    sales: Sales, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    head = f"{HEAD},lot_id,title,status,note"
    rows = (f"{ONE},17,a fine one,sold,", f"{ONE},,,sold,from the list", f"{OTHER},,,unsold,", f"{ONE},18,,sold,")
    sales.prices("a.csv", *rows, head=head)
    for words in (("--weight", "2", "0.5"), ("--correct", "1", "grade=XF-40"), ("--move", "4", "V3")):
        assert sales.run("price", *words).code == 0
    right, name = sales.shelf(), sales.export()
    other = Sales(_runner(tmp_path / "empty", capsys), tmp_path)
    assert "4 taken" in other.again(name)
    assert other.shelf() == right
    assert "0 taken, 4 duplicates" in other.again(name)


def test_a_catalogue_that_moves_sales_brings_none_of_them_twice(run: Run, tmp_path: Path) -> None:
    head = "sale_date,country,denomination,year,mint,grade,hammer,currency,source"
    rows = [row.replace("V1", "Vesmark,2 lund,1911,A").replace("V2", "Vesmark,2 lund,1912,A") for row in (ONE, OTHER)]
    (tmp_path / "first.csv").write_text("\n".join((head, *rows)), "utf-8")
    run("import", "prices", str(tmp_path / "first.csv"))
    sales = Sales(run, tmp_path)
    assert sales.issues() == ["V1", "V2"]
    assert "0 taken, 2 duplicates" in sales.again("first.csv")
    assert "0 taken, 2 duplicates" in sales.again(sales.export())
