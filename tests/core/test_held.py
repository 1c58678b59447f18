"""After the hammer: the course of parcels and pieces, shares to the cent in every order of events, last days."""

from __future__ import annotations

import json
import random
from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import UTC, date, datetime
from decimal import Decimal
from pathlib import Path
from typing import Any, get_args
from zoneinfo import ZoneInfo

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from watchlist.core.calendar.days import ends
from watchlist.core.decisions.review import Decision, ParcelVerb, PieceVerb, Verb, fold
from watchlist.core.fees.premiums import Premium
from watchlist.core.fees.terms import Terms
from watchlist.core.fees.working import Hammered
from watchlist.core.held.account import cost_lines, piece_cost, shares
from watchlist.core.held.course import NOT_AS_DESCRIBED, PARCEL, PIECE, ParcelCourse, PieceCourse, courses
from watchlist.core.held.deadlines import Deadline, deadlines
from watchlist.core.money.amount import Money, cents
from watchlist.core.parcels.costs import Exchange
from watchlist.page.deadlines import in_short, last_day

AT = datetime(2026, 3, 3, 9, tzinfo=UTC)
LOTS = ("n:1", "n:2", "n:3")
TERMS = Terms(
    "Vessick", "EUR", premium=Premium("flat", Decimal(20)), vat_fees_pct=Decimal(19), shipping=Decimal("9.80")
)
HAMMERS = [Hammered(Decimal(each)) for each in ("12.00", "85.00", "300.00")]
EUR = Exchange("EUR", Decimal(1))


def eur(amount: str | int) -> Money:
    return Money(Decimal(amount), "EUR")


def said(verb: Verb, *, lot: str = "", amount: Money | None = None, note: str = "", **facts: str) -> Decision:
    target = "" if lot else "P12"
    return Decision(0, f"{verb}{lot}{amount}", AT, verb, lot, amount, target, note, day=date(2026, 3, 5), facts=facts)


def cases(kind: str) -> list[dict[str, Any]]:
    path = Path(__file__).parents[1] / "data" / "parcel_examples.jsonl"
    return [row for line in path.read_text("utf-8").splitlines() if (row := json.loads(line))["kind"] == kind]


def test_every_word_of_the_list_has_its_meaning() -> None:
    assert set(PARCEL) == set(get_args(ParcelVerb))
    assert set(PIECE) == set(get_args(PieceVerb))


def test_what_happens_after_the_hammer_leaves_a_lot_where_it_stood() -> None:
    won = Decision(0, "w", AT, "won", "n:1", eur(12))
    stood = fold([won]).lots
    assert fold([won, said("returned", lot="n:1"), said("paid", amount=eur(5))]).lots == stood


def test_a_parcel_is_paid_in_parts() -> None:
    invoice = said("invoiced", amount=eur("612.40"), lots="\n".join(LOTS), due="2026-03-12", post="22.30", number="881")
    course = courses([invoice]).parcels["P12"]
    assert (course.state, course.owed, course.due, course.stated) == (
        "invoiced", eur("612.40"), date(2026, 3, 12), {"post": Decimal("22.30")},
    )  # fmt: skip
    part = said("paid", amount=eur(200), settles="200 EUR")
    course = courses([invoice, part]).parcels["P12"]
    assert (course.state, course.owed) == ("part paid", eur("412.40"))
    rest = said("paid", amount=eur(420))
    course = courses([invoice, part, rest]).parcels["P12"]
    assert (course.state, course.owed, course.paid, course.lots) == ("paid", None, Decimal(620), LOTS)
    course = courses([said("arrived"), invoice]).parcels["P12"]
    assert course.state == "arrived"  # any step may be skipped
    assert course.owed == eur("612.40")


def net_spent(course: ParcelCourse, pieces: Sequence[PieceCourse]) -> Decimal:
    """What a parcel took from the purse: paid, sent back, graded; less every refund."""
    return course.paid + sum(each.postage + each.spent - each.refunded for each in pieces)


def test_the_worked_return() -> None:
    (case,) = cases("return")
    paid = Decimal(case["expect"]["parcel_paid"])
    parts = shares(ParcelCourse("P12"), TERMS, HAMMERS, EUR, paid)
    assert [str(each) for each in parts] == case["expect"]["shares"]
    back = said("returned", lot="n:3", note="changed my mind", postage=case["return_post"])
    known = courses([back, said("refunded", lot="n:3", amount=eur(case["refund"]))])
    pieces = [known.piece(lot) for lot in LOTS]
    costs = [piece_cost(part, piece) for part, piece in zip(parts, pieces, strict=True)]
    assert [str(each.basis) for each in costs[:2]] == case["expect"]["kept_basis"]
    assert str(costs[2].lost) == case["expect"]["loss_on_return"]
    course = courses([said("paid", amount=Money(paid, "EUR"))]).parcels["P12"]
    assert str(net_spent(course, pieces)) == case["expect"]["net_spent"]


AMOUNTS = st.decimals(Decimal("0.01"), Decimal(900), places=2)
PIECE_EVENTS = st.builds(
    lambda verb, lot, amount, postage: said(
        verb, lot=lot, amount=Money(amount, "EUR") if verb in ("refunded", "sold") else None, postage=f"{postage}",
        fees=f"{postage}",
    ),
    st.sampled_from(get_args(PieceVerb)), st.sampled_from(LOTS), AMOUNTS, AMOUNTS,
)  # fmt: skip
PARCEL_EVENTS = st.builds(
    lambda verb, amount: said(verb, amount=Money(amount, "EUR"), note="by-piece", lots="\n".join(LOTS)),
    st.sampled_from(("invoiced", "paid", "dispatched", "arrived", "split")),
    AMOUNTS,
)


@settings(max_examples=300, deadline=None)
@given(st.lists(PIECE_EVENTS | PARCEL_EVENTS, max_size=24), st.lists(AMOUNTS, min_size=3, max_size=3))
def test_kept_costs_and_losses_are_what_left_the_purse_in_every_order(
    events: list[Decision], prices: list[Decimal]
) -> None:
    known = courses(events)
    course = known.parcels.get("P12") or ParcelCourse("P12")
    pieces = [known.piece(lot) for lot in LOTS]
    parts = shares(course, TERMS, [Hammered(price) for price in prices], EUR)
    assert sum(parts) == course.paid
    costs = [piece_cost(part, piece) for part, piece in zip(parts, pieces, strict=True)]
    assert sum(each.basis + each.lost for each in costs) == net_spent(course, pieces)
    for piece, cost in zip(pieces, costs, strict=True):
        assert cost.lost == 0 or piece.returned is not None  # what a return loses never falls on kept pieces


@settings(max_examples=100, deadline=None)
@given(st.lists(AMOUNTS, min_size=1, max_size=5), AMOUNTS, st.booleans(), st.sampled_from(("1", "1.1637", "0.0061")))
def test_the_lines_of_a_cost_add_up_to_the_share_of_each_piece(
    prices: list[Decimal], paid: Decimal, by_piece: bool, factor: str
) -> None:
    terms = replace(TERMS, handling=Decimal(3), card_pct=Decimal(2), payment_fee=Decimal("1.50"), currency="GBP")
    course = ParcelCourse("P12", split="by-piece" if by_piece else "by-price")
    lots, money = [Hammered(price) for price in prices], Exchange("EUR", Decimal(factor))
    parts = shares(course, terms, lots, money, paid)
    for part, lines, price in zip(parts, cost_lines(course, terms, lots, Decimal(factor), parts), prices, strict=True):
        assert sum(lines.values()) == part
        assert lines["hammer"] == cents(price * Decimal(factor))


def test_the_lines_of_a_single_piece_are_those_of_its_invoice() -> None:
    whole = Decimal("112.28")  # 85 + 17 + 19% of 17 rounded, 3.23, + 9.80, less 2.75 by hand
    (lines,) = cost_lines(ParcelCourse("P12"), TERMS, [Hammered(Decimal(85))], Decimal(1), [whole])
    assert {name: str(amount) for name, amount in lines.items() if amount} == {
        "hammer": "85.00", "premium": "17.00", "vat_on_fees": "3.23", "shipping": "9.80", "other": "-2.75",
    }  # fmt: skip


@dataclass
class Purse:
    """What left it and what came back, summed beside the list of events, in no order."""

    paid: Decimal = Decimal(0)
    spent: Decimal = Decimal(0)
    """On sending pieces back, to services and to sales."""
    back: Decimal = Decimal(0)
    """Refunds, of pieces and of parcels."""


def _sum_of(chance: random.Random, low: int = 100, high: int = 4000) -> Decimal:
    return Decimal(chance.randrange(low, high)) / 100


def _of_a_parcel(name: str, lots: Sequence[str], chance: random.Random, purse: Purse) -> list[Decision]:
    """Its invoice, one to three payments, now and then a refund, its way; any step but the payment may be skipped."""
    told = {"lots": "\n".join(lots)}
    parts = [_sum_of(chance, 2000, 90_000) for _ in range(chance.choice((1, 1, 2, 3)))]
    purse.paid += sum(parts)
    made = [said("paid", amount=Money(part, "EUR"), settles=f"{part} EUR", **told) for part in parts]
    made += [said("invoiced", amount=Money(sum(parts, Decimal(0)), "EUR"), **told)] * (chance.random() < 0.8)
    made += [said(verb, **told) for verb in ("dispatched", "arrived") if chance.random() < 0.7]  # type: ignore[arg-type]
    made += [said("split", note="by-piece")] * (chance.random() < 0.3)
    if chance.random() < 0.1:
        too_much = _sum_of(chance, 100, 1500)
        purse.back += too_much
        made.append(said("parcel refunded", amount=Money(too_much, "EUR")))
    return [replace(each, target=name, batch=f"{name} {n}") for n, each in enumerate(made)]


def _of_a_piece(lot: str, chance: random.Random, purse: Purse) -> list[Decision]:
    """Up to four things that happen to it, one in five times that it goes back."""
    words = [
        "checked",
        "kept",
        "graded out",
        "graded back",
        "consigned",
        "consigned back",
        "disputed",
        "settled",
        "sold",
    ]
    verbs = chance.sample(words, k=chance.randrange(4)) + ["returned"] * (chance.random() < 0.2)
    verbs += ["refunded"] * chance.randrange(3) if {"returned", "disputed"} & set(verbs) else []
    made = []
    for verb in verbs:
        amount = _sum_of(chance, 100, 40_000) if verb in ("refunded", "sold") else None
        facts = {"postage": f"{_sum_of(chance)}"} if verb == "returned" else {}
        facts |= {"fees": f"{_sum_of(chance)}"} if verb.startswith(("graded", "consigned", "sold")) else {}
        purse.back += amount or 0 if verb == "refunded" else 0
        purse.spent += sum(map(Decimal, facts.values())) if verb != "sold" else 0
        made.append(said(verb, lot=lot, amount=Money(amount, "EUR") if amount else None, **facts))  # type: ignore[arg-type]
    return made


@pytest.mark.parametrize("seed", range(10))
def test_a_year_of_300_purchases_balances_to_the_cent_in_any_order(seed: int) -> None:
    """Kept costs and losses on returns are what was paid, return postage and services, less refunds."""
    chance, purse = random.Random(seed), Purse()
    events, prices = list[Decision](), dict[str, Decimal]()
    while len(prices) < 300:
        name = f"P{len(prices)}"
        lots = [f"n:{len(prices) + n}" for n in range(min(chance.choice((1, 2, 2, 3, 6)), 300 - len(prices)))]
        prices |= {lot: _sum_of(chance, 500, 90_000) for lot in lots}
        events += _of_a_parcel(name, lots, chance, purse)
        events += [event for lot in lots for event in _of_a_piece(lot, chance, purse)]
    for _ in range(3):
        chance.shuffle(events)
        known = courses(events)
        assert sorted(lot for course in known.parcels.values() for lot in course.lots) == sorted(prices)
        costs = []
        for course in known.parcels.values():
            parts = shares(course, TERMS, [Hammered(prices[lot]) for lot in course.lots], EUR)
            costs += [piece_cost(part, known.piece(lot)) for part, lot in zip(parts, course.lots, strict=True)]
        left = sum(each.basis for each in costs) + sum(each.lost for each in costs)
        assert left == purse.paid + purse.spent - purse.back


def test_the_last_day_has_room_in_a_cell() -> None:
    last = Deadline("return", "P12", date(2026, 4, 3))
    today = (date(2026, 4, 1), date(2026, 4, 3), date(2026, 4, 5))
    assert [in_short(last, day) for day in today] == [
        "return by Fri 3 Apr", "LAST DAY: return", "return: was due 3 Apr",
    ]  # fmt: skip
    next_year = replace(last, kind="report", day=date(2027, 3, 20))
    assert in_short(next_year, today[0]) == "report by Sat 20 Mar 2027"
    assert last_day(next_year, today[0]).endswith("by Sat 20 Mar 2027 (353 days left)")


def test_a_contested_piece_weighs_nothing_until_it_is_settled() -> None:
    back = said("returned", lot="n:1", note=NOT_AS_DESCRIBED)
    disputed, settled = said("disputed", lot="n:2"), said("settled", lot="n:2")
    known = courses([back, disputed])
    assert known.piece("n:1").weighs_nothing
    assert known.piece("n:2").weighs_nothing
    assert not courses([disputed, settled]).piece("n:2").weighs_nothing
    assert not courses([said("returned", lot="n:3", note="changed my mind")]).piece("n:3").weighs_nothing


def test_the_days_of_a_parcel() -> None:
    terms = replace(TERMS, pay_days=7, return_days=14, guarantee_days=365)
    invoice = replace(said("invoiced", amount=eur(50)), day=date(2026, 3, 5))
    paid = replace(said("paid", amount=eur(50)), day=date(2026, 3, 9))
    arrived = replace(said("arrived"), day=date(2026, 3, 20))

    def days(*lines: Decision) -> list[Deadline]:
        return list(deadlines(courses(lines).parcels["P12"], terms))

    assert days(invoice) == [Deadline("pay", "P12", date(2026, 3, 12))]
    assert days(invoice, paid) == [Deadline("arrive", "P12", date(2026, 3, 30))]
    assert days(invoice, paid, arrived) == [
        Deadline("return", "P12", date(2026, 4, 3)),
        Deadline("report", "P12", date(2027, 3, 20)),
    ]
    assert days(invoice)[0].left(date(2026, 3, 13)) == -1


@pytest.mark.parametrize("row", [each for case in cases("return window") for each in case["expect"]])
def test_a_return_window_ends_where_it_ends_first(row: dict[str, Any]) -> None:
    terms = replace(TERMS, return_days=row["return_days"])
    arrived = replace(said("arrived"), day=date.fromisoformat(row["arrived"]))
    (last,) = deadlines(courses([arrived]).parcels["P12"], terms)
    assert str(last.day) == row["last_day"]
    over = ends(last.day, ZoneInfo("Europe/Berlin"), ZoneInfo(row["venue_zone"]))
    assert over.astimezone(UTC) == datetime.fromisoformat(row["ends_utc"])


def test_the_day_on_which_a_parcel_is_expected_is_no_last_day() -> None:
    last = Deadline("arrive", "P12", date(2026, 3, 28))
    assert last_day(last, last.day) == "Paid, not arrived: expected today, Sat 28 Mar"
    assert in_short(last, last.day) == "expected today"
