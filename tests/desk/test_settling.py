"""What is due is carried out in order, can be stopped between two steps, and is taken up again."""

from __future__ import annotations

from dataclasses import replace
from datetime import timedelta
from decimal import Decimal

import pytest

from tests.desk.pieces import COIN, NOW, OTHER, come, eur, lot, mark, row, sale, sales
from watchlist.core.marks.record import Want
from watchlist.desk import undoing
from watchlist.desk.decisions import correcting
from watchlist.desk.decisions.deciding import decide
from watchlist.desk.desk import Desk
from watchlist.desk.due import MARKET, MARKS, TITLES, Due
from watchlist.desk.errors import Stopped
from watchlist.desk.judging import judging
from watchlist.desk.prices import fitting
from watchlist.desk.settling import end_lots, outstanding, settle
from watchlist.desk.titles import rereading
from watchlist.shelf.store.rows import LotRow


@pytest.fixture
def told(desk: Desk) -> list[str]:
    """What the work said of its steps."""
    steps: list[str] = []
    desk.go_on = lambda words, share: steps.append(words) or True  # type: ignore[func-returns-value]
    return steps


def stop_at(desk: Desk, *words: str) -> None:
    """The person stops the work at these steps."""
    desk.go_on = lambda step, share: not step.startswith(words)


def start_again(desk: Desk) -> Desk:
    """The program was ended and comes up again."""
    return Desk(desk.shelf, desk.now)


def cheaper(desk: Desk) -> None:
    """The want takes less from now on."""
    desk.owed.add(MARKS)
    desk.shelf.notebook.wants.put(Want("w1", "Orvany", "5 tor", 1893, "V", ceiling=eur(10)))
    desk.forget()


def ceiling(desk: Desk, key: str) -> Decimal | None:
    judged = lot(desk, key).judgement
    return judged.ceiling.amount if judged and judged.ceiling else None


def test_marks_follow_the_want_list(desk: Desk) -> None:
    come(desk, row("1"))
    assert ceiling(desk, "north:1") == 400
    cheaper(desk)
    assert ceiling(desk, "north:1") == 400
    settle(desk, MARKS)
    assert ceiling(desk, "north:1") == 10
    assert not desk.owed.all()


def test_marks_that_were_not_settled_follow_at_the_next_start(desk: Desk) -> None:
    come(desk, row("1"))
    cheaper(desk)
    again = start_again(desk)
    assert judging.is_due(again)
    settle(again, outstanding(again))
    assert ceiling(again, "north:1") == 10
    assert not judging.is_due(again)


def test_judging_that_was_stopped_half_way_is_taken_up_again(desk: Desk, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(judging, "BATCH", 2)
    come(desk, *(row(str(number)) for number in range(5)))
    cheaper(desk)
    desk.go_on = lambda words, share: share < 0.5
    with pytest.raises(Stopped, match=r"^Marking was stopped: some lots keep their old mark until the next gather"):
        settle(desk, MARKS)
    kept = [ceiling(desk, f"north:{number}") for number in range(5)]
    assert 0 < kept.count(Decimal(10)) < 5
    again = start_again(desk)
    settle(again, outstanding(again))
    assert {ceiling(again, f"north:{number}") for number in range(5)} == {Decimal(10)}


@pytest.mark.parametrize("end", [KeyboardInterrupt, MemoryError])
def test_work_that_is_killed_is_done_at_the_next_gather(
    desk: Desk, monkeypatch: pytest.MonkeyPatch, end: type[BaseException]
) -> None:
    come(desk, row("1"))
    cheaper(desk)

    def killed(_: Desk) -> None:
        raise end

    with monkeypatch.context() as patch:
        patch.setattr(judging, "judge_all", killed)
        with pytest.raises(end):
            settle(desk, MARKS)
    again = start_again(desk)
    settle(again, outstanding(again))
    assert ceiling(again, "north:1") == 10


def test_the_market_is_fitted_before_titles_and_these_before_marks(desk: Desk, told: list[str]) -> None:
    come(desk, row("1"))
    desk.shelf.store.prices.add(sales())
    due = MARKET | TITLES
    desk.owed.add(due)
    fit = settle(desk, due)
    assert fit is not None
    assert fit.sales == 10
    order = [told.index(words) for words in ("reading the prices", "reading the lots again", "marking the lots again")]
    assert order == sorted(order)
    assert not desk.owed.all()
    judged = lot(desk, "north:1").judgement
    assert judged is not None
    assert judged.band is not None


def test_a_stop_in_the_fit_leaves_all_that_rests_on_it_due(desk: Desk) -> None:
    desk.shelf.store.prices.add(sales())
    due = MARKET | TITLES
    desk.owed.add(due)
    stop_at(desk, "reading the prices")
    with pytest.raises(Stopped, match=r"^Stopped: bands stay as they were; they are recalculated next gather\.$"):
        settle(desk, due)
    assert desk.owed.all() == due


def test_a_stop_in_the_reading_keeps_the_fit(desk: Desk) -> None:
    come(desk, row("1"))
    desk.shelf.store.prices.add(sales())
    due = MARKET | TITLES
    desk.owed.add(due)
    stop_at(desk, "reading the lots")
    with pytest.raises(Stopped, match="some lots keep their earlier reading until the next gather"):
        settle(desk, due)
    assert not fitting.is_due(desk)
    assert desk.owed.all() == TITLES
    settle(start_again(desk), TITLES)
    assert not start_again(desk).owed.all()


def test_without_prices_there_is_nothing_to_fit(desk: Desk) -> None:
    desk.owed.add(MARKET)
    assert settle(desk, MARKET) is None
    assert desk.shelf.store.market.header() is None
    assert not desk.owed.all()


def test_what_was_done_meanwhile_is_not_done_twice(desk: Desk, told: list[str]) -> None:
    desk.shelf.store.prices.add(sales())
    desk.owed.add(MARKET)
    settle(desk, MARKET)
    told.clear()
    assert settle(desk, MARKET) is None
    assert told == []


def test_many_prices_have_the_scales_found_anew(desk: Desk, monkeypatch: pytest.MonkeyPatch) -> None:
    searched: list[bool] = []
    refit = fitting.refit

    def watched(desk: Desk, *, search: bool) -> fitting.Fit:
        searched.append(search)
        return refit(desk, search=search)

    monkeypatch.setattr(fitting, "refit", watched)
    desk.shelf.store.prices.add(sales())
    for due in (Due(market=True, scales=True), Due(market=True), Due(scales=True)):
        desk.owed.add(due)
        settle(desk, due)
    assert searched == [True, False, True]
    assert not desk.owed.all()


def test_sales_of_an_issue_have_its_lots_judged_alone(desk: Desk) -> None:
    come(desk, row("1"), row("2", "Orvany 1 tor 1889 VF-30"))
    cheaper(desk)
    due = Due(issues=frozenset({OTHER.key, COIN.key}))
    desk.owed.add(due)
    settle(desk, due & Due(issues=frozenset({OTHER.key})))
    assert ceiling(desk, "north:1") == 400
    settle(desk, due)
    assert ceiling(desk, "north:1") == 10
    assert desk.owed.all() == MARKS, "the others still have to follow"


def test_single_lots_are_judged_alone(desk: Desk) -> None:
    come(desk, row("1"), row("2"))
    cheaper(desk)
    due = Due(marks_of=frozenset({"north:2", "north:gone"}))
    desk.owed.add(due)
    settle(desk, due)
    assert [ceiling(desk, "north:1"), ceiling(desk, "north:2")] == [400, 10]


def test_all_marks_take_the_single_ones_with_them(desk: Desk) -> None:
    come(desk, row("1"))
    desk.owed.add(MARKS | Due(marks_of=frozenset({"north:1"}), issues=frozenset({COIN.key}), closing=True))
    settle(desk, MARKS)
    assert not desk.owed.all()


def test_single_titles_are_read_anew(desk: Desk) -> None:
    come(desk, row("1", "Orvany 5 tor 1893-V schnieke"), row("2", "Orvany 5 tor 1893-V schnieke"))
    desk.shelf.notebook.corrections.put(
        {"id": "c1", "kind": "word", "words": "schnieke", "field": "grade", "value": "40", "source": ""}
    )
    desk.forget()
    due = Due(titles_of=frozenset({"north:1"}))
    desk.owed.add(due)
    settle(desk, due)
    assert [lot(desk, key).reading.grade_low for key in ("north:1", "north:2")] == [40, None]


def test_lots_whose_closing_has_passed_end(desk: Desk) -> None:
    come(desk, row("1", hours=1), row("2", hours=3), row("3", hours=None))
    desk.now += timedelta(hours=2)
    desk.owed.add(Due(ended=True))
    settle(desk, Due(ended=True))
    assert [lot(desk, f"north:{number}").state for number in (1, 2, 3)] == ["ended", "new", "new"]


def test_lots_that_close_soon_are_judged_by_the_bid_so_far(desk: Desk) -> None:
    desk.shelf.store.prices.add(sales())
    fitting.refit(desk)
    come(desk, row("1", price="160", hours=30), row("2", price="160", hours=60))
    desk.now += timedelta(hours=15)
    before = mark(desk, "north:1")
    desk.owed.add(Due(closing=True))
    settle(desk, Due(closing=True))
    assert mark(desk, "north:1") == "bargain" != before
    assert mark(desk, "north:2") == before


def test_lots_that_came_just_now_are_not_judged_twice(desk: Desk, monkeypatch: pytest.MonkeyPatch) -> None:
    come(desk, row("1", hours=5), row("2", hours=5))
    desk.now += timedelta(hours=1)
    come(desk, row("1", hours=5, price="210"), row("2", hours=5))
    judged: list[str] = []
    judge = judging.Judge.judge

    def watched(self: judging.Judge, row: LotRow) -> LotRow:
        judged.append(row.lot.key)
        return judge(self, row)

    monkeypatch.setattr(judging.Judge, "judge", watched)
    desk.owed.add(Due(closing=True))
    settle(desk, Due(closing=True))
    assert "north:1" not in judged


def test_other_services_have_all_titles_read_anew(desk: Desk) -> None:
    come(desk, row("1", "Orvany 5 tor 1893-V XYZ VF-30"))
    rereading.remember_services(desk)
    assert not rereading.is_due(desk)
    desk.shelf.settings = replace(desk.shelf.settings, reading=replace(desk.settings.reading, services=("XYZ",)))
    again = start_again(desk)
    due = outstanding(again)
    assert due.titles
    assert due.marks
    settle(again, due)
    assert lot(again, "north:1").reading.service == "XYZ"
    assert not rereading.is_due(again)


def test_services_are_remembered_once(desk: Desk) -> None:
    rereading.remember_services(desk)
    desk.shelf.settings = replace(desk.shelf.settings, reading=replace(desk.settings.reading, services=("XYZ",)))
    rereading.remember_services(desk)
    assert rereading.is_due(desk)


def test_reading_that_an_earlier_program_broke_off_is_due(desk: Desk) -> None:
    desk.shelf.store.facts.put(rereading.READ_WITH, ["*"])
    assert outstanding(desk).titles


def test_other_rules_have_all_lots_judged_anew(desk: Desk) -> None:
    come(desk, row("1"))
    settle(desk, outstanding(desk))
    assert not judging.is_due(desk)
    desk.shelf.settings = replace(desk.shelf.settings, prices=replace(desk.settings.prices, bargain_at=Decimal("0.5")))
    assert outstanding(start_again(desk)) == MARKS


def test_judging_that_an_earlier_program_broke_off_is_due(desk: Desk) -> None:
    settle(desk, outstanding(desk))
    desk.shelf.store.facts.put(judging.JUDGED_BY, "")
    assert outstanding(desk).marks


def test_a_market_of_another_meaning_is_fitted_anew(desk: Desk) -> None:
    desk.shelf.store.prices.add(sales())
    fitting.refit(desk)
    assert not fitting.is_due(desk)
    desk.shelf.settings = replace(desk.shelf.settings, prices=replace(desk.settings.prices, kind="hammer"))
    again = start_again(desk)
    assert outstanding(again).market
    settle(again, outstanding(again))
    assert again.shelf.store.market.header()["kind"] == "hammer"  # type: ignore[index]


def test_a_correction_taken_back_is_settled_at_once(desk: Desk) -> None:
    come(desk, row("1"))
    correcting.mend(desk, "north:1", {"year": "1889"})
    assert len(desk.corrections) == 1
    assert lot(desk, "north:1").reading.year == 1889
    settle(desk, undoing.undo(desk).due)
    assert not desk.corrections
    assert lot(desk, "north:1").reading.year == 1893
    assert not desk.owed.all()
    assert desk.now == NOW


def test_a_price_that_changed_nothing_else_is_no_new_sale(desk: Desk) -> None:
    desk.shelf.store.prices.add([sale(1)])
    assert fitting.is_due(desk), "prices and no market yet"


def test_one_gather_with_a_wrong_clock_heals_by_itself(desk: Desk) -> None:
    """Two years ahead every lot has ended; by the right clock each is again what the person made of it."""
    come(desk, row("1"), row("2"), row("3", hours=1))
    decide(desk, ["north:2"], "follow")
    right = desk.now
    desk.now = right + timedelta(days=730)
    end_lots(desk)
    assert [lot(desk, f"north:{number}").state for number in (1, 2, 3)] == ["ended"] * 3
    desk.now = right + timedelta(hours=2)
    end_lots(desk)
    assert [lot(desk, f"north:{number}").state for number in (1, 2, 3)] == ["seen", "followed", "ended"]
