"""Proof, specimen and mint-set strikes that a catalogue lists as issues of their own, as variety or type.

A title says them in the words of any language: `PP`, `fondo specchio`, `flan bruni` are all proof."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import replace
from functools import lru_cache

from watchlist.core.coins.issue import Issue, bare_words
from watchlist.core.coins.varietywords import VarietyWords
from watchlist.core.folding import folded
from watchlist.core.reading.record import Reading

PROOF = "proof"
UNNUMBERED = (60, 70)
"""Grades of a proof without a number."""


@lru_cache(maxsize=4096)
def _named(text: str, words: VarietyWords) -> tuple[str, str]:
    """The finish that a text names, or empty, and the other words of it."""
    bare = f" {bare_words(text)} "
    for phrase, finish in words.finishes.items():
        if f" {phrase} " in bare:
            return finish, " ".join(bare.replace(f" {phrase} ", " ").split())
    return "", bare.strip()


def finish_named(text: str, words: VarietyWords) -> str:
    """The finish that words of a variety or a type name: proof, specimen, mint set; empty for none."""
    return _named(text, words)[0] if text else ""


def without_finish(variety: str, words: VarietyWords) -> str:
    """The other words of a variety: `small date` of `Proof, small date`; folded where a finish was named."""
    finish, rest = _named(variety, words) if variety else ("", "")
    return rest if finish else variety


def finish_of(issue: Issue, words: VarietyWords) -> str:
    """The finish by which a catalogue parts an issue from the regular coin; empty for the regular coin."""
    return finish_named(issue.variety, words) or finish_named(issue.type, words)


def finish_said(reading: Reading, words: VarietyWords) -> str:
    """The finish that a reading says: by its designation, its variety, or the words of its title.

    The reader has weighed every word for proof; another finish in one word stands behind a figure, a sign or the
    mint: `1911 specimen`, `1911-A specimen`, where `a lovely specimen` is talk."""
    if "PROOF" in reading.designations:
        return PROOF
    if said := finish_named(reading.variety or "", words):
        return said
    title = folded(reading.title)
    for phrase in [phrase for phrase in words.finishes if phrase in title]:
        finish, at = words.finishes[phrase], title.find(phrase)
        weighed = finish == PROOF and phrase not in words.strikes  # Spanish `prueba` is a pattern or a proof
        mint = "" if " " in phrase else folded(reading.mint or "-")
        if not weighed and _stands(title, at, at + len(phrase), mint):
            return finish
    return ""


def with_grade(reading: Reading) -> Reading:
    """A proof without a number, valued alike whatever language says so: `PP` is a grade, English `proof` is none."""
    if reading.grade_low is None and "PROOF" in reading.designations:
        return replace(reading, grade_low=UNNUMBERED[0], grade_high=UNNUMBERED[1])
    return reading


def _stands(title: str, start: int, end: int, mint: str) -> bool:
    """Whether whole words stand at a place; of one alone, behind a figure, a sign or the `mint`, empty for several."""
    before = title[:start].rstrip()
    alone = bool(mint) and re.split(r"[^\w]", before)[-1] != mint
    whole = not title[start - 1 : start].isalnum() and not title[end : end + 1].isalnum()
    return whole and not (alone and before[-1:].isalpha())


def of_finish(issues: Sequence[Issue], wanted: str, words: VarietyWords) -> list[Issue]:
    """The issues of a finish; of the plain ones where the catalogue lists none of it, all where it lists no plain."""
    finished = {issue.key: finish_of(issue, words) for issue in issues}
    found = [issue for issue in issues if finished[issue.key] == wanted]
    return found or [issue for issue in issues if not finished[issue.key]] or list(issues)
