"""Costs and bid limits worked by hand, every step written beside it, and against a second working of the same order.

`fees_by_hand.jsonl`: the columns of a terms file, a hammer price with its all-in cost or a ceiling with its bid limit.
"""

from __future__ import annotations

import csv
import io
import json
import random
from collections.abc import Iterator, Mapping
from datetime import date
from decimal import ROUND_HALF_UP, Decimal
from pathlib import Path
from typing import Any

import pytest

from tests.core.made_imports import FakeReader
from watchlist.core.fees.costs import all_in_cost, bid_limit
from watchlist.core.fees.row import terms_from_row
from watchlist.core.fees.terms import Terms
from watchlist.core.imports.context import Context
from watchlist.core.imports.driver import take
from watchlist.core.imports.kinds import KINDS
from watchlist.feeds.table import read_table
from watchlist.words import load

DATA = Path(__file__).parent.parent / "data" / "fees_by_hand.jsonl"
CASES: list[dict[str, Any]] = [json.loads(line) for line in DATA.read_text("utf-8").splitlines()]


def terms_of(columns: Mapping[str, str]) -> Terms | None:
    """The terms that an import makes of one row; None when it is set aside."""
    row = {"venue": "Brannental Auctions", **columns}
    text = io.StringIO()
    csv.writer(text).writerows((row, row.values()))
    table = read_table(text.getvalue().encode(), synonyms=load("columns"), kind="terms")
    context = Context(reader=FakeReader(), words=load(), home="EUR", today=date(2026, 11, 25))
    return next(iter(take(KINDS["terms"], table, context).records), None)


@pytest.mark.parametrize("case", CASES, ids=[case["name"] for case in CASES])
def test_worked_by_hand(case: dict[str, Any]) -> None:
    terms, fx = terms_of(case["terms"]), Decimal(case["fx"])
    if case.get("all_in") == "REFUSED":
        assert terms is None, case["why"]
        return
    assert terms is not None
    if case["kind"] == "cost":
        cost = all_in_cost(terms, Decimal(case["hammer"]), home="EUR", fx=fx)
        assert cost.all_in.amount == Decimal(case["all_in"]), case["why"]
        return
    limit = bid_limit(terms, Decimal(case["ceiling"]), home="EUR", fx=fx).limit
    assert (limit and limit.amount) == (case["limit"] and Decimal(case["limit"])), case["why"]


# A second working, written from the order of the fees alone, to hold the first against.


def cent(amount: Decimal) -> Decimal:
    return amount.quantize(Decimal("0.01"), ROUND_HALF_UP)


def premium(tiers: Mapping[str, Any], hammer: Decimal) -> Decimal:
    if tiers["kind"] == "flat":
        due = hammer * Decimal(tiers["pct"]) / 100
    elif tiers["kind"] == "tiers_whole":
        due = next(hammer * Decimal(pct) / 100 for to, pct in tiers["tiers"] if to is None or hammer <= Decimal(to))
    else:
        due, low = Decimal(0), Decimal(0)
        for to, pct in tiers["tiers"]:
            high = hammer if to is None else min(hammer, Decimal(to))
            due += max(Decimal(0), high - low) * Decimal(pct) / 100
            low = max(low, high)
    return max(cent(due), Decimal(tiers.get("min", "0")))


def second_working(row: Mapping[str, str], tiers: Mapping[str, Any], hammer: Decimal, fx: Decimal) -> Decimal:
    def part(of: Decimal, column: str) -> Decimal:
        return cent(of * Decimal(row.get(column, "0")) / 100)

    bought = premium(tiers, hammer)
    price, post = hammer + bought, Decimal(row.get("shipping", "0"))
    internet, insurance = part(hammer, "internet_fee_pct"), part(price, "insurance_pct")
    sum_ = price + internet + post + insurance + Decimal(row.get("handling", "0"))
    sum_ += part(bought + internet, "vat_on_premium_pct") + part(hammer, "vat_on_hammer_pct")
    sum_ += part(price + (post if row.get("tax_on_shipping") else 0), "sales_tax_pct")
    sum_ += part(price, "duty_pct") + part(price + post + insurance, "import_vat_pct")
    home = cent(sum_ * fx)
    return home + part(home, "payment_fee_pct")


def rungs(steps: str) -> Iterator[Decimal]:
    turns = [(Decimal(start), Decimal(step)) for start, step in (turn.split(":") for turn in steps.split(";"))]
    rung = Decimal(0)
    while True:
        rung += [step for start, step in turns if start <= rung][-1]
        yield rung


def made_terms(chance: random.Random) -> tuple[dict[str, str], dict[str, Any]]:
    def pct(high: int) -> str:
        return str(Decimal(chance.randint(0, high * 8)) / 8)

    tiers: dict[str, Any] = {"kind": chance.choice(["flat", "tiers_whole", "tiers_marginal"]), "pct": pct(30)}
    if tiers["kind"] != "flat":
        tiers = {"kind": tiers["kind"], "tiers": [["250", pct(30)], ["1000", pct(30)], [None, pct(25)]]}
    if chance.random() < 0.3:
        tiers["min"] = "12.50"
    shares = (
        "internet_fee_pct",
        "vat_on_premium_pct",
        "vat_on_hammer_pct",
        "insurance_pct",
        "sales_tax_pct",
        "duty_pct",
        "import_vat_pct",
        "payment_fee_pct",
    )
    row = {column: pct(20) for column in shares if chance.random() < 0.4}
    row |= {column: str(Decimal(chance.randint(0, 4000)) / 100) for column in ("shipping", "handling")}
    row |= {"tax_on_shipping": chance.choice(["", "yes"])}
    return row, tiers


@pytest.mark.parametrize("seed", range(60))
def test_a_second_working_agrees(seed: int) -> None:
    chance = random.Random(seed)
    row, tiers = made_terms(chance)
    steps = chance.choice(["0:5;100:10;300:25;500:50;1000:100", "0:2.50;25:5;50:7", "0:10;200:30"])
    terms = terms_from_row(
        {
            "venue": "Brannental Auctions",
            "currency": "GBP",
            "bid_steps": steps,
            **row,
            **(
                {"premium_pct": tiers["pct"], "min_premium": tiers.get("min", "")}
                if tiers["kind"] == "flat"
                else {"premium": json.dumps(tiers)}
            ),
        }
    )
    fx, hammer = Decimal(chance.randint(50, 200)) / 100, Decimal(chance.randint(1, 300_000)) / 100
    assert all_in_cost(terms, hammer, home="EUR", fx=fx).all_in.amount == second_working(row, tiers, hammer, fx)
    ceiling, passing = Decimal(chance.randint(100, 200_000)) / 100, None
    for rung in rungs(steps):
        if second_working(row, tiers, rung, fx) > ceiling:
            break
        passing = rung
    limit = bid_limit(terms, ceiling, home="EUR", fx=fx).limit
    assert (limit and limit.amount) == passing
