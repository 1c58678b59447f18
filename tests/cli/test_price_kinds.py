"""`price COIN` answers for the kind of piece that was sold; a variety without sales is valued from its plain issue."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest

from tests.cli.conftest import Run

CATALOGUE = "issue,country,denomination,year,mint,variety\n{}"
SALES = "sale_date,country,denomination,year,mint,variety,grade,certified,hammer,currency,source\n"


def _sold(year: int, grade: str, certified: str, hammer: int, count: int) -> str:
    coin = f"Orvany,7 tor,{year},,,{grade},{certified}"
    return "".join(f"2025-{1 + n:02}-15,{coin},{hammer + n},EUR,Fair\n" for n in range(count))


def test_the_kind_that_was_sold_answers_and_a_variety_rests_on_its_plain_issue(run: Run, tmp_path: Path) -> None:
    issues = [f"7tor-{year},Orvany,7 tor,{year},," for year in (1901, 1902, 1903)]
    issues += ["7tor-1901w,Orvany,7 tor,1901,,wide date", "7tor-1901p,Orvany,7 tor,1901,,Proof"]
    catalogue, prices = tmp_path / "c.csv", tmp_path / "p.csv"
    catalogue.write_text(CATALOGUE.format("\n".join(issues)), "utf-8")
    rows = _sold(1901, "40", "", 100, 6) + _sold(1902, "40", "yes", 200, 6)
    rows += _sold(1903, "40", "", 50, 4) + _sold(1903, "40", "yes", 90, 6)
    prices.write_text(SALES + rows, "utf-8")
    assert run("import", "catalogue", str(catalogue)).code == 0
    assert run("import", "prices", str(prices)).code == 0

    def asked(coin: str, *more: str) -> dict[str, Any]:
        (row,) = run("price", coin, "--grade", "40", "--json", *more).rows
        return row

    assert [asked("7tor-1901")["raw"], asked("7tor-1902")["raw"], asked("7tor-1903")["raw"]] == [True, False, False]
    assert [asked("7tor-1901")["also"], asked("7tor-1902")["also"]] == [[], []]
    (other,) = asked("7tor-1903")["also"]
    assert (other["raw"], other["value"] is None, other["band"] is None) == (True, False, False)
    assert asked("7tor-1903", "--raw")["raw"] is True
    assert asked("7tor-1903", "--raw")["also"] == []
    both = run("price", "7tor-1903", "--grade", "40").out
    assert " certified: worth " in both
    assert " raw: worth " in both
    plain, wide = asked("7tor-1901", "--raw")["band"], asked("7tor-1901w")["band"]
    assert isinstance(plain, dict)
    assert isinstance(wide, dict)
    assert (plain["basis"], wide["basis"], wide["sales"]) == ("sales", "parent", 0)
    assert float(wide["mid"]) == pytest.approx(float(plain["mid"]), rel=0.01)
    assert float(wide["low"]) < float(plain["low"]) / 1.2
    assert "estimate from the regular issue" in " ".join(run("price", "7tor-1901w", "--grade", "40").out.split())
    proof = asked("7tor-1901p")["band"]
    assert proof is None or (isinstance(proof, dict) and proof["basis"] == "similar")
    assert run("price", "7tor-1901", "--raw", "--certified").code == 2
