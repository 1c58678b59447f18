"""The title lexicon: every word list of the languages and the coinages as one tree of phrases."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from typing import Any

from watchlist.core.folding import folded
from watchlist.core.reading.vocabulary.phrases import Phrases
from watchlist.core.reading.vocabulary.strangewords import Sense, StrangeWords
from watchlist.core.reading.vocabulary.tokens import Token, spellings


@dataclass(frozen=True, slots=True)
class Unit:
    """A unit of money: how it is written, and what it says about the country and the language."""

    name: str
    many: str
    alone: bool = False
    """One of it is written without the number: `penny`, `dollar`."""
    shy: bool = False
    """Counts only behind a number: `real`, `sol`."""
    country: str = ""
    known: bool = False
    """Comes from the person's own catalogue."""


CONTRACTORS = ("A", "H", "KN")
"""Marks of Paris, Heaton and King's Norton, which struck for lands without a mint of their own."""
RUN_TOGETHER = frozenset(("coin", "country", "type"))
"""Kinds of phrases that are also met without their blanks."""
SHORTEST_JOINED = 8
BY_VALUE = ("problem", "designation", "kind", "variety")
"""Sections of a language whose lists are words for one value of a field."""
BY_NAME = (
    "replica",
    "thing",
    "multiple",
    "raw",
    "holder",
    "negation",
    "hedge",
    "stop",
    "correction",
    "nothing",
    "mint",
    "negated_ok",
)
"""Sections of a language whose lists are kinds of words, each under a name of its own: `replica.words`."""
ENGLISH_SCALES = ("us", "uk")
"""Their grade words are met in titles of every language."""
SCALE_LANGUAGES = {"scand": "sv"}
"""Languages that are not named as their grading scale is."""
PLURALS = ("", "s", "es", "e", "en", "n", "er", "i")
VOWEL_PLURALS = ("e", "i", "y", "er", "or", "en", "as", "os")
"""Plurals in other tongues, in the place of the unit's last vowel."""


class Lexicon:
    """Phrases to senses, units, mint letters and eras."""

    def __init__(self, tables: Mapping[str, Any], services: Iterable[str] = ()) -> None:
        coinages, grades, care = (tables.get(name, {}) for name in ("coinages", "grades", "care"))
        self.phrases: Phrases[Sense] = Phrases()
        self.units: dict[str, Unit] = {}
        self.dollars: dict[str, float] = {}
        """Units worth a fixed number of dollars: dime, nickel, eagle."""
        self.lands: dict[str, str] = {}
        """A name of each country, by its code."""
        self.mints: dict[str, frozenset[str]] = {}
        """Mint letters of each country, by its code."""
        self.services = frozenset(service.casefold() for service in services)
        lists = {**coinages.get("reference", {}), **care}
        self.sets = defaultdict(frozenset, {name: frozenset(map(folded, words)) for name, words in lists.items()})
        """Word sets that are looked up one word at a time, folded."""
        self.cared = frozenset().union(*self.sets.values())
        """Every word of those sets."""
        self.keeping_ends: tuple[str, ...] = tuple(sorted(self.sets["keeping_ends"]))
        """What the name of a thing that a coin is kept in may end in: `Originaletui`."""
        self.telling = frozenset().union(
            *(self.sets[f"{thing}_{kind}"] for thing in ("strike", "date") for kind in ("words", "alone", "detail"))
        )
        """Words for a strike or a date, of which a state may be told."""
        self.mute = frozenset(care.get("no_vote", ()))
        self.prefixes = frozenset(word for text in grades.get("prefix", {}) for word in text.split())
        self.grade_words = frozenset(word for _, word in _grade_words(grades))
        self.grade_parts = frozenset(_parts(self.grade_words, self.prefixes, grades.get("move", {}).get("upper", ())))
        """Single words of grades, as they may be run together: ChXF."""
        self.home: Mapping[str, Mapping[str, str]] = coinages.get("home", {})
        self.later = {unit: (row["since"], row["value"]) for unit, row in coinages.get("later", {}).items()}
        self.abroad: Mapping[str, Mapping[str, str]] = coinages.get("abroad", {})
        """What coins are called in a country, by their names elsewhere: Canada has no quarter dollar."""
        self.mint_country: Mapping[str, Mapping[str, str]] = coinages.get("mint_country", {})
        self.china = frozenset(coinages.get("era", {}).get("china_republic", ()))
        self.problem_kinds: Mapping[str, str] = tables.get("problems", {}).get("kind", {})
        self.compound: dict[str, float] = {}
        """Numbers that a language writes in one word with the unit: `Doppeltaler`."""
        self._ends: dict[str, Sense] = {}
        self.strange = StrangeWords(self.phrases, self._ends, self.grade_words | self.sets["no_slip"])
        self.cut: dict[str, list[Token]] = {}
        """Words as they are cut up with these lists, kept by whoever does."""
        for code, table in tables.get("titles", {}).items():
            self._language(code, table)
        self._coinages(coinages)
        self._grade_votes(grades)

    def add(self, kind: str, value: str, words: Iterable[str], lang: str = "") -> None:
        """Add phrases with one meaning."""
        self._changed()
        sense = Sense(kind, value, lang)
        for spelt in (spelt for text in words for spelt in spellings(text)):
            if spelt:
                self.phrases.put(spelt, sense)
            if len(spelt) > 1 and kind in RUN_TOGETHER:
                self._joined("".join(spelt), sense)

    def teach(self, kind: str, value: str, words: str) -> None:
        """A person's own meaning of words: it stands alone, whatever the lists say of them."""
        self.forget(words)
        self.add(kind, value, [words])

    def forget(self, words: str) -> None:
        """These words keep none of their meanings but the language they speak for."""
        self._changed()
        for spelt in spellings(words):
            self.phrases.drop(spelt, lambda sense: sense.kind == "vote")

    def _changed(self) -> None:
        self.strange.forget()
        self.cut.clear()

    def add_unit(self, name: str) -> None:
        """A unit of the person's own catalogue that no table knows."""
        self.units.setdefault(name, Unit(name, name, known=True))
        plurals = [name + ending for ending in PLURALS]
        if name[-1:] in "aeo" and len(name) > len("era"):
            plurals += [name[:-1] + ending for ending in VOWEL_PLURALS]
        self.add("unit", name, plurals)

    def _joined(self, word: str, sense: Sense) -> None:
        """A phrase written as one word, as in hashtags and hasty titles: `morgandollar`, `greatbritain`."""
        if len(word) >= SHORTEST_JOINED and word.isalpha():
            node = self.phrases.root.get(word)
            if node is None or not node.found:
                self.phrases.put((word,), sense)

    def _language(self, code: str, table: Mapping[str, Any]) -> None:
        """The words of one language; where they are too few to tell it by, they speak for another `voice`."""
        lang = table.get("voice", code)
        for kind in (*BY_VALUE, *BY_NAME):
            for name, words in table.get(kind, {}).items():
                self.add(kind if kind in BY_VALUE else f"{kind}.{name}", name, words, lang)
        for scale, words in table.get("grade_word", {}).items():
            self.add(scale, scale, words)
        for kind, values in table.get("ending", {}).items():
            self._ends |= {folded(end): Sense(kind, value, lang) for value, ends in values.items() for end in ends}
        self.compound |= {folded(word): float(value) for word, value in table.get("compound", {}).items()}
        self.add("vote", "", table.get("vote", ()), code)
        for word, value in table.get("number", {}).items():
            self.add("number", str(value), [word])

    def _grade_votes(self, grades: Mapping[str, Any]) -> None:
        """A grade word of one scale alone says the language of its title."""
        owners: dict[str, set[str]] = defaultdict(set)
        for scale, text in _grade_words(grades):
            if text.isalpha() and len(text) > 1 and text not in self.mute:
                owners[text.lower()].add(scale)
        for text, (scale, *others) in owners.items():
            if not others and scale not in ENGLISH_SCALES:
                self.add("vote", "", [text], SCALE_LANGUAGES.get(scale, scale))

    def _coinages(self, table: Mapping[str, Any]) -> None:
        for code, row in table.get("country", {}).items():
            self.add("country", code, row.get("names", ()))
            self.mints[code] = frozenset(row.get("mints", CONTRACTORS))
            self.lands[code] = next(iter(row.get("names", ())), code)
        for name, row in table.get("unit", {}).items():
            self._unit(name, row)
        for name, row in table.get("coin", {}).items():
            value = f"{name.strip()}|{row.get('country', '')}"
            self.add("coin", value, row.get("words", ()), row.get("lang", ""))
            self.add("coin", value + "|weak", row.get("weak", ()), row.get("lang", ""))
        for code, words in table.get("type", {}).items():
            self.add("type", code, words)
        self._eras(table.get("era", {}))
        for name, ends in table.get("suffix", {}).items():
            self._ends |= {end: Sense("unit", name, "de") for end in ends}
        for name, words in table.get("reference", {}).items():
            self.add(f"ref.{name}", name, words)

    def _unit(self, name: str, row: Mapping[str, Any]) -> None:
        alone, shy = row.get("alone", False), row.get("shy", False)
        self.units[name] = Unit(name, row.get("many", name), alone, shy, row.get("country", ""))
        self.add("unit", name, [name, *row.get("words", ())], row.get("lang", ""))
        if "value" in row:
            self.dollars[name] = float(row["value"][1])

    def _eras(self, table: Mapping[str, Any]) -> None:
        for group in ("japan", "add"):
            for word, years in table.get(group, {}).items():
                self.add("era", str(years), [word])
        for name in ("hijri", "hebrew", "republic_year", "common", "before_common"):
            self.add("era" if name in ("hijri", "hebrew") else f"era.{name}", name, table.get(name, ()))


def _grade_words(grades: Mapping[str, Any]) -> Iterator[tuple[str, str]]:
    """Every grade word with its scale."""
    for scale, rows in grades.get("scale", {}).items():
        for token, row in rows.items():
            yield from ((scale, text) for text in (token, *row[2:]))


def _parts(*texts: Iterable[str]) -> Iterator[str]:
    return (part for them in texts for text in them for part in text.split() if len(part) > 1)
