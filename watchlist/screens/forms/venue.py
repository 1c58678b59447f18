"""The form of a venue with its terms."""

from __future__ import annotations

from collections.abc import Mapping

from watchlist.core.fees.terms import Terms
from watchlist.core.typed.venue import words_of
from watchlist.desk.due import MARKET
from watchlist.desk.typed.venues import put_venue
from watchlist.screens.forms.form import Form, fields

HINTS = {
    "venue": "its name",
    "kind": "auction, marketplace, dealer or club",
    "currency": "EUR",
    "premium_pct": "20; tiers: 0:25; 5000:20 (whole 0:25; 1000:20: on the whole price)",
    "min_premium": "minimum premium per lot",
    "internet_fee_pct": "per cent of the hammer",
    "vat_on_premium_pct": "VAT on fees, per cent",
    "vat_on_hammer_pct": "per cent",
    "vat_on_imported_pct": "per cent, on lots marked as imported",
    "shipping": "postage of one lot: 9.80; by value 0:9.80; 500:15; by grams weight 0:4.50; 100:7",
    "shipping_more": "postage for each further lot of a parcel",
    "insurance_pct": "per cent",
    "min_insurance": "the least insurance of a parcel",
    "sales_tax_pct": "per cent",
    "sales_tax_from": "none up to this value of a parcel",
    "duty_pct": "per cent",
    "duty_from": "none up to this value of a parcel",
    "import_vat_pct": "per cent",
    "import_vat_from": "none up to this value of a parcel",
    "handling": "amount",
    "payment_fee_pct": "per cent of the sum in home currency",
    "payment_fee": "for each payment, home currency",
    "ships_together": "sale, days:7 or no: which lots share a parcel",
    "pay_days": "days from the invoice",
    "return_days": "days from arrival",
    "guarantee_days": "days from arrival",
    "bids_by": "hours before the sale; 24 if unsaid",
    "or_bids": "yes: it takes either-or bids on one sheet",
    "bid_steps": "0:5;100:10;500:25",
    "time_zone": "Europe/Berlin",
    "checked": "the day you compared these with the venue's own: 2026-11-25",
}


class VenueForm(Form):
    """A venue: Enter saves it, then prices and marks follow. Another name makes another venue."""

    TITLE = "Venue"

    def __init__(self, terms: Terms | None) -> None:
        self._over = terms.venue if terms else ""
        super().__init__(fields(HINTS, words_of(terms) if terms else {}), about=self._over)

    def keep(self, typed: Mapping[str, str]) -> None:
        """Keep it beside the screens; what follows is work of its own."""
        over = self._over

        def done(terms: Terms) -> None:
            self.close_form()
            kept = terms.venue
            first = f"; {over} stays as it was" if over not in ("", kept) else ""
            self.program.follow_ups.settle(MARKET)
            self.program.messages.say(f"{kept}: saved with its terms{first}. Press 5, then a, to add a source.")

        self.program.writer.write(
            f"Venue {typed.get('venue', '')}", lambda desk: put_venue(desk, typed, over), done, long=True
        )
