"""Whether a title says enough, and whether prices are enough, for a mark to be made."""

from __future__ import annotations

from decimal import Decimal

from watchlist.core.coins.matching import Match
from watchlist.core.coins.varietywords import VarietyWords
from watchlist.core.marks.reasons import figure
from watchlist.core.marks.strikes import strikes_of
from watchlist.core.prices.record import Band
from watchlist.core.reading.record import Reading


def unclear(reading: Reading, match: Match, band: Band | None, tongues: VarietyWords) -> str:
    """Why a title is unclear; empty when it is clear."""
    if reading.multiple:
        return "Several pieces in one lot."
    if len(match.candidates) > 1:
        return match.why or "The title leaves the issue open."
    two = {"country", "denomination", "year", "grade"} & {name for name, _ in reading.alternatives}
    two |= {"denomination", "year"} & set(reading.unsure)
    if two:
        return f"Two readings are possible: {', '.join(sorted(two))}."
    if match.issue is None and not _read_but_unlisted(reading, tongues):
        return match.why or "The title names no coin of the catalogue."
    if reading.kind == "coin" and reading.grade_low is None and (band is None or band.basis != "own"):
        return "The title gives no grade."
    return ""


def _read_but_unlisted(reading: Reading, tongues: VarietyWords) -> bool:
    """The title says well what the piece is; the catalogue does not list it. That is no fault of the title."""
    named = reading.denomination is not None and reading.year is not None
    if reading.kind == "other" or (strikes_of(reading, tongues) and reading.denomination is not None):
        return False  # no coin, or another strike than the coin whose value and date it carries
    return reading.kind in ("medal", "token", "bar") or (named and not reading.unsure)


def few_sales(band: Band | None, match: Match, most: Decimal) -> str:
    """Why prices are too few for a mark; empty when they are not."""
    if band is None:
        return match.why if match.issue is None and match.why else "No band: no prices of this issue or its series."
    if band.basis != "own" and Decimal(band.ratio) > most:
        return f"The band is too wide to judge by: worth {figure(band.low)} to {figure(band.high)} {band.currency}."
    return ""
