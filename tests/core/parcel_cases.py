"""The worked cases of `parcel_examples.jsonl`: parcels, shares, plans. Each was worked out twice outside this project,
by Decimal sums and in whole cents, by dynamic program and by brute force."""

from __future__ import annotations

import json
from collections.abc import Mapping
from dataclasses import fields
from decimal import Decimal
from pathlib import Path
from typing import Any

from watchlist.core.fees.ladders import Ladder
from watchlist.core.fees.premiums import Premium
from watchlist.core.fees.terms import Terms
from watchlist.core.fees.working import Hammered
from watchlist.core.parcels.costs import Exchange

HOME = "EUR"
CASES = [
    json.loads(line)
    for line in (Path(__file__).parents[1] / "data" / "parcel_examples.jsonl").read_text("utf-8").splitlines()
]


def cases(*kinds: str) -> list[dict[str, Any]]:
    found = [case for case in CASES if case["kind"] in kinds]
    assert found
    return found


def terms_of(data: Mapping[str, Any], currency: str, venue: str = "Lindmoor Auctions", steps: str = "") -> Terms:
    given = dict(data)
    given["payment_fee"] = given.pop("payment_fee_home", 0)
    made: dict[str, Any] = {f.name: given[f.name] for f in fields(Terms) if f.name in given}
    for f in fields(Terms):
        if f.type == "Decimal" and f.name in made:
            made[f.name] = Decimal(made[f.name])
    if "premium" in made:
        made["premium"] = Premium.from_json(made["premium"])
    if steps:
        made["ladder"] = Ladder.parse(steps)
    return Terms(venue=venue, currency=currency, **made)


def exchange(data: Mapping[str, Any], currency: str) -> Exchange:
    if "fx" in data:
        return Exchange(HOME if currency != HOME else "GBP", Decimal(data["fx"]))
    return Exchange(currency)


def hammered(amounts: list[str]) -> list[Hammered]:
    return [Hammered(Decimal(amount)) for amount in amounts]
