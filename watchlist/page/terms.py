"""A venue's terms in lines."""

from __future__ import annotations

from decimal import Decimal

from watchlist.core.fees.premiums import Premium
from watchlist.core.fees.terms import Terms
from watchlist.core.money.amount import Money

_SHARES = (
    ("internet_pct", "Internet fee {}% of the hammer"),
    ("vat_fees_pct", "VAT {}% on the fees"),
    ("vat_hammer_pct", "VAT {}% on the hammer"),
    ("insurance_pct", "Insurance {}% of hammer and premium"),
    ("sales_tax_pct", "Sales tax {}%"),
    ("duty_pct", "Duty {}%"),
    ("import_vat_pct", "Import VAT {}%"),
    ("card_pct", "Payment fee {}%"),
)
_SHOWN_STEPS = 6


def describe(terms: Terms) -> list[str]:
    """The terms line by line; what was assumed and what is not stated is said."""
    lines = [f"{terms.venue}: {terms.kind}, {terms.currency}", _premium(terms)]
    for name, words in _SHARES:
        share: Decimal = getattr(terms, name)
        if share:
            lines.append(words.format(_short(share)) + (", also on post" if _on_post(terms, name) else ""))
    for amount, what in ((terms.shipping, "Post"), (terms.handling, "Handling")):
        if amount:
            lines.append(f"{what} {Money(amount, terms.currency)}")
    lines.append(_increments(terms))
    lines.append(f"Time zone {terms.time_zone}" if terms.time_zone else "Time zone not stated")
    lines.append(f"Checked {terms.checked}" if terms.checked else "Never checked against the venue's own terms")
    return lines


def _on_post(terms: Terms, name: str) -> bool:
    return name == "sales_tax_pct" and terms.tax_shipping


def _premium(terms: Terms) -> str:
    premium = terms.premium
    least = f", at least {Money(premium.minimum, terms.currency)}" if premium.minimum else ""
    if premium.kind != "flat":
        return f"Premium {_tiers(premium)}{least}"
    if premium.pct or least:
        return f"Premium {_short(premium.pct)}%{least}"
    return "No buyer's premium" + (" stated" if terms.kind == "auction" else "")


def _tiers(premium: Premium) -> str:
    parts = [f"{_short(pct)}% " + ("above" if upto is None else f"to {upto:,f}") for upto, pct in premium.tiers]
    basis = "on each slice" if premium.kind == "tiers_marginal" else "on the whole price"
    return f"{', '.join(parts)}, {basis}"


def _increments(terms: Terms) -> str:
    steps = terms.ladder.steps
    shown = ", ".join(f"{_short(step)} from {_short(start)}" for start, step in steps[:_SHOWN_STEPS])
    more = " and so on" if len(steps) > _SHOWN_STEPS else ""
    assumed = " (assumed: common practice, the venue's own are not stated)" if terms.ladder.assumed else ""
    return f"Increments {shown}{more}{assumed}"


def _short(number: Decimal) -> str:
    text = f"{number:,f}"
    return text.rstrip("0").rstrip(".") if "." in text else text
