"""The order of working: from the hammer prices of one parcel to what it costs, line by line."""

from __future__ import annotations

from collections.abc import Sequence
from decimal import Decimal
from typing import Literal, NamedTuple

from watchlist.core.fees.ladders import TermsError
from watchlist.core.fees.terms import Terms
from watchlist.core.money.amount import cents

TaxSign = Literal["", "margin", "full", "import"]
"""How a lot is taxed by its own sign: margin scheme, VAT on the whole price, imported; empty: as the terms say."""
HOME_LINES = frozenset({"converted", "card_fee", "payment_fee", "all_in"})
"""Lines in home currency; the others are in the sale's."""
NOUGHT = Decimal(0)


class Hammered(NamedTuple):
    """One lot of a parcel."""

    hammer: Decimal
    """In the sale's currency."""
    tax: TaxSign = ""
    grams: Decimal = NOUGHT
    """Counts where the postage goes by weight; 0 when it is not known."""


def share(amount: Decimal, pct: Decimal) -> Decimal:
    """A percentage of an amount, rounded half up to the cent."""
    return cents(amount * pct / 100) if pct else pct


def worked(terms: Terms, lots: Sequence[Hammered], factor: Decimal) -> list[tuple[str, Decimal]]:
    """The lines in the order of working, each rounded half up to the cent; the last is the all-in cost.

    Premium and internet fee are those of each lot, then added; taxes, postage, insurance and fees stand once on the
    sums. `factor`: home units for one of the sale's currency. Raises TermsError for a hammer price below 0."""
    hammer = premium = internet = NOUGHT
    for lot in lots:
        if lot.hammer < 0:
            raise TermsError("A hammer price cannot be below 0.")
        price = cents(lot.hammer)
        hammer += price
        premium += terms.premium.of(price)
        internet += share(price, terms.internet_pct)
    price = hammer + premium
    post = _post(terms, lots, price)
    insurance = max(share(price, terms.insurance_pct), cents(terms.min_insurance))
    duty = share(price, terms.duty_pct) if price > terms.duty_from else NOUGHT
    fees = (
        ("premium", premium),
        ("internet_surcharge", internet),
        ("vat_on_fees", share(premium + internet, terms.vat_fees_pct)),
        *_vat_on_hammer(terms, lots),
        ("shipping", post),
        ("insurance", insurance),
        ("sales_tax", _sales_tax(terms, price, post)),
        ("duty", duty),
        ("import_vat", _import_vat(terms, price, post + insurance, duty)),
        ("handling_fixed", cents(terms.handling)),
    )
    total = sum((fee for _, fee in fees), hammer)
    return [("hammer", hammer), *(line for line in fees if line[1]), *_paid(terms, total, factor)]


def _post(terms: Terms, lots: Sequence[Hammered], price: Decimal) -> Decimal:
    if terms.post_steps is None:
        first = terms.shipping
    else:
        first = terms.post_steps.of(price, sum((lot.grams for lot in lots), NOUGHT))
    return cents(first + (len(lots) - 1) * terms.shipping_more)


def _vat_on_hammer(terms: Terms, lots: Sequence[Hammered]) -> tuple[tuple[str, Decimal], ...]:
    """VAT on hammer prices by each lot's own sign; a lot without one is taxed as the terms say."""
    if terms.vat_hammer_pct == 0 and not any(lot.tax for lot in lots):
        return ()
    rate = terms.vat_hammer_pct or terms.vat_fees_pct
    full = [cents(lot.hammer) for lot in lots if lot.tax == "full" or (not lot.tax and terms.vat_hammer_pct)]
    imported = [cents(lot.hammer) for lot in lots if lot.tax == "import"]
    return (
        ("vat_on_hammer", share(sum(full, NOUGHT), rate)),
        ("vat_on_imported", share(sum(imported, NOUGHT), terms.vat_imported_pct)),
    )


def _sales_tax(terms: Terms, price: Decimal, post: Decimal) -> Decimal:
    if price <= terms.sales_tax_from and terms.sales_tax_from:
        return NOUGHT
    return share(price + post if terms.tax_shipping else price, terms.sales_tax_pct)


def _import_vat(terms: Terms, price: Decimal, carriage: Decimal, duty: Decimal) -> Decimal:
    if price <= terms.import_vat_from and terms.import_vat_from:
        return NOUGHT
    return share(price + carriage + (duty if terms.duty_in_import_vat else 0), terms.import_vat_pct)


def _paid(terms: Terms, total: Decimal, factor: Decimal) -> list[tuple[str, Decimal]]:
    """From the invoice to what leaves the account."""
    converted = total if factor == 1 else cents(total * factor)
    card, fee = share(converted, terms.card_pct), cents(terms.payment_fee)
    lines = [("total_sale_currency", total), ("converted", converted), ("card_fee", card), ("payment_fee", fee)]
    return [*lines[:2], *(line for line in lines[2:] if line[1]), ("all_in", converted + card + fee)]
