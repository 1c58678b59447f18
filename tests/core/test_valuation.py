from __future__ import annotations

import json
from dataclasses import replace
from datetime import UTC, date, datetime
from decimal import Decimal
from pathlib import Path
from typing import Any

import pytest

from tests.core.orvany import BAND, LINDMOOR, NOW, RATES, WEXBY, eur, lot, want
from watchlist.core.fees.premiums import Premium
from watchlist.core.fees.terms import Terms
from watchlist.core.marks.case import closes_soon
from watchlist.core.marks.valuation import (
    NoMarket,
    Piece,
    band_parts,
    ceiling_of,
    gap,
    is_open,
    limit_at,
    own_band,
    price_at,
    price_lot,
)
from watchlist.core.money.amount import Money, Rates

TODAY = NOW.date()
CASES = Path(__file__).parents[1] / "data" / "auction_examples.jsonl"


def test_a_price_takes_the_fees_of_its_venue() -> None:
    priced = price_lot(lot(100, venue="Lindmoor Sales"), LINDMOOR, RATES, NOW)
    assert priced.all_in == eur(120)
    assert ("premium", "20 EUR") in priced.lines
    assert price_lot(lot(100), WEXBY, RATES, NOW).all_in == eur(100)


def test_without_terms_price_or_rate_it_says_so() -> None:
    bare = price_lot(lot(100, venue="Elsewhere"), None, RATES, NOW)
    assert (bare.all_in, bare.note) == (eur(100), "fees not included: no terms for Elsewhere")
    assert price_lot(lot(None, price_note="two amounts"), WEXBY, RATES, NOW).note == "two amounts"
    crowns = replace(lot(), price=Money(Decimal(100), "SEK"))
    assert "no exchange rate from SEK" in price_lot(crowns, WEXBY, RATES, NOW).note
    assert "no exchange rate from SEK" in price_lot(crowns, None, RATES, NOW).note


def test_a_price_in_another_currency_than_the_terms_is_exchanged_first() -> None:
    priced = price_at(Money(Decimal(80), "GBP"), "Lindmoor Sales", LINDMOOR, RATES, TODAY)
    assert priced.all_in == eur("120")
    assert "exchanged first" in priced.note


def test_an_ended_lot_takes_the_rates_of_its_day() -> None:
    rates = Rates("EUR", {("GBP", "2025-01"): Decimal("0.50"), ("GBP", "2026-11"): Decimal("0.80")})
    old = lot(None, "ended", closes=datetime(2025, 1, 9, tzinfo=UTC))
    ended = replace(old, price=Money(Decimal(100), "GBP"))
    assert price_lot(ended, None, rates, NOW).all_in == eur(200)


def test_the_highest_ceiling_counts() -> None:
    found = ceiling_of(
        [want(ceiling=eur(300)), want("w2", ceiling=Money(Decimal(400), "GBP")), want("w3")], RATES, TODAY
    )
    assert found is not None
    assert (found[0], found[1].id) == (eur(500), "w2")
    assert ceiling_of([want()], RATES, TODAY) is None


def test_the_bid_limit_follows_the_increments() -> None:
    limit = limit_at(LINDMOOR, eur(1000), RATES, TODAY)
    assert limit is not None
    assert limit.limit is not None
    assert limit.all_in is not None
    assert limit.all_in.amount <= 1000
    assert limit_at(None, eur(1000), RATES, TODAY) is None
    assert limit_at(replace(LINDMOOR, currency="SEK"), eur(1000), RATES, TODAY) is None


def test_a_typed_band_has_its_geometric_mean_as_middle() -> None:
    band = own_band([want(), want("w2", low=eur(100), high=eur(400))], RATES, TODAY, "all-in")
    assert band is not None
    assert (band.mid, band.basis) == (Decimal("200.00"), "own")
    ((weight, mean, spread),) = band_parts(band)
    assert weight == 1.0
    assert mean == pytest.approx(float(band.mid.ln()))
    assert spread == pytest.approx(0.541, abs=0.001)  # ln 4 / 2.5631
    assert own_band([want(low=eur(400), high=eur(100))], RATES, TODAY, "all-in") is None


def test_the_gap_is_against_the_middle() -> None:
    assert gap(eur(310), BAND) == Decimal("-0.2619")
    assert gap(None, BAND) is None
    assert gap(eur(310), None) is None


def test_open_and_soon() -> None:
    soon = datetime(2026, 11, 25, 20, 0, tzinfo=UTC)
    assert is_open(lot(kind="so far"), NOW)
    assert is_open(lot(None, None, closes=soon), NOW)
    assert not is_open(lot(), NOW)
    assert closes_soon(lot(kind="so far", closes=soon), NOW)
    assert not closes_soon(lot(kind="so far", closes=datetime(2026, 11, 26, tzinfo=UTC)), NOW)
    assert not closes_soon(lot(kind="so far"), NOW)


def test_no_market_knows_nothing() -> None:
    from tests.core.orvany import issue

    piece = Piece(issue(1893), 30, 30, True)
    assert NoMarket().band(piece) is None
    assert NoMarket().series_middle(piece) is None
    assert NoMarket().worth(piece) == (None, ())


def flat_cases() -> list[dict[str, Any]]:
    """Worked cases with a flat premium only, invented and worked by hand."""
    rows = [json.loads(line) for line in CASES.read_text("utf-8").splitlines()]
    return [
        r
        for r in rows
        if r["kind"] == "forward" and set(r["terms"]) == {"premium"} and r["terms"]["premium"]["kind"] == "flat"
    ]


def test_worked_cases_come_through_the_valuation() -> None:
    cases = flat_cases()
    assert len(cases) >= 2
    for case in cases:
        given = case["terms"]["premium"]
        premium = Premium("flat", Decimal(given["pct"]), Decimal(given.get("min", "0")))
        terms = Terms("x", case["currency"], premium=premium)
        rates = Rates(case["currency"], {})
        priced = price_at(Money(Decimal(case["hammer"]), case["currency"]), "x", terms, rates, date(2026, 1, 1))
        assert priced.all_in is not None
        assert priced.all_in.amount == Decimal(case["expect"]["all_in"]), case["id"]
