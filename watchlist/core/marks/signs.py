"""Weights and phrases of the signs, read from words/signs.toml, and the search for phrases in a text."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any

from watchlist.core.coins.issue import bare_words
from watchlist.core.tables import once

SENTENCE_END = re.compile(r"[!?;\n|]|\.(?=\s|$)")
_NOT_AFTER = {
    "as is": ("same", "such", "just", "far", "soon", "long", "well", "much", "good", "condition", "known"),
}
"""Words before a phrase that make it mean something else: `the same as is shown`."""
_NOT_BEFORE = {
    "as is": ("typical", "usual", "customary", "common", "normal", "often", "the", "so"),
    "no returns": ("needed", "necessary", "required"),
    "no return": ("needed", "necessary", "required"),
}
"""And behind it: `struck as is typical`."""


@dataclass(frozen=True, slots=True)
class Phrases:
    """A family of phrases that share one meaning."""

    id: str
    weight: float
    text: str
    """What they say, in words."""
    could_be: str
    pattern: re.Pattern[str] = field(repr=False)
    needed: frozenset[str] = field(repr=False)
    """Each phrase has one of these words: where none of them stands, the pattern need not be tried."""

    def seen(self, words: str) -> str:
        """The phrase that stands in the words of `sentences_of`, or empty."""
        for hit in self.pattern.finditer(words):
            before, after = words[: hit.start()].split()[-1:], words[hit.end() :].split(" ", 2)[1:2]
            if not (set(before) & set(_NOT_AFTER.get(hit[0], ())) or set(after) & set(_NOT_BEFORE.get(hit[0], ()))):
                return hit[0]
        return ""


@dataclass(frozen=True, slots=True)
class Signs:
    """All weights, in natural-log odds, by `group.name`, and the phrases."""

    weights: Mapping[str, float]
    talk: tuple[Phrases, ...]
    stock: tuple[Phrases, ...]
    wear: tuple[tuple[int, float], ...]
    """(grade, share of mass lost from this grade down), highest grade first."""
    gold: tuple[str, ...]
    gold_wear: float
    needed: frozenset[str] = field(repr=False)
    """A sentence without any of these words holds no phrase of any family."""

    def __getitem__(self, name: str) -> float:
        """The weight `group.name`. KeyError when signs.toml lacks it."""
        return self.weights[name]

    def said_in(self, words: str) -> Iterator[tuple[Phrases, str]]:
        """The families met in the words of `sentences_of`, each with its phrase; of one sentence the heaviest alone:
        what is said in one breath is one sign."""
        met: set[str] = set()
        for sentence in words.split(" | "):
            found = [(family, said) for family, said in self._said(sentence) if family.id not in met]
            heaviest = max(found, key=lambda each: each[0].weight, default=None)
            if heaviest is not None:
                met.add(heaviest[0].id)
                yield heaviest

    def _said(self, sentence: str) -> Iterator[tuple[Phrases, str]]:
        told = sentence.replace("/", " ").split()
        if self.needed.isdisjoint(told):
            return
        for family in (*self.talk, *self.stock):
            if not family.needed.isdisjoint(told) and (said := family.seen(sentence)):
                yield family, said


@once
def signs_from(table: Mapping[str, Any]) -> Signs:
    """Signs from the parsed TOML table. KeyError or ValueError name what is missing or no number."""
    groups = {name: _numbers(rows) for name, rows in table.items() if isinstance(rows, Mapping)}
    weight = table["weight"]
    wear = sorted(((int(row["grade"]), float(row["share"])) for row in weight["wear"]), reverse=True)
    picture = groups["seller"]["stock_picture"]
    talk = tuple(_phrases(row, table["phrases"][row["id"]], float(row["weight"])) for row in table["talk"])
    stock = tuple(_phrases(row, table["phrases"][row["id"]], picture) for row in table["stock"])
    return Signs(
        weights={f"{group}.{name}": value for group, rows in groups.items() for name, value in rows.items()},
        talk=talk,
        stock=stock,
        wear=tuple(wear),
        gold=tuple(str(word) for word in weight["gold"]["metals"]),
        gold_wear=float(weight["gold"]["wear_share"]),
        needed=frozenset[str]().union(*(family.needed for family in (*talk, *stock))),
    )


def _numbers(rows: Mapping[str, Any]) -> dict[str, float]:
    return {key: float(value) for key, value in rows.items() if isinstance(value, int | float)}


def _phrases(row: Mapping[str, Any], phrases: Sequence[str], weight: float) -> Phrases:
    needed = frozenset(word for phrase in phrases for word in _rarest(phrase))
    return Phrases(row["id"], weight, row["text"], row["could_be"], _pattern(phrases), needed)


def sentences_of(text: str) -> str:
    """The bare words of a text, its sentences parted by a stroke: no phrase reaches from one into the next."""
    return " | ".join(filter(None, map(bare_words, SENTENCE_END.split(text))))


def _pattern(phrases: Iterable[str]) -> re.Pattern[str]:
    """One pattern for all phrases, longest first, whole words: `a/b` is either word, `..` up to three of any kind."""
    longest_first: Sequence[str] = sorted(set(phrases), key=len, reverse=True)
    return re.compile(rf"(?<!\w)(?:{'|'.join(map(_of_words, longest_first))})(?!\w)")


def _of_words(phrase: str) -> str:
    """`not sure if/whether .. real` as a pattern for bare words."""
    parts = [_either(part) for part in phrase.split(" .. ")]
    return r"(?: [\w/]+){0,3} ".join(parts)


def _either(words: str) -> str:
    """Words one blank apart, each with its alternatives."""
    choices = [[bare_words(word) for word in written.split("/")] for written in words.split()]
    return " ".join(
        re.escape(words[0]) if len(words) == 1 else f"(?:{'|'.join(map(re.escape, words))})" for words in choices
    )


def _rarest(phrase: str) -> list[str]:
    """The longest word of a phrase, with its alternatives: the least often met."""
    words = [word.split("/") for word in phrase.split() if word != ".."]
    choices = [[max(bare_words(each).split(), key=len) for each in alike] for alike in words]
    return max(choices, key=lambda alike: min(map(len, alike)))
