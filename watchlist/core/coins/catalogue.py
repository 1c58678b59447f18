"""Issues and the catalogue: what each piece is. A series is country, denomination and type; an issue adds year, mint,
variety."""

from __future__ import annotations

from watchlist.core.coins.index import Index
from watchlist.core.coins.issue import Issue, coin_date, implied_issue
from watchlist.core.coins.matching import Match, match
from watchlist.core.coins.typedcoin import Canonical, Found, find_coin
from watchlist.core.reading.record import Reading

__all__ = ["Catalogue", "Found", "Issue", "Match", "coin_date", "implied_issue"]


class Catalogue(Index):
    """All issues of a shelf: look-ups, the issue of a reading, the issue of a typed coin."""

    def match(self, reading: Reading) -> Match:
        """The issue that a reading means; what the title leaves open the catalogue resolves, and says so."""
        return match(self, reading)

    def find_coin(self, text: str, canonical: Canonical | None = None) -> Found:
        """The issue that a typed coin (`Orvany 5 tor 1893-M`) or an issue key means. Never raises.

        `canonical` spells a denomination of a country as the reader does, for words that only its lists know."""
        return find_coin(self, text, canonical)
