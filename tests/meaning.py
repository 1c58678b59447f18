"""What is one and the same to a scorer: denominations in other spellings, finer problem words, lands by their codes."""

from __future__ import annotations

import re
from collections.abc import Iterable
from functools import cache

from watchlist.core.folding import folded
from watchlist.core.reading.reader import Reader
from watchlist.core.reading.vocabulary.catalogued import Catalogued
from watchlist.core.reading.vocabulary.spellings import same_denomination
from watchlist.core.reading.vocabulary.vocabulary import Vocabulary
from watchlist.words import load

SERVICES = ("QCG", "HNS", "ORN")
KNOWN = Catalogued(denominations=["10 lind", "1 tor", "5 tor"], countries=["Orvany"], mints=["M", "V", "S"])
"""An invented country's coins, as a person's catalogue has them."""
CODES = {
    "0.5c": "half cent", "1c": "cent", "2c": "2 cent", "3c": "3 cent", "5c": "5 cent", "10c": "dime", "20c": "20 cent",
    "25c": "quarter dollar", "50c": "half dollar", "$1": "dollar", "$1 gold": "gold dollar", "$1 trade": "trade dollar",
    "$2.50": "2.5 dollar", "$3": "3 dollar", "$4": "4 dollar", "$5": "5 dollar", "$10": "10 dollar", "$20": "20 dollar",
    "$50": "50 dollar", "5c silver": "half dime",
}  # fmt: skip
"""Codes of United States pieces with their names."""
ABROAD = {"10c": "10 cent", "25c": "25 cent", "50c": "50 cent", "5c silver": "5 cent"}
SAME_UNITS = {
    "thaler": "taler", "vereinstaler": "taler", "talar": "taler", "rouble": "rubel", "ruble": "rubel", "franc": "frank",
    "franken": "frank", "lire": "lira", "lire italiane": "lira", "ducat": "dukat", "dukaat": "dukat", "ducado": "dukat",
    "denarius": "denar", "halerz": "haler", "haleru": "haler", "halere": "haler", "halfpenny": "half penny",
    "sixpence": "6 pence", "threepence": "3 pence", "twopence": "2 pence", "oere": "ore", "grosze": "grosz",
    "groszy": "grosz", "zlotych": "zloty", "zlote": "zloty", "dm": "mark", "deutsche mark": "mark", "kopeken": "kopek",
    "kopecks": "kopek", "korun": "koruna", "koruny": "koruna", "p": "pence", "rijksdaalder": "2.5 gulden",
    "francos": "frank", "franco": "frank", "franchi": "frank", "frances": "frank", "francs": "frank",
}  # fmt: skip
"""Units, and coins by their names, that are one by the conventions of the lines."""
SUCCESSORS = {"DD": "DE"}
"""Former states that a line may name by the state that followed."""
SAME_PROBLEMS = {"spotted": "stained"}
DROPPED = frozenset(("counterfeit", "holder_cracked", "details", ""))
"""Problem words of the lines that a reading does not count as problems."""


@cache
def vocabulary() -> Vocabulary:
    """The words of all languages, with the services and the coins of an invented country."""
    return Vocabulary(load(), SERVICES, catalogued=KNOWN)


@cache
def reader() -> Reader:
    """A reader with that vocabulary."""
    return Reader(vocabulary())


def denomination(text: str | None, country: str | None) -> str | None:
    """A denomination brought to one shape; a mixed set has none."""
    if text in (None, "set"):
        return None
    code = ABROAD.get(text) if country not in ("US", None) else None
    plain = folded(code or CODES.get(text, text)).replace("\u00f8", "o")
    plain = re.sub(r"(?<=\d) ?(?:\u00bd|1/2)", ".5", plain).replace("\u00bd", "half")
    plain = re.sub(r"(?<=\d)(?=[a-z])", " ", re.sub(r"\b(?:1/2|0[.,]5)\b", "half", plain))
    plain = re.sub(r"^(?:1|one) (?=\D)", "", same_denomination(plain))
    first, rest = plain.split(" ", 1) if re.match(r"(?:[\d/.]+|half|quarter) ", plain) else ("", plain)
    forms = (rest, rest.removesuffix("s"), rest.removesuffix("en"), rest.removesuffix("e"))
    unit = next((SAME_UNITS[form] for form in forms if form in SAME_UNITS), rest)
    return same_denomination(f"{first} {unit}".strip())


@cache
def _kinds() -> dict[str, str]:
    return dict(load("problems")["kind"])


def problems(words: Iterable[str] | None) -> set[str]:
    """Problem words brought to those that a reading has; a query behind one is no part of it."""
    plain = (word.strip("?") for word in words or ())
    return {
        SAME_PROBLEMS.get(kind := _kinds().get(word, word), kind) for word in plain if word not in DROPPED
    } - DROPPED


def land(text: str | None) -> str:
    """The code of a country, of the state that followed where it is no more."""
    code = vocabulary().country_code(text or "") or (text or "")
    return SUCCESSORS.get(code, code)


def f1(found: int, missed: int, invented: int) -> float:
    """Of the fields that a line states."""
    return 2 * found / max(1, 2 * found + missed + invented)
