"""Strikes that are another issue than the plain coin of their date, and things that are not coins.

A restrike, a pattern or a mint's error is worth something else than the coin whose date it carries, more or less. Where
the catalogue lists it, it is that issue; where not, it is priced as nothing. A small variety of the die (a wide date, a
stop less) that the catalogue does not list stays the plain issue: its price is near.
"""

from __future__ import annotations

from collections.abc import Iterable
from functools import lru_cache

from watchlist.core.coins.catalogue import Catalogue
from watchlist.core.coins.issue import Issue, bare_words
from watchlist.core.coins.matching import Match, with_mint
from watchlist.core.coins.varietywords import VarietyWords
from watchlist.core.reading.record import Reading

STRIKES = (
    "restrike", "pattern", "trial strike", "off metal strike", "piedfort", "mule", "brockage", "mint error",
    "wrong planchet", "broadstruck", "cast", "overstruck", "countermarked", "medal", "token",
)  # fmt: skip
"""Strikes in the reader's words; what a catalogue in any tongue may write for them stands with the languages."""
THINGS = ("medal", "token", "bar")
"""Kinds of pieces that are priced only where the catalogue lists them as such."""


@lru_cache(maxsize=4096)
def strikes_in(text: str, tongues: VarietyWords) -> frozenset[str]:
    """The strikes that a variety, or a catalogue's own words, name."""
    said = f" {bare_words(text)} "
    named = {name for name in STRIKES if f" {name} " in said}
    return frozenset(named | {tongues.strikes[word] for word in said.split() if word in tongues.strikes})


def strikes_of(reading: Reading, tongues: VarietyWords) -> frozenset[str]:
    """The strikes that a reading names, its kind among them where it is no coin."""
    if reading.kind in THINGS:
        return frozenset((reading.kind,))
    return strikes_in(reading.variety or "", tongues).difference(THINGS)  # a love token or a medal alignment is neither


def set_apart(reading: Reading, match: Match, catalogue: Catalogue) -> Match:
    """The match, where the piece is no other strike than the issue it was matched to; else its own issue, or none."""
    if reading.issue and match.issue is not None:
        return match  # the person says which it is
    if reading.kind == "other":
        return Match(None, why="The title or description names another thing than a coin.")
    said = strikes_of(reading, catalogue.words)
    if not said or (match.issue is not None and _is_listed(match.issue, said, catalogue.words)):
        return match
    own = [issue for issue in _of_date(reading, catalogue) if _is_listed(issue, said, catalogue.words)]
    if own:
        return _one_of(own, said)
    if match.issue is None and not match.never_struck:
        return match
    why = f"It is called {_named(said)}: not the regular coin, and the catalogue does not list it."
    return Match(None, known_series=match.known_series, why=why)


def _one_of(own: list[Issue], said: Iterable[str]) -> Match:
    """The catalogue's own issue of a strike; of several none is chosen."""
    names = " or ".join(issue.name for issue in own[:4])
    why = f"Called {_named(said)}; the catalogue lists {names}."
    return Match(own[0] if len(own) == 1 else None, tuple(own) if len(own) > 1 else (), known_series=True, why=why)


def _of_date(reading: Reading, catalogue: Catalogue) -> list[Issue]:
    """The catalogue's issues of a reading's denomination, year and mint."""
    if reading.denomination is None or reading.year is None:
        return []
    found = catalogue.struck(reading.denomination, reading.year, catalogue.country(reading.country))
    return with_mint(found, reading.mint) if reading.mint else found


def _is_listed(issue: Issue, said: Iterable[str], tongues: VarietyWords) -> bool:
    return strikes_in(f"{issue.variety} {issue.type} {issue.denomination}", tongues).issuperset(said)


def _named(said: Iterable[str]) -> str:
    return " and ".join(sorted(said)).replace("off metal", "off-metal")
