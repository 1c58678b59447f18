"""A person's own files with the plain columns of docs/formats.md, written by hand, go in without an option and come
out valued; another country than the sample's, so that nothing leans on it."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.cli.conftest import Run

CATALOGUE = """issue,country,denomination,year,mint,variety,mintage,metal,weight_g,diameter_mm,copied,note
T1,Talmark,2 krane,1874,,,812000,silver .900,12.5,28,no,
T2,Talmark,2 krane,1874,H,,41000,silver .900,12.5,28,yes,counterfeits known
T3,Talmark,2 krane,1875,,,1500000,silver .900,12.5,28,no,
T4,Talmark,10 pell,1874,,,9000000,bronze,6.2,26,no,
"""
TERMS = """venue,kind,currency,premium_pct,vat_on_premium_pct,shipping,bid_steps,time_zone
Vessick Auctions,auction,EUR,20,19,12.50,0:5;100:10;500:25,Europe/Berlin
Fair Table,dealer,EUR,,,,,Europe/Berlin
"""
WANTS = """want_id,country,denomination,year,mint,min_grade,max_grade,certified,ceiling,ceiling_currency
a,Talmark,2 krane,1874,H,20,45,any,600,EUR
b,Talmark,2 krane,1875,,VF,XF,any,120,EUR
"""
RATES = """month,currency,units_per_EUR
2026-02,GBP,0.85
"""
GUIDE = """issue,min_grade,max_grade,low,high,currency,date
T4,12,20,8,12,EUR,2025-06-01
"""
LOTS = """lot;title;price;currency;ends;link
17;Talmark 2 Krane 1875 ss;30,00;EUR;03.03.2026 18:00;https://vessick.example/17
18;Talmark 2 Krane 1874 H, vz;150,00;EUR;03.03.2026 18:01;https://vessick.example/18
19;Talmark 2 Krane 1875 ss-vz;500,00;EUR;03.03.2026 18:02;https://vessick.example/19
"""


def prices() -> str:
    rows = ["sale_date,country,denomination,year,mint,grade,hammer,currency,source"]
    for month in range(1, 13):
        rows.append(f"2025-{month:02}-10,Talmark,2 krane,1875,,{20 + month},{70 + month},EUR,Vessick Auctions")
        rows.append(
            f"2025-{month:02}-11,Talmark,2 krane,1874,H,{20 + 2 * month},{380 + 10 * month},EUR,Vessick Auctions"
        )
    return "\n".join(rows) + "\n"


@pytest.fixture
def files(tmp_path: Path) -> Path:
    folder = tmp_path / "own"
    folder.mkdir()
    for name, text in (
        ("catalogue", CATALOGUE),
        ("terms", TERMS),
        ("wants", WANTS),
        ("rates", RATES),
        ("guide", GUIDE),
        ("prices", prices()),
        ("lots", LOTS),
    ):
        (folder / f"{name}.csv").write_text(text, "utf-8")
    return folder


def test_own_files_go_in_without_an_option_and_come_out_valued(files: Path, run: Run) -> None:
    for kind in ("catalogue", "terms", "rates", "prices", "guide", "wants"):
        done = run("import", kind, str(files / f"{kind}.csv"))
        assert done.code == 0, done.err
        assert " 0 rejected" in done.err, done.err
    assert run("source", "add", "vessick", str(files / "lots.csv"), "--venue", "Vessick Auctions").code == 0
    gathered = run("gather")
    assert gathered.code == 0, gathered.err
    assert "vessick: 3 lots, 3 new" in gathered.err
    lots = {row["id"]: row for row in run("lots", "--json").rows}
    assert {key: row["issue"] for key, row in lots.items()} == {"17": "T3", "18": "T2", "19": "T3"}
    assert all(row["band"]["sales"] == 12 for row in lots.values())
    # 30.00 + 20 per cent + 19 per cent VAT on the premium + 12.50 post
    assert lots["17"]["all_in"] == {"amount": "49.64", "currency": "EUR"}
    assert lots["17"]["mark"] == "bargain"
    assert lots["17"]["wants"] == ["b"]
    assert lots["18"]["mark"] == "doubt", "in its last 12 hours a low bid on a copied issue is a sign"
    assert any("copied or altered" in reason["text"] for reason in lots["18"]["reasons"])
    assert lots["19"]["mark"] == "over"
    title = "Talmark 2 krane 1874 H, XF-40"
    run("lot", "add", "--title", title, "--venue", "Fair Table", "--price", "150", "--id", "f")
    table = run("lots", "venue:fair", "--json").rows[0]
    assert table["mark"] == "doubt", "a third of its price on a copied issue is first of all a warning"
    assert table["also"] == ["bargain"]


def test_any_order_of_import_gives_the_same_marks(files: Path, run: Run) -> None:
    run("source", "add", "vessick", str(files / "lots.csv"), "--venue", "Vessick Sales")
    run("gather")
    for kind in ("wants", "prices", "rates", "terms", "guide", "catalogue"):
        assert run("import", kind, str(files / f"{kind}.csv")).code == 0
    lots = {row["id"]: row for row in run("lots", "--json").rows}
    assert {key: row["mark"] for key, row in lots.items()} == {"17": "bargain", "18": "doubt", "19": "over"}
    assert lots["17"]["issue"] == "T3"


def test_a_dry_run_changes_nothing(files: Path, run: Run) -> None:
    done = run("import", "catalogue", str(files / "catalogue.csv"), "--dry-run")
    assert done.code == 0
    assert "4 would be taken" in done.err
    assert run("price", "T1").code == 2


def test_a_want_alone_gives_a_band_of_ones_own(files: Path, run: Run) -> None:
    assert (
        run(
            "want",
            "add",
            "--coin",
            "Talmark 2 krane 1875",
            "--grade",
            "20-45",
            "--ceiling",
            "120EUR",
            "--low",
            "70",
            "--high",
            "90",
        ).code
        == 0
    )
    run("source", "add", "vessick", str(files / "lots.csv"))
    run("gather")
    lots = {row["id"]: row for row in run("lots", "--json").rows}
    assert lots["17"]["band"] is not None
    assert lots["17"]["band"]["sales"] == 0
    assert lots["19"]["mark"] == "over"


def test_broken_rows_are_named_by_line_and_the_rest_goes_in(files: Path, run: Run) -> None:
    run("import", "catalogue", str(files / "catalogue.csv"))
    path = files / "bad.csv"
    path.write_text(
        "sale_date,country,denomination,year,mint,grade,hammer,currency\n"
        "2025-02-30,Talmark,2 krane,1875,,VF,80,EUR\n"
        "2025-02-03,Talmark,2 krane,1875,,VF,eighty,EUR\n"
        "2025-02-03,Talmark,2 krane,1875,,lovely,80,EUR\n"
        "2025-02-03,Talmark,2 krane,1875,,VF,80,EUR\n",
        "utf-8",
    )
    done = run("import", "prices", str(path))
    assert done.code == 0
    for line in (2, 3, 4):
        assert f"line {line}:" in done.err
    assert "1 taken, 3 rejected" in done.err


def test_the_same_file_twice_adds_nothing(files: Path, run: Run) -> None:
    run("import", "catalogue", str(files / "catalogue.csv"))
    run("import", "prices", str(files / "prices.csv"))
    again = run("import", "prices", str(files / "prices.csv"))
    assert "24 duplicates" in again.err
