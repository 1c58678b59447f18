"""What is printed fits the window, at 60 to 120 columns, and cuts no figure."""

from __future__ import annotations

from datetime import datetime
from pathlib import Path

import pytest

from tests.cli.conftest import NOW, Run
from watchlist.cli import session
from watchlist.cli.verbs import lots
from watchlist.core.sift.line import parse
from watchlist.desk.desk import Desk
from watchlist.desk.lists import listing
from watchlist.desk.morning import morning_text
from watchlist.page.columns import cells
from watchlist.shelf.shelf import Shelf

WIDTHS = (60, 80, 100, 120)


@pytest.mark.parametrize("wide", WIDTHS)
def test_the_morning_fits_and_gives_each_reason_whole(sample_shelf: Path, wide: int) -> None:
    with Shelf.open(sample_shelf, write=False) as shelf:
        text = morning_text.lines(Desk(shelf, datetime.fromisoformat(NOW)), wide)
    assert [line for line in text if cells(line) > wide] == []
    words = " ".join(" ".join(text).split())
    for whole in ("stated weight 26.1 g, standard 25 g", "an issue known to be copied or altered", "sales)"):
        assert whole in words
    assert wide < 80 or ".." not in words, "nothing is cut"


@pytest.mark.parametrize("wide", [80, 100, 120])
def test_the_list_of_lots_fits_and_its_keys_work(sample_shelf: Path, wide: int) -> None:
    with Shelf.open(sample_shelf, write=False) as shelf:
        desk = Desk(shelf, datetime.fromisoformat(NOW))
        for line in listing.lines(desk, parse("")):
            text = lots.list_line(desk, line, wide)
            assert cells(text) <= wide, text
            end = text.rsplit("  ", 1)[-1].strip()
            assert line.key in shelf.store.lots.find(end)


@pytest.mark.parametrize("wide", [80, 120])
@pytest.mark.parametrize(
    "words",
    [
        ("want", "list"),
        ("source", "list"),
        ("bids",),
        ("check",),
        ("lots",),
        ("lot", "2023"),
        ("price", "OR-5T-1891M", "--grade", "60"),
    ],
)
def test_every_table_fits(on_sample: Run, monkeypatch: pytest.MonkeyPatch, words: tuple[str, ...], wide: int) -> None:
    monkeypatch.setattr(session, "width", lambda: wide)
    for key, amount in (("2023", ["340"]), ("TS-5149", []), ("330148505", ["20"])):
        assert on_sample("decide", key, "bid", *amount, "--anyway").code == 0
    done = on_sample(*words)
    assert done.code == 0
    wider = [line for line in done.out.splitlines() if cells(line) > wide and not line.startswith("ok    shelf")]
    assert wider == []


def test_signs_are_named_as_they_are_dismissed_and_no_number_runs_into_a_sum(on_sample: Run) -> None:
    assert "- 134" in on_sample("lot", "LM-101").out
    said = " ".join(on_sample("lot", "2023").out.split())
    assert "- stated weight 26.1 g" in said
    assert "[strong, heavy]" in said
    assert "[moderate, copied]" in said
    assert "Dismissed: stated weight 26.1 g" in " ".join(on_sample("lot", "2023", "--dismiss", "heavy").err.split())


def test_a_title_that_ends_with_a_stop_gets_no_second_one(on_sample: Run) -> None:
    assert "MS-60.. " not in on_sample("lots", "--plain", "mark:b").out


def test_a_quiet_morning_says_so(on_sample: Run) -> None:
    on_sample("gather")
    assert "Nothing new since" in " ".join(on_sample("gather").out.split())
