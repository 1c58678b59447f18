"""Teaching the reader: one lot mended, a word taught, both listed and taken back."""

from __future__ import annotations

from tests.cli.conftest import Run


def lot(run: Run, key: str) -> dict[str, object]:
    return next(row for row in run("lots", "--json").rows if row["key"].endswith(key))


def test_a_mended_field_changes_the_mark_at_once_and_is_listed(on_sample: Run) -> None:
    before = lot(on_sample, "TS-5149")
    assert before["mark"] == "bargain"
    done = on_sample("read", "--correct", "TS-5149", "grade=8")
    assert done.code == 0, done.err
    after = lot(on_sample, "TS-5149")
    assert after["grade_low"] == 8
    assert after["mark"] != "bargain"
    assert "TS-5149: grade = 8" in on_sample("read", "--correct", "list").out


def test_a_dropped_correction_leaves_no_trace(on_sample: Run) -> None:
    before = lot(on_sample, "TS-5149")
    on_sample("read", "--correct", "TS-5149", "grade=8")
    assert on_sample("read", "--correct", "drop", "c1").code == 0
    assert lot(on_sample, "TS-5149") == before


def test_a_mended_lot_stays_mended_when_its_title_comes_again(on_sample: Run) -> None:
    on_sample("read", "--correct", "TS-5149", "grade=8")
    on_sample("read", "--correct", "galleon", "type=ship")  # no such field
    on_sample("read", "--correct", "blotchy", "problems=stained")  # reads all open lots anew
    assert lot(on_sample, "TS-5149")["grade_low"] == 8


def test_a_taught_word_counts_in_every_title_after(on_sample: Run) -> None:
    on_sample("lot", "add", "--title", "Orvany 5 tor 1893, schnieke", "--price", "40EUR", "--id", "m1")
    assert lot(on_sample, "hand:m1")["grade_low"] is None
    done = on_sample("read", "--correct", "schnieke", "grade=40")
    assert done.code == 0, done.err
    assert lot(on_sample, "hand:m1")["grade_low"] == 40


def test_a_field_that_is_none_is_refused_in_one_sentence(on_sample: Run) -> None:
    done = on_sample("read", "--correct", "TS-5149", "beauty=high")
    assert done.code == 2
    assert "`beauty` is not a field" in done.err


def test_a_word_cannot_be_taught_for_every_field(on_sample: Run) -> None:
    done = on_sample("read", "--correct", "schnieke", "cert_number=7")
    assert done.code == 2
    assert "No word can be taught" in done.err
