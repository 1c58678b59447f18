"""Exit codes, streams and sentences of docs/commands.md."""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path

import pytest

from tests.cli.conftest import NOW, Run


def command(*words: str, input: str | None = None) -> subprocess.CompletedProcess[str]:
    return subprocess.run(
        [sys.executable, "-m", "watchlist", *words],
        capture_output=True,
        text=True,
        input=input,
        check=False,
        timeout=60,
    )


def test_the_first_command_prints_the_morning_and_exits_0() -> None:
    done = command("try", "--plain")
    assert done.returncode == 0, done.stderr
    for heading in (
        "Overnight",
        "Wanted: bargains",
        "Wanted: doubt",
        "other bargains",
        "Sources",
        "Marks: C copy",
        "A placed bid is binding",
    ):
        assert heading in done.stdout
    assert "\x1b" not in done.stdout, "no escape code of a title reaches the terminal"


def test_a_wrong_verb_is_answered_with_the_nearest(run: Run) -> None:
    done = run("gahter")
    assert done.code == 2
    assert "`gather`" in done.err


def test_a_wrong_option_is_answered_with_the_nearest(run: Run) -> None:
    done = run("lots", "--jsno")
    assert done.code == 2
    assert "`--json`" in done.err


def test_nothing_matched_says_so_and_exits_5_when_asked(on_sample: Run) -> None:
    assert on_sample("lots", "zzzz", "--any").code == 5
    assert on_sample("lots", "zzzz").code == 0


def test_a_wrong_sift_word_is_named(on_sample: Run) -> None:
    done = on_sample("lots", "makr:b")
    assert done.code == 2
    assert "mark" in done.err


def test_the_same_clock_and_shelf_give_the_same_bytes(on_sample: Run) -> None:
    assert on_sample("lots", "--json").out == on_sample("lots", "--json").out


def test_json_of_a_lot_has_the_fields_of_the_contract(on_sample: Run) -> None:
    row = on_sample("lots", "mark:b", "--json").rows[0]
    assert set(row) == {
        "schema",
        "key",
        "id",
        "source",
        "venue",
        "title",
        "link",
        "seller",
        "issue",
        "wants",
        "near_wants",
        "grade_low",
        "grade_high",
        "mark",
        "also",
        "doubt",
        "reasons",
        "value",
        "band",
        "price",
        "price_kind",
        "all_in",
        "chance_worth_it",
        "bid_limit",
        "closes",
        "state",
    }
    assert row["schema"] == 1
    assert set(row["band"]) >= {"low", "mid", "high", "currency", "kind", "sales", "newest_sale"}
    for reason in row["reasons"]:  # a sign also has the name that it is dismissed by
        named = {"name"} if reason["strength"] else set()
        assert set(reason) == {"text", "strength", "group", "could_be"} | named


def test_a_second_writer_is_told_and_exits_4(run: Run, tmp_path: Path) -> None:
    from watchlist.shelf.shelf import Shelf

    with Shelf.open(tmp_path / "shelf", write=True):
        done = run("want", "add", "--coin", "Orvany 5 tor 1893-V", "--ceiling", "300EUR")
    assert done.code == 4
    assert "pid" in done.err


def test_an_empty_shelf_says_what_to_do_next(run: Run) -> None:
    assert "watchlist source add" in run("lots").err
    assert "watchlist want add" in run("want", "list").err
    assert "watchlist decide" in run("bids").err
    assert run("check").code == 0


def test_without_a_terminal_the_screens_name_the_command_that_prints(run: Run) -> None:
    done = command("--shelf", "/nonexistent", input="")
    assert done.returncode == 2
    assert "watchlist gather" in done.stderr


def test_a_lot_by_hand_is_read_and_valued(on_sample: Run) -> None:
    done = on_sample("lot", "add", "--title", "Orvany 5 tor 1893 VF-30", "--price", "40EUR", "--id", "fair7")
    assert done.code == 0, done.err
    assert "hand:fair7" in done.out
    assert on_sample("lot", "fair7").code == 0


def test_a_price_is_told_with_its_curve_and_its_sales(on_sample: Run) -> None:
    done = on_sample("price", "Orvany 5 tor 1888-S", "--grade", "VF-30")
    assert done.code == 0, done.err
    assert "a single sale may bring" in done.out
    assert "n sales" in done.out, "the legend of the chart"
    assert "weight" in done.out


def test_a_spreadsheet_meets_no_formula(on_sample: Run) -> None:
    for line in on_sample("lots", "--csv").out.splitlines():
        assert not line.startswith(("=", "@"))


def test_titles_are_read_from_standard_input() -> None:
    done = command("read", "--json", "--now", NOW, input="1921-D dime QCG MS-65\n")
    assert done.returncode == 0, done.stderr
    assert '"mint": "D"' in done.stdout


def test_a_closed_pipe_is_a_quiet_exit(sample_shelf: Path) -> None:
    shell = f"{sys.executable} -m watchlist lots --plain --shelf {sample_shelf} --now {NOW} | head -1"
    done = subprocess.run(["bash", "-c", f"set -o pipefail; {shell}"], capture_output=True, text=True, check=False)
    assert done.stderr == ""


@pytest.mark.parametrize(
    "words",
    [
        ("lot", "nowhere"),
        ("decide", "nowhere", "follow"),
        ("price", "nothing"),
        ("want", "drop", "w999"),
        ("source", "drop", "x"),
        ("undo",),
        ("import", "prices", "/no/such/file"),
        ("restore", "/no/such/file"),
    ],
)
def test_words_that_name_nothing_are_answered_in_one_sentence(run: Run, words: tuple[str, ...]) -> None:
    done = run(*words)
    assert done.code == 2, done.err
    assert len(done.err.strip().splitlines()) == 1
    assert "Traceback" not in done.err
