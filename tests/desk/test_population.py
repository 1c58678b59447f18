"""Population counts on a shelf: the newest list of a service counts, undo takes one back, guide and Prices say it."""

from __future__ import annotations

from dataclasses import replace
from datetime import date

from tests.desk.pieces import COIN, OTHER, come, row, sale
from watchlist.core.guide.record import USUAL, Entry
from watchlist.desk.desk import Desk
from watchlist.desk.guide import guide
from watchlist.desk.held import pieces
from watchlist.desk.own_files.importing import import_file
from watchlist.desk.prices import fitting
from watchlist.desk.prices.population import populations
from watchlist.desk.results import results
from watchlist.desk.undoing import undo
from watchlist.page.guide import Style, sheet, told

SISTER = replace(COIN, key="orvany-5t-1894v", year=1894)


def counted(desk: Desk, day: str, *rows: tuple[str, int, int], service: str = "Quill Grading") -> None:
    lines = [f"{issue},{service},{grade},{pieces_},{day}" for issue, grade, pieces_ in rows]
    text = "\n".join(["issue,service,grade,population,date", *lines, ""])
    assert import_file(desk, "population", text.encode(), "counts.csv").taken == len(rows)


def test_of_each_service_the_newest_list_of_an_issue_counts_and_undo_takes_it_back(desk: Desk) -> None:
    counted(desk, "2026-03-01", (COIN.key, 40, 300), (COIN.key, 63, 4), (OTHER.key, 40, 9))
    counted(desk, "2026-09-01", (COIN.key, 40, 320))
    counted(desk, "2026-01-01", (COIN.key, 40, 1))  # an older list brought later
    counted(desk, "2026-09-01", (COIN.key, 40, 7), service="Reed Holders")
    found = populations(desk)
    assert [(each.service, each.day, each.total) for each in found[COIN.key]] == [
        ("Quill Grading", date(2026, 9, 1), 320),
        ("Reed Holders", date(2026, 9, 1), 7),
    ]
    assert found[OTHER.key][0].total == 9, "a list without an issue says nothing of it"
    for _ in range(3):
        undo(desk)
    assert [each.total for each in populations(desk)[COIN.key]] == [304]


def test_what_stands_apart_by_the_counts_is_said_with_its_interval(desk: Desk) -> None:
    desk.shelf.store.catalogue.merge([SISTER])
    desk.shelf.store.prices.add([sale(n) for n in range(12)])
    fitting.refit(desk)
    desk.forget()
    counted(desk, "2026-09-01", (COIN.key, 40, 300), (COIN.key, 63, 3), (SISTER.key, 40, 100), (SISTER.key, 63, 200))
    said = " ".join(guide.scarcity(desk, COIN)[COIN.key])
    assert "Quill Grading, 2026-09-01: 303 certified, 3 in MS-60 or better, the finest in MS-63 (3)." in said
    assert "3 of 303 pieces in the counts of Quill Grading, 2026-09-01, were in mint state (0% to 4%, 99 times" in said
    assert "67% in the rest of the series" in said
    made = guide.guide(desk, guide.series(desk, "Orvany 5 tor"), USUAL)
    assert [entry.populations[0].total for entry in made.entries] == [303, 300]


def test_a_record_leaves_out_what_went_back_and_a_relisted_piece_counts_once(desk: Desk) -> None:
    desk.shelf.store.prices.add([sale(n, 200 + n) for n in range(12)])
    for _ in range(2):  # listed again at the next sale under another number
        come(desk, row("7", price="300", hours=-1, cert_number="Q418-2907", service="QG"))
    come(desk, row("8", price="310", hours=-1, cert_number="Q418-2907", service="QG"))
    come(desk, row("9", price="900", hours=-1))
    results.result(desk, "north:9", "900 EUR", won=True)
    fitting.refit(desk)

    def entry() -> Entry:
        return guide.guide(desk, (COIN,), USUAL).entries[0]

    before = entry()
    assert before.best is not None
    assert before.best.price > 900
    assert f"record {before.best.price:,.0f} EUR VF-30 raw 2026-11, Lindmoor Sales" in told(before, USUAL, "EUR")
    assert before.offered == 12 + 1 + 1, "twelve sales, the piece seen three times, the piece that was won"
    pieces.say(desk, "north:9", pieces.Said("returned", reason="not as described"))
    after = entry()
    assert after.best is not None
    assert after.best.price < 900


def test_the_guide_counts_how_sales_say_that_an_issue_is_struck(desk: Desk) -> None:
    struck = ("strike:weak",), ("strike:weak", "colour:RD"), ("strike:sharp",), ("colour:RD",), ()
    desk.shelf.store.prices.add([replace(sale(n), traits=struck[n % len(struck)]) for n in range(10)])
    fitting.refit(desk)
    made = guide.guide(desk, (COIN,), USUAL)
    (row,) = sheet(made, Style(parts=("strike",))).rows
    assert row[-1] == "4 weak, 2 sharp"


def test_the_grades_of_a_wide_list_are_not_called_unknown(desk: Desk) -> None:
    text = f"issue,service,MS-60,MS-63,checked,date\n{COIN.key},Quill Grading,12,3,yes,2026-09-01\n"
    report = import_file(desk, "population", text.encode(), "counts.csv")
    assert report.taken == 2
    assert report.notes == ("columns not known and unused: checked",)
    assert [each.grades for each in populations(desk)[COIN.key]] == [{60: 12, 63: 3}]
