"""One lot as it is kept: what its source says of it."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from typing import Literal

from watchlist.core.fees.working import TaxSign
from watchlist.core.money.amount import Money

PriceKind = Literal["fixed", "so far", "estimate", "ended"]


NOT_SOLD = "not sold"
"""How the note on the price of a lot begins whose source says that nobody bought it."""
NO_BID = "no bid seen: this is the start price"
"""Note on a price so far that nobody has bid yet."""


@dataclass(frozen=True, slots=True)
class Lot:
    """One lot as last seen. What the source does not say is None or empty, with a note where it was unreadable."""

    key: str
    """`source:id`, unique in a shelf."""
    source: str
    id: str
    """The source's own id."""
    venue: str
    """Name of the venue, or empty when the source has none."""
    title: str
    description: str = ""
    link: str = ""
    seller: str = ""
    feedback: int | None = None
    """How many ratings the seller has, when given."""
    price: Money | None = None
    price_kind: PriceKind | None = None
    price_note: str = ""
    """Why the price is unknown, or what was assumed (currency, decimal mark)."""
    estimate_high: Money | None = None
    closes: datetime | None = None
    """Aware closing time in UTC; None when unknown or a fixed-price piece."""
    closes_text: str = ""
    """The source's own words for the closing time."""
    closes_note: str = ""
    """Why the closing time is unknown, or what was assumed (zone, order of day and month)."""
    weight_g: float | None = None
    """Weight stated by the seller, grams."""
    weight_step_g: float | None = None
    """Rounding of the stated figure: 25.8 has step .1."""
    quantity: int = 1
    sale: str = ""
    """Name of the sale, where the source gives one: lots of one sale may share a parcel."""
    tax: TaxSign = ""
    """How its own sign says it is taxed."""
    fields: tuple[tuple[str, str], ...] = ()
    """Known fields that bear on the reading (grade, year, mint, denomination, service, cert_number, country)."""
    first_seen: datetime | None = None
    last_seen: datetime | None = None

    @property
    def unsold(self) -> bool:
        """Its source says that nobody bought it."""
        return self.price is None and self.price_note.startswith(NOT_SOLD)

    @property
    def bid_seen(self) -> bool:
        """Somebody has bid its price: it is the current bid, or the last one; a start price is not."""
        return self.price is not None and self.price_kind in ("so far", "ended") and NO_BID not in self.price_note
