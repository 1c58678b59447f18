"""How complete a series is: counted from the pieces held; what open lots would fill it, and the bands of the rest."""

from __future__ import annotations

import random
from collections.abc import Callable
from dataclasses import replace
from decimal import Decimal

import pytest

from tests.core.test_season import enumerated
from tests.desk.pieces import NORTH, TITLE, come, lot, row, sale, sales
from watchlist.core.coins.issue import Issue
from watchlist.core.fees.ladders import Ladder
from watchlist.core.held.series import Complete
from watchlist.core.plan.standing import Plan, Task, standing
from watchlist.desk.decisions.deciding import decide
from watchlist.desk.desk import Desk
from watchlist.desk.errors import DeskError
from watchlist.desk.held import pieces
from watchlist.desk.held.series import complete
from watchlist.desk.plan import planning
from watchlist.desk.prices import fitting
from watchlist.desk.results import results
from watchlist.page.series import head, lines

YEARS = (1890, 1891, 1892, 1893)


@pytest.fixture
def five(desk: Desk) -> Desk:
    """A series of five issues with prices: 1890 to 1892, 1893 and 1893-V."""
    issues = [Issue(f"orvany-5t-{year}", "Orvany", "5 tor", year) for year in YEARS]
    desk.shelf.store.catalogue.merge(issues)
    desk.shelf.store.prices.add([*sales(), *(sale(n, 290 + n, issues[n % 4].key) for n in range(12))])
    desk.forget()
    fitting.refit(desk)
    desk.forget()
    return desk


def fives(desk: Desk, grade: str = "") -> Complete:
    return complete(desk, "orvany 5 tor", grade)


def test_a_series_is_counted_from_the_pieces_held(five: Desk) -> None:
    come(
        five, row("1", "Orvany 5 tor 1890 VF-30"), row("2", "Orvany 5 tor 1891 F-12"), row("3", "Orvany 5 tor 1892 VF")
    )
    for id in "123":
        results.result(five, f"north:{id}", "250", won=True)
    shown = fives(five)
    assert (shown.grade, shown.issues, shown.held, shown.below) == (20, 5, 2, 1)  # the want asks for VF-20
    assert [(each.coin, each.finest) for each in shown.missing] == [
        ("5 tor 1891", 12), ("5 tor 1893", None), ("5 tor 1893-V", None),
    ]  # fmt: skip
    assert head(shown) == "Orvany 5 tor at VF-20 or finer: 2 of 5 issues held (40%), 1 more below"
    pieces.say(five, "north:1", pieces.Said("sold", "300"))
    assert (fives(five).held, fives(five, "F-12").held) == (1, 2)
    with pytest.raises(DeskError, match="is not a valid grade"):
        fives(five, "shiny")


def test_the_cheapest_way_is_planned_over_open_lots_and_bands_stand_for_the_rest(five: Desk) -> None:
    come(
        five,
        row("1", "Orvany 5 tor 1890 VF-30", "100"),
        row("2", "Orvany 5 tor 1890 VF-30", "900"),
        row("4", "Orvany 5 tor 1892 COPY VF-30", "20"),
        row("5", TITLE, "100"),
    )
    shop = replace(NORTH, name="shop", price_kind="fixed")
    come(five, row("3", "Orvany 5 tor 1891 VF-30", "240", hours=None), source=shop)
    decide(five, ["north:5"], "placed", "150", anyway=True)
    shown = fives(five)
    ways = {each.coin: each.way for each in shown.missing}
    bid, buy, placed = ways["5 tor 1890"], ways["5 tor 1891"], ways["5 tor 1893-V"]
    assert bid is not None
    assert (bid.lot, bid.act) == ("1", "bid")
    assert 0.02 <= bid.chance < 1
    assert buy is not None
    assert (buy.lot, buy.act, buy.chance, str(buy.worst)) == ("3", "buy", 1.0, "288 EUR")
    assert placed is not None
    assert (placed.act, str(placed.price)) == ("placed", "150 EUR")
    copy, none = (next(each for each in shown.missing if each.coin == f"5 tor {year}") for year in (1892, 1893))
    assert (copy.way, copy.why) == (None, "marked Copy")
    assert (none.way, none.why) == (None, "")
    value, unknown = shown.rest
    assert value.amount == sum(each.value.mid for each in (copy, none) if each.value)
    assert (unknown, shown.worst.amount - bid.worst.amount) == (0, Decimal("288.00"))
    text = " ".join(lines(shown, 100))
    assert "Lots open now can fill 3 of 5" in text
    assert "For the other 2 no lot is open or within reach" in text


def small_shelf(five: Desk, rng: random.Random) -> None:
    """Four lots of up to four issues at a venue that sends all in one parcel and takes few increments; some are
    offered at a fixed price, too."""
    terms = five.terms["Lindmoor Sales"]
    steps, post = Ladder.parse("0:20"), Decimal(rng.randrange(3, 30))
    five.shelf.notebook.venues.put(replace(terms, ladder=steps, shipping=post, ships_together="sale"))
    five.forget()
    years = [rng.choice(YEARS[:3]) for _ in range(4)]
    start = [str(rng.randrange(0, 5) * 50) for _ in years]
    come(five, *(row(str(n), f"Orvany 5 tor {years[n]} VF-30", start[n]) for n in range(4)))
    shop = replace(NORTH, name="shop", price_kind="fixed")
    fixed = [(n, rng.choice(YEARS[:3]), rng.randrange(240, 400)) for n in range(10, 13)]
    come(five, *(row(str(n), f"Orvany 5 tor {year} VF-30", str(at), hours=None) for n, year, at in fixed), source=shop)


@pytest.mark.parametrize("seed", range(8))
def test_the_cheapest_way_equals_full_enumeration(five: Desk, monkeypatch: pytest.MonkeyPatch, seed: int) -> None:
    """At most one bid an issue, the set that saves most; what no bid is for is bought where it costs least."""
    small_shelf(five, random.Random(seed))
    tasks: list[tuple[Task, Plan]] = []

    def watched(task: Task, going: Callable[[float], None]) -> Plan:
        tasks.append((task, standing(task, going)))
        return tasks[-1][1]

    monkeypatch.setattr(planning, "standing", watched)
    shown = fives(five)
    ((task, plan),) = tasks
    assert enumerated(task) - plan.saving < 1e-6
    of = {each.lot: each.group for each in task.lots}
    assert set(of.values()) <= {f"orvany-5t-{year}" for year in YEARS}
    bids, fixed = {of[lot] for lot in plan.bids}, [lot(five, f"shop:{n}") for n in range(10, 13)]
    assert len(bids) == len(plan.bids)
    ways = {f"orvany-5t-{each.coin[6:]}": each.way for each in shown.missing}
    for year in YEARS:
        issue, way = f"orvany-5t-{year}", ways[f"orvany-5t-{year}"]
        costs = [each.judgement.all_in.amount for each in fixed
                 if each.judgement and each.judgement.issue == issue and each.judgement.all_in]  # fmt: skip
        if issue in bids:
            assert way is not None
            assert way.act == "bid"
            assert not costs or way.worst.amount <= min(costs), "a bid never costs more than the piece that is for sale"
        else:
            assert (way.worst.amount if way else None) == min(costs, default=None)


def test_an_unknown_series_is_refused(five: Desk) -> None:
    with pytest.raises(DeskError, match="No series `9 tor`"):
        complete(five, "9 tor")
