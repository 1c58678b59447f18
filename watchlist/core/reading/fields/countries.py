"""Where a piece is from, and which language and grading scale its title uses."""

from __future__ import annotations

from collections import Counter

from watchlist.core.reading.fields.facevalues import Value
from watchlist.core.reading.scanning.scan import Mark, Scan
from watchlist.core.reading.vocabulary.gradescales import Scales
from watchlist.core.reading.vocabulary.tokens import NUMBER, WORD, YEARS

MOTHERLAND = {"VA": "IT", "SM": "IT", **dict.fromkeys(("MX", "PE", "BO", "GT", "CO", "CL"), "ES")}
"""A colony, or a state within another, named beside its motherland is where the piece is from."""
LEGENDS = {"lima": "GB"}
"""Places on the pieces of another country: LIMA below the bust of British silver of 1745 and 1746."""
ANCIENT = frozenset(("ROM", "GRC", "BYZ"))
"""The three ancient coinages."""
ANCIENT_UNITS = frozenset(
    ("follis", "solidus", "drachm", "denarius", "nummus", "stater", "obol", "tremissis", "siliqua")
)
"""Units of theirs that later coinages may share."""
HEAD = 6
"""Tokens before the denomination, at most, that may name a country nobody knows."""
NAME = 4
"""Fewest letters of such a name."""
NAMED_COUNTRY = 0.9
"""Countries surer than that are named in the title."""
UNIT_SURE, TYPE_SURE, GUESS = 0.8, 0.7, 0.6


def find_country(scan: Scan, values: list[Value]) -> tuple[str | None, float]:
    """The country a title names or implies, and how sure that is."""
    if named := [mark for mark in scan.by.get("country", ()) if _is_named(scan, mark, values)]:
        first = next((mark for mark in named if _is_of_value(mark, values)), named[0])
        country = first.value
        for mark in named[named.index(first) + 1 :]:
            country = mark.value if MOTHERLAND.get(mark.value) == country else country
        country = _of_old(scan, values) or country
        scan.rest("country", first.start, first.end, 0.95)
        return country, 0.95
    return _implied(scan, values)


def _is_named(scan: Scan, mark: Mark, values: list[Value]) -> bool:
    """Whether a land's name is meant as one: neither `new` before it, nor a legend of another land's pieces, nor a
    doubled die."""
    american = any(value.country == "US" or value.unit in ("cent", "dollar") for value in values)
    legend = LEGENDS.get(scan.them[mark.start].low, "-") in {value.country for value in values}
    doubled = american and mark.value == "DD"
    return not (scan.used[mark.start] or doubled or legend or scan.tok(mark.start - 1).low == "new")


def _is_of_value(mark: Mark, values: list[Value]) -> bool:
    """`Chinese silver, chopped US trade dollar`: the land right before the value is the piece's."""
    return any(mark.end == value.start and value.country in ("", mark.value) for value in values)


def head_word(scan: Scan, value: Value | None) -> str:
    """`Norrmark 5 Kron`: a capitalised word that nobody knows, right before the denomination at the head of a title.

    It may be a country; a ruler has a number, other words stand in some list or in small letters."""
    if value is None or not 0 < value.start <= HEAD:
        return ""
    head = range(value.start)
    strange = [at for at in head if is_strange(scan, at)]
    dated = any(scan.them[at].kind == NUMBER for at in head)
    if not strange or (dated and value.country) or not all(at in strange or _leads(scan, at) for at in head):
        return ""  # behind a date the unit of one country is named by much else: `1999 Delaware quarter`
    return scan.words(strange[0], strange[-1] + 1)


def _leads(scan: Scan, at: int) -> bool:
    """What may stand about a country's name: `Kingdom of`, `Rare`, the date with its mint mark, a stop."""
    token = scan.them[at]
    dated = len(token.low) == 4 and token.number >= YEARS[0]
    mark = token.text.isupper() and len(token.low) == 1 and scan.tok(at - 1).number >= YEARS[0]
    return dated or mark or token.low in scan.lex.sets["before_land"] or token.low in (",", ".", ":", "-")


def is_strange(scan: Scan, at: int) -> bool:
    """A capitalised word that is in no list."""
    token, lex = scan.tok(at), scan.lex
    known = at in scan.marks_at or token.low in lex.phrases.root or token.low in lex.grade_parts
    named = token.kind == WORD and token.text[:1].isupper() and len(token.low) >= NAME
    return named and not known and not scan.used[at] and token.low not in lex.cared


def _of_old(scan: Scan, values: list[Value]) -> str:
    """An emperor named with an ancient unit: the city named beside them is only its mint."""
    rulers = [mark.value for mark in scan.by.get("type", ()) if mark.value in ANCIENT]
    old = any(v.unit in ANCIENT_UNITS or v.country in ANCIENT for v in values)
    return rulers[0] if rulers and old else ""


def _implied(scan: Scan, values: list[Value]) -> tuple[str | None, float]:
    """The country of the unit, of the type, or of the unit in the language of the title."""
    best = max(values, key=lambda value: value.score, default=None)
    if best is not None and best.country:
        return best.country, UNIT_SURE
    if any(value.unit and scan.lex.units[value.unit].known for value in values):
        return None, 0.0
    if scan.by.get("type"):
        return scan.by["type"][0].value, TYPE_SURE
    names = [value.unit for value in sorted(values, key=lambda value: -value.score)]
    names += [mark.value for mark in scan.by.get("kind", ())] + (["set"] if scan.by.get("multiple.set") else [])
    if found := _home(scan, names):
        return found, GUESS
    other = next((value.country for value in values if value.country), None)
    return other, GUESS if other else 0.0


def _home(scan: Scan, names: list[str]) -> str:
    """Where the language of the title, or of the texts beside it, has a unit or a thing; of languages heard alike, the
    first that has it at all."""
    most = max(scan.votes.values(), default=0)
    spoken = [lang for lang, count in scan.votes.items() if count == most]
    spoken = ["en"] if "en" in spoken else spoken
    homes = [scan.lex.home.get(name, {}) for name in names]
    return next((home[lang] for home in homes for lang in (*spoken, "") if lang in home), "")


def scale_order(scan: Scan, country: str | None, scales: Scales) -> list[str]:
    """The scales a title favours, best first: its language, else that of the texts beside it, then its country's."""
    return _scales_of(scan.votes, country, scales)


def _scales_of(spoken: Counter[str], country: str | None, scales: Scales) -> list[str]:
    votes = sorted(((count, lang) for lang, count in spoken.items() if lang in scales.spoken), reverse=True)
    order = [scales.spoken[lang] for _, lang in votes]
    home, english = scales.scale_of.get(country or "", ""), spoken.get("en", 0)
    if home == "pt" and spoken["pt"]:
        return ["pt", *order, "us"]
    if home in ("", "uk"):
        first = ["uk", "us"] if home else ["us"]
        return [*order, *first] if votes and votes[0][0] > english else [*first, *order]
    if home not in order:
        order.append(home)
    return ["us", *order] if english and not votes else [*order, "us"]
