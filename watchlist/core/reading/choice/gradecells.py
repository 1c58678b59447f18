"""A cell of grades, read as the title of its coin is: the coinage says which scale its words and figures are of."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Callable
from dataclasses import replace
from functools import partial
from weakref import WeakKeyDictionary

from watchlist.core.reading.choice.assembly import read
from watchlist.core.reading.record import Reading
from watchlist.core.reading.scanning.scan import SILENT
from watchlist.core.reading.vocabulary.vocabulary import Vocabulary

NATIONAL = re.compile(r"0?[0-6](?:\s?[+-])?(?:\s*/\s*0?[0-6](?:\s?[+-])?)?|I{1,3}[+-]?|IV[+-]?|VI?[+-]?", re.ASCII)
"""Figures of the Scandinavian and the Polish scale: `1+`, `01`, `2-`, `0/01`, `II`. A bare `1` is a number too."""
POLISH = "PL"
REMEMBERED = 2_000
Coin = tuple[str | None, str | None, str, str, bool]
"""Country, denomination, the text of a cell, the languages heard beside it, whether the lot holds several pieces."""


def graded(
    read_title: Callable[[str], Reading], country: str | None, denomination: str | None, text: str
) -> Reading | None:
    """The reading of a grade cell behind its coin, of which only the grade is the cell's own; None where the two say
    no grade. A denomination says more of a coinage than a country: without one there is none."""
    if not denomination:
        return None
    coin = f"{country or ''} {denomination}".strip()
    made = read_title(f"{coin}, {text}")
    if made.grade_low is None and NATIONAL.fullmatch(text.strip()) and read_title(denomination).country == POLISH:
        made = read_title(f"{coin}, stan {text}")
    return made if made.grade_low is not None else None


_KNOWN: WeakKeyDictionary[Vocabulary, dict[Coin, Reading | None]] = WeakKeyDictionary()
"""What a vocabulary made of the cells of each coin; given up with it."""


def in_coinage(vocabulary: Vocabulary, lot: Reading, text: str, heard: Counter[str] = SILENT) -> Reading:
    """A grade cell of a lot, with its grade as the lot's coinage has it. A single number is the same in every
    coinage. `heard`: the languages of the texts beside it."""
    cell = read(text, vocabulary, heard=heard, several=lot.multiple)
    if cell.grade_low is not None and cell.grade_low == cell.grade_high:
        return cell
    tongue = ",".join(sorted(heard))
    known, coin = _KNOWN.setdefault(vocabulary, {}), (lot.country, lot.denomination, text, tongue, lot.multiple)
    if coin not in known:
        if len(known) >= REMEMBERED:
            known.clear()
        land = vocabulary.lex.lands.get(lot.country or "", lot.country)  # `BE` is a proof, Belgium is none
        reading = partial(read, vocabulary=vocabulary, heard=heard, several=lot.multiple)
        known[coin] = graded(reading, land, lot.denomination, text)
    if (made := known[coin]) is None:
        return cell
    unsure = (*(name for name in cell.unsure if name != "grade"), *(name for name in made.unsure if name == "grade"))
    return replace(
        cell, grade_low=made.grade_low, grade_high=made.grade_high, grade_text=made.grade_text, unsure=unsure
    )
