"""Outcomes, sellers, tables of signs and the check of one's own calls, on one shelf."""

from __future__ import annotations

from dataclasses import replace
from datetime import timedelta

import pytest

from tests.desk.pieces import come, row, sales
from watchlist.desk.desk import Desk
from watchlist.desk.errors import DeskError
from watchlist.desk.held import bench, outcomes
from watchlist.desk.in_hand import courses
from watchlist.desk.judging import trying
from watchlist.desk.judging.called import calls
from watchlist.desk.judging.judging import outcomes as kept
from watchlist.desk.judging.sellers import seller
from watchlist.desk.prices import fitting
from watchlist.desk.results.results import result
from watchlist.desk.undoing import undo
from watchlist.page.sellers import lines


def test_an_outcome_is_kept_once_the_lot_was_bought_and_undone_like_anything(desk: Desk) -> None:
    come(desk, row("1", price="300"))
    with pytest.raises(DeskError, match="never bought"):
        outcomes.say(desk, "north:1", "genuine")
    result(desk, "north:1", "300 EUR", won=True)
    for word, steps, why in (("perhaps", "1", "is not an outcome"), ("lower", "0", "not a number of steps")):
        with pytest.raises(DeskError, match=why):
            outcomes.say(desk, "north:1", word, steps)
    assert "lower by 2" in outcomes.say(desk, "north:1", "lower", "2")
    assert len(kept(desk.shelf.store).pieces) == 1
    undo(desk)
    assert kept(desk.shelf.store).pieces == ()


def test_the_true_grade_is_an_outcome_and_a_stock_number_names_the_piece(desk: Desk) -> None:
    come(desk, row("1", price="300"))
    result(desk, "north:1", "300 EUR", won=True)
    (won,) = courses.wins(desk)
    assert "lower by 2" in outcomes.say(desk, won.stock_no.lower(), "VF-20")  # 30, 25, 20 are the grades in use
    assert "genuine" in outcomes.say(desk, won.stock_no, "35")
    assert [steps for _, _, steps, _ in kept(desk.shelf.store).pieces] == [2]


def test_what_a_piece_proved_to_be_is_asked_once(desk: Desk) -> None:
    come(desk, row("1", price="300"), row("2", price="300"))
    assert outcomes.question(desk, "north:1") == ""  # not won
    for key in ("north:1", "north:2"):
        result(desk, key, "300 EUR", won=True)
        assert outcomes.question(desk, key).startswith("S-")
    outcomes.say(desk, "north:1", "genuine")
    assert outcomes.question(desk, "north:1") == ""
    typed, piece = {"weight": "25"}, bench.subject(desk, "north:2")
    table = bench.Bench(desk, piece)
    bench.keep(desk, table, typed, table.look(typed))
    assert outcomes.question(desk, "north:2") == ""


def test_a_table_of_signs_is_tried_before_it_is_kept(desk: Desk) -> None:
    desk.shelf.store.prices.add(sales())
    fitting.refit(desk)
    come(desk, row("1", price="100", description="no returns"), row("2", price="310"))
    own = "[seller]\nmost = 9.0\n[[talk]]\nid = 'no_returns'\nweight = 9.0\n"
    found = trying.effect(desk, trying.read_table(desk, own))
    assert found.lots == 2
    assert [(key, then) for key, _, _, then in found.turned] == [("north:1", "doubt")]
    assert desk.signs["issue.copied"] == 2.0
    for broken, why in (("[issue]\ncopied = nan", "old table stays"), ("x = [", "not TOML")):
        with pytest.raises(DeskError, match=why):
            trying.keep_table(desk, broken)
    trying.keep_table(desk, "[issue]\ncopied = 2.5\n")
    assert desk.signs["issue.copied"] == 2.5
    undo(desk)
    desk.forget()
    assert desk.signs["issue.copied"] == 2.0


def test_the_curve_and_the_calls_count_what_was_marked(desk: Desk) -> None:
    desk.shelf.store.prices.add(sales())
    fitting.refit(desk)
    come(desk, row("1", price="160", hours=5), row("2", price="9000", hours=5))
    steps = trying.curve(desk)
    counted = [step.bargains for step in steps]
    assert counted[0] == 1
    assert counted == sorted(counted, reverse=True)
    assert calls(desk).line.startswith("No lot with a value has been sold yet")
    desk.now += timedelta(hours=8)
    come(desk, row("1", price="", hammer="200", hours=-3))
    found = calls(desk)
    assert (found.sold, found.called) == (1, 1)
    assert "1 marked Bargain were sold" in found.line


def test_a_seller_has_a_page(desk: Desk) -> None:
    come(desk, row("1", seller="Anna"), row("2", seller="Anna"), row("3", seller="Annabel"))
    found = seller(desk, "anna")
    assert (found.name, found.seen, found.bought) == ("Anna", 2, 0)
    text = " ".join(lines(replace(found, name="Anna & Co", short=(0.4, 0.4, 0.2), odds=0.7)))
    assert 'Its lots: filter `seller:"Anna & Co"`.' in text
    assert "a step or more below the stated grade in about 6 of 10" in text
    assert "raise the odds of a doubt by a factor of 2.0" in text
    with pytest.raises(DeskError, match="No lot names the seller"):
        seller(desk, "bert")
