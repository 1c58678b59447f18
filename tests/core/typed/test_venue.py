"""A venue's terms from what is typed."""

from __future__ import annotations

from contextlib import suppress
from dataclasses import replace
from decimal import Decimal

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from watchlist.core.fees.ladders import TermsError
from watchlist.core.fees.premiums import Premium
from watchlist.core.fees.terms import Terms
from watchlist.core.money.codes import known_codes
from watchlist.core.typed.venue import terms_from, words_of
from watchlist.core.typed.words import TypedError
from watchlist.words import load

CODES = known_codes(load()["money"])
VESSICK = Terms("Vessick", "GBP", "marketplace", Premium("flat", Decimal(15)), card_pct=Decimal(3), tax_shipping=True)
TIERS = replace(VESSICK, premium=replace(Premium.from_text("0:25; 5000:20"), minimum=Decimal(5)))


def typed(said: dict[str, str], before: Terms | None = None) -> Terms:
    return terms_from(said, before, home="EUR", codes=CODES)


def test_a_new_venue_charges_what_is_typed_in_home_currency() -> None:
    assert typed({"venue": "Vessick", "shipping": "6", "duty_pct": ""}) == Terms("Vessick", "EUR", shipping=Decimal(6))
    assert typed({"venue": "Vessick", "currency": ""}).currency == "EUR"


def test_what_is_not_named_stays() -> None:
    assert typed({}, VESSICK) == VESSICK
    assert typed({}, TIERS) == TIERS
    assert typed({"shipping": "6"}, VESSICK) == replace(VESSICK, shipping=Decimal(6))
    assert typed({"payment_fee_pct": ""}, VESSICK) == replace(VESSICK, card_pct=Decimal(0))


def test_one_rate_takes_the_place_of_tiers_and_the_least_premium_stays() -> None:
    assert typed({"premium_pct": "22"}, TIERS).premium == Premium("flat", Decimal(22), Decimal(5))
    assert typed({"premium_pct": "22", "min_premium": ""}, TIERS).premium == Premium("flat", Decimal(22))
    assert typed({"premium_pct": "0:30; 1000:20"}, VESSICK).premium.kind == "tiers_marginal"


@pytest.mark.parametrize("terms", [VESSICK, TIERS], ids=["one rate", "tiers"])
def test_terms_come_back_from_their_own_words(terms: Terms) -> None:
    assert typed(words_of(terms)) == terms


@pytest.mark.parametrize("name", ["", "  ", "Vessick\x1b[31m", "Vessick\nHouse"])
def test_a_venue_has_a_name_on_one_line(name: str) -> None:
    with pytest.raises(TypedError, match="A venue needs a name on one line"):
        typed({"venue": name})


@pytest.mark.parametrize(
    ("said", "why"),
    [
        ({"currency": "QQQ"}, "Vessick: QQQ is not a valid currency"),
        ({"kind": "shop"}, "is not a valid kind of venue"),
        ({"premium_pct": "abc"}, "under premium_pct is not a valid number"),
        ({"shipping": "1.250"}, "can be read two ways"),
        ({"duty_pct": "101"}, "is above 100 per cent"),
        ({"tax_on_shipping": "maybe"}, "is neither yes nor no"),
        ({"time_zone": "Mars"}, "the time zone 'Mars' is not known"),
        ({"checked": "yesterday"}, "under checked is not a valid day"),
        ({"bid_steps": "x"}, "Vessick: "),
    ],
)
def test_a_term_that_cannot_be_read_names_the_venue(said: dict[str, str], why: str) -> None:
    with pytest.raises(TermsError) as refused:
        typed({"venue": "Vessick", **said})
    assert why in str(refused.value)


FIELDS = sorted({*words_of(VESSICK), "premium", "premium_pct", "min_premium", "bid_steps", "checked", "time_zone"})


@settings(max_examples=80, deadline=None)
@given(st.dictionaries(st.sampled_from(FIELDS), st.text(max_size=10)), st.sampled_from([None, VESSICK, TIERS]))
def test_any_words_give_terms_or_one_sentence(said: dict[str, str], before: Terms | None) -> None:
    with suppress(TypedError, TermsError):
        assert typed(said, before).venue
