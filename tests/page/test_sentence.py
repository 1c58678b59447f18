"""The line of why says less where there is less room, and always says how the lot stands."""

from __future__ import annotations

from dataclasses import replace

import pytest

from tests.screens.pieces import NOW, lot
from watchlist.core.marks.record import Reason
from watchlist.core.reading.record import Reading, Span
from watchlist.page.columns import wrap
from watchlist.page.lot import reading
from watchlist.page.ticket import Facts, sentence
from watchlist.page.wording import gap_cell
from watchlist.shelf.store.rows import LotRow


def facts(row: LotRow) -> Facts:
    return Facts(row.lot, row.reading, row.judgement, row.state, NOW, "Europe/Berlin", NOW.date())


@pytest.mark.parametrize("number", range(6))
@pytest.mark.parametrize(("width", "lines"), [(80, 2), (60, 2), (59, 1), (40, 1), (160, 2)])
def test_it_fits(number: int, width: int, lines: int) -> None:
    row = lot(number)
    text = sentence(facts(row), width, lines)
    assert len(wrap(text, width)) <= lines
    assert text.endswith(".")
    assert row.judgement
    if row.judgement.gap:
        assert f"{abs(round(row.judgement.gap * 100))}% " in text


def test_the_strongest_sign_is_named_beside_a_doubt() -> None:
    row = lot(1)
    assert "weight given 25.8 g, standard 27.2 g" in sentence(facts(row), 80, 2)
    assert sentence(facts(row)).endswith("Sign: weight given 25.8 g, standard 27.2 g.")


def test_the_cost_of_a_lot_without_a_band_is_told_once() -> None:
    row = lot(0)
    assert row.judgement
    bare = replace(row.judgement, value=None, gap=None, reasons=(Reason("310 EUR all in at the current bid."),))
    text = sentence(facts(replace(row, judgement=bare)))
    assert (text.count("310 EUR all in"), "Now 290 EUR hammer, 310 EUR all in." in text) == (1, True)


@pytest.mark.parametrize(("gap", "said"), [(None, ""), (-0.001, "+0%"), (-0.26, "-26%"), (0.26, "+26%")])
def test_a_gap_in_a_table(gap: float | None, said: str) -> None:
    assert gap_cell(gap) == said


def test_words_that_two_rules_rest_on_are_told_once() -> None:
    span = Span("multiple", 0, 4, "pair", 0.9)
    assert reading(Reading("pair", spans=(span, span)), 80) == ['Read as: multiple "pair".']


def test_with_room_all_is_said() -> None:
    assert sentence(facts(lot(0)), 200, 2) == (
        "Lindmoor Sales, lot 0. Bargain. Now 290 EUR hammer, 310 EUR all in. VF-30 raw: worth 380 to 460 EUR all in, "
        "median 420 (14 sales in all grades, newest 3 weeks ago); a single sale may bring 380 to 460. "
        "This lot is 26% below the median."
    )
    assert sentence(facts(lot(0)), 80, 2) == (
        "Lot 0. Bargain. 310 EUR all in. VF-30 raw: worth 380 to 460 EUR all in, "
        "median 420 (14 sales in all grades). This lot is 26% below the median."
    )
    assert sentence(facts(lot(0)), 59, 1) == "Bargain. 310 EUR all in, 26% below the median."


def test_amounts_that_somebody_pays_keep_their_cents_and_worked_out_ones_are_rounded() -> None:
    from decimal import Decimal

    from watchlist.core.money.amount import Money
    from watchlist.page.wording import about, money

    paid = Money(Decimal("42.50"), "USD")
    assert (money(paid), about(paid)) == ("42.50 USD", "42 USD")
    assert money(Money(Decimal("1250.00"), "EUR")) == "1,250 EUR"


def test_the_head_names_the_faults_and_traits_that_a_value_rests_on() -> None:
    row = lot(0)
    assert row.judgement
    told = replace(row.judgement, beyond=("cleaned", "strike:weak"))
    text = sentence(facts(replace(row, judgement=told)), 200, 2)
    assert "VF-30 raw, cleaned, strike weak: worth 380 to 460 EUR" in text
