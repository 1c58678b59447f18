"""All that lots are judged against."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import datetime, timedelta
from decimal import Decimal

from watchlist.core.coins.catalogue import Catalogue
from watchlist.core.coins.issue import Issue
from watchlist.core.fees.terms import Terms
from watchlist.core.lots.record import Lot
from watchlist.core.marks.assumed import Assumed
from watchlist.core.marks.doubts import CertSeen
from watchlist.core.marks.signs import Signs
from watchlist.core.marks.valuation import Market
from watchlist.core.marks.wants import WantIndex
from watchlist.core.marks.weighing import Spec
from watchlist.core.money.amount import Rates
from watchlist.core.prices.traits import Traits


@dataclass(frozen=True, slots=True)
class Context:
    """All that lots are judged against, made once for many lots."""

    catalogue: Catalogue
    wants: WantIndex
    market: Market
    rates: Rates
    """Holds the home currency."""
    signs: Signs
    now: datetime
    """Aware."""
    terms: Mapping[str, Terms] = field(default_factory=dict)
    """By the venue's name."""
    specs: Sequence[Spec] = ()
    bargain_at: Decimal = Decimal("0.80")
    """A Bargain is worth its cost over this."""
    bargain_chance: float = 0.36
    """Least chance that a Bargain is genuine and worth that."""
    every: timedelta = timedelta(days=1)
    """Time from one usual gather to the next."""
    assumed: Assumed | None = None
    """What venues without terms are taken to charge; None: their prices count bare, and make no Bargain."""
    max_ratio: Decimal = Decimal(4)
    kind: str = "all-in"
    """What a band means: `all-in` or `hammer`."""
    certs: Callable[[str, str, str], Sequence[CertSeen]] = lambda *_: ()
    """(number, service, key of the lot to leave out) to where the number was seen before."""
    same_issue: Callable[[Lot, Issue], int] = lambda *_: 0
    """Other open lots of the issue by the lot's seller."""
    learned: Callable[[Lot, Issue], float] = lambda *_: 0.0
    """Log odds learned from outcomes with the seller and issue."""
    dismissed: Callable[[str], Mapping[str, str]] = lambda _: {}
    """Key of a lot to the names of its signs that the person has dismissed, each with the note."""
    traits: Traits | None = None
    """What moves a value beyond the grade; None: nothing does."""
    gathered: Callable[[str], datetime | None] = lambda _: None
    """Name of a source to when it last answered; a lot not seen then may be gone."""
    short: Callable[[Lot], tuple[float, ...] | None] = lambda _: None
    """Shares of 0, 1 and 2 steps by which the lot's seller over-grades, where outcomes tell them."""
