"""Prices as sale lists write them: 229 texts with the right amount and currency, worked by hand.

`price_texts.jsonl`: text, locale, amount and currency or null, and why where it is not plain. A rule behind many of
them: what cannot be told is unknown, never the nearest figure.
"""

from __future__ import annotations

import json
from decimal import Decimal
from pathlib import Path
from typing import Any

import pytest

from watchlist.core.money.amount import Money, MoneyError
from watchlist.core.money.codes import known_codes, nearest_code, wrong_code
from watchlist.core.money.text import labelled_prices, read_price
from watchlist.words import load

DATA = Path(__file__).parent.parent / "data"
CASES: list[dict[str, Any]] = [
    json.loads(line) for line in (DATA / "price_texts.jsonl").read_text("utf-8").splitlines()
]
LABELS: dict[str, list[str]] = json.loads((DATA / "words_met.json").read_text("utf-8"))["price_labels"]
PAIRS = [(kind, label) for kind, labels in LABELS.items() for label in labels]


@pytest.mark.parametrize("case", CASES, ids=[f"{case['text']} {case['locale']}" for case in CASES])
def test_price_texts(case: dict[str, Any]) -> None:
    read = read_price(case["text"], load("money"), locale=case["locale"])
    due = None if case["amount"] is None else Decimal(case["amount"])
    assert (read.amount, read.currency) == (due, case["currency"]), (case.get("why"), read.note)
    assert read.high == (Decimal(case["high"]) if "high" in case else None)
    assert read.amount is not None or read.note


@pytest.mark.parametrize(("kind", "label"), PAIRS)
def test_labels_of_prices(kind: str, label: str) -> None:
    for text in (f"5 tor. {label}: 45,00 €\nmore", f"nice {label} 45,00 € more"):
        found = labelled_prices(text, load("money"))
        assert found[kind].amount == 45, text


@pytest.mark.parametrize(
    ("text", "currency", "amount", "read_as"),
    [
        ("50 ct", "EUR", "0.50", "EUR"),
        ("99¢", "USD", "0.99", "USD"),
        ("85p", "EUR", "0.85", "GBP"),
        ("100 dollars", "CAD", "100", "CAD"),
        ("100 dollars", "EUR", "100", "USD"),
        ("12.50", "EUR", "12.50", "EUR"),
        ("$45.00 CAD", "USD", "45", "CAD"),
    ],
)
def test_the_source_says_what_a_name_leaves_open(text: str, currency: str, amount: str, read_as: str) -> None:
    read = read_price(text, load("money"), currency=currency)
    assert (read.amount, read.currency) == (Decimal(amount), read_as)


@pytest.mark.parametrize(
    ("written", "near"),
    [
        ("EUE", "EUR"),
        ("ERU", "EUR"),
        ("Euro", "EUR"),
        ("€", "EUR"),
        ("US", "USD"),
        ("GPB", "GBP"),
        ("UKP", "GBP"),
        ("SFR", "CHF"),
        ("RMB", "CNY"),
        ("AUS", "AUD"),
        ("XXX", ""),
        ("QQQ", ""),
        ("", ""),
    ],
)
def test_the_nearest_code_of_a_wrong_one(written: str, near: str) -> None:
    codes = known_codes(load("money"))
    assert nearest_code(written, codes) == near
    assert (near or "such as EUR") in wrong_code(written, codes)


def test_a_wrong_code_that_is_typed_is_told_with_the_nearest() -> None:
    with pytest.raises(MoneyError, match="GPB is not a valid currency \\(did you mean GBP"):
        Money.parse("300 GPB", codes=known_codes(load("money")))
