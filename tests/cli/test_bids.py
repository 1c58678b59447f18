"""Bids over the days: those that ended are asked for, what was won is spent, what can hardly be meant is said."""

from __future__ import annotations

from tests.cli.conftest import Run

NEXT_DAY = "2026-03-04T07:30:00+01:00"
NEXT_WEEK = "2026-03-12T07:30:00+01:00"


def add(run: Run, id: str, title: str = "Orvany 5 tor 1893-V VF", *more: str) -> None:
    done = run(
        "lot",
        "add",
        "--title",
        title,
        "--venue",
        "Lindmoor Sales",
        "--id",
        id,
        "--price",
        "190 GBP",
        "--price-kind",
        "so far",
        "--closes",
        "5 March 2026 18:00",
        *more,
    )
    assert done.code == 0, done.err


def test_ended_bids_are_asked_for_and_leave_the_sums(on_sample: Run) -> None:
    assert on_sample("decide", "LM-101", "bid", "90").code == 0
    assert on_sample("decide", "LM-101", "placed").code == 0
    assert on_sample("decide", "2023", "bid", "120", "--anyway").code == 0
    before = on_sample("bids").out
    assert "Ended" not in before
    after = on_sample("bids", now=NEXT_DAY)
    told = " ".join(after.out.split())
    assert "Ended: record the result - LM-101: 5 tor 1891-M, MS-60, undecided 90 GBP" in told
    assert ", undecided 90 GBP" in told
    assert "`watchlist result KEY PRICE [--won]`" in told
    assert "2 bids, " in told, "what was placed binds until somebody says what came of it"
    assert "one ended: record the result." in told
    rows = {row["key"].partition(":")[2]: row for row in on_sample("bids", "--json", now=NEXT_DAY).rows}
    assert (rows["LM-101"]["ended"], rows["2023"]["ended"]) == (True, False)
    assert rows["LM-101"]["left"] is None
    morning = " ".join(on_sample("gather", now=NEXT_DAY).out.split())
    assert "Ended: record the result - LM-101: " in morning
    assert "LM-101" not in morning.partition("Bids not yet placed")[2].partition("Ended: ")[0]
    assert on_sample("result", "LM-101", "85", "--won", now=NEXT_DAY).code == 0
    assert "Ended" not in on_sample("bids", now=NEXT_DAY).out


def test_ended_bids_make_no_clash(on_sample: Run) -> None:
    for number in range(4):
        add(on_sample, f"H{number}")
        assert on_sample("decide", f"H{number}", "bid", "200", "--anyway").code == 0
    assert "four close within 10 minutes" in on_sample("bids").out
    assert "close within" not in on_sample("bids", now=NEXT_WEEK).out


def test_what_was_won_of_late_is_spent(on_sample: Run) -> None:
    assert on_sample("decide", "2023", "bid", "120", "--anyway").code == 0
    left = on_sample("bids", "--json").rows[0]["left"]["amount"]
    won = on_sample("result", "LM-101", "95", "--won")
    cost = float(won.err.partition("hammer, ")[2].split()[0])
    assert f"{cost:,.0f} of it spent" in on_sample("bids").out
    assert float(left) - float(on_sample("bids", "--json").rows[0]["left"]["amount"]) == float(cost)
    refused = on_sample("decide", "2008", "bid", "1000")
    assert f", {cost:g} EUR of it spent, above the budget of 1,500 EUR" in refused.err
    on_sample("undo")
    assert on_sample("bids", "--json").rows[0]["left"]["amount"] == left
    on_sample("redo")
    assert "spent" in on_sample("bids", now="2026-03-15T07:30:00+01:00").out, "12 days later it is still owed"
    assert on_sample("piece", "LM-101", "kept").code == 0
    assert "spent" not in on_sample("bids", now="2026-03-15T07:30:00+01:00").out, "kept: paid, not of late"


def test_a_bid_that_can_hardly_win_is_written_and_warned_of(on_sample: Run) -> None:
    add(on_sample, "H9")
    done = on_sample("decide", "H9", "bid", "100", "--anyway")
    assert done.code == 0
    assert "Warning: hand:H9 stands at 190 GBP already, above this bid of 100 GBP." in done.err
    assert "stands at" not in on_sample("decide", "H9", "bid", "200", "--anyway").err
    add(on_sample, "H8", "Orvany 5 tor 1893-V VF, modern copy")
    assert "hand:H8 is marked Copy" in on_sample("decide", "H8", "bid", "200").err
    assert "Warning: hand:H8 is marked Copy" in on_sample("decide", "H8", "bid", "200", "--anyway").err


def test_a_bid_on_an_ended_lot_is_refused(on_sample: Run) -> None:
    for verb in ("bid", "buy", "offer"):
        refused = on_sample("decide", "LM-101", verb, "90", now=NEXT_DAY)
        assert refused.code == 2
        assert "LM-101 has ended: record its hammer price (`watchlist result`)." in refused.err
    on_sample("result", "LM-101", "90", now=NEXT_DAY)
    assert "lindmoor:LM-101 is lost; `clear` takes that back." in on_sample("decide", "LM-101", "bid", "90").err


def test_a_result_that_can_hardly_be_is_written_and_warned_of(on_sample: Run) -> None:
    add(on_sample, "H9")
    on_sample("decide", "H9", "placed", "220", "--anyway")
    done = on_sample("result", "H9", "180")
    assert done.code == 0
    assert "Warning: hand:H9 stood at 190 GBP already." in done.err
    assert "Warning: your own bid on hand:H9 was 220 GBP, above the price that you say won." in done.err
    on_sample("undo")
    asked = on_sample("result", "H9", "230", "--won")
    assert (asked.code, "Nothing was written; --anyway writes it even so." in asked.err) == (2, True)
    assert "your own bid on hand:H9 was 220 GBP, below the price it is said to be won at, 230 GBP" in asked.err
    assert on_sample("result", "H9", "230", "--won", "--anyway").code == 0
    on_sample("undo")
    early = on_sample("result", "H9", "230").err
    assert early.count("Warning") == 1
    assert "Warning: hand:H9 has not closed yet: closes Thu 5 Mar 19:00." in early
    on_sample("undo")
    assert "Warning" not in on_sample("result", "H9", "230", now="2026-03-06T08:00:00+01:00").err
