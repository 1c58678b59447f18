"""A venue's terms from what is typed, new or put over those it has."""

from __future__ import annotations

from collections.abc import Collection, Mapping

from watchlist.core.clean import clean
from watchlist.core.fees.row import terms_from_row, terms_to_row
from watchlist.core.fees.terms import Terms
from watchlist.core.typed.words import TypedError


def words_of(terms: Terms) -> dict[str, str]:
    """The terms as a person types them, tiers in words: `terms_from` reads them back."""
    row = terms_to_row(terms)
    if row.pop("premium", ""):
        row |= {"premium_pct": terms.premium.text(), "min_premium": f"{terms.premium.minimum.normalize():f}"}
    return row


def terms_from(
    said: Mapping[str, str], before: Terms | None = None, *, home: str, codes: Collection[str] | None = None
) -> Terms:
    """The terms as said; a field that is not named stays as `before` has it, an empty one charges nothing.

    Raises TypedError for a venue without a name, TermsError for a field that cannot be read."""
    kept = terms_to_row(before) if before else {}
    if before and "premium_pct" in said and kept.pop("premium", ""):
        # One rate, or tiers in the words of a person, take the place of the tiers; the least premium stays.
        kept["min_premium"] = f"{before.premium.minimum:f}"
    row = {name: text for name, text in {**kept, **said}.items() if text}
    name = row.get("venue", "")
    if not name.strip() or name != clean(name):
        raise TypedError("A venue needs a name on one line")
    return terms_from_row({"currency": home, **row}, codes=codes)
