"""Proxy bids, by worked cases (`auction_examples.jsonl`, a37 to a46) and by what holds for any maxima."""

from __future__ import annotations

import json
from decimal import Decimal
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from watchlist.core.fees.ladders import USUAL, Ladder
from watchlist.core.fees.proxy import NOBODY, Maximum, Stands, proxy

LINES = (Path(__file__).parents[1] / "data" / "auction_examples.jsonl").read_text("utf-8").splitlines()
CASES = [case for line in LINES if (case := json.loads(line))["kind"] == "proxy"]


def test_there_are_ten_worked_cases() -> None:
    assert [case["id"] for case in CASES] == [f"a{number}" for number in range(37, 47)]


@pytest.mark.parametrize("case", CASES, ids=[case["id"] for case in CASES])
def test_a_worked_case(case: dict[str, Any]) -> None:
    in_time = sorted(case["bids"], key=lambda bid: bid["time"])
    maxima = [Maximum(bid["bidder"], Decimal(bid["max"])) for bid in in_time]
    reserve = None if case["reserve"] is None else Decimal(case["reserve"])
    found = proxy(maxima, Ladder.parse(case["ladder"]), Decimal(case["start"]), reserve)
    expect = case["expect"]
    price = None if expect["price"] is None else Decimal(expect["price"])
    assert found == Stands(expect["winner"], price, expect["sold"])


def test_who_raises_a_maximum_bids_against_nobody() -> None:
    """And it counts from when it was raised: of two equal ones the other came first."""
    ladder, hundred = Ladder.parse("floor_dollar"), Decimal(100)
    raised = [Maximum("a", Decimal(200)), Maximum("a", Decimal(400))]
    assert proxy(raised, ladder, hundred) == Stands("a", hundred, True)
    late = [Maximum("a", Decimal(200)), Maximum("b", Decimal(400)), Maximum("a", Decimal(400))]
    assert proxy(late, ladder, hundred) == Stands("b", Decimal(400), True)
    lowered = [Maximum("a", Decimal(400)), Maximum("b", Decimal(400)), Maximum("a", Decimal(200))]
    assert proxy(lowered, ladder, hundred) == Stands("a", Decimal(400), True)


MONEY = st.integers(1, 300_000).map(lambda cents: Decimal(cents) / 100)
ANY = {
    "amounts": st.lists(MONEY, max_size=8),
    "name": st.sampled_from(sorted(USUAL)),
    "start": MONEY,
    "reserve": st.none() | MONEY,
}


@given(**ANY)
def test_the_price_of_any_maxima(amounts: list[Decimal], name: str, start: Decimal, reserve: Decimal | None) -> None:
    """Never above the winner's maximum, never under the start, at most one increment over the second or the reserve;
    the highest wins, of equal ones the first."""
    ladder = Ladder.parse(name)
    found = proxy([Maximum(str(n), amount) for n, amount in enumerate(amounts)], ladder, start, reserve)
    taken = [amount for amount in amounts if amount >= start]
    if not taken:
        assert found == NOBODY
        return
    assert found.winner is not None
    assert found.price is not None
    most = max(taken)
    assert found.winner == str(amounts.index(most))
    assert start <= found.price <= most
    rest = sorted(taken)[:-1]
    over = [second + next(step for low, step in reversed(ladder.steps) if low <= second) for second in rest[-1:]]
    assert found.price <= max([start, *over, *([reserve] if reserve is not None else [])])
    assert not rest or found.price >= rest[-1], "who is second would have bid more"
    assert found.sold is (reserve is None or most >= reserve)
    assert not (found.sold and reserve is not None) or found.price >= reserve


@given(**ANY, more=MONEY)
def test_the_winner_pays_no_more_for_a_higher_maximum(
    amounts: list[Decimal], name: str, start: Decimal, reserve: Decimal | None, more: Decimal
) -> None:
    """But for one increment over the second, or a reserve, which the maximum before did not reach."""
    ladder = Ladder.parse(name)
    maxima = [Maximum(str(n), amount) for n, amount in enumerate(amounts)]
    before = proxy(maxima, ladder, start, reserve)
    if before.winner is None or before.price is None or before.price == amounts[int(before.winner)]:
        return
    after = proxy([*maxima, Maximum(before.winner, amounts[int(before.winner)] + more)], ladder, start, reserve)
    assert after.winner == before.winner
    assert after.price == before.price or (reserve is not None and after.price == reserve and not before.sold)
