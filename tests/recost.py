"""What a set of bids costs if all win, worked out anew from rows of terms alone, in whole cents and fractions.

Independent of the package: it imports nothing of it. A row has the columns of a terms file; a bid is (lot, venue, sale,
hammer). Lots of one venue and sale go into one parcel where `ships_together` says so."""

from __future__ import annotations

import json
from collections import defaultdict
from collections.abc import Iterable, Mapping
from fractions import Fraction
from math import floor

Row = Mapping[str, str]


def half_up(amount: Fraction) -> int:
    """Whole cents."""
    return floor(amount + Fraction(1, 2))


def cents(text: str) -> int:
    return half_up(Fraction(text or "0") * 100)


def pct(amount: int, row: Row, column: str) -> int:
    return half_up(Fraction(amount) * Fraction(row.get(column) or "0") / 100)


def premium(row: Row, hammer: int) -> int:
    least = cents(row.get("min_premium", ""))
    if not row.get("premium"):
        return max(pct(hammer, row, "premium_pct"), least)
    tiers = json.loads(row["premium"])
    edges = [(None if upto is None else cents(upto), Fraction(rate)) for upto, rate in tiers["tiers"]]
    if tiers["kind"] == "tiers_whole":
        rate = next((rate for upto, rate in edges if upto is None or hammer <= upto), edges[-1][1])
        return max(half_up(hammer * rate / 100), least)
    total, low = Fraction(0), 0
    for n, (upto, rate) in enumerate(edges):
        top = hammer if upto is None or n == len(edges) - 1 else min(hammer, upto)
        total += max(top - low, 0) * rate / 100
        low = top
    return max(half_up(total), cents(tiers.get("min", "0")), least)


def parcel(row: Row, hammers: Iterable[int], units: Fraction) -> int:
    """One parcel in cents of home currency; `units`: of the sale's currency for one home unit."""
    lots = list(hammers)
    hammer, fees = sum(lots), [premium(row, each) for each in lots]
    internet = sum(pct(each, row, "internet_fee_pct") for each in lots)
    price = hammer + sum(fees)
    post = cents(row.get("shipping", "")) + (len(lots) - 1) * cents(row.get("shipping_more", ""))
    insurance = max(pct(price, row, "insurance_pct"), cents(row.get("min_insurance", "")))
    duty = pct(price, row, "duty_pct")
    total = (
        price + internet + pct(sum(fees) + internet, row, "vat_on_premium_pct") + pct(hammer, row, "vat_on_hammer_pct")
        + post + insurance + duty
        + pct(price + (post if row.get("tax_on_shipping") else 0), row, "sales_tax_pct")
        + pct(price + post + insurance + (duty if row.get("duty_in_import_vat") else 0), row, "import_vat_pct")
        + cents(row.get("handling", ""))
    )  # fmt: skip
    home = half_up(Fraction(total) / units)
    return home + pct(home, row, "payment_fee_pct") + cents(row.get("payment_fee", ""))


def plan(rows: Mapping[str, Row], units: Mapping[str, Fraction], bids: Iterable[tuple[str, str, str, str]]) -> int:
    """All bids together in cents of home currency, if every one wins at its bid."""
    parcels: dict[tuple[str, ...], list[int]] = defaultdict(list)
    for lot, venue, sale, hammer in bids:
        together = rows[venue].get("ships_together") == "sale"
        parcels[(venue, sale) if together else (venue, sale, lot)].append(cents(hammer))
    return sum(parcel(rows[names[0]], lots, units[rows[names[0]]["currency"]]) for names, lots in parcels.items())
