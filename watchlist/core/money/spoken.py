"""Which of the currencies that share a mark a text means, by the words of its country: `Utrop 40 kr` is Swedish."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Mapping
from typing import Any

from watchlist.core.tables import once

LONGEST = 3_000
"""Characters that are looked at."""
_WORD = re.compile(r"[^\W\d_]+")


def spoken_currency(text: str, words: Mapping[str, Any]) -> str:
    """The currency that most words of a text speak for; empty where none does, or two do as much."""
    speaking, said = _speaking(words), set(_WORD.findall(text[:LONGEST].casefold()))
    first, second = [
        *Counter(code for word in said for code in speaking.get(word, ())).most_common(2),
        ("", 0),
        ("", 0),
    ][:2]
    return first[0] if first[1] > second[1] else ""


@once
def _speaking(words: Mapping[str, Any]) -> Mapping[str, list[str]]:
    """Word to the currencies of the countries where it is used."""
    found: dict[str, list[str]] = {}
    for code, listed in words["spoken"].items():
        for word in listed:
            found.setdefault(word, []).append(code)
    return found
