"""Trouble at the command line: one sentence, the right exit code, nothing lost."""

from __future__ import annotations

import os
import signal
import subprocess
import sys
from pathlib import Path

import pytest

from tests.cli.conftest import NOW, Run

LINUX = pytest.mark.skipif(not Path("/dev/full").exists(), reason="needs /dev/full")


def shell(line: str, **environ: str) -> subprocess.CompletedProcess[str]:
    command = line.replace("watchlist", f"{sys.executable} -m watchlist", 1)
    return subprocess.run(
        ["bash", "-c", command],
        capture_output=True,
        text=True,
        check=False,
        timeout=60,
        env={**os.environ, **environ},
        errors="replace",
    )


@pytest.mark.parametrize("form", ["", "--json", "--plain", "--csv"])
def test_a_terminal_without_the_letters_of_a_title_is_no_fault(sample_shelf: Path, form: str) -> None:
    done = shell(
        f"watchlist lots {form} --shelf {sample_shelf} --now {NOW}",
        PYTHONUTF8="0",
        LC_ALL="C",
        PYTHONCOERCECLOCALE="0",
        PYTHONIOENCODING="ascii",
    )
    assert done.returncode == 0, done.stderr
    assert done.stdout.isascii()


@pytest.mark.parametrize("hole", [">&-", "2>&-", "<&-", ">&- 2>&- <&-"])
def test_closed_streams_are_no_fault(sample_shelf: Path, hole: str) -> None:
    assert shell(f"watchlist lots --shelf {sample_shelf} --now {NOW} {hole}").returncode == 0
    assert shell(f"watchlist read --shelf {sample_shelf} --now {NOW} {hole} </dev/null").returncode == 0


@LINUX
def test_an_output_that_is_full_is_said_in_one_sentence(sample_shelf: Path) -> None:
    done = shell(f"watchlist lots --json --shelf {sample_shelf} --now {NOW} > /dev/full")
    assert done.returncode == 2
    assert "No space left" in done.stderr
    assert len(done.stderr.splitlines()) == 1


@pytest.mark.parametrize(("number", "code"), [(signal.SIGTERM, 143), (signal.SIGINT, 130)])
def test_a_signal_in_an_import_leaves_the_stores_whole(
    on_sample: Run, monkeypatch: pytest.MonkeyPatch, number: signal.Signals, code: int, tmp_path: Path
) -> None:
    from watchlist.desk.prices import fitting

    before = on_sample("lots", "--json").out
    path = tmp_path / "more.csv"
    path.write_text(
        "sale_date,country,denomination,year,mint,grade,hammer,currency\n2026-02-01,Orvany,5 tor,1891,M,60,300,EUR\n",
        "utf-8",
    )
    handlers = {each: signal.getsignal(each) for each in (signal.SIGTERM, signal.SIGINT)}
    signal.signal(signal.SIGINT, signal.default_int_handler)  # a suite in the background hears no ctrl+c
    with monkeypatch.context() as patch:
        patch.setattr(fitting, "refit", lambda *_, **__: signal.raise_signal(number))
        done = on_sample("import", "prices", str(path))
    for each, handler in handlers.items():
        signal.signal(each, handler)
    assert done.code == code
    assert "stopped" in done.err
    assert on_sample("lots", "--json").out == before
    assert "market: older than the prices" in on_sample("check").out
    assert on_sample("gather").code == 3, "the next gather fits what the signal kept from being fitted"
    assert "market: calculated" in on_sample("check").out


def test_a_shelf_that_is_a_file_is_said_so(run: Run, tmp_path: Path) -> None:
    (tmp_path / "shelf").write_text("")
    for words in (("lots",), ("check",), ("gather",), ("want", "list")):
        done = run(*words)
        assert done.code == 2
        assert "is a file" in done.err


def test_a_settings_file_that_is_named_and_missing_is_said_so(run: Run) -> None:
    done = run("check", "--settings", "/no/such.toml")
    assert done.code == 2
    assert "/no/such.toml" in done.err


def test_new_settings_count_at_the_next_gather(on_sample: Run, tmp_path: Path) -> None:
    settings = tmp_path / "sample" / "settings.toml"
    settings.write_text(settings.read_text("utf-8") + "\n[prices]\nbargain_at = 0.50\n", "utf-8")
    assert "the next gather marks them again" in on_sample("check").out
    many = len(on_sample("lots", "mark:b", "--json").rows)
    on_sample("gather")
    assert len(on_sample("lots", "mark:b", "--json").rows) < many
    assert "the next gather" not in on_sample("check").out


def test_another_home_currency_is_fitted_and_marked_at_the_next_gather(on_sample: Run, tmp_path: Path) -> None:
    settings = tmp_path / "sample" / "settings.toml"
    settings.write_text('[prices]\nkind = "hammer"\n', "utf-8")
    assert "the settings now say hammer in EUR" in on_sample("price", "OR-5T-1891M").out
    on_sample("gather")
    kinds = {row["band"]["kind"] for row in on_sample("lots", "--json").rows if row["band"] and row["state"] != "ended"}
    assert kinds == {"hammer"}


def test_a_backup_goes_beside_the_shelf_and_never_over_a_file(on_sample: Run, tmp_path: Path) -> None:
    assert on_sample("backup").code == 0
    assert (tmp_path / "sample" / "backups" / "shelf-2026-03-03.zip").is_file()
    target = tmp_path / "mine.zip"
    assert on_sample("backup", str(target)).code == 0
    refused = on_sample("backup", str(target))
    assert refused.code == 2
    assert "--replace" in refused.err
    before = on_sample("lots", "--json").out, on_sample("want", "list", "--json").out
    on_sample("want", "drop", "w01")
    on_sample("decide", "LM-101", "skip")
    assert on_sample("restore", str(target)).code == 2
    done = on_sample("restore", str(target), "--replace")
    assert done.code == 0
    assert "before-restore-2026-03-03" in done.err
    assert (on_sample("lots", "--json").out, on_sample("want", "list", "--json").out) == before


@pytest.mark.parametrize(
    "words",
    [
        ("--ceiling", "-5"),
        ("--ceiling", "0"),
        ("--ceiling", "5", "--quantity", "-3"),
        ("--ceiling", "5", "--low", "9"),
        ("--ceiling", "5", "--low", "9", "--high", "3"),
        ("--ceiling", "5", "--filled", "-1"),
    ],
)
def test_a_want_that_means_nothing_is_refused(on_sample: Run, words: tuple[str, ...]) -> None:
    done = on_sample("want", "add", "--coin", "Orvany 5 tor 1891-M", *words)
    assert done.code == 2
    assert "Nothing was changed" in done.err
    assert len(on_sample("want", "list", "--json").rows) == 30


def test_a_note_reaches_the_terminal_without_its_escape_codes(on_sample: Run) -> None:
    on_sample("want", "edit", "w01", "--note", "mind\x1b[31m the\tedge")
    assert "mind the edge" in on_sample("want", "list").out
    assert "\x1b" not in on_sample("want", "list").out


@pytest.mark.parametrize("name", ["", "a:b", "hand", "x\x1b[31m"])
def test_a_source_needs_a_name_that_a_key_can_hold(run: Run, name: str) -> None:
    assert run("source", "add", name, "lots.csv").code == 2


def test_a_source_is_a_file_or_a_web_address(run: Run) -> None:
    assert run("source", "add", "a", "ftp://lindmoor.example/lots").code == 2
    assert "There is no file" in run("source", "add", "a", "/no/such.csv").err


def test_a_dropped_source_comes_back_with_its_lots(on_sample: Run) -> None:
    kept = {row["name"]: row["address"] for row in on_sample("source", "list", "--json").rows}
    before = {row["key"]: row["mark"] for row in on_sample("lots", "venue:ostrell", "--json").rows}
    assert on_sample("source", "drop", "ostrell").code == 0
    assert {row["key"] for row in on_sample("lots", "venue:ostrell", "--json").rows} == set(before)
    on_sample("source", "add", "ostrell", kept["ostrell"], "--venue", "ostrell coins")
    on_sample("gather", "ostrell")
    assert {row["key"] for row in on_sample("lots", "venue:ostrell", "--json").rows} == set(before)


def test_two_forms_of_one_list_are_refused(on_sample: Run) -> None:
    assert on_sample("lots", "--json", "--csv").code == 2
    assert on_sample("lots", "--json", "--plain").code == 2


def test_a_wrong_option_is_answered_by_its_own_verb(run: Run) -> None:
    done = run("bids", "--bugdet", "5")
    assert "did you mean `--budget`" in done.err
    assert "watchlist bids --help" in done.err


@pytest.mark.parametrize("now", ["0001-01-01", "9999-12-31T23:59:59", "yesterday"])
def test_a_clock_out_of_reach_is_refused(run: Run, now: str) -> None:
    assert run("lots", now=now).code == 2


def test_a_mended_lot_stays_mended_when_a_catalogue_is_imported(on_sample: Run) -> None:
    from watchlist.desk.sample import find_sample

    on_sample("read", "--correct", "TS-5149", "grade=8")
    assert on_sample("import", "catalogue", str(find_sample() / "catalogue.csv")).code == 0
    assert on_sample("lot", "TS-5149", "--json").rows[0]["grade_low"] == 8


@pytest.mark.parametrize(
    "value", ["grade=900", "grade=8-", "grade=50-40", "grade=lovely", "year=" + "9" * 25, "quantity=-4", "grade_low=0"]
)
def test_a_correction_that_no_coin_can_have_is_refused(on_sample: Run, value: str) -> None:
    for what in ("TS-5149", "schnieke"):
        done = on_sample("read", "--correct", what, value)
        assert done.code == 2
        assert "Nothing was changed" in done.err
    assert on_sample("read", "--correct", "list").out == ""


def test_a_grade_may_be_mended_in_words(on_sample: Run) -> None:
    assert on_sample("read", "--correct", "TS-5149", "grade=XF-40").code == 0
    row = on_sample("lot", "TS-5149", "--json").rows[0]
    assert (row["grade_low"], row["grade_high"]) == (40, 40)
    assert on_sample("read", "--correct", "", "year=1900").code == 2


def test_a_single_grade_is_a_floor_and_a_range_has_a_top(on_sample: Run) -> None:
    add = ("want", "add", "--coin", "Orvany 5 tor 1891-M", "--ceiling", "300", "--grade")
    assert "XF-45 or higher" in on_sample(*add, "XF-45").err
    assert "XF-45 or higher" in on_sample(*add, "45").err
    assert "XF-45 to MS-62" in on_sample(*add, "45-62").err
    for wrong in ("-1", "70-1", "0-5", "²-³", "9" * 30):
        assert on_sample(*add, wrong).code == 2, wrong
        assert on_sample("price", "OR-5T-1891M", "--grade", wrong).code == 2, wrong


def test_a_want_that_cannot_be_read_is_named_at_the_start_and_by_check(run: Run, tmp_path: Path) -> None:
    run("want", "add", "--coin", "Orvany 5 tor 1893-V", "--grade", "30", "--ceiling", "300EUR")
    notebook = tmp_path / "shelf" / "notebook.json"
    notebook.write_text(notebook.read_text("utf-8").replace('"300"', '"abc"'), "utf-8")
    said = "notebook.json, wants, w1: A kept Want cannot be read: ceiling: amount: `abc` is not a valid amount."
    assert said in run("lots").err
    checked = run("check")
    assert said in checked.err
    assert "failed shelf: notebook.json, wants, w1" in " ".join(checked.out.split())
    run("want", "add", "--coin", "Orvany 5 tor 1894-V", "--grade", "30", "--ceiling", "300EUR")
    assert '"abc"' in notebook.read_text("utf-8")


NASTY = "\x1b[31mOrvany 5 tor\x07 1891-M,\n VF\u202e"


def test_what_is_typed_for_a_lot_is_cleaned_at_the_door(on_sample: Run) -> None:
    words = ("--seller", NASTY, "--description", NASTY, "--price", "300\x1b[0m EUR", "--id", "E\x071")
    assert on_sample("lot", "add", "--title", NASTY, *words).code == 0
    (row,) = [row for row in on_sample("lots", "--json").rows if row["source"] == "hand"]
    assert (row["title"], row["seller"], row["id"]) == ("Orvany 5 tor 1891-M, VF", "Orvany 5 tor 1891-M, VF", "E1")
    assert row["price"]["amount"] == "300.00"
    assert "Nothing was saved" in on_sample("lot", "add", "--title", "\x1b[31m").err


@pytest.mark.parametrize("form", ["--json", "--csv", "--plain", ""])
def test_what_an_old_shelf_holds_is_cleaned_when_it_is_printed(on_sample: Run, form: str) -> None:
    from dataclasses import replace

    from watchlist.shelf.shelf import Shelf

    assert on_sample("lot", "add", "--title", "Orvany 5 tor 1891-M, VF", "--id", "E1").code == 0
    with Shelf.open(on_sample.shelf, write=True) as shelf:  # type: ignore[attr-defined]
        row = shelf.store.lots.get("hand:E1")
        assert row is not None
        shelf.store.lots.save([replace(row, lot=replace(row.lot, title=NASTY, seller=NASTY))])
    for words in (("lots", *filter(None, [form])), ("lot", "hand:E1")):
        said = on_sample(*words).out
        assert not set(said) & {"\x1b", "\x07", "\u202e"}
        assert "\\u001b" not in said
    line = next(line for line in on_sample("lots", *filter(None, [form])).out.splitlines() if "E1" in line)
    assert ("1891-M, VF" if form else "Orvany 5..") in line


def test_a_key_in_a_sift_is_told_what_shows_it(on_sample: Run) -> None:
    assert on_sample("lot", "add", "--title", "Orvany 5 tor 1891-M, VF", "--id", "E1").code == 0
    assert "`watchlist lot E1` shows it" in on_sample("lots", "E1").err


def test_the_nearest_coins_are_named_once(on_sample: Run) -> None:
    said = on_sample("price", "Orvany 5 tor 1791").err
    assert said.count("Did you mean") == 1
