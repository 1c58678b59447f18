"""Varieties compared by meaning: the words of many tongues become one set of plain words."""

from __future__ import annotations

import re
from functools import lru_cache

from watchlist.core.coins.finishes import finish_named, finish_of, without_finish
from watchlist.core.coins.issue import Issue, bare_words
from watchlist.core.coins.varietywords import VarietyWords

_MINT_MARK = re.compile(r"\bmint mark\b")
_OVER = re.compile(r"\d*(\d)\s*/\s*\d*(\d)")


def of_variety(issues: list[Issue], variety: str | None, words: VarietyWords) -> list[Issue]:
    """The issues of a variety; None prefers plain issues. No issue of that variety: an empty list."""
    if variety is None:
        return _plain(issues, words)
    wanted = bare_words(variety)
    exact = [issue for issue in issues if bare_words(issue.variety) == wanted]
    if exact or not wanted:
        return exact
    if finish := finish_named(variety, words):
        alike = [issue for issue in issues if finish_of(issue, words) == finish]
        return _beside_finish(alike, without_finish(variety, words), words)
    return [issue for issue in issues if issue.variety and _alike(bare_words(issue.variety), wanted, words)]


def _beside_finish(alike: list[Issue], rest: str, words: VarietyWords) -> list[Issue]:
    """Of the issues of a finish those of the rest of the wording, where it has a rest."""
    return of_variety(alike, rest, words) or alike if rest else _plainest(alike, words)


def _plain(issues: list[Issue], words: VarietyWords) -> list[Issue]:
    """Those without variety and finish, else those without variety, else all."""
    plain = [issue for issue in issues if not issue.variety]
    return [issue for issue in plain if not finish_of(issue, words)] or plain or issues


def _plainest(issues: list[Issue], words: VarietyWords) -> list[Issue]:
    """Of several issues of a finish those whose variety says nothing more."""
    return [issue for issue in issues if not without_finish(issue.variety, words)] or issues


def _alike(one: str, other: str, words: VarietyWords) -> bool:
    """One wording holds all words of the other: `overdate 3/2` and `3/2 overdate`, `3/2` and `1893/2` by its end."""
    mine, yours = meaning(one, words), meaning(other, words)
    if any(f"-{word}" in yours for word in mine) or any(f"-{word}" in mine for word in yours):
        return False  # one has what the other denies
    if mine == {"overdate"} or yours == {"overdate"}:  # without its figures it may be any
        return any("/" in word for word in mine | yours) or mine == yours
    return mine <= yours or yours <= mine or one.endswith(other) or other.endswith(one)


@lru_cache(maxsize=4096)
def meaning(variety: str, words: VarietyWords) -> frozenset[str]:
    """The plain words of a variety, those it denies with a dash; `1887/6`, `87/86` and `overdate 7/6` are `7/6`."""
    text = words.overdate.sub(r"\1/\2", _MINT_MARK.sub("mintmark", bare_words(variety)))
    figured = [_OVER.sub(r"\1/\2", word) for word in text.split()]
    said = [words.meant.get(word, word) for word in figured]
    figures = any("/" in word for word in said)
    told = [w for w in said if not (figures and w == "overdate") and w not in words.empty]
    return frozenset(signed(told)) or frozenset(said)


def signed(words: list[str]) -> list[str]:
    """The words behind a `no` with a dash before them, up to a `with`; `no` and `with` themselves are left out."""
    out: list[str] = []
    sign, before = "", ""
    for word in words:
        if word == "no":
            sign = "-"
        elif word != "with":
            out.append(sign + word)
        elif before != "no":  # `not with plume` goes on denying
            sign = ""
        before = word
    return out
