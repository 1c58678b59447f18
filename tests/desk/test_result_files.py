"""A venue's file of results: each lot once, nothing guessed about a win, one undo; what cannot be is one sentence."""

from __future__ import annotations

from dataclasses import replace

import pytest

from tests.desk.pieces import NORTH as SOURCE
from tests.desk.pieces import come, lot, row
from watchlist.desk import undoing
from watchlist.desk.decisions.deciding import decide
from watchlist.desk.desk import Desk
from watchlist.desk.errors import DeskError
from watchlist.desk.own_files.importing import How, ImportReport, import_file

OF_NORTH = How(venue="lindmoor sales")


def bring(desk: Desk, text: str, how: How = OF_NORTH, *, dry: bool = False) -> ImportReport:
    return import_file(desk, "results", text.encode(), "results.csv", how, dry_run=dry)


def why(report: ImportReport) -> list[str]:
    return [f"{each.line} {each.why.removesuffix('; row rejected')}" for each in report.set_aside]


@pytest.fixture
def ended(desk: Desk) -> Desk:
    """Three lots whose sale is over, with a bid of 260 placed on the second; the fourth closes tomorrow."""
    come(desk, *(row(str(n), hours=-2) for n in (1, 2, 3)), row("4", hours=24))
    decide(desk, ["north:2"], "placed", "260", anyway=True)
    return desk


def test_a_file_of_results_is_one_entry_of_the_list(ended: Desk) -> None:
    report = bring(ended, "Lot,Hammer price,Outcome\n1,310,\n2,250,won\n3,passed,\n")
    assert (report.taken, report.set_aside) == (3, ())
    states = [lot(ended, f"north:{n}").state for n in (1, 2, 3)]
    assert states == ["lost", "won", "ended"]
    store = ended.shelf.store
    assert [str(each.paid) for each in store.purchases.all()] == ["300 EUR"]
    assert sorted(str(price.price) for price in store.prices.each()) == ["250 EUR", "310 EUR"]
    assert bring(ended, "Lot,Hammer price,Outcome\n1,310,\n2,250,sold\n3,passed,\n").repeated == 3
    said = undoing.undo(ended).said
    assert said.startswith("Undone: import of results from results.csv: 3 taken")
    assert [lot(ended, f"north:{n}").state for n in (1, 2, 3)] == ["ended", "bid", "ended"]
    assert not store.purchases.all()
    assert not list(store.prices.each())


def test_nothing_changes_on_a_dry_run(ended: Desk) -> None:
    assert bring(ended, "lot,hammer\n1,310\n", dry=True).taken == 1
    assert lot(ended, "north:1").state == "new"


@pytest.mark.parametrize(
    ("rows", "said"),
    [
        ("9x,310,", "2 no lot `9x` of Lindmoor Sales is known"),
        ("1,USD 310,", "2 the price is in USD, its sale in EUR"),
        ("1,150,", "2 the price 150 EUR is below 200 EUR, at which the lot stood already"),
        ("1,0,", "2 the price is zero"),
        ("1,,", "2 the hammer price is missing"),
        (",310,", "2 the lot is missing"),
        ("1,310,perhaps", "2 the status `perhaps` is neither sold nor unsold"),
        ("4,310,", "2 north:4 has not closed yet: closes Thu 26 Nov 10:00"),
        ("2,250,", "2 sold for 250 EUR, and your bid was 260 EUR: say won or lost in a column `status`"),
        ("2,270,won", "2 won at 270 EUR is above your bid of 260 EUR"),
        ("1,310,\n1,320,", "2 the lot north:1 is a duplicate: line 3 is used"),
    ],
)
def test_a_row_that_cannot_be_is_set_aside_and_the_rest_stands(ended: Desk, rows: str, said: str) -> None:
    report = bring(ended, f"lot,hammer,outcome\n{rows}\n3,300,\n")
    (told,) = why(report)
    assert told.startswith(said)
    assert lot(ended, "north:3").state == "lost"
    assert lot(ended, "north:2").state == "bid"


def test_a_price_without_a_currency_is_in_that_of_its_sale(ended: Desk) -> None:
    """A list of a venue abroad names its currency at the head of the sale, not in each row."""
    terms = ended.terms["Lindmoor Sales"]
    ended.shelf.notebook.venues.put(replace(terms, currency="CHF"))
    ended.forget()
    come(ended, row("5", hours=-2, currency="CHF"))
    report = bring(ended, "lot,hammer\n5,310\n")
    assert (report.taken, list(report.notes)) == (1, [])
    (price,) = ended.shelf.store.prices.each()
    assert str(price.price) == "310 CHF"


def test_a_win_of_ones_own_is_never_turned_by_a_list(ended: Desk) -> None:
    bring(ended, "lot,hammer,outcome\n2,250,won\n")
    report = bring(ended, "lot,hammer,outcome\n2,255,\n")
    assert why(report)[0].startswith("2 you recorded that it was won at 250 EUR")
    assert lot(ended, "north:2").state == "won"


def test_whose_results_they_are_has_to_be_said(ended: Desk) -> None:
    assert why(bring(ended, "lot,hammer\n1,310\n", How()))[0] == "2 the venue is missing: name it with --venue"
    assert bring(ended, "lot,hammer,venue\n1,310,Lindmoor Sales\n", How()).taken == 1
    with pytest.raises(DeskError, match="There is no venue `South`"):
        bring(ended, "lot,hammer\n1,310\n", How(venue="South"))


def test_one_number_in_two_sales_is_told_apart_by_its_day(ended: Desk) -> None:
    come(ended, row("1", hours=-50), source=replace(SOURCE, name="east"))
    told = why(bring(ended, "lot,hammer\n1,310\n"))[0]
    assert told.startswith("2 `1` may be several lots of Lindmoor Sales: ")
    assert bring(ended, "lot,hammer,sale date\n1,310,2026-11-23\n").taken == 1
    assert (lot(ended, "east:1").state, lot(ended, "north:1").state) == ("lost", "new")
    assert why(bring(ended, "lot,hammer,sale date\n1,310,2026-11-20\n"))[0].endswith("is known on that day")
