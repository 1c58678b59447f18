"""Lots that were over and are offered again: they are open again, as the person left them."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest

from tests.cli.conftest import Run

HEAD = "id,title,seller,current_bid,hammer,currency,ends_at,status\n"
FIRST = HEAD + "r1,Orvany 5 tor 1893-V VF,anna,50,,EUR,2026-03-04T18:00:00+01:00,\n"
DAY_ONE, DAY_TWO, DAY_THREE = (f"2026-03-0{day}T07:30:00+01:00" for day in (3, 5, 6))


def gather(run: Run, file: Path, text: str, now: str) -> str:
    file.write_text(text, "utf-8")
    done = run("gather", now=now)
    assert done.code == 0, done.err
    return done.out


@pytest.fixture
def file(run: Run, tmp_path: Path) -> Path:
    run("venue", "add", "Lindmoor Sales", "--currency", "EUR")
    run("source", "add", "north", str(tmp_path / "lots.csv"), "--venue", "Lindmoor Sales")
    return tmp_path / "lots.csv"


def lot(run: Run, key: str, now: str = DAY_THREE) -> dict[str, Any]:
    row: dict[str, Any] = run("lot", key, "--json", now=now).rows[0]
    return row


@pytest.mark.parametrize("id", ["r1", "r2"])
@pytest.mark.parametrize("gone", [HEAD, FIRST, FIRST.replace(",\n", ",unsold\n")], ids=["gone", "there", "unsold"])
@pytest.mark.parametrize(("verb", "state"), [("", "new"), ("follow", "followed"), ("skip", "skipped"), ("bid", "bid")])
def test_a_lot_that_is_open_again_is_open_again(
    run: Run, file: Path, id: str, gone: str, verb: str, state: str
) -> None:
    gather(run, file, FIRST, DAY_ONE)
    if verb:
        amount = ["45", "--anyway"] if verb == "bid" else []  # the increments of the venue are assumed
        assert run("decide", "r1", verb, *amount, now=DAY_ONE).code == 0
    gather(run, file, gone, DAY_TWO)
    assert lot(run, "r1", DAY_TWO)["state"] in ("ended", "skipped", "bid")
    again = FIRST.replace("r1", id).replace(",50,", ",40,").replace("2026-03-04", "2026-03-08")
    said = gather(run, file, again, DAY_THREE)
    row = lot(run, "north:r1")
    assert (row["state"], row["closes"], row["price"]["amount"]) == (state, "2026-03-08T17:00:00+00:00", "40.00")
    assert ("1 lot new" in said) == (state == "new")
    assert run("lots", "--json", now=DAY_THREE).out.count('"key"') == 1
    assert "50 EUR" in run("lot", "r1", now=DAY_THREE).out, "its price history goes on"


def test_a_lot_that_was_sold_is_another_one_than_its_like(run: Run, file: Path) -> None:
    gather(run, file, FIRST, DAY_ONE)
    gather(run, file, FIRST.replace(",50,,", ",,60,").replace(",\n", ",sold\n"), DAY_TWO)
    gather(run, file, FIRST.replace("r1", "r2").replace("2026-03-04", "2026-03-08"), DAY_THREE)
    assert [lot(run, key)["state"] for key in ("north:r1", "north:r2")] == ["ended", "new"]


def test_a_lost_lot_that_comes_back_is_new_and_its_price_stays(run: Run, file: Path) -> None:
    gather(run, file, FIRST, DAY_ONE)
    assert run("result", "r1", "55", now=DAY_TWO).code == 0
    gather(run, file, FIRST.replace("2026-03-04", "2026-03-08"), DAY_THREE)
    assert lot(run, "r1")["state"] == "new"
    assert run("check").out.count("1 prices realised") == 1


def test_a_bid_placed_at_the_earlier_sale_is_to_be_placed_anew(run: Run, file: Path) -> None:
    gather(run, file, FIRST, DAY_ONE)
    run("decide", "r1", "placed", "45", now=DAY_ONE)
    again = FIRST.replace("2026-03-04", "2026-03-08")
    assert "Bids not yet placed" in gather(run, file, again, DAY_THREE)
    (row,) = run("bids", "--json", now=DAY_THREE).rows
    assert (row["stage"], row["ended"]) == ("planned", False)
    assert "relisted: place your bid again" in row["warnings"]
    run("decide", "r1", "placed", now=DAY_THREE)
    assert run("bids", "--json", now=DAY_THREE).rows[0]["stage"] == "placed"


def test_a_lot_typed_in_again_is_open_again(run: Run) -> None:
    typed = ("lot", "add", "--title", "Orvany 5 tor 1893-V VF", "--id", "7", "--price", "50 EUR", "--closes")
    run(*typed, "2026-03-04 18:00", now=DAY_ONE)
    run("gather", now=DAY_TWO)
    assert lot(run, "hand:7", DAY_TWO)["state"] == "ended"
    run(*typed, "2026-03-08 18:00", now=DAY_TWO)
    assert lot(run, "hand:7", DAY_TWO)["state"] == "new"
