"""The names of mints that a catalogue's notes tell: `mint G = Grevenau`, `struck at Mersa`, `Velden mint`."""

from __future__ import annotations

import re

from watchlist.core.coins.issue import bare_words

_STRUCK = (
    r"(?:struck|minted|coined) (?:at|in)|mint (?:of|at)|gepr[äa]e?gt in|m[üu]e?nzst[äa]e?tte|mzst\.?"
    r"|pr[äa]e?gest[äa]e?tte|frapp[ée]e?s? [àa]|atelier(?: de)?|acuñad[ao]s? en|ceca(?: de)?|coniat[aoe] a"
    r"|zecca(?: di)?|geslagen (?:te|in)"
)
_PLACE = re.compile(rf"(?:{_STRUCK}):? ([^\W\d]{{3,}})|([^\W\d]{{3,}}) mint\b", re.I)
_MINT = (
    r"mint ?mark|mint|mm|m[üu]e?nzzeichen|mzz\.?|m[üu]e?nzst[äa]e?tte|mzst\.?|pr[äa]e?gest[äa]e?tte|atelier|ceca|zecca"
    r"|muntteken|munthuis|myntort|mynt"
)
_NAME = r"([^\W\d_a-zß-ÿ][^\W\d_]{2,}(?:[ -][^\W\d_a-zß-ÿ][^\W\d_]+){0,2})"
_EQUALS = re.compile(rf"\b(?i:{_MINT}) ?(?:([A-Za-z*.]{{1,4}}) ?)?(?:=|:|is\b) ?{_NAME}")
"""The plain form: `mint = Karsk`, `mint G = Grevenau`."""
_NOT_PLACES = frozenset(
    {"the", "main", "same", "this", "branch", "one", "each", "no", "without", "royal", "national", "ohne", "none",
     "unknown", "uncertain", "mark", "various", "large", "small", "left", "right", "below", "above", "not"}
)  # fmt: skip


def places(note: str, mint: str = "") -> set[str]:
    """Mint places that an issue's note names; a mark that is told with one must be the issue's own."""
    if not note:
        return set()
    equal = [(hit[1], hit[2]) for hit in _EQUALS.finditer(note)]
    if mint:
        equal += [(mint, hit[1]) for hit in re.finditer(rf"(?<!\w){re.escape(mint)} ?= ?{_NAME}", note)]
    found = {bare_words(name) for mark, name in equal if not mark or mark.casefold() == mint.casefold()}
    found |= {bare_words(name) for hit in _TWO.finditer(note) for name in hit.groups() if name}
    found |= {bare_words(next(filter(None, hit.groups()))) for hit in _PLACE.finditer(note)}
    return {name for name in found if name.split()[0] not in _NOT_PLACES and not _is_part(name, found)}


_TWO = re.compile(rf"(?i:{_STRUCK}):? ([^\W\d_a-zß-ÿ][^\W\d_]+(?: [^\W\d_a-zß-ÿ][^\W\d_]+)+)")
"""`struck at Tarn Vale`: a name of two capitalised words."""


def _is_part(name: str, found: set[str]) -> bool:
    return any(name != other and other.startswith(f"{name} ") for other in found)
