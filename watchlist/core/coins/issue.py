"""One issue of a catalogue, and its name in words."""

from __future__ import annotations

import re
import unicodedata
from dataclasses import dataclass
from functools import lru_cache


@dataclass(frozen=True, slots=True)
class Issue:
    """One issue with its specification; what the catalogue does not say is None or empty."""

    key: str
    """The catalogue's own key, unique in a shelf."""
    country: str
    denomination: str
    """Plain lower-case words, number first, singular unit: `5 mark`, `half dollar`."""
    year: int
    """Western year; negative before the common era."""
    mint: str = ""
    """Mint mark as on the piece; empty is the main mint, without a mark."""
    variety: str = ""
    type: str = ""
    mintage: int | None = None
    metal: str = ""
    """As the catalogue writes it: `silver .835`, `Cu75Ni25`."""
    weight_g: float | None = None
    diameter_mm: float | None = None
    thickness_mm: float | None = None
    weight_tolerance_g: float | None = None
    """Absolute tolerance of one piece, by the statute in force."""
    copied: bool = False
    """The catalogue says that counterfeits or alterations of this issue are known."""
    note: str = ""
    implied: bool = False
    """Not from a catalogue: known only from a want or a price realised."""

    @property
    def series(self) -> tuple[str, str, str]:
        """Country, denomination and type, folded for comparison."""
        return (self.country.casefold(), self.denomination, self.type.casefold())

    @property
    def date(self) -> str:
        """Year and mint mark as the trade writes them: `1893-M`, `1893`, `44 BC`."""
        return coin_date(self.year, self.mint)

    @property
    def name(self) -> str:
        """The issue in words: `Orvany 5 tor 1893-M, wide date`."""
        words = " ".join(filter(None, (self.country, self.denomination, self.date)))
        return f"{words}, {self.variety}" if self.variety else words


def coin_date(year: int, mint: str | None = "") -> str:
    """Year and mint mark in one word."""
    text = str(year) if year > 0 else f"{-year} BC"
    return f"{text}-{mint}" if mint else text


_BETWEEN = re.compile(r"[^a-z0-9/]+")


@lru_cache(maxsize=16_384)
def bare_words(text: str) -> str:
    """Lower case, without accents, words one blank apart: two spellings of one name compare equal."""
    if text.isascii():  # most are, and it takes a tenth of the time
        return _BETWEEN.sub(" ", text.lower()).strip()
    bare = "".join(c for c in unicodedata.normalize("NFKD", text) if not unicodedata.combining(c))
    return " ".join("".join(c if c.isalnum() or c == "/" else " " for c in bare.casefold()).split())


def implied_issue(country: str, denomination: str, year: int, mint: str | None = "", variety: str | None = "") -> Issue:
    """An issue that no catalogue lists but a want or a price realised names; its key is its name."""
    issue = Issue("", country, denomination, year, mint or "", variety or "", implied=True)
    return Issue(issue.name, country, denomination, year, mint or "", variety or "", implied=True)
