"""Sources by the command line: nothing that was set is lost by a second `add`."""

from __future__ import annotations

from pathlib import Path

from tests.cli.conftest import Run


def test_a_name_that_is_there_is_not_written_over(run: Run, tmp_path: Path) -> None:
    run("venue", "add", "Northgate Sales", "--currency", "EUR")
    first, second = tmp_path / "a.csv", tmp_path / "b.csv"
    assert run("source", "add", "north", str(first), "--venue", "Northgate Sales", "--column", "price=Ausruf").code == 0
    refused = run("source", "add", "north", str(second))
    assert refused.code == 2
    assert refused.err == (
        f"watchlist: There is a source north already, of Northgate Sales: {first}. Nothing was changed; --replace "
        "changes what you name of it and keeps the rest, or give another name.\n"
    )
    assert run("source", "list", "--json").rows[0]["address"] == str(first)
    done = run("source", "add", "north", str(second), "--currency", "gbp", "--replace")
    assert done.err.startswith("north: changed; kept: venue Northgate Sales, columns. ")
    row = run("source", "list", "--json").rows[0]
    assert (row["address"], row["venue"], row["columns"], row["currency"]) == (
        str(second),
        "Northgate Sales",
        {"price": "Ausruf"},
        "GBP",
    )


def test_a_dropped_source_leaves_its_lots_and_the_bids_on_them(on_sample: Run) -> None:
    assert on_sample("decide", "NG-101", "bid", "90").code == 0
    before = on_sample("bids").out
    lots = on_sample("lots", "--json").out
    assert on_sample("source", "drop", "northgate").code == 0
    assert on_sample("lots", "--json").out == lots
    assert on_sample("bids").out == before
