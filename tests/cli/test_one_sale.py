"""A sale that a lot, the person and a list of prices all tell of counts once."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.cli.conftest import Run

LOTS = (
    "id,title,current_bid,hammer,currency,ends_at,status\n"
    'H3,"Orvany 5 tor 1893-V, QCG VF-30 9573833",,210,EUR,2026-03-02T18:00:00+01:00,sold\n'
    'H9,"Orvany 5 tor 1893-V, XF-45",,190,EUR,2026-03-02T18:10:00+01:00,sold\n'
    'H8,"Orvany 5 tor 1893-V, VF-20",,150,EUR,2026-03-02T18:20:00+01:00,sold\n'
)
MONTH = (
    "sale_date,country,denomination,year,mint,grade,certified,cert_number,hammer,currency,source\n"
    "2026-03-02,Orvany,5 tor,1893,V,VF-30,QCG,9573833,211,EUR,Lindmoor Sales\n"
    "2026-03-02,Orvany,5 tor,1893,V,XF-45,,,190,EUR,Lindmoor Sales\n"
    "2026-03-02,Orvany,5 tor,1893,V,VF,,,150,EUR,Lindmoor Sales\n"
    "2026-03-02,Orvany,5 tor,1893,V,MS-63,,,900,EUR,Lindmoor Sales\n"
)


@pytest.fixture
def files(run: Run, tmp_path: Path) -> Path:
    run("venue", "add", "Lindmoor Sales", "--currency", "EUR", "--premium-pct", "0")
    (tmp_path / "lots.csv").write_text(LOTS, "utf-8")
    (tmp_path / "month.csv").write_text(MONTH, "utf-8")
    catalogue = "issue,country,denomination,year,mint\nv,Orvany,5 tor,1893,V\n"
    (tmp_path / "catalogue.csv").write_text(catalogue, "utf-8")
    run("import", "catalogue", str(tmp_path / "catalogue.csv"))
    run("source", "add", "north", str(tmp_path / "lots.csv"), "--venue", "Lindmoor Sales")
    return tmp_path


def counted(run: Run) -> list[str]:
    row = run("price", "v", "--grade", "30", "--json").rows[0]
    return sorted(sale["seen"] for sale in row["sales"])


def test_the_persons_own_price_stands_for_the_feeds(run: Run, files: Path) -> None:
    run("gather")
    assert counted(run) == ["150 EUR", "190 EUR", "210 EUR"]
    said = run("result", "H9", "180")
    assert "Warning: north:H9 sold for 190 EUR by its source; your own entry is used." in said.err
    assert counted(run) == ["150 EUR", "180 EUR", "210 EUR"]
    aside = run("price", "v", "--grade", "30", "--json").rows[0]["set_aside"]
    assert [(each["seen"], each["reason"]) for each in aside] == [
        ("190 EUR", "the same sale as north:H9: one lot gives one price")
    ]
    run("undo")
    assert counted(run) == ["150 EUR", "190 EUR", "210 EUR"]


@pytest.mark.parametrize("first", ["gather", "import"])
def test_a_list_of_prices_tells_no_sale_twice(run: Run, files: Path, first: str) -> None:
    month = str(files / "month.csv")
    if first == "gather":
        run("gather")
        run("result", "H9", "180")
        said = " ".join(run("import", "prices", month).err.split())
        assert "prices: 4 rows read, 2 taken, 2 duplicates, 0 rejected" in said
        assert (
            "month.csv: line 2 at 211 EUR is the same sale as north:H3 at 210 EUR (same certificate number and "
            "sale), which counts"
        ) in said
        assert (
            "month.csv: line 4 at 150 EUR may be the same sale as north:H8 (the same price about the same day)"
        ) in said
        again = run("import", "prices", month).err
        assert "0 taken, 4 duplicates" in again
    else:
        run("import", "prices", month)
        run("gather")
        run("result", "H9", "180")
        run("price", "--refit")
    prices = ["150 EUR", "150 EUR", "210 EUR", "900 EUR"]
    # A price of 190 at XF-45 is not that of the person's result of 180, but it is the feed's, which is the result's.
    assert counted(run) == sorted([*prices, "180 EUR"])
