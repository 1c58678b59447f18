"""Files of odd prices, through the command line: a clear sentence, a wide band or none, never a fault or a nan."""

from __future__ import annotations

import json
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from decimal import Decimal
from pathlib import Path

import pytest

from watchlist.cli import main

TODAY = date(2026, 3, 3)
COIN = "Orvany 5 tor 1893"
HEAD = "country,denomination,year,sale_date,grade,all-in,currency\n"


def row(price: object, *, grade: str = "XF-45", days: int = 30) -> str:
    return f"Orvany,5 tor,1893,{TODAY - timedelta(days=days)},{grade},{price},EUR\n"


@dataclass(frozen=True)
class Own:
    """The command line on an empty shelf, and price files of one's own."""

    folder: Path
    capsys: pytest.CaptureFixture[str]

    def __call__(self, *words: str) -> tuple[int, str]:
        self.capsys.readouterr()
        code = main([*words, "--shelf", str(self.folder / "shelf"), "--now", f"{TODAY}T07:30:00+01:00"])
        said = self.capsys.readouterr()
        return code, said.out + said.err

    def imported(self, rows: Sequence[str]) -> str:
        """What an import of these rows says."""
        (self.folder / "own.csv").write_text(HEAD + "".join(rows), "utf-8")
        code, said = self("import", "prices", str(self.folder / "own.csv"))
        assert code == 0, said
        return said


@pytest.fixture
def run(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> Own:
    return Own(tmp_path, capsys)


def band(run: Own) -> dict[str, Decimal]:
    code, said = run("price", COIN, "--grade", "XF-45", "--json")
    assert code == 0, said
    assert not {"NaN", "Infinity"} & set(said.replace(",", " ").split())
    found = json.loads(said)["band"]
    return {edge: Decimal(found[edge]) for edge in ("low", "mid", "high")}


def test_no_sales(run: Own) -> None:
    assert "no rows read, 0 taken" in run.imported([])
    assert run("price", COIN) == (2, "watchlist: The catalogue lists no coins of Orvany.\n")


def test_one_sale_gives_a_wide_band(run: Own) -> None:
    run.imported([row(310)])
    found = band(run)
    assert found["high"] / found["low"] > 2
    assert found["low"] < 310 < found["high"]
    assert "1 sale" in run("price", COIN)[1]


def test_one_grade_says_little_of_the_others(run: Own) -> None:
    run.imported([row(300 + n, days=n + 1) for n in range(25)])
    curve = {step["grade"]: step for step in json.loads(run("price", COIN, "--json")[1])["curve"]}
    wide = {grade: Decimal(step["high"]) / Decimal(step["low"]) for grade, step in curve.items()}
    assert wide[50] < wide[70]
    assert wide[50] < wide[1]


def test_equal_prices_leave_some_width(run: Own) -> None:
    run.imported([row(300, grade=("VF-20", "VF-30", "XF-45")[n % 3], days=n + 1) for n in range(25)])
    found = band(run)
    assert found["low"] < 300 < found["high"]


def test_equal_rows_count_once_and_the_same_one_is_listed(run: Own) -> None:
    said = run.imported([row(300)] * 25)
    assert "bands recalculated from 1 sale, 24 excluded" in said
    found = json.loads(run("price", COIN, "--grade", "XF-45", "--json")[1])
    assert [sale["sale"] for sale in found["sales"]] == [1]
    assert 1 not in [sale["sale"] for sale in found["set_aside"]]


@pytest.mark.parametrize(
    ("price", "why"),
    [("0", "`0` is zero"), ("-5", "a negative amount"), ("NaN", "no amount"), ("9" * 40, "too large")],
)
def test_a_price_that_is_none_is_set_aside(run: Own, price: str, why: str) -> None:
    said = run.imported([row(price), row(300)])
    assert why in said
    assert "row rejected" in said
    assert "1 taken, 1 rejected" in said
    assert band(run)["mid"] > 0


def test_a_day_to_come_is_set_aside(run: Own) -> None:
    said = run.imported([row(300), row(310, days=-400)])
    assert "lies in the future; row rejected" in said
    assert band(run)["mid"] > 0


def test_two_million_among_twenties_is_pointed_out_and_hardly_counts(run: Own) -> None:
    said = run.imported([*(row(20 + n % 3, days=n + 1) for n in range(20)), row('"2,000,000"', days=3)])
    assert "check sale 21 of Orvany 5 tor 1893" in said
    assert "are price, coin and currency right?" in said
    assert 18 < band(run)["mid"] < 24
    assert "times the median of its band" in run("price", COIN)[1]


def test_very_old_sales_are_told(run: Own) -> None:
    said = run.imported([row(300), row(310, days=20 * 365)])
    assert "older than 15 years" in said
    assert "older than 15 years" in run("price", COIN)[1]
