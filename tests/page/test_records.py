"""Records as JSON: what stands at the end of a path, and what it is as plain JSON."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import UTC, date, datetime
from decimal import Decimal

from watchlist.core.money.amount import Money
from watchlist.page.records import plain, told, value_at


@dataclass(frozen=True)
class Inner:
    price: Money | None


@dataclass(frozen=True)
class Outer:
    inner: Inner | None
    words: tuple[str, ...] = ()


PRICED = Outer(Inner(Money(Decimal("12.5"), "EUR")), ("a", "b"))


def test_what_is_not_known_on_the_way_is_none() -> None:
    assert value_at(PRICED, "inner.price.currency") == "EUR"
    assert value_at(Outer(None), "inner.price.currency") is None
    assert value_at(Outer(Inner(None)), "inner.price.currency") is None


def test_values_as_json_holds_them() -> None:
    assert told(PRICED, {"cost": "inner.price", "said": "words"}) == {
        "cost": {"amount": "12.50", "currency": "EUR"},
        "said": ["a", "b"],
    }
    assert plain(datetime(2026, 11, 25, 9, tzinfo=UTC)) == "2026-11-25T09:00:00+00:00"
    assert plain(date(2026, 11, 25)) == "2026-11-25"
    assert (plain(None), plain(3), plain("x")) == (None, 3, "x")
