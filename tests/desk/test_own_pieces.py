"""Pieces from before: they stand in Held with cost and value, fill a want where it is said, and are no result."""

from __future__ import annotations

from decimal import Decimal
from pathlib import Path

import pytest

from tests.desk.pieces import come, lot, row, sales
from watchlist.core.held.piece import Piece
from watchlist.desk import undoing
from watchlist.desk.desk import Desk
from watchlist.desk.errors import DeskError, TooMuch
from watchlist.desk.held import held_lists, pieces
from watchlist.desk.held.held import beside, held, notes, sums
from watchlist.desk.in_hand.hands import hands
from watchlist.desk.own_files.importing import ImportReport, import_file
from watchlist.desk.prices import fitting
from watchlist.desk.results import results
from watchlist.page.export import csv_lines
from watchlist.page.held import whole

HEAD = "stock no,country,denomination,year,mint,grade,cert no,bought on,from,cost,note,pictures,fills want,stored in"
COIN = "Orvany,5 tor,1893,V"


def bring(desk: Desk, *rows: str) -> ImportReport:
    return import_file(desk, "pieces", "\n".join((HEAD, *rows, "")).encode(), "mine.csv")


def piece(desk: Desk, number: str) -> Piece:
    return next(each for each in held(desk) if each.stock_no == number)


def test_a_piece_from_before_has_cost_and_value_and_is_no_result(desk: Desk, tmp_path: Path) -> None:
    desk.shelf.store.prices.add(sales())
    fitting.refit(desk)
    desk.forget()
    (tmp_path / "a.jpg").write_bytes(b"never opened")
    report = bring(
        desk,
        f"A-7,{COIN},VF-30,Q418-2907,2019-05-04,Brundal Coin Club,180 EUR,old toning,{tmp_path}/a.jpg,",
        f"A-8,{COIN},VF-30,,,,,,gone.jpg,w1",
    )
    assert (report.taken, report.set_aside) == (2, ())
    assert any("there is no file gone.jpg" in note for note in report.notes)
    first, second = held(desk)
    assert (first.stock_no, first.state, first.cost_basis, str(first.basis)) == ("A-7", "kept", "stated", "180.00")
    assert (first.coin, first.duplicates, str(first.bought)) == ("5 tor 1893-V, VF-30", 1, "2019-05-04")
    assert (first.course.note, first.course.pictures) == ("old toning", (f"{tmp_path}/a.jpg",))
    assert first.today is not None
    assert first.gain == first.today - 180
    assert (second.cost, second.gain, second.bought) == (None, None, None)
    assert desk.wants.by_id["w1"].filled == 1
    store = desk.shelf.store
    assert (store.purchases.all(), results.mismatches(desk), hands(desk).lots) == ([], {}, {})
    assert len(list(store.prices.each())) == len(sales())
    assert bring(desk, f"A-7,{COIN},VF-30,Q418-2907,2019-05-04,Brundal Coin Club,180 EUR,old toning,{tmp_path}/a.jpg,"
                 ).repeated == 1  # fmt: skip
    undoing.undo(desk)
    assert held(desk) == ()
    assert store.lots.get("hand:own-A-7") is None
    assert desk.wants.by_id["w1"].filled == 0
    undoing.redo(desk)
    assert [each.stock_no for each in held(desk)] == ["A-7", "A-8"]


def test_rows_without_a_number_are_pieces_of_their_own_and_come_once(desk: Desk) -> None:
    same = f",{COIN},VF-30,,2019-05-04,,180 EUR,,,"
    assert bring(desk, same, same).taken == 2
    assert bring(desk, same, same).repeated == 2
    assert [each.basis for each in held(desk)] == [180, 180]


@pytest.mark.parametrize(
    ("cells", "said"),
    [
        (f"B-1,{COIN},VF-30,,,,much,,,", "the cost `much` is not a valid amount"),
        (f"B-1,{COIN},VF-30,,,,,,,w9", "there is no want `w9`"),
        (f"B-1,{COIN},no grade,,,,,,,", "the grade `no grade` is not a known grade"),
        ("B-1,Orvany,5 tor,,V,VF-30,,,,,,,", "the year is missing"),
    ],
)
def test_what_cannot_be_read_is_one_sentence_and_the_rest_stands(desk: Desk, cells: str, said: str) -> None:
    report = bring(desk, cells, f"B-2,{COIN},VF-30,,,,,,,")
    (aside,) = report.set_aside
    assert aside.why.startswith(said)
    assert [each.stock_no for each in held(desk)] == ["B-2"]


def test_a_day_half_known_costs_no_piece(desk: Desk) -> None:
    report = bring(desk, f"B-3,{COIN},VF-30,,2012,,90 EUR,,,", f"B-4,{COIN},VF-30,,2031-01-01,,90 EUR,,,")
    assert [each.bought for each in held(desk)] == [None, None]
    assert any("line 2: the day `2012` is not a date" in note for note in report.notes)


def test_where_a_piece_is_kept_comes_with_it_and_is_not_set_back_by_the_same_file(desk: Desk) -> None:
    row = f"B-5,{COIN},VF-30,,2019-05-04,,180 EUR,,,,bank box 3"
    bring(desk, row)
    assert piece(desk, "B-5").course.place == "bank box 3"
    pieces.say(desk, "B-5", pieces.Said("stored-in", "album 2"))
    assert bring(desk, row).repeated == 1
    assert piece(desk, "B-5").course.place == "album 2"
    assert bring(desk, row.replace("box 3", "box 4")).taken == 1
    assert piece(desk, "B-5").course.place == "bank box 4"


def test_a_piece_is_consigned_with_a_reserve_and_comes_back_unsold(desk: Desk) -> None:
    bring(desk, f"D-2,{COIN},VF-30,,2019-05-04,,180 EUR,,,")

    def say(act: str, amount: str = "", **more: str) -> str:
        return pieces.say(desk, "D-2", pieces.Said(act, amount, **more)).said

    assert say("consigned", reserve="200") == "D-2 (5 tor 1893-V, VF-30): consigned, reserve 200 EUR"
    there = piece(desk, "D-2")
    assert (there.state, str(there.course.reserve)) == ("consigned", "200 EUR")
    assert there.cost == 180
    assert say("not-sold", fees="12.50") == "D-2 (5 tor 1893-V, VF-30): not sold, fees 12.50 EUR"
    back = piece(desk, "D-2")
    assert (back.state, back.cost, back.course.reserve) == ("kept", Decimal("192.50"), None)
    say("consigned", reserve="190")
    said = say("sold", "180", fees="18")
    assert "10 EUR under the reserve of 190 EUR" in said
    assert (piece(desk, "D-2").state, piece(desk, "D-2").gain) == ("sold", Decimal("-30.50"))
    assert undoing.undo(desk).said.startswith("Undone: sold 180 EUR on own-D-2")
    assert piece(desk, "D-2").state == "consigned"
    with pytest.raises(DeskError, match="A reserve is told with `consigned`"):
        say("kept", reserve="5")


def test_what_is_odd_is_told_in_a_sentence(desk: Desk) -> None:
    bring(desk, f"C-1,{COIN},VF-30,Q418-2907,2019-05-04,,180 GBP,,,", f"C-2,{COIN},VF-30,Q418-2907,,,90 EUR,,,")
    assert list(notes(desk, held(desk))) == [
        "C-1: no rate GBP to EUR near 2019-05-04, so in no sum: import rates",
        "C-2 has no band: its cost, 90.00, stands for its value",
        "C-1 and C-2 carry one certificate number",
    ]
    assert [str(each) for each in sums(held(desk), "EUR")] == ["90 EUR", "90 EUR"]


def test_a_piece_from_before_lives_on_as_any_other(desk: Desk, tmp_path: Path) -> None:
    bring(desk, f"D-1,{COIN},VF-30,,2019-05-04,,180 EUR,,,")

    def say(*words: str, anyway: bool = False) -> None:
        pieces.say(desk, "d-1", pieces.Said(*words), anyway=anyway)

    say("came-from", "Sale of a schoolmaster, Brundal, lot 88", "1931")
    say("came-from", "Collection of an engineer")
    say("noted", "edge nick at 4 o'clock")
    with pytest.raises(TooMuch, match=r"there is no file .*b\.jpg"):
        say("pictured", str(tmp_path / "b.jpg"))
    say("pictured", str(tmp_path / "b.jpg"), anyway=True)
    course = piece(desk, "D-1").course
    assert [(each.what, each.when) for each in course.chain] == [
        ("Sale of a schoolmaster, Brundal, lot 88", "1931"), ("Collection of an engineer", ""),
    ]  # fmt: skip
    assert (course.note, course.pictures) == ("edge nick at 4 o'clock", (str(tmp_path / "b.jpg"),))
    say("stored-in", "bank box 3")
    assert piece(desk, "D-1").course.place == "bank box 3"
    told = [held_lists.insurance(desk, held(desk), with_place=asked) for asked in (False, True)]
    assert [("place" in columns, rows[0]["place"]) for columns, rows in told] == [
        (False, "bank box 3"), (True, "bank box 3"),
    ]  # fmt: skip
    assert "bank box 3" not in "".join(csv_lines(*told[0]))
    assert undoing.undo(desk).said.startswith("Undone: place on own-D-1")
    with pytest.raises(DeskError, match="`noted` takes the note"):
        say("noted")
    assert undoing.undo(desk).said.startswith("Undone: picture on own-D-1")
    say("sold", "250")
    assert (piece(desk, "D-1").gain, piece(desk, "D-1").state) == (Decimal(70), "sold")


def test_a_piece_comes_back_from_a_service_with_grade_and_number(desk: Desk) -> None:
    desk.shelf.store.prices.add(sales())
    fitting.refit(desk)
    desk.forget()
    bring(desk, f"E-1,{COIN},VF-30,,2019-05-04,,180 EUR,,,")
    before = piece(desk, "E-1")
    with pytest.raises(DeskError, match="told with `from-service`"):
        pieces.say(desk, "E-1", pieces.Said("kept", grade="XF-40"))
    with pytest.raises(DeskError, match="`shiny` is not a valid grade"):
        pieces.say(desk, "E-1", pieces.Said("from-service", grade="shiny"))
    pieces.say(desk, "E-1", pieces.Said("to-service", fees="25"))
    assert piece(desk, "E-1").state == "at service"
    back = pieces.Said("from-service", fees="8", grade="XF-40", service="QCG", cert="Q418-2907")
    pieces.say(desk, "E-1", back)
    after = piece(desk, "E-1")
    assert (after.coin, after.state, after.basis) == ("5 tor 1893-V, XF-40", "kept", Decimal(213))
    assert (after.reading.certified, after.reading.cert_number) == (True, "Q418-2907")
    assert after.today is not None
    assert before.today is not None
    assert after.today > before.today
    undoing.undo(desk)
    assert piece(desk, "E-1").coin == "5 tor 1893-V, VF-30"


def test_the_value_of_a_piece_counts_its_traits_as_a_mark_does(desk: Desk) -> None:
    """The value in Held is the one that its Ticket shows."""
    desk.shelf.store.prices.add(sales())
    fitting.refit(desk)
    desk.forget()
    come(desk, row("1", "Orvany 5 tor 1893-V VF-30 cleaned, toned"))
    results.result(desk, "north:1", "150", won=True)
    judged = lot(desk, "north:1").judgement
    assert judged is not None
    assert judged.value is not None
    assert held(desk)[0].value == judged.value


def test_sums_are_in_home_currency_and_days_not_before_the_piece_was_bought(desk: Desk) -> None:
    bring(desk, f"F-1,{COIN},VF-30,,2019-05-04,,180 EUR,,,")
    refused = (
        (pieces.Said("to-service", fees="5 GBP"), "The fee is to be told in EUR, not GBP"),
        (pieces.Said("sold", "90 GBP"), "The sum is to be told in EUR, not GBP"),
        (pieces.Said("consigned", reserve="90 GBP"), "The reserve is to be told in EUR, not GBP"),
        (pieces.Said("sold", "90", on="2018-01-02"), "Sold 2 Jan 2018 is before F-1 was bought, 4 May 2019"),
    )
    for said, why in refused:
        with pytest.raises(DeskError, match=why):
            pieces.say(desk, "F-1", said)
    pieces.say(desk, "F-1", pieces.Said("sold", "90"))
    for act in ("not-sold", "from-service", "kept", "returned"):
        with pytest.raises(DeskError, match="F-1 is sold already: undo that first"):
            pieces.say(desk, "F-1", pieces.Said(act))


def test_a_finer_piece_is_told_as_an_upgrade(desk: Desk) -> None:
    bring(desk, f"G-1,{COIN},VF-20,,,,180 EUR,,,", f"G-2,{COIN},XF-40,,,,,,,", f"G-3,{COIN},VF-20,,,,,,,")
    every = held(desk)
    text = {each.stock_no: " ".join(whole(each, beside(each, every, {}), desk.home, 200)) for each in every}
    assert "An upgrade of G-1 (5 tor 1893-V, VF-20), G-3 (5 tor 1893-V, VF-20)." in text["G-2"]
    assert "Also held of its issue: G-2 (5 tor 1893-V, XF-40), G-3" in text["G-1"]
    assert "upgrade" not in text["G-1"]
