"""Whole entries read on the command line: title, description and columns, and where each field was read."""

from __future__ import annotations

from pathlib import Path

from tests.cli.conftest import Run

LOTS = (
    "lot,title,description,year,grade,price,currency\n"
    '7,5 tor Mzz. V,"Nice piece, rim nick, ex an old cabinet.",1893,VF,"45,00",EUR\n'
    "8,2 tor 1901,,,,,\n"
)


def _where(reading: dict[str, object]) -> dict[str, tuple[str, str]]:
    spans = reading["spans"]
    assert isinstance(spans, list)
    return {span["field"]: (span["from"], span["text"]) for span in spans}


def test_a_tried_source_tells_the_whole_reading_and_where_it_stands(run: Run, tmp_path: Path) -> None:
    file = tmp_path / "lots.csv"
    file.write_text(LOTS, "utf-8")
    first, second = (row["reading"] for row in run("source", "test", str(file), "--json").rows)
    assert (first["year"], first["mint"], first["grade_low"]) == (1893, "V", 20)
    assert first["problems"] == ["rim_damage"]
    told = _where(first)
    assert told["year"] == ("column", "1893")
    assert told["grade"] == ("column", "VF")
    assert told["problems"] == ("description", "rim nick")
    assert told["mint"][0] == "title"
    assert (second["year"], second["grade_low"]) == (1901, None)
    read = run("read", str(file), "--json").rows
    assert [{**row, "schema": None} for row in read] == [{**row, "schema": None} for row in (first, second)]


def test_a_table_is_told_from_a_list_of_titles(run: Run, tmp_path: Path) -> None:
    table, titles, odd = tmp_path / "lots.txt", tmp_path / "titles.txt", tmp_path / "odd.csv"
    table.write_text(LOTS, "utf-8")
    titles.write_text("5 tor 1893, VF\n2 tor 1901, a title with grade\n", "utf-8")
    odd.write_text("5 tor 1893 VF\n2 tor 1901\n", "utf-8")
    assert [row["year"] for row in run("read", str(table), "--json").rows] == [1893, 1901]
    assert [row["title"] for row in run("read", str(titles), "--json").rows] == titles.read_text().splitlines()
    done = run("read", str(odd), "--json")
    assert [row["year"] for row in done.rows] == [1893, 1901]
    assert "title" in done.err
