"""A want-list that leaves the program and comes back asks for the same coins."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.cli.conftest import Run, _runner

CATALOGUE = """issue,country,denomination,year,mint,variety
V1,Vesmark,2 lund,1911,A,
V2,Vesmark,2 lund,1911,A,wide date
V3,Vesmark,2 lund,1912,A,small crown
V4,Vesmark,2 lund,1913,,small crown
V5,Vesmark,2 lund,1913,,large crown
"""
WANTS = """want_id,country,denomination,year,mint,variety,min_grade,ceiling,ceiling_currency
w1,Vesmark,2 lund,1911,A,any,20,90,EUR
w2,Vesmark,2 lund,1911,A,plain,20,90,EUR
w3,Vesmark,2 lund,1911,A,wide date,20,90,EUR
w4,Vesmark,2 lund,1912,any,any,20,90,EUR
w5,Vesmark,2 lund,1913,,any,20,90,EUR
w6,Vesmark,2 lund,1912,A,,20,90,EUR
"""


def varieties(run: Run) -> dict[str, str | None]:
    return {row["id"]: row.get("variety") for row in run("want", "list", "--json").rows}


def test_any_variety_and_the_regular_coin_are_told_apart(
    run: Run, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    for kind, text in (("catalogue", CATALOGUE), ("wants", WANTS)):
        (tmp_path / f"{kind}.csv").write_text(text, "utf-8")
        run("import", kind, str(tmp_path / f"{kind}.csv"))
    told = varieties(run)
    assert told == {"w1": None, "w2": "", "w3": "wide date", "w4": None, "w5": None, "w6": "small crown"}
    assert run("export", "wants", str(tmp_path / "out.csv")).code == 0
    other = _runner(tmp_path / "empty", capsys)
    for shelf in (run, other):
        assert "6 taken" in shelf("import", "wants", str(tmp_path / "out.csv")).err
        assert varieties(shelf) == told
