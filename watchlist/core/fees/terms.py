"""A venue's terms: fees, taxes, post, increments, currency, time zone. The arithmetic stands in `costs`."""

from __future__ import annotations

from dataclasses import dataclass, fields
from datetime import date
from decimal import Decimal
from typing import Any
from zoneinfo import ZoneInfo

from watchlist.core.fees.ladders import Ladder, TermsError, common_practice
from watchlist.core.fees.postage import PostSteps
from watchlist.core.fees.premiums import NONE, NOUGHT, Premium, no_negative
from watchlist.core.fees.together import Together, together

KINDS = ("auction", "marketplace", "dealer", "club")
USUAL_HOURS = 24
"""Bids are asked for so many hours before a sale where the venue states nothing."""
AMOUNTS = (
    "shipping", "shipping_more", "min_insurance", "payment_fee", "handling", "duty_from", "import_vat_from",
    "sales_tax_from",
)  # fmt: skip
"""Fields that are amounts of money."""
UNSTATED = Ladder(((NOUGHT, Decimal(1)),), assumed=True)
"""Stands for increments that nobody stated: the common practice of the kind and currency takes its place."""


@dataclass(frozen=True, slots=True)
class Terms:
    """What a venue charges. Per cents are of 100; amounts are in the venue's currency. Defaults charge nothing."""

    venue: str
    currency: str
    kind: str = "auction"
    """auction, marketplace, dealer or club."""
    premium: Premium = NONE
    internet_pct: Decimal = NOUGHT
    """On the hammer; taxed like the premium."""
    vat_fees_pct: Decimal = NOUGHT
    """On premium and internet fee."""
    vat_hammer_pct: Decimal = NOUGHT
    shipping: Decimal = NOUGHT
    insurance_pct: Decimal = NOUGHT
    """On hammer and premium."""
    sales_tax_pct: Decimal = NOUGHT
    """On hammer and premium, and on post where `tax_shipping`."""
    tax_shipping: bool = False
    duty_pct: Decimal = NOUGHT
    """On hammer and premium."""
    import_vat_pct: Decimal = NOUGHT
    """On hammer, premium, postage and insurance."""
    duty_in_import_vat: bool = False
    """The import VAT is also on the duty; only where the terms say so."""
    handling: Decimal = NOUGHT
    card_pct: Decimal = NOUGHT
    """For paying, on the converted sum."""
    ladder: Ladder = UNSTATED
    """The increments; not stated, the common practice of the kind and currency, marked as assumed."""
    time_zone: str = ""
    """IANA name; empty when not stated."""
    checked: date | None = None
    """The day the person last compared them with the venue's own terms."""
    post_steps: PostSteps | None = None
    """Postage by steps of a parcel's value or weight; takes the place of `shipping`."""
    shipping_more: Decimal = NOUGHT
    """Postage for each further lot of a parcel."""
    min_insurance: Decimal = NOUGHT
    """The least insurance of a parcel."""
    payment_fee: Decimal = NOUGHT
    """For each payment, in home currency, after the card fee."""
    vat_imported_pct: Decimal = NOUGHT
    """On the hammer of lots marked as imported."""
    duty_from: Decimal = NOUGHT
    """Duty only where a parcel's hammer and premium are above it."""
    import_vat_from: Decimal = NOUGHT
    """Import VAT only where a parcel's hammer and premium are above it."""
    sales_tax_from: Decimal = NOUGHT
    """Sales tax only where a parcel's hammer and premium are above it."""
    ships_together: str = ""
    """Which lots go into one parcel: `sale`, `days:N`, `no`; empty when not stated."""
    pay_days: int | None = None
    """Days from the invoice within which one pays."""
    return_days: int | None = None
    """Days from arrival within which a piece may go back."""
    guarantee_days: int | None = None
    """Days from arrival for which the venue answers for a piece."""
    bids_by: int | None = None
    """Hours before the sale by which bids have to be there."""
    or_bids: bool = False
    """The venue takes either-or bids on one sheet."""

    def __post_init__(self) -> None:
        shares = [getattr(self, f.name) for f in fields(self) if f.name.endswith("_pct")]
        no_negative(self.venue, (*shares, *(getattr(self, name) for name in AMOUNTS)))
        if self.kind not in KINDS:
            raise TermsError(
                f"{self.venue}: {self.kind!r} is not a valid kind of venue: write one of {', '.join(KINDS)}."
            )
        if self.time_zone and not known_zone(self.time_zone):
            raise TermsError(f"{self.venue}: the time zone {self.time_zone!r} is not known; write Europe/Berlin or so.")
        try:
            together(self.ships_together, self.kind)
        except TermsError as error:
            raise TermsError(f"{self.venue}: {error}") from None
        if self.ladder.assumed:
            object.__setattr__(self, "ladder", common_practice(self.kind, self.currency))

    @property
    def together(self) -> Together:
        """Which lots share a parcel."""
        return together(self.ships_together, self.kind)

    @property
    def hours_before(self) -> int:
        """Hours before the sale by which bids have to be there."""
        return USUAL_HOURS if self.bids_by is None else self.bids_by


def known_zone(name: str) -> bool:
    """Whether the IANA zone database of this machine has the name."""
    try:
        ZoneInfo(name)
    except (ValueError, OSError, LookupError):  # `../x`, a folder of the database such as `Europe`, no such zone
        return False
    return True


def terms_to_json(terms: Terms) -> dict[str, Any]:
    """The terms as plain JSON values; an assumed ladder is left out, for it follows from kind and currency."""
    data: dict[str, Any] = {}
    for f in fields(terms):
        value = getattr(terms, f.name)
        if isinstance(value, Decimal):
            data[f.name] = f"{value:f}"
        elif isinstance(value, date):
            data[f.name] = value.isoformat()
        elif isinstance(value, Premium):
            data[f.name] = value.json()
        elif isinstance(value, PostSteps):
            data[f.name] = str(value)
        elif isinstance(value, Ladder):
            data[f.name] = None if value.assumed else str(value)
        else:
            data[f.name] = value
    return data
