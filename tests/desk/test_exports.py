"""Tables that leave the program: both forms tell the same, wants and prices come in again, and no cell is a formula."""

from __future__ import annotations

import csv
import json
from collections.abc import Mapping
from dataclasses import replace
from typing import Any

import pytest

from tests.desk.pieces import COIN, come, eur, row, sale, sales
from watchlist.core.marks.record import Want
from watchlist.desk import undoing
from watchlist.desk.decisions.deciding import decide
from watchlist.desk.desk import Desk
from watchlist.desk.own_files.exports import KINDS
from watchlist.desk.own_files.importing import import_file
from watchlist.desk.prices import fitting
from watchlist.desk.results.results import result
from watchlist.page.export import csv_lines, json_lines

TYPED = Want(
    "w2", "Orvany", "5 tor", 1893, None, None, 40, 55, True, eur(90), eur("20.50"), eur(80), 3, 1, True, 2,
    "=HYPERLINK(1)", "any", ("colour:RD", "-strike:weak"),
)  # fmt: skip


@pytest.fixture
def kept(desk: Desk) -> Desk:
    """Sales of each kind, wants, a lot that was skipped and is not, a piece."""
    store = desk.shelf.store
    store.prices.add(replace(each, grade_text="VF-30") for each in sales())
    store.prices.add(
        [
            sale(
                50, grade_text="30", kind="all-in", certified=True, service="QCG", cert_number="Q418-2907", note="@mine"
            ),
            sale(
                51,
                grade_text="20-35",
                grade_low=20,
                grade_high=35,
                problems=("cleaned", "holed"),
                status="unsold",
                lot="-212",
            ),
            sale(52, grade_text="VF30", quantity=3, title="3 pieces, =1+1", certified=True),
        ]
    )
    desk.shelf.notebook.wants.put(TYPED, replace(TYPED, id="w3", mint="V", low=None, high=None, traits=()))
    desk.forget()
    fitting.refit(desk)
    come(desk, row("1"), row("2", "+49 Orvany 1 tor 1889 VF"))
    decide(desk, ["north:2"], "skip")
    undoing.undo(desk)
    result(desk, "north:1", "250", won=True)
    return desk


def table(desk: Desk, kind: str) -> str:
    made = KINDS[kind]
    return "\n".join(csv_lines(made.columns, made.rows(desk)))


def rows(desk: Desk, kind: str) -> list[dict[str, str]]:
    return list(csv.DictReader(table(desk, kind).splitlines()))


@pytest.mark.parametrize("kind", KINDS)
def test_both_forms_tell_the_same(kept: Desk, kind: str) -> None:
    made = KINDS[kind]
    cells = rows(kept, kind)
    lines: list[Mapping[str, Any]] = [json.loads(line) for line in json_lines(made.columns, made.rows(kept))]
    assert len(cells) == len(lines) > 0
    for cell, line in zip(cells, lines, strict=True):
        assert (*cell, "schema") == (*made.columns, "schema")
        assert (*line,) == ("schema", *made.columns)
        for name, value in line.items():
            if isinstance(value, str):
                assert cell[name].removeprefix("'") == value
            elif value is None:
                assert cell[name] == ""
        assert not any(each.startswith(("=", "+", "@")) for each in cell.values())


def test_what_the_tables_say(kept: Desk) -> None:
    (piece,) = rows(kept, "pieces")
    assert (piece["stock_no"], piece["issue"], piece["cost"], piece["currency"]) == ("S-003", COIN.key, "300.00", "EUR")
    assert [(each["verb"], each["in_force"]) for each in rows(kept, "decisions")] == [
        ("skip", ""), ("undo", ""), ("won", "yes"),
    ]  # fmt: skip
    lots = {each["key"]: each for each in rows(kept, "lots")}
    assert (lots["north:1"]["price"], lots["north:1"]["price_currency"], lots["north:1"]["state"]) == (
        "200.00",
        "EUR",
        "won",
    )
    assert lots["north:2"]["title"] == "'+49 Orvany 1 tor 1889 VF"


def test_wants_come_in_again_as_they_were(kept: Desk) -> None:
    before, text = kept.shelf.notebook.wants.list(), table(kept, "wants")
    assert "'=HYPERLINK(1)" in text
    kept.shelf.notebook.wants.drop("w1", "w2", "w3")
    kept.forget()
    report = import_file(kept, "wants", text.encode(), "wants.csv")
    assert (report.taken, report.set_aside, report.notes) == (3, (), ())
    assert kept.shelf.notebook.wants.list() == before


def test_prices_come_in_again_and_are_there_already(kept: Desk) -> None:
    before, text = list(kept.shelf.store.prices.each()), table(kept, "prices")
    report = import_file(kept, "prices", text.encode(), "prices.csv")
    assert report.set_aside == ()
    assert (report.rows, report.repeated) == (len(before), len(before))
    assert list(kept.shelf.store.prices.each()) == before


def test_an_own_result_comes_back_once_and_undo_still_takes_it_away(kept: Desk) -> None:
    """A row beside it that says the same is another's, and so is one with another title or none: it stays."""

    def told() -> list[str]:
        return [str(each.price) for each in kept.shelf.store.prices.of(COIN.key)]

    text, before = table(kept, "prices"), told()
    assert before.count("250 EUR") == 1
    own = next(line for line in text.splitlines() if "5 tor 1893-V VF-30" in line)
    other = own.replace("Orvany 5 tor 1893-V VF-30", "")
    report = import_file(kept, "prices", "\n".join((text, own, other)).encode(), "prices.csv")
    assert (report.rows, report.repeated, told().count("250 EUR")) == (len(before) + 2, len(before) + 2, 3)
    undoing.undo(kept)
    assert told() == before
    import_file(kept, "prices", text.encode(), "prices.csv")  # it brings nothing, so it is no entry
    undoing.undo(kept)
    assert "250 EUR" not in told()
