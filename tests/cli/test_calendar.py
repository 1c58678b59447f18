"""watchlist calendar: the dates of a shelf, listed and handed out; read back by the library."""

from __future__ import annotations

from datetime import UTC, date, datetime
from pathlib import Path
from typing import Any

from icalendar import Calendar

from tests.cli.conftest import NOW, Run


def events(path: Path) -> dict[str, Any]:
    read = Calendar.from_ical(path.read_bytes())
    return {str(event["SUMMARY"]): event for event in read.walk("VEVENT")}


def test_dates_are_listed_handed_out_updated_and_cancelled(on_sample: Run, tmp_path: Path) -> None:
    file = tmp_path / "coins.ics"
    assert "No dates in the next 60 days" in on_sample("calendar").err
    on_sample("decide", "2024", "bid", "60")
    on_sample("decide", "LM-101", "follow")
    assert on_sample("calendar", "add", "fair in the old hall", "2026-03-29").code == 0
    rows = on_sample("calendar", "--json").rows
    assert [row["kind"] for row in rows] == ["close", "place", "close", "own"]
    assert rows[0]["what"] == "Closes: 5 tor 1891-M, MS-60 (Lindmoor Sales, lot LM-101)"
    assert datetime.fromisoformat(rows[2]["at"]) - datetime.fromisoformat(rows[1]["at"]) == (
        datetime(2026, 1, 2) - datetime(2026, 1, 1)
    )
    assert "Sun 29 Mar          fair in the old hall" in on_sample("calendar").out
    assert on_sample("calendar", str(file)).code == 0
    first = events(file)
    assert len(first) == 4
    assert first["fair in the old hall"]["DTSTART"].dt == date(2026, 3, 29)
    text = file.read_text("utf-8")
    assert " EUR" not in text, "no amounts"
    assert "LOCATION" not in text, "no places"
    on_sample("undo")
    on_sample("decide", "LM-101", "clear")
    assert "2 cancelled" in on_sample("calendar", str(file)).err
    second = events(file)
    assert {str(e["UID"]) for e in second.values()} == {str(e["UID"]) for e in first.values()}
    assert str(second["fair in the old hall"]["STATUS"]) == "CANCELLED"
    assert second["fair in the old hall"]["SEQUENCE"] == 1


def test_a_file_of_another_shelf_or_of_no_shelf_is_not_written_over(on_sample: Run, run: Run, tmp_path: Path) -> None:
    file, notes = tmp_path / "a.ics", tmp_path / "notes.txt"
    notes.write_text("mine")
    run("calendar", "add", "x", "2026-03-29")
    assert run("calendar", str(file)).code == 0
    refused = on_sample("calendar", str(file))
    assert refused.code == 2
    assert "a.ics is of another shelf. Nothing was written; --replace writes over it." in refused.err
    assert "is not a calendar of this shelf" in on_sample("calendar", str(notes)).err
    assert notes.read_text() == "mine"
    assert on_sample("calendar", str(file), "--replace").code == 0
    assert "another shelf" in run("calendar", str(file)).err
    assert [path.name for path in tmp_path.iterdir() if "draft" in path.name] == []
    assert run("calendar", str(tmp_path / "no" / "where.ics")).code == 2


def test_hours_that_the_clocks_skip_or_show_twice(run: Run) -> None:
    """In Berlin: 02:30 on 29 March is not there, on 25 October it is there twice."""
    skipped = run("calendar", "add", "spring", "2026-03-29 02:30")
    assert "on 2026-03-29 the clocks change and show 02:30 not at all: no alarm." in skipped.err
    assert "show 02:30 twice: the first counts." in run("calendar", "add", "autumn", "25 October 2026 02:30").err
    for id, closes in (("88", "2026-03-29 02:30"), ("89", "2026-10-25 02:30"), ("90", "")):
        terms = ("venue", "add", "Wexby", "--currency", "EUR", "--time-zone", "Europe/Berlin")
        run(*terms)
        added = run("lot", "add", "--title", "Orvany 5 tor 1891", "--id", id, "--venue", "Wexby", "--price", "9 EUR")
        assert added.code == 0, added.err
        feed = Path(run.shelf).parent / f"{id}.csv"  # type: ignore[attr-defined]
        feed.write_text(f"id,title,price,currency,ends_at\n{id},Orvany 5 tor 1891,9,EUR,{closes}\n")
        run("source", "add", f"s{id}", str(feed), "--venue", "Wexby")
    run("gather")
    for id in ("88", "89", "90"):
        run("decide", f"s{id}:{id}", "follow")
    told = run("calendar", "--json", "--days", "300")
    at = {row["what"].partition(",")[0]: (row["day"], row["at"]) for row in told.rows if row["kind"] == "own"}
    assert at == {"spring": ("2026-03-29", None), "autumn": ("2026-10-25", "2026-10-25T00:30:00+00:00")}
    lots = {row["key"]: (row["day"], row["at"]) for row in told.rows if row["kind"] == "close"}
    assert lots == {"s88:88": ("2026-03-29", None), "s89:89": ("2026-10-25", "2026-10-25T00:30:00+00:00")}
    said = " ".join(told.err.split())
    assert "02:30 on 2026-03-29 is an hour that the clocks skip: no alarm" in said
    assert "s90:90 has no closing day" in said or "90 has no closing day" in said


def test_words_that_are_no_date_are_refused(run: Run) -> None:
    for words, said in (
        (("add", "x"), "takes a text in quotation marks and a day"),
        (("add", "x", "someday"), "`someday` is not a valid day"),
        (("add", "x", "2026-02-30"), "is not a valid day"),
        (("add", "x", "2026-03-01"), "2026-03-01 has passed. Nothing was written."),
        (("add", "  ", "2026-04-01"), "A date needs its words"),
        (("a.ics", "b.ics"), "calendar takes one file"),
        (("--days", "0"), "--days takes 1 to 730"),
    ):
        refused = run("calendar", *words)
        assert refused.code == 2, words
        assert said in refused.err, refused.err
    assert run("undo").code == 2
    assert datetime.fromisoformat(NOW).astimezone(UTC).year == 2026
