"""The bids of one sale on a sheet, and the plan of a day: what a venue or another hand may see, and nothing more."""

from __future__ import annotations

from pathlib import Path

from tests.cli.conftest import Run


def test_a_sheet_holds_the_bids_of_one_sale_without_ceilings(on_sample: Run, tmp_path: Path) -> None:
    file = tmp_path / "sheet.txt"
    assert "No bid to come goes on a sheet" in on_sample("bids", "--sheet", str(file)).err
    for key, amount in (("LM-101", "90"), ("LM-102", "38"), ("2024", "170")):
        assert on_sample("decide", key, "bid", amount, "--anyway").code == 0
    on_sample("decide", "LM-102", "placed")
    refused = on_sample("bids", "--sheet", str(file))
    assert refused.code == 2
    assert "these are several: Lindmoor Sales 2026-03-03; Brannental Auctions 2026-03-06." in refused.err
    assert not file.exists()
    early = "2026-03-02T07:30:00+01:00"
    assert on_sample("bids", "--sheet", str(file), "--venue", "lindmoor sales", now=early).code == 0
    assert file.read_text("utf-8").splitlines() == [
        "Lindmoor Sales, 3 March 2026   bids by 2 March 14:00 there",
        "",
        "lot     piece                highest bid, GBP, before fees",
        "LM-101  5 tor 1891-M, MS-60  90",
        "LM-102  1 tor 1899-M, AU-53  38",
        "",
        "At most 128 GBP hammer in all.   Bidder ____________   Signed ____________",
    ]
    assert "exists already" in on_sample("bids", "--sheet", str(file), "--venue", "Lindmoor Sales").err
    late = on_sample("bids", "--sheet", str(file), "--day", "3 March 2026", "--replace")
    assert late.code == 0
    assert "bids were due 2 March 14:00 there" in late.out
    assert on_sample("bids", "--sheet", str(tmp_path / "no" / "s"), "--day", "today").code == 2


def test_the_plan_of_a_day_is_by_ones_own_clock(on_sample: Run) -> None:
    for key, amount in (("LM-101", "90"), ("LM-102", "38"), ("2024", "170")):
        on_sample("decide", key, "bid", amount, "--anyway")
    plan = on_sample("bids", "--day", "2026-03-03").out
    assert plan.splitlines()[0] == "Tue 3 Mar 2026, by your clock (Europe/Berlin)"
    assert [line.split()[0] for line in plan.splitlines()[3:5]] == ["15:00", "15:00"]
    assert "2 bids, at most 128 GBP hammer in all; fees are not included." in plan
    assert "ceiling" not in plan
    assert "limit" not in plan
    assert [row["key"] for row in on_sample("bids", "--day", "tomorrow", "--json").rows] == []
    assert "No bids to come on that day." in on_sample("bids", "--day", "tomorrow").err
    assert "is not a valid day" in on_sample("bids", "--day", "soon").err
    assert "2024" in on_sample("bids", "--venue", "Brannental Auctions").out
    assert "LM-101" not in on_sample("bids", "--venue", "Brannental Auctions").out
