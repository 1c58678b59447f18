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
    ("vat_imported_pct", "VAT {}% on the hammer of lots marked as imported"),
    ("insurance_pct", "Insurance {}% of hammer and premium"),
    ("sales_tax_pct", "Sales tax {}%"),
    ("duty_pct", "Duty {}%"),
    ("import_vat_pct", "Import VAT {}%"),
    ("card_pct", "Card fee {}% of the sum in your home currency"),
)
_FREE = {
    "sales_tax_pct": "sales_tax_from",
    "duty_pct": "duty_from",
    "import_vat_pct": "import_vat_from",
}
"""The threshold of each tax that has one."""
_SHOWN_STEPS = 6


def describe(terms: Terms) -> list[str]:
    """The terms line by line; what was assumed and what is not stated is said."""
    lines = [f"{terms.venue}: {terms.kind}, {terms.currency}", _premium(terms)]
    for name, words in _SHARES:
        share: Decimal = getattr(terms, name)
        if share:
            lines.append(words.format(_short(share)) + _more(terms, name))
    lines += [*_postage(terms), *_once(terms), _together(terms), *_days(terms)]
    lines.append(_increments(terms))
    lines.append(f"Time zone {terms.time_zone}" if terms.time_zone else "Time zone not stated")
    lines.append(f"Checked {terms.checked}" if terms.checked else "Never checked against the venue's own terms")
    return lines


def _more(terms: Terms, name: str) -> str:
    """What is said beside a share: what else it is on, and up to which value there is none."""
    free: Decimal = getattr(terms, _FREE[name]) if name in _FREE else Decimal(0)
    post = ", also on postage" if name == "sales_tax_pct" and terms.tax_shipping else ""
    least = f", at least {Money(terms.min_insurance, terms.currency)} a parcel" if terms.min_insurance else ""
    none = f", none on a parcel up to {Money(free, terms.currency)} (hammer and premium)" if free else ""
    return post + (least if name == "insurance_pct" else "") + none


def _postage(terms: Terms) -> list[str]:
    if terms.post_steps is not None:
        unit = terms.currency if terms.post_steps.by == "value" else "g"
        steps = ", ".join(
            f"{Money(amount, terms.currency)} from {_short(start)} {unit}" for start, amount in terms.post_steps.steps
        )
        first = f"Postage of a parcel {steps}"
    else:
        first = f"Postage {Money(terms.shipping, terms.currency)}" if terms.shipping else ""
    more = f"{Money(terms.shipping_more, terms.currency)} for each further lot" if terms.shipping_more else ""
    return [", ".join(filter(None, (first or ("Postage" if more else ""), more)))] if first or more else []


def _once(terms: Terms) -> list[str]:
    """What is paid once a parcel or a payment."""
    lines = [f"Handling {Money(terms.handling, terms.currency)} a parcel"] if terms.handling else []
    if terms.min_insurance and not terms.insurance_pct:
        lines.append(f"Insurance {Money(terms.min_insurance, terms.currency)} a parcel")
    if terms.payment_fee:
        lines.append(f"{_short(terms.payment_fee)} in your home currency for each payment, after the card fee")
    return lines


def _together(terms: Terms) -> str:
    rule = terms.together
    words = {
        "sale": "Lots of one sale travel in one parcel",
        "days": f"Lots that close within {rule.days} days of the first travel in one parcel",
        "no": "Each lot travels alone",
    }[rule.rule]
    return words + (" (assumed: not stated; costs count each lot alone)" if rule.assumed else "")


def _days(terms: Terms) -> list[str]:
    counts = (
        (terms.pay_days, "Pay within {} days of the invoice"),
        (terms.return_days, "Returns within {} days of arrival"),
        (terms.guarantee_days, "Answers for a piece for {} days from arrival"),
        (terms.bids_by, "Bids by {} hours before the sale"),
    )
    lines = [words.format(days) for days, words in counts if days is not None]
    return [*lines, "Takes either-or bids on one sheet"] if terms.or_bids else lines


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
    basis = "tiered" if premium.kind == "tiers_marginal" else "on the whole price"
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
