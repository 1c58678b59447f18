"""Rows of venues' terms."""

from __future__ import annotations

from datetime import date
from decimal import Decimal

from tests.core.made_imports import context, table
from watchlist.core.imports.driver import take
from watchlist.core.imports.kinds import KINDS


def test_terms() -> None:
    read = take(
        KINDS["terms"],
        table(
            "Auktionshaus;Art;Währung;Aufgeld;Mindestaufgeld;Versand;tax_on_shipping;bid_steps;time_zone;checked\n"
            "Lindmoor Sales;Auktion;€;20;5;12,50;ja;0:5;Europe/Berlin;1.2.2026\n"
            "Ostrell Coins;Händler;GBP;;;3;;;;\n"
            "Odd;Auktion;EUR;abc;;;;;;\n",
            "terms",
        ),
        context(),
    )
    first, second = read.records
    assert (first.venue, first.kind, first.currency, first.premium.pct, first.premium.minimum, first.shipping) == (
        "Lindmoor Sales",
        "auction",
        "EUR",
        Decimal(20),
        Decimal(5),
        Decimal("12.50"),
    )
    assert (first.tax_shipping, first.time_zone, first.checked) == (True, "Europe/Berlin", date(2026, 2, 1))
    assert (second.kind, second.currency) == ("dealer", "GBP")
    assert str(read.set_aside[0]).startswith("line 4: Odd: ")


def test_terms_with_tiers_as_json() -> None:
    cell = '"{""kind"": ""tiers_marginal"", ""tiers"": [[5000, 25], [null, 20]]}"'
    read = take(KINDS["terms"], table(f"venue,currency,premium\nLindmoor Sales,EUR,{cell}\n", "terms"), context())
    assert read.records[0].premium.kind == "tiers_marginal"
