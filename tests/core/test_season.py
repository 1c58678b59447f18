"""Plans: standing and attended bids, budgets. The worked cases of `parcel_examples.jsonl`, another solver
(scipy.optimize.milp, HiGHS), full enumeration, and the closed form of one bid (the undiscounted Black-Scholes put)."""

from __future__ import annotations

import json
import math
import random
import re
from collections.abc import Iterator
from dataclasses import replace
from datetime import date, timedelta
from decimal import Decimal
from itertools import product
from pathlib import Path
from time import process_time
from typing import Any

import numpy as np
import pytest
from scipy.optimize import Bounds, LinearConstraint, milp

from tests.core.parcel_cases import CASES, cases, exchange, terms_of
from watchlist.core.fees.costs import bid_limit
from watchlist.core.fees.working import Hammered
from watchlist.core.parcels.costs import as_shared, fixed_cost, parcel_amount
from watchlist.core.parcels.outcomes import Exposed, Sent, worst_case
from watchlist.core.plan.attended import Ahead, Sale, Want, ahead
from watchlist.core.plan.budgets import (
    Aside,
    Bound,
    Budget,
    BudgetError,
    Group,
    Stand,
    check_group,
    check_nested,
    held,
    running,
)
from watchlist.core.plan.hammers import likely
from watchlist.core.plan.knapsack import Item, Offer, Opening, Round, solve
from watchlist.core.plan.offers import Likely, Option, Rung, options_of, rungs_of
from watchlist.core.plan.standing import Candidate, Once, Plan, Pot, Task, spent, standing, told
from watchlist.core.prices.record import Band

CURRENCIES = {"Lindmoor Auctions": "EUR", "Wexby Sales": "GBP", "Brannental Sales": "CHF"}
NAMES = [case["id"] for case in cases("standing")]


@pytest.mark.parametrize("case", cases("standing"), ids=NAMES)
def test_one_round(case: dict[str, Any]) -> None:
    items = tuple(
        Item(row["lot"], row["parcel"], row["group"] or "", tuple(Offer(*pair) for pair in row["options"]))
        for row in case["lots"]
    )
    parcels = {name: Opening(row["fixed"], row["charge"]) for name, row in case["parcels"].items()}
    found = solve(Round(items, parcels, case["groups"], case["budget"]))
    assert {
        "value": round(found.value, 2),
        "chosen": dict(found.chosen),
        "worst": found.cost,
        "left": case["budget"] - found.cost,
    } == case["expect"]


def test_the_large_case_is_solved_to_the_cent_and_in_time() -> None:
    (case,) = cases("large")
    candidates, parcels = large()
    items = tuple(
        Item(each.lot, each.parcel, each.group, tuple(Offer(o.worst // 100, o.saving) for o in each.options))
        for each in candidates
    )
    opening = {f"p{p}": Opening(8 + 3 * p, 4 + p) for p in range(8)}
    for budget, value in case["expect"]["value_by_budget"].items():
        found = solve(Round(items, opening, {}, int(budget)))
        assert found.value == pytest.approx(value, abs=0.01)
    for budget, least in case["expect"]["whole_plan_saving_at_least"].items():
        began = process_time()
        plan = standing(Task(candidates, parcels, {}, int(budget) * 100))
        assert process_time() - began < 2
        assert plan.saving >= least
        assert plan.worst <= int(budget) * 100


def large() -> tuple[tuple[Candidate, ...], dict[str, Once]]:
    """50 lots of 30 rungs in 8 parcels, by the formula of the case."""
    candidates = []
    for i in range(50):
        ceiling = 60 + 37 * i % 340
        told = Likely(ceiling * (0.7 + 13 * i % 50 / 100), 0.25 + 7 * i % 20 / 100)
        options, saving, before = [], 0.0, 0.0
        for j in range(30):
            rung = ceiling * (j + 1) / 31
            reached = told.reached(rung)
            saving, before = saving + (ceiling - rung) * (reached - before), reached
            options.append(Option(Decimal(j), math.ceil(rung - 1e-9) * 100, 0, reached, saving, 0.0))
        candidates.append(Candidate(f"{i:02}", f"p{i % 8}", f"g{i // 5}" if i % 5 < 3 else "", tuple(options)))
    return tuple(candidates), {f"p{p}": Once((8 + 3 * p) * 100, 8 + 3 * p) for p in range(8)}


def chain(case: dict[str, Any], factor: float = 1.0, budget: int = 400) -> tuple[Task, dict[str, Any], dict[str, Sent]]:
    """The task of bands and terms, with the limit of each lot and how each parcel is costed."""
    terms = {venue: terms_of(data, CURRENCIES[venue], venue, case["steps"]) for venue, data in case["terms"].items()}
    sent = {venue: Sent(terms[venue], exchange(data, CURRENCIES[venue])) for venue, data in case["terms"].items()}
    limits, candidates = {}, []
    for row in case["lots"]:
        own, money = sent[row["parcel"]].terms, sent[row["parcel"]].money
        ceiling = Decimal(str(round(row["ceiling"] * factor, 6)))
        limit = bid_limit(own, ceiling, home=money.home, fx=money.fx).limit
        assert limit is not None
        limits[row["lot"]] = f"{limit.amount:.2f}"
        costs = [
            lambda bid, of=of, money=money: parcel_amount(of, [Hammered(bid)], money) for of in (as_shared(own), own)
        ]
        rungs = rungs_of(own.ladder, Likely(row["median"], row["s"]), *costs, upto=limit.amount, start=Decimal(0))
        candidates.append(Candidate(row["lot"], row["parcel"], row["group"] or "", options_of(rungs, float(ceiling))))
    fixed = {venue: fixed_cost(each.terms, each.money) for venue, each in sent.items()}
    once = {venue: Once(int(cost * 100), float(cost)) for venue, cost in fixed.items()}
    return Task(tuple(candidates), once, {}, budget * 100), limits, sent


def as_expected(task: Task, plan: Plan, sent: dict[str, Sent]) -> dict[str, Any]:
    chosen = {each.lot: (each, each.options[plan.bids[each.lot]]) for each in task.lots if each.lot in plan.bids}
    used = {each.parcel for each, _ in chosen.values()}
    bids = [Exposed(lot, each.parcel, Hammered(option.bid)) for lot, (each, option) in chosen.items()]
    return {
        "bids": {
            lot: {
                "bid": f"{option.bid:.2f}",
                "chance": pytest.approx(option.chance, abs=0.001),
                "worst_shared": f"{option.worst / 100:.2f}",
                "worst_alone": f"{option.alone / 100:.2f}",
            }
            for lot, (_, option) in chosen.items()
        },
        "worst_if_all_win": str(worst_case(bids, sent, {})),
        "expected_pieces": pytest.approx(plan.pieces, abs=0.01),
        "expected_spending": pytest.approx(plan.spending, abs=0.01),
        "expected_saving": pytest.approx(plan.saving, abs=0.01),
        "fixed": {name: f"{task.parcels[name].budget / 100:.2f}" for name in task.parcels if name in used},
    }


def test_from_bands_and_terms_to_standing_bids() -> None:
    (case,) = cases("chain")
    task, limits, sent = chain(case)
    assert case["expect"] == {"limits": limits, **as_expected(task, standing(task), sent)}


def test_what_if() -> None:
    (case,), (base,) = cases("what-if"), cases("chain")
    for budget, expect in case["expect"]["budget"].items():
        task, _, sent = chain(base, budget=int(budget))
        assert expect == as_expected(task, standing(task), sent)
    for factor, expect in case["expect"]["ceilings"].items():
        task, _, sent = chain(base, float(factor))
        assert expect == as_expected(task, standing(task), sent)


@pytest.mark.parametrize("case", cases("attended"), ids=lambda case: case["id"])
def test_attended(case: dict[str, Any]) -> None:
    sales = tuple(fine(f"lot {n}", row, 1 + case["fee_share"]) for n, row in enumerate(case["lots"], 1))
    look, expect = Ahead(sales), case["expect"]
    assert look.at(0, case["need"], frozenset(case["open"])).saving == pytest.approx(expect["saving"], abs=0.01)
    for name, bid in expect["bids"].items():
        lot, need, opened = re.fullmatch(r"lot (\d), (\d) needed, open (.*)", name).groups()  # type: ignore[union-attr]
        found = look.at(int(lot) - 1, int(need), frozenset(opened.split(",")) - {"-"})
        assert found.bid is not None
        assert float(found.bid) == pytest.approx(bid, abs=0.01), name


def fine(lot: str, row: dict[str, Any], factor: float) -> Sale:
    """A lot with a price at every cent, each paid at its middle: as good as without increments."""
    told, rungs, before = Likely(row["median"], row["s"]), [], 0.0
    for cent in range(1, row["ceiling"] * 100 + 1):
        price = cent / 100
        reached, cost = told.reached(price), factor * (price - 0.005)
        rungs.append(Rung(Decimal(cent) / 100, reached - before, cost + row["fixed_shared"], cost + row["fixed_alone"]))
        before = reached
    return Sale(lot, row["parcel"], row["ceiling"], tuple(rungs))


def test_one_bid_saves_what_the_closed_form_says() -> None:
    """bidding.md: p lognormal(ln 500, .30), w 600, f .20, d 10: optimum 491.67, chance .4777, saving 55.306."""
    row = {"median": 500, "s": 0.3, "ceiling": 600, "fixed_shared": 10, "fixed_alone": 10, "parcel": "a"}
    found = Ahead((fine("a", row, 1.2),)).at(0, 1, frozenset())
    strike, factor = (600 - 10) / 1.2, 1.2
    d2 = math.log(500 / strike) / 0.3
    mean = 500 * math.exp(0.3**2 / 2)
    put = strike * normal(-d2) - mean * normal(-d2 - 0.3)
    assert found.saving == pytest.approx(factor * put, abs=0.002)
    assert found.saving == pytest.approx(55.306, abs=0.002)
    assert round(found.chance, 4) == 0.4777


def normal(x: float) -> float:
    return 0.5 * math.erfc(-x / math.sqrt(2))


def test_committed() -> None:
    (case,) = cases("committed")
    today, stands = date(2026, 3, 20), {
        "planned": "planned", "placed": "placed", "placed, sale over, nothing said": "undecided",
        "won, not paid, 12 days ago": "owed", "won and paid 3 days ago": "paid", "won and paid 9 days ago": "paid",
    }  # fmt: skip
    ages = {"won and paid 3 days ago": 3, "won and paid 9 days ago": 9}
    bound = [
        Bound(stands[row["stands"]], Decimal(row["worst_or_cost"]), today - timedelta(days=ages.get(row["stands"], 0)))  # type: ignore[arg-type]
        for row in case["lots"]
        if row["stands"] in stands
    ]
    found = running(Decimal(case["budget"]), bound, (), today)
    assert (str(found.committed), str(found.left)) == (case["expect"]["committed"], case["expect"]["left"])
    assert [row["lot"] for row in case["lots"] if row["stands"] in stands] == [*case["expect"]["counts"], "h"]


def auction_case(id: str) -> dict[str, Any]:
    path = Path(__file__).parents[1] / "data" / "auction_examples.jsonl"
    return next(case for line in path.read_text("utf-8").splitlines() if (case := json.loads(line))["id"] == id)


def test_every_ceiling_can_be_hit_a47() -> None:
    """Worst cases stay inside the budget together, though the best one by itself would take most of it."""
    case = auction_case("a47")
    options = {
        each["lot"]: (Option(Decimal(0), int(each["all_in_ceiling"]) * 100, 0, 0.5, float(each["worth"]), 0.0),)
        for each in case["items"]
    }
    lots = tuple(Candidate(lot, lot, "", offered) for lot, offered in options.items())
    plan = standing(Task(lots, {}, {}, int(Decimal(case["budget"]) * 100)))
    found = {"value": f"{plan.saving:.0f}", "chosen": sorted(plan.bids), "cost": str(plan.worst // 100)}
    assert found == case["expect"]


def test_what_is_expected_and_what_it_costs_at_worst_a48() -> None:
    case = auction_case("a48")
    lots = tuple(
        Candidate(each["lot"], each["lot"], "", (Option(Decimal(0), cost * 100, 0, chance, 1.0, chance * cost),))
        for each in case["items"]
        for cost, chance in [(each["all_in_ceiling"], each["p_win"])]
    )
    found = told(Task(lots, {}, {}, 10**9), {each.lot: 0 for each in lots})
    assert (f"{found.spending:.2f}", f"{found.worst / 100:.2f}") == (
        case["expect"]["expected"],
        case["expect"]["worst"],
    )
    assert found.pieces == pytest.approx(1.2)


def test_every_case_of_plans_is_run() -> None:
    here = {"standing", "chain", "what-if", "large", "attended", "committed"}
    assert {case["kind"] for case in CASES if case["id"].startswith("p")} == here


# --- against other solvers ------------------------------------------------------------------------------------------


def rounds(count: int) -> Iterator[Round]:
    rng = random.Random(41)
    for _ in range(count):
        parcels = {
            f"p{n}": Opening(rng.choice((0, 500, 980, 2400)), rng.choice((0.0, 2.0, 6.5)))
            for n in range(rng.randint(1, 4))
        }
        items = []
        for n in range(rng.randint(3, 10)):
            costs = sorted(rng.sample(range(500, 20_000), rng.randint(1, 5)))
            values = sorted(round(rng.uniform(0, 30), 3) for _ in costs)
            offers = tuple(Offer(*pair) for pair in zip(costs, values, strict=True))
            items.append(Item(f"l{n}", rng.choice(list(parcels)), rng.choice(("", "g", "h")), offers))
        yield Round(tuple(items), parcels, {"g": rng.choice((1, 2)), "h": 1}, rng.randint(2_000, 60_000))


def by_milp(task: Round) -> float:
    """The same round by HiGHS."""
    columns = [(item, offer) for item in task.items for offer in item.offers]
    names = list(task.parcels)
    size = len(columns) + len(names)
    worth = np.array([offer.value for _, offer in columns] + [-task.parcels[name].value for name in names])
    lines, most = [np.array([o.cost for _, o in columns] + [task.parcels[n].cost for n in names])], [float(task.budget)]

    def add(chosen: Any, top: float, minus: int | None = None) -> None:
        line = np.zeros(size)
        line[[n for n, (item, _) in enumerate(columns) if chosen(item)]] = 1
        if minus is not None:
            line[len(columns) + minus] = -1
        lines.append(line)
        most.append(top)

    for item in task.items:
        add(lambda each, item=item: each is item, 1)
        add(lambda each, item=item: each is item, 0, names.index(item.parcel))
    for group, take in task.takes.items():
        add(lambda each, group=group: each.group == group, take)
    constraint = LinearConstraint(np.array(lines, dtype=float), -np.inf, np.array(most, dtype=float))
    found = milp(
        -worth, constraints=constraint, integrality=np.ones(size), bounds=Bounds(0, 1), options={"mip_rel_gap": 0}
    )
    return float(-found.fun)


def test_rounds_equal_another_solver_s_optimum() -> None:
    for task in rounds(200):
        found = solve(task)
        assert found.value == pytest.approx(by_milp(task), abs=1e-6)
        assert found.cost <= task.budget


def small_plans(count: int) -> Iterator[Task]:
    rng = random.Random(7)
    for _ in range(count):
        once = {f"p{n}": fee for n in range(rng.randint(1, 3)) for fee in [rng.choice((0, 500, 980, 1400, 3352))]}
        lots = []
        for n in range(rng.randint(3, 6)):
            ceiling, fee = rng.uniform(20, 200), rng.uniform(1.0, 1.3)
            told, before, rungs = Likely(ceiling * rng.uniform(0.6, 1.2), rng.uniform(0.2, 0.45)), 0.0, []
            for bid in (round(ceiling / fee * (j + 1) / 5, 2) for j in range(rng.randint(2, 4))):
                reached = told.reached(bid)
                rungs.append(Rung(Decimal(str(bid)), reached - before, round(bid * fee, 2), round(bid * fee, 2)))
                before = reached
            lots.append(
                Candidate(f"l{n}", rng.choice(list(once)), rng.choice(("", "", "g", "h")), options_of(rungs, ceiling))
            )
        parcels = {name: Once(cost, cost / 100) for name, cost in once.items()}
        yield Task(tuple(lots), parcels, {"g": rng.choice((1, 2))}, int(rng.uniform(60, 500) * 100))


def enumerated(task: Task) -> float:
    """The best saving of all plans."""
    best, lots = 0.0, [each for each in task.lots if each.options]
    for places in product(*(range(-1, len(each.options)) for each in lots)):
        chosen = {each.lot: at for each, at in zip(lots, places, strict=True) if at >= 0}
        groups = [each.group for each in lots if each.lot in chosen and each.group]
        if all(groups.count(group) <= task.takes.get(group, 1) for group in groups):
            plan = told(task, chosen)
            fits = plan.worst <= task.budget and all(spent(task, chosen, pot) <= pot.budget for pot in task.pots)
            best = max(best, plan.saving if fits else 0.0)
    return best


def in_budgets(task: Task, rng: random.Random) -> Task:
    """The same with two or three budgets of days in one another, or side by side: lots are in the order of days."""
    lots = [each.lot for each in task.lots]
    cut, rest = rng.randint(1, len(lots) - 1), int(task.budget * rng.uniform(0.3, 0.9))
    pots = [Pot(int(task.budget * rng.uniform(0.2, 0.8)), frozenset(lots[:cut]))]
    pots += [Pot(rest, frozenset(lots[cut:]))] if rng.random() < 0.6 else []
    pots += [Pot(int(pots[0].budget * 0.6), frozenset(lots[: cut // 2 + 1]))] if cut > 2 else []
    return replace(task, pots=tuple(pots))


def test_plans_inside_several_budgets_equal_full_enumeration() -> None:
    """Of 200 such cases 199 were equal, and one lost 1.58; a few of them are looked at here."""
    lost, rng = [], random.Random(11)
    for one in small_plans(40):
        task = in_budgets(one, rng)
        plan = standing(task)
        assert plan.worst <= task.budget
        assert all(spent(task, plan.bids, pot) <= pot.budget for pot in task.pots)
        lost.append(enumerated(task) - plan.saving)
    assert sum(each < 1e-6 for each in lost) >= 39
    assert max(lost) <= 2


def test_plans_equal_full_enumeration() -> None:
    lost = []
    for task in small_plans(200):
        plan = standing(task)
        assert plan.worst <= task.budget
        lost.append(enumerated(task) - plan.saving)
    assert sum(each < 1e-6 for each in lost) >= 193
    assert max(lost) <= 0.33


# --- what the cases do not reach ------------------------------------------------------------------------------------


def test_a_price_below_the_current_bid_does_not_come() -> None:
    free, pressed = Likely(100, 0.3), Likely(100, 0.3, 120)
    assert pressed.reached(120) == 0
    share = (free.reached(150) - free.reached(120)) / (1 - free.reached(120))
    assert pressed.reached(150) == pytest.approx(share)
    assert Likely(10, 0.05, 9_000).reached(9_100) == 0


def test_bids_without_a_chance_are_not_offered_and_the_highest_always_is() -> None:
    rungs = [Rung(Decimal(n), 0.001, n, n + 5) for n in range(1, 201)]
    options = options_of(rungs, 300)
    assert options[-1].bid == 200
    assert 20 <= len(options) <= 40
    assert min(option.chance for option in options) >= 0.02


def test_pacing_makes_the_budget_last() -> None:
    told = Likely(80, 0.3)
    rungs = tuple(Rung(Decimal(n), told.reached(n) - told.reached(n - 1), n, n + 5) for n in range(1, 101))
    wants = [Want(f"w{n}", (Sale(f"l{n}", "a", 100, rungs),)) for n in range(6)]
    rich, poor = ahead(wants, 1000), ahead(wants, 120)
    assert rich.squeeze((0,)) == 1
    assert poor.squeeze((0,)) > 1
    assert 100 < poor.spending <= 120
    tight = ahead(wants[:1], 40).wants["w0"].at(0, 1, frozenset())
    assert tight.worst <= 40


def two_budgets(rng: random.Random) -> tuple[list[Want], float, float]:
    """Wants of a month, some lots of them of its first week, at prices at which neither budget is enough for all."""
    wants = []
    for n in range(rng.randint(3, 7)):
        middle, sales = rng.choice((30, 80, 150)), []
        for m in range(rng.randint(1, 4)):
            told = Likely(middle * rng.uniform(0.8, 1.2), 0.3)
            rungs = tuple(
                Rung(Decimal(b), told.reached(b) - told.reached(b - 2), b, b) for b in range(2, 2 * middle, 2)
            )
            sales.append(Sale(f"l{n}{m}", f"p{n}{m}", middle * rng.uniform(0.9, 1.4), rungs, ((0, 1), (0,))[m > 1]))
        wants.append(Want(f"w{n}", tuple(sales), rng.choice((1, 1, 2))))
    whole = ahead(wants, math.inf, math.inf)
    return wants, whole.spent(0) * rng.uniform(0.3, 1.1), whole.spent(1) * rng.uniform(0.3, 1.1)


def test_pacing_holds_budgets_in_one_another_together_and_leaves_no_money_idle() -> None:
    rng = random.Random(5)
    for _ in range(25):
        wants, month, week = two_budgets(rng)
        season = ahead(wants, month, week)
        for n, left in enumerate((month, week)):
            assert season.spent(n) <= left + 1e-6
            if season.purses[n].price > 0:
                assert season.spent(n) >= 0.85 * left - 6, "what is dear is used up, but for a step of the bids"
        assert season.spending == pytest.approx(season.spent(0)), "the month holds all lots"


def test_pacing_of_two_budgets_saves_more_than_one_after_the_other() -> None:
    """As it was done before: the week first, of what it leaves the rest of the month."""
    rng, gains = random.Random(6), []
    for _ in range(25):
        wants, month, week = two_budgets(rng)
        together = sum(each.saving for each in ahead(wants, month, week).now.values())
        first = [replace(w, sales=tuple(replace(s, budgets=(0,)) for s in w.sales if 1 in s.budgets)) for w in wants]
        then = [replace(w, sales=tuple(s for s in w.sales if 1 not in s.budgets)) for w in wants]
        soon = ahead([w for w in first if w.sales], min(month, week))
        rest = ahead([w for w in then if w.sales], max(month - soon.spending, 0.0))
        gains.append(together - sum(each.saving for each in (*soon.now.values(), *rest.now.values())))
    assert sum(gains) > 0


def test_what_is_expected_is_told_under_the_ceilings_though_they_are_lowered() -> None:
    told = Likely(80, 0.3)
    rungs = tuple(Rung(Decimal(n), told.reached(n) - told.reached(n - 1), n, n) for n in range(1, 101))
    season = ahead([Want(f"w{n}", (Sale(f"l{n}", "a", 100, rungs),)) for n in range(6)], 120)
    look = season.now["w0"]
    assert season.squeeze((0,)) > 1
    assert look.bid is not None
    assert look.saving == pytest.approx(sum((100 - r.alone) * r.mass for r in rungs if r.bid <= look.bid))
    assert look.saving == look.own


def test_a_band_becomes_hammer_prices_of_the_venue() -> None:
    terms = terms_of(cases("gap")[0]["terms"], "EUR")
    money = exchange({}, "EUR")
    costs = [parcel_amount(as_shared(terms), [Hammered(Decimal(price))], money) for price in (60, 100, 160)]
    alone = [parcel_amount(terms, [Hammered(Decimal(price))], money) for price in (60, 100, 160)]
    for kind, edges in (
        ("hammer", [Decimal(60), Decimal(100), Decimal(160)]),
        ("all-in", alone),
        ("before postage", costs),
    ):
        low, middle, high = edges
        if kind == "before postage":
            low, middle, high = (edge - terms.shipping_more for edge in edges)
        found = likely(Band(low, middle, high, "EUR", kind, 9, None), terms, money)
        assert found is not None
        assert found.median == pytest.approx(100, abs=0.01)
        assert found.spread == pytest.approx(math.log(160 / 60) / 2.5631, abs=0.001)
    dear = Band(Decimal(1), Decimal(5), Decimal(8), "EUR", "all-in", 9, None)
    assert likely(dear, terms, money) is None


def test_budgets_nest_and_hold() -> None:
    march = Budget("March", Decimal(900), date(2026, 3, 1), date(2026, 3, 31))
    week = Budget("Week 10", Decimal(300), date(2026, 3, 2), date(2026, 3, 8))
    check_nested([march, week])
    with pytest.raises(BudgetError, match="March and Week 14 overlap and do not nest"):
        check_nested([march, replace(week, id="Week 14", first=date(2026, 3, 30), last=date(2026, 4, 5))])
    stands: tuple[Stand, ...] = ("planned", "placed", "owed")
    bound = [Bound(each, Decimal(100), date(2026, 3, day)) for each, day in zip(stands, (3, 12, 30), strict=True)]
    aside = Aside("s1", Decimal(50), "a scale", date(2026, 3, 20))
    assert [held(each, bound, [aside], date(2026, 3, 3)).left for each in (march, week)] == [550, 150]
    assert held(march, bound, [aside], date(2026, 3, 21)).left == 600


def test_groups_are_checked() -> None:
    group = Group("a", 1, ("x:212", "x:88"))
    assert check_group(group, []) == ""
    three = Group("a", 4, ("x:1", "x:2", "x:3"))
    assert check_group(three, []) == "Group a has 3 lots, take 4 is all of them"
    with pytest.raises(BudgetError, match="212 is in group a already"):
        check_group(Group("b", 1, ("x:212", "x:3")), [group], named=["212", "3"])
