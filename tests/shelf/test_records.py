"""Records to JSON and back: nothing is lost, and what does not fit is one sentence."""

from __future__ import annotations

import json
from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import UTC, date, datetime, timedelta, timezone
from decimal import Decimal
from typing import Any, Literal

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tests.shelf.pieces import is_a_sentence
from watchlist.core.coins.issue import Issue
from watchlist.core.decisions.review import Decision
from watchlist.core.fees.terms import Terms
from watchlist.core.lots.record import Lot
from watchlist.core.lots.source import Source
from watchlist.core.marks.record import Doubt, Judgement, NearWant, Reason, Sign, Want
from watchlist.core.money.amount import Money
from watchlist.core.prices.realised import GuideRow, PriceRealised
from watchlist.core.prices.record import Band
from watchlist.core.reading.record import Reading
from watchlist.shelf.errors import RecordError
from watchlist.shelf.records import dumps, from_data, loads, to_data

amounts = st.decimals(min_value=-(10**9), max_value=10**9, places=2)
moneys = st.builds(Money, amounts, st.sampled_from(["EUR", "GBP", "CHF"]))
zones = st.integers(-720, 720).map(lambda minutes: timezone(timedelta(minutes=minutes)))
times = st.datetimes(min_value=datetime(1900, 1, 1), max_value=datetime(2100, 1, 1), timezones=zones)
floats = st.floats(allow_nan=False, allow_infinity=False)
texts = st.text(st.characters(), max_size=20)  # lone surrogates too

for kind, strategy in ((Money, moneys), (datetime, times), (Decimal, amounts), (str, texts), (float, floats)):
    st.register_type_strategy(kind, strategy)

KINDS: tuple[type, ...] = (
    Issue,
    Want,
    Lot,
    Reading,
    Judgement,
    PriceRealised,
    GuideRow,
    Decision,
    Band,
    Doubt,
    Sign,
    Reason,
    NearWant,
    Source,
)


@settings(max_examples=60, deadline=None)
@given(st.sampled_from(KINDS).flatmap(st.from_type))
def test_every_record_comes_back_as_it_was(record: Any) -> None:
    assert loads(type(record), dumps(record)) == record
    assert dumps(record).isascii()


def test_terms_come_back_with_their_ladder_and_premium() -> None:
    terms = Terms("Lindmoor Sales", "EUR", shipping=Decimal("12.50"), checked=date(2026, 5, 1))
    assert from_data(Terms, to_data(terms)) == terms


@dataclass(frozen=True, slots=True)
class Odd:
    """Every kind of field."""

    pair: tuple[int, str]
    rows: tuple[tuple[Decimal, Decimal], ...]
    share: Decimal | None
    word: Literal["a", "b"]
    map: Mapping[str, str] = field(default_factory=dict)
    nought: int | None = None
    day: date | None = None
    flag: bool = True


@settings(max_examples=60, deadline=None)
@given(st.from_type(Odd))
def test_unusual_fields_come_back_too(record: Odd) -> None:
    assert loads(Odd, dumps(record)) == record


def test_a_field_of_a_kind_that_was_never_kept_is_refused() -> None:
    @dataclass(frozen=True, slots=True)
    class Either:
        value: int | str

    with pytest.raises(RecordError, match="cannot be kept"):
        dumps(Either(1))


@pytest.mark.parametrize(
    ("record", "why"),
    [
        (Money(Decimal(1), 3), "text wanted, not int"),  # type: ignore[arg-type]
        (Money(1.5, "EUR"), "is_finite"),  # type: ignore[arg-type]
        (Issue("i", "Orvany", "5 tor", 1893, weight_g=float("inf")), "inf is not a number"),
        (Doubt("query", signs=(Reason("x"),)), "Sign wanted, not Reason"),  # type: ignore[arg-type]
    ],
)
def test_a_value_that_its_hint_does_not_allow_is_refused(record: Any, why: str) -> None:
    with pytest.raises(RecordError, match=why):
        dumps(record)


def test_nought_is_not_taken_for_none() -> None:
    odd = Odd((1, "x"), (), None, "a", nought=0, flag=False)
    assert loads(Odd, dumps(odd)) == odd


def test_a_missing_zone_is_refused_in_both_directions() -> None:
    naive = Decision(0, "b", datetime(2026, 6, 1), "follow", "north:1")
    with pytest.raises(RecordError, match="no zone"):
        dumps(naive)
    with pytest.raises(RecordError, match="no zone"):
        loads(Decision, '{"seq":0,"batch":"b","at":"2026-06-01T00:00:00","verb":"follow","lot":"x"}')


@pytest.mark.parametrize("amount", [Decimal("NaN"), Decimal("Infinity")])
def test_an_amount_that_is_none_is_refused(amount: Decimal) -> None:
    with pytest.raises(RecordError, match="not a valid amount"):
        dumps(Money(amount, "EUR"))


@pytest.mark.parametrize("text", ["", "{", "[]", "null", "3", '{"amount": 12.5, "currency": "EUR"}', '{"amount": "x"}'])
def test_what_is_no_record_is_one_sentence(text: str) -> None:
    with pytest.raises(RecordError, match="Money"):
        loads(Money, text)


@pytest.mark.parametrize(
    ("kind", "field", "value", "why"),
    [
        (Money, "amount", "NaN", "amount: `NaN` is not a valid amount"),
        (Decision, "verb", "sell", "verb: 'sell' is none of "),
        (Decision, "amount", {"amount": "x", "currency": "EUR"}, "amount: amount: `x` is not a valid amount"),
        (Want, "year", "1893", "year: int wanted, not str"),
        (Want, "id", None, "id: str wanted, not NoneType"),
    ],
)
def test_the_field_at_fault_is_named(kind: type, field: str, value: object, why: str) -> None:
    whole = {
        Money: Money(Decimal(1), "EUR"),
        Decision: Decision(0, "b", datetime(2026, 6, 1, tzinfo=UTC), "follow", "x"),
        Want: Want("w", "Orvany", "5 tor", 1893),
    }
    with pytest.raises(RecordError, match=why):
        from_data(kind, to_data(whole[kind]) | {field: value})


def test_a_record_without_a_field_it_needs_is_refused() -> None:
    with pytest.raises(RecordError, match="currency"):
        loads(Money, '{"amount": "1"}')


def test_unknown_keys_are_passed_over_and_defaults_filled() -> None:
    want = from_data(Want, {"id": "w1", "country": "Orvany", "denomination": "5 tor", "year": 1893, "newer": [1]})
    assert want == Want("w1", "Orvany", "5 tor", 1893)


anything = st.recursive(
    st.none() | st.booleans() | st.integers() | st.floats() | st.text(max_size=5),
    lambda inner: st.lists(inner, max_size=3) | st.dictionaries(st.text(max_size=8), inner, max_size=3),
)


@settings(max_examples=60, deadline=None)
@given(anything, st.sampled_from(KINDS))
def test_any_json_gives_a_record_or_a_record_error(data: Any, kind: type) -> None:
    if isinstance(data, dict):
        data = to_data(Want("w", "Orvany", "5 tor", 1893)) | data
    try:
        from_data(kind, data)
    except RecordError as error:
        is_a_sentence(error)


def test_small_records_stay_small() -> None:
    assert json.loads(dumps(Want("w1", "Orvany", "5 tor", 1893))) == {
        "id": "w1",
        "country": "Orvany",
        "denomination": "5 tor",
        "year": 1893,
        "quantity": 1,
    }
    assert len(dumps(Reading("5 tor 1893"))) < 60


def test_utc_is_kept() -> None:
    at = datetime(2026, 6, 1, 12, tzinfo=UTC)
    assert loads(Decision, dumps(Decision(0, "b", at, "undo", "", target="a"))).at.utcoffset() == timedelta(0)
