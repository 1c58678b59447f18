"""The market fitted, asked for one coin, and weighed by the person."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal

import pytest

from tests.desk.pieces import COIN, OTHER, sale, sales
from watchlist.core.guide.record import USUAL
from watchlist.core.prices.realised import GuideRow
from watchlist.desk import undoing
from watchlist.desk.desk import FIRST_KIND, Desk
from watchlist.desk.due import MARKET, NOTHING
from watchlist.desk.errors import DeskError
from watchlist.desk.guide.guide import guide
from watchlist.desk.prices import fitting, pricing, weighing
from watchlist.desk.prices.coins import priced
from watchlist.desk.prices.pricing import account, price, sale_lines, usual_grade
from watchlist.desk.prices.weighing import weigh
from watchlist.desk.settling import settle
from watchlist.page.guide import Style, method
from watchlist.page.prices import beyond_grade, cells_of, sale_sentence

GRADE = (30, 30)


@pytest.fixture
def fitted(desk: Desk) -> Desk:
    """A market of ten sales."""
    desk.shelf.store.prices.add(sales())
    fitting.refit(desk)
    return desk


def test_a_fit_says_what_it_set_aside_and_what_can_hardly_be_right(desk: Desk) -> None:
    strange = [sale(20, issue=""), sale(21, 20_000, title="wild"), sale(22, 300, origin="")]
    desk.shelf.store.prices.add([*sales(), *strange])
    fit = fitting.refit(desk)
    assert fit.sales + len(fit.set_aside) == 13
    assert any(kept.issue == "" for kept, _ in fit.set_aside)
    (flag,) = fit.flagged
    assert flag.startswith("sale 12 of ")
    assert "(p:21)" in flag
    assert flag.endswith("are price, coin and currency right?")


def test_a_coin_has_a_band_a_curve_and_its_sales(fitted: Desk) -> None:
    found = price(fitted, "Orvany 5 tor 1893-V", GRADE, raw=True)
    assert found.issue == COIN
    assert found.band is not None
    assert 250 < found.band.mid < 450
    assert (30, found.value) in found.curve
    assert found.value is not None
    assert found.band is not None
    assert found.band.high / found.band.low > found.value.high / found.value.low, "a single sale swings more"
    assert found.explanation is not None
    assert [sale.id for sale in found.sales] == list(range(1, 11))
    assert price(fitted, COIN.key, None, raw=True).band is None
    assert price(fitted, COIN.key, (30, 40), raw=True).grade == 35
    assert account(fitted, found, 80)


def test_every_sale_says_what_it_counts_or_why_it_does_not(fitted: Desk) -> None:
    fitted.shelf.store.prices.add(
        [replace(sale(60), note="a relisting"), sale(1000, 310), sale(2, 282, status="unsold")]
    )
    weigh(fitted, 3, Decimal("0.5"), "worn")
    lines = {line.sale.id: line for line in sale_lines(fitted, price(fitted, COIN.key, GRADE, raw=True))}
    assert lines[1].weight is not None
    assert lines[1].adjusted is not None
    assert lines[3].note == "worn"
    assert lines[11].note == "a relisting"
    assert lines[12].aside
    assert lines[13].aside


def test_without_a_fit_it_is_said_why(desk: Desk) -> None:
    def why() -> str:
        return price(Desk(desk.shelf, desk.now), COIN.key, GRADE, raw=True).basis_note

    assert why() == "no prices were imported yet"
    desk.shelf.store.prices.add(sales())
    assert why() == "no bands were calculated yet; `watchlist price --refit` does it"
    fitting.refit(desk)
    assert why() == ""
    desk.shelf.settings = replace(desk.shelf.settings, prices=replace(desk.settings.prices, kind="hammer"))
    assert why() == (
        f"the bands are {FIRST_KIND} in EUR, the settings now say hammer in EUR; "
        "`watchlist price --refit` recalculates them"
    )
    desk.shelf.settings = replace(desk.shelf.settings, prices=replace(desk.settings.prices, kind=FIRST_KIND))
    header = desk.shelf.store.market.header()
    assert header is not None
    desk.shelf.store.market.put({**header, "version": -1}, [])
    assert why() == "the bands were calculated by another version; `watchlist price --refit` recalculates them"


def test_the_usual_grade_is_that_of_most_sales() -> None:
    assert usual_grade([]) == (20, True)
    assert usual_grade([sale(1), sale(2), sale(3, grade_low=40, grade_high=40)]) == (30, True)
    assert usual_grade([sale(1), sale(3, grade_low=40, grade_high=40)]) == (40, True)
    assert usual_grade(
        [sale(1, weight=0), sale(2, grade_low=None), sale(3, certified=True), sale(4, certified=True)]
    ) == (30, False)


def test_a_weight_moves_the_band_at_once_and_undo_moves_it_back(fitted: Desk) -> None:
    before = fitted.shelf.store.market.row(COIN.key)
    done = weigh(fitted, 1, Decimal(0), "a copy")
    assert (done.sale.weight, done.due) == (0.0, MARKET)
    assert fitted.shelf.store.market.row(COIN.key) != before
    assert weighing.notes(fitted, [done.sale]) == {1: "a copy"}
    back = undoing.undo(fitted)
    assert (back.said, back.due) == ("Undone: weight 0 of sale 1, said Wed 25 Nov 10:00. Its weight is 1 again", MARKET)
    assert weighing.notes(fitted, [done.sale]) == {}
    assert undoing.redo(fitted).said.endswith("Its weight is 0 again")
    settle(fitted, MARKET)
    assert not fitting.is_due(fitted)
    kept = fitted.shelf.store.prices.get(1)
    assert kept is not None
    assert kept.weight == 0


@pytest.mark.parametrize(
    ("number", "weight", "said"),
    [
        (99, "1", "There is no sale 99"),
        (0, "1", "There is no sale 0"),
        (1 << 70, "1", "There is no sale"),
        (1, "1.5", "A weight lies between 0 and 1, not 1.5"),
        (1, "-0.1", "between 0 and 1"),
        (1, "NaN", "between 0 and 1"),
    ],
)
def test_a_weight_that_cannot_be_is_refused(fitted: Desk, number: int, weight: str, said: str) -> None:
    with pytest.raises(DeskError, match=said):
        weigh(fitted, number, Decimal(weight), "")
    assert not fitted.owed.all()


def test_a_sale_that_is_kept_no_more_is_said(fitted: Desk) -> None:
    weigh(fitted, 1, Decimal(0), "")
    fitted.shelf.store.db.run("DELETE FROM prices WHERE id = 1")
    done = undoing.undo(fitted)
    assert (done.said.partition(". ")[2], done.due) == ("Sale 1 is no longer stored", NOTHING)


@pytest.mark.parametrize("old", [sale(1000), sale(5, status="unsold")])
def test_a_sale_that_the_market_does_not_hold_leaves_the_band(fitted: Desk, old: object) -> None:
    fitted.shelf.store.prices.add([old])  # type: ignore[list-item]
    row = fitted.shelf.store.market.row(COIN.key)
    weigh(fitted, 11, Decimal(0), "")
    assert fitted.shelf.store.market.row(COIN.key) == row
    assert fitted.owed.all() == MARKET


def test_an_older_sale_waits_for_the_fit_to_count_less(desk: Desk) -> None:
    desk.shelf.store.prices.add([sale(number, 250 + number) for number in range(60)])
    fitting.refit(desk)
    before = desk.shelf.store.market.row(COIN.key)
    weigh(desk, 60, Decimal("0.5"), "")  # the row knows it only together with all older ones
    assert desk.shelf.store.market.row(COIN.key) == before
    weigh(desk, 1, Decimal("0.5"), "")
    assert desk.shelf.store.market.row(COIN.key) != before
    assert fitting.is_due(desk)


def test_a_weight_before_the_first_fit_is_kept(desk: Desk) -> None:
    desk.shelf.store.prices.add(sales())
    assert weigh(desk, 1, Decimal("0.5"), "").sale.weight == 0.5


def test_without_a_market_sales_stand_as_they_are(desk: Desk) -> None:
    desk.shelf.store.prices.add(sales())
    found = price(desk, COIN.key, GRADE, raw=True)
    assert account(desk, found, 80) == []
    assert all(line.adjusted is None for line in sale_lines(desk, found))


def test_a_sale_of_a_coin_that_the_market_does_not_know_is_weighed(fitted: Desk) -> None:
    fitted.shelf.store.prices.add([sale(1, issue=OTHER.key)])
    assert weigh(fitted, 11, Decimal("0.5"), "").sale.weight == 0.5


def test_a_guide_is_named_in_the_account(fitted: Desk) -> None:
    plain = account(fitted, price(fitted, COIN.key, GRADE, raw=True), 200)
    fitted.shelf.store.catalogue.put_guides([GuideRow(COIN.key, 30, 30, 280.0, 340.0, fitted.now.date())])
    assert account(fitted, price(fitted, COIN.key, GRADE, raw=True), 200) != plain


def test_coins_with_prices_stand_first(fitted: Desk) -> None:
    first, second = priced(fitted)
    assert (first.issue, first.prices, first.wanted) == (COIN, 10, True)
    assert (second.issue, second.prices, second.newest, second.wanted) == (OTHER, 0, None, False)
    assert pricing.price(fitted, OTHER.key, None, raw=True).sales == ()


def test_a_trait_moves_what_is_asked_for_and_is_said(desk: Desk) -> None:
    """Eight sales say `weak strike` and brought a third less: so does the market, of pieces and of their course."""
    plain = [sale(number, 300 + number) for number in range(8)]
    weak = [sale(number + 8, 200 + number, traits=("strike:weak",)) for number in range(8)]
    desk.shelf.store.prices.add([*plain, *weak])
    fitting.refit(desk)
    usual, found = (price(desk, COIN.key, GRADE, raw=True, traits=said) for said in ((), ("strike:weak",)))
    assert usual.value is not None
    assert found.value is not None
    assert found.value.mid < Decimal("0.85") * usual.value.mid
    assert dict(found.curve)[30].mid == found.value.mid
    assert [name for name, effect in found.effects if effect < -0.15] == ["strike:weak"]
    assert "strike weak -" in beyond_grade(found.effects)
    (line,) = (line for line in sale_lines(desk, found) if line.sale.price.amount == 200)
    assert line.adjusted is not None
    assert line.adjusted < 250
    assert "strike weak" in cells_of(line)[-1]
    assert "strike weak" in sale_sentence(line, 30, raw=True, currency="EUR")
    assert beyond_grade(()) == ""
    told = method(guide(desk, (COIN,), USUAL), Style())
    assert [line for line in told if "Beyond the grade" in line and "strike weak -" in line]
