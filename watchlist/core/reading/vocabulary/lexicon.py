"""The title lexicon: every word list of the languages and the coinages as one tree of phrases."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from typing import Any, NamedTuple

from watchlist.core.folding import folded
from watchlist.core.reading.vocabulary.phrases import Phrases
from watchlist.core.reading.vocabulary.tokens import spellings


class Sense(NamedTuple):
    """One meaning of a phrase."""

    kind: str
    value: str
    lang: str


@dataclass(frozen=True, slots=True)
class Unit:
    """A unit of money: how it is written, and what it says about the country and the language."""

    name: str
    many: str
    alone: bool
    """One of it is written without the number: `penny`, `dollar`."""
    shy: bool
    """Counts only behind a number: `real`, `sol`."""
    country: str
    known: bool = False
    """Comes from the person's own catalogue."""


REMEMBERED = 20_000
"""Unknown words whose nearest word is kept: sellers use the same ones again and again."""
SHORTEST = 7
"""Letters beyond which a word may be a compound."""
LONGEST_WORD = 24
MISSPELT = 6
"""Letters from which a misspelt word is still taken for the word it is near to."""
RUN_TOGETHER = frozenset(("coin", "country", "type"))
"""Kinds of phrases that are also met without their blanks."""
SHORTEST_JOINED = 8
SPELT = {"problem": MISSPELT, "unit": MISSPELT, "coin": MISSPELT, "designation": MISSPELT, "replica.words": 8}
"""Kinds of words that are looked for misspelt, and from how many letters."""


def _less(word: str) -> list[str]:
    return [word[:at] + word[at + 1 :] for at in range(1, len(word))]


def _one_slip(word: str, other: str) -> bool:
    """Whether two words differ by one letter more, less or other, or by two swapped; the first letters agree."""
    if word[:-1] == other[:-1]:
        return False  # another ending is another word: states is no stater
    start, shorter = 0, min(len(word), len(other))
    while start < shorter and word[start] == other[start]:
        start += 1
    stop = 0
    while stop < shorter - start and word[-1 - stop] == other[-1 - stop]:
        stop += 1
    one, two = word[start : len(word) - stop], other[start : len(other) - stop]
    return start > 0 and (max(len(one), len(two)) <= 1 or (len(one) == len(two) == 2 and one == two[::-1]))


class Lexicon:
    """Phrases to senses, units, mint letters and eras."""

    def __init__(self, tables: Mapping[str, Any], services: Iterable[str] = ()) -> None:
        self.phrases: Phrases[Sense] = Phrases()
        self.units: dict[str, Unit] = {}
        self.mints: dict[str, frozenset[str]] = {}
        self._strange: dict[str, Sequence[Sense]] = {}
        self._slips: dict[str, str] | None = None
        self.values: dict[str, tuple[str, str]] = {}
        """Units worth a fixed number of dollars: dime, nickel, eagle."""
        coinages = tables.get("coinages", {})
        self.sets: dict[str, frozenset[str]] = {}
        self.compound: dict[str, float] = {}
        """Numbers that a language writes in one word with the unit: `Doppeltaler`."""
        self.suffixes: dict[str, Sense] = {}
        """Ends of compounds: `Madonnentaler` is a taler, `Galvanokopie` a copy."""
        self.cared: frozenset[str] = frozenset()
        """Every word of those sets."""
        self.services = {service.casefold() for service in services}
        for lang, table in tables["titles"].items():
            self._language(lang, table)
        self._coinages(coinages)
        grades = tables.get("grades", {})
        self.mute = mute = frozenset(tables.get("care", {}).get("no_vote", ()))
        self.prefixes = frozenset(word for text in grades.get("prefix", {}) for word in text.split())
        self.grade_words = frozenset(
            w for s in grades.get("scale", {}).values() for t, r in s.items() for w in (t, *r[2:])
        )
        self.grade_parts = frozenset(
            part
            for text in (*self.grade_words, *self.prefixes, *grades.get("move", {}).get("upper", ()))
            for part in text.split()
            if len(part) > 1
        )
        """Single words of grades, as they may be run together: ChXF."""
        self._grade_votes(grades.get("scale", {}), mute)
        self.china = frozenset(coinages.get("era", {}).get("china_republic", ()))
        self.problem_kinds: Mapping[str, str] = tables.get("problems", {}).get("kind", {})

    def add(self, kind: str, value: str, words: Iterable[str], lang: str = "") -> None:
        """Add phrases with one meaning."""
        self._slips = None
        self._strange.clear()
        for text in words:
            for spelt in spellings(text):
                if spelt:
                    self.phrases.put(spelt, Sense(kind, value, lang))
                if len(spelt) > 1 and kind in RUN_TOGETHER:
                    self._joined("".join(spelt), Sense(kind, value, lang))

    def teach(self, kind: str, value: str, words: str) -> None:
        """A person's own meaning of words: it stands alone, whatever the lists say of them."""
        self.forget(words)
        self.add(kind, value, [words])

    def forget(self, words: str) -> None:
        """These words keep none of their meanings but the language they speak for."""
        self._slips = None
        self._strange.clear()
        for spelt in spellings(words):
            self.phrases.drop(spelt, lambda sense: sense.kind == "vote")

    def _joined(self, word: str, sense: Sense) -> None:
        """A phrase written as one word, as in hashtags and hasty titles: `morgandollar`, `greatbritain`."""
        if len(word) >= SHORTEST_JOINED and word.isalpha():
            node = self.phrases.root.get(word)
            if node is None or not node.found:
                self.phrases.put((word,), sense)

    def strange(self, word: str) -> Sequence[Sense]:
        """What a word that no list has may still be: a compound with a unit (`Madonnentaler`), or a misspelt word."""
        found = self._strange.get(word)
        if found is None:
            if len(self._strange) >= REMEMBERED:
                self._strange.clear()
            found = self._strange[word] = self._compound(word) or self._meant(word)
        return found

    def _compound(self, word: str) -> Sequence[Sense]:
        if len(word) <= SHORTEST or not self.endings or not word.endswith(self.endings):
            return ()
        return (next(sense for end, sense in self.suffixes.items() if word.endswith(end)),)

    def _meant(self, word: str) -> Sequence[Sense]:
        """The senses of a long lexicon word that this one misspells by one letter more, less, other or swapped."""
        if not MISSPELT <= len(word) <= LONGEST_WORD or word in self.grade_words:
            return ()
        if self._slips is None:
            self._slips = self._one_letter_off()
        slips = self._slips
        near = (slips[slip] for slip in (word, *_less(word)) if slip in slips)
        meant = next((other for other in near if _one_slip(word, other)), None)
        node = self.phrases.root.get(meant) if meant else None
        return node.found if node else ()

    def _one_letter_off(self) -> dict[str, str]:
        """Every long single word of some kinds, whole and with one letter left out."""
        out: dict[str, str] = {}
        for word, node in self.phrases.root.items():
            if any(sense.kind in SPELT and len(word) >= SPELT[sense.kind] for sense in node.found):
                for slip in (word, *_less(word)):
                    out.setdefault(slip, word)
        return out

    def _language(self, code: str, table: Mapping[str, Any]) -> None:
        """The words of one language; where they are too few to tell it by, they speak for another `voice`."""
        lang = table.get("voice", code)
        for kind in ("problem", "designation", "kind", "variety"):
            for value, words in table.get(kind, {}).items():
                self.add(kind, value, words, lang)
        for kind in (
            "replica",
            "thing",
            "multiple",
            "raw",
            "holder",
            "negation",
            "hedge",
            "stop",
            "nothing",
            "mint",
            "negated_ok",
        ):
            for name, words in table.get(kind, {}).items():
                self.add(f"{kind}.{name}", name, words, lang)
        for scale, words in table.get("grade_word", {}).items():
            self.add(scale, scale, words, "")
        for kind, words in table.get("ending", {}).items():
            self.suffixes |= {folded(word): Sense(kind, value, lang) for value, ends in words.items() for word in ends}
        self.compound |= {folded(word): float(value) for word, value in table.get("compound", {}).items()}
        self.add("vote", "", table.get("vote", ()), code)
        for word, value in table.get("number", {}).items():
            for spelt in spellings(word):
                self.phrases.put(spelt, Sense("number", str(value), ""))

    def _grade_votes(self, scales: Mapping[str, Any], mute: frozenset[str]) -> None:
        """A grade word of one scale alone says the language of its title."""
        owners: dict[str, set[str]] = {}
        for scale, rows in scales.items():
            for token, row in rows.items():
                for text in (token, *row[2:]):
                    if text.isalpha() and len(text) > 1 and text not in mute:
                        owners.setdefault(text.lower(), set()).add(scale)
        for text, scale in ((text, next(iter(them))) for text, them in owners.items() if len(them) == 1):
            if scale not in ("us", "uk"):
                self.add("vote", "", [text], {"scand": "sv"}.get(scale, scale))

    def _coinages(self, table: Mapping[str, Any]) -> None:
        for code, row in table.get("country", {}).items():
            self.add("country", code, row.get("names", ()))
            self.mints[code] = frozenset(row.get("mints", ()))
        for name, row in table.get("unit", {}).items():
            self._unit(name, row)
        for name, row in table.get("coin", {}).items():
            value = f"{name.strip()}|{row.get('country', '')}"
            self.add("coin", value, row.get("words", ()), row.get("lang", ""))
            self.add("coin", value + "|weak", row.get("weak", ()), row.get("lang", ""))
        for code, words in table.get("type", {}).items():
            self.add("type", code, words)
        self._eras(table.get("era", {}))
        self.home = table.get("home", {})
        self.later = {unit: (row["since"], row["value"]) for unit, row in table.get("later", {}).items()}
        self.mint_country = table.get("mint_country", {})
        for name, ends in table.get("suffix", {}).items():
            self.suffixes |= {end: Sense("unit", name, "de") for end in ends}
        self.endings = tuple(self.suffixes)
        for name, words in table.get("reference", {}).items():
            self.add(f"ref.{name}", name, words)

    def _unit(self, name: str, row: Mapping[str, Any]) -> None:
        many = row.get("many", name)
        self.units[name] = Unit(name, many, row.get("alone", False), row.get("shy", False), row.get("country", ""))
        self.add("unit", name, [name, *row.get("words", ())], row.get("lang", ""))
        if "value" in row:
            self.values[name] = (row["value"][0], row["value"][1])

    def _eras(self, table: Mapping[str, Any]) -> None:
        for group in ("japan", "add"):
            for word, years in table.get(group, {}).items():
                self.add("era", str(years), [word])
        for name in ("hijri", "hebrew", "republic_year", "common", "before_common"):
            self.add("era" if name in ("hijri", "hebrew") else f"era.{name}", name, table.get(name, ()))

    def add_unit(self, name: str) -> None:
        """A unit of the person's own catalogue that no table knows."""
        if name not in self.units:
            self.units[name] = Unit(name, name, False, False, "", known=True)
        plurals = [name, f"{name}s", f"{name}es", f"{name}e", f"{name}en", f"{name}n", f"{name}er", f"{name}i"]
        if name[-1:] in "aeo" and len(name) > len("era"):
            plurals += [name[:-1] + ending for ending in ("e", "i", "y", "er", "or", "en", "as", "os")]
        self.add("unit", name, plurals)
