"""A venue's terms as one row with the plain columns of a terms file: what `terms_from_row` reads."""

from __future__ import annotations

import json
from decimal import Decimal

from watchlist.core.fees.terms import Terms

COLUMNS = {
    "internet_fee_pct": "internet_pct",
    "vat_on_premium_pct": "vat_fees_pct",
    "vat_on_hammer_pct": "vat_hammer_pct",
    "shipping": "shipping",
    "insurance_pct": "insurance_pct",
    "sales_tax_pct": "sales_tax_pct",
    "duty_pct": "duty_pct",
    "import_vat_pct": "import_vat_pct",
    "handling": "handling",
    "payment_fee_pct": "card_pct",
}
"""Column to field of Terms, for plain amounts and per cents."""


def terms_to_row(terms: Terms) -> dict[str, str]:
    """The row; what is nothing is left out, and so are increments that were never stated."""
    row = {"venue": terms.venue, "kind": terms.kind, "currency": terms.currency, "time_zone": terms.time_zone}
    row |= {column: _plain(getattr(terms, name)) for column, name in COLUMNS.items()}
    if terms.premium.kind == "flat":
        row |= {"premium_pct": _plain(terms.premium.pct), "min_premium": _plain(terms.premium.minimum)}
    else:
        row["premium"] = json.dumps(terms.premium.json())
    row |= {
        "tax_on_shipping": "yes" if terms.tax_shipping else "",
        "duty_in_import_vat": "yes" if terms.duty_in_import_vat else "",
        "bid_steps": "" if terms.ladder.assumed else str(terms.ladder),
        "checked": terms.checked.isoformat() if terms.checked else "",
    }
    return {name: text for name, text in row.items() if text}


def _plain(amount: Decimal) -> str:
    return f"{amount.normalize():f}" if amount else ""
