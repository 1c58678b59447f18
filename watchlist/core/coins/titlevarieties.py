"""Varieties as the words of a title tell them: named, denied, or left open.

`without dot` and `ohne Punkt` name the variety `no dot` and deny the variety `dot`, in whatever tongue."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass, field
from functools import lru_cache

from watchlist.core.coins.issue import Issue, bare_words
from watchlist.core.coins.varietywords import VarietyWords
from watchlist.core.folding import folded

_STEP = re.compile(r"w/o?(?= )|[^\W_]+(?:/[^\W_]+)*|[,;|()!:]")
ARTICLES = frozenset(("a", "o"))
"""Articles that are letters on pieces as well: `without a dot`, `small O`."""
SIZES = frozenset(("small", "large", "wide", "narrow", "high", "low", "open", "closed", "2", "3", "4", "5"))
COMMON = frozenset(("date", "letters", "head", "edge", "mintmark", "bust", "reverse", "obverse", "legend", "value"))
"""Words that every title may have: alone they hint at no variety."""
LESS = "less"
REACH = 3
"""Words between a negation and what it denies, at most."""
OPPOSITES = {"small": "large", "open": "closed", "wide": "narrow", "high": "low", "plain": "reeded"}
OPPOSITES |= {other: one for one, other in OPPOSITES.items()}


State = bool | str | None
"""Whether words stand in a title (True), are denied (False), `open` where it says both; None: not mentioned."""


@dataclass(slots=True)
class Told:
    """The issues whose varieties a title names, denies, or may deny."""

    named: list[Issue] = field(default_factory=list)
    hinted: list[Issue] = field(default_factory=list)
    """Named by their first words only: `dot` of `dot below bust`."""
    denied: list[Issue] = field(default_factory=list)
    doubted: list[Issue] = field(default_factory=list)

    def meant(self, listed: list[Issue]) -> list[Issue]:
        """The issues named; of several those that the catalogue lists under the words of the reading, if any."""
        return [issue for issue in self.named if issue in listed] or self.named or listed


def told(title: str, issues: Sequence[Issue], tongues: VarietyWords) -> Told:
    """What a title says of the varieties of these issues; of two named ones the one in more words."""
    out = Told()
    varied = [issue for issue in issues if issue.variety]
    if not varied:
        return out
    words, bare = steps(title, tongues), f" {bare_words(title)} "
    for issue in varied:
        said = _said(issue, words, bare, tongues)
        if said is not None:
            getattr(out, said).append(issue)
    if not out.named and len(varied) < len(issues):
        out.doubted += out.hinted  # `dot` may be `dot after date`, or the seller's talk of the plain piece
    elif not out.named:
        out.named = out.hinted
    whole = {issue.variety: frozenset(_plain(issue.variety, tongues)) for issue in out.named}
    out.named = [one for one in out.named if not any(whole[one.variety] < other for other in whole.values())]
    return out


def meant(text: str, issues: Sequence[Issue], tongues: VarietyWords) -> list[Issue]:
    """The issues that typed words of a variety mean, by name or by what they deny."""
    said = told(text, issues, tongues)
    left = [issue for issue in issues if issue not in said.denied]
    plain = [issue for issue in left if not issue.variety]
    return said.named or ((plain or opposite(said.denied, left, tongues)) if said.denied else [])


def opposite(denied: Sequence[Issue], left: Sequence[Issue], tongues: VarietyWords) -> list[Issue]:
    """The issues of the other of two sizes: `not large date` leaves `small date`."""
    turned = [sorted(OPPOSITES.get(word, word) for word in _plain(issue.variety, tongues)) for issue in denied]
    return [issue for issue in left if sorted(_plain(issue.variety, tongues)) in turned and issue not in denied]


def letter_varieties(mint: str, issues: Sequence[Issue]) -> list[Issue]:
    """Issues of other mints whose variety holds the letter of a mint: `R below bust` where R was read as the mint."""
    return [
        issue for issue in issues
        if issue.mint != mint and mint in (parts := issue.variety.replace(",", " ").split()) and len(parts) > 1
    ]  # fmt: skip


def stands(name: str, text: str, tongues: VarietyWords) -> bool:
    """Whether a name of some words stands in a text, and is not denied there."""
    words, core = steps(text, tongues), steps(name, tongues)
    return bool(core) and _state(core, words, tongues) in (True, "open")


@lru_cache(maxsize=4096)
def steps(text: str, tongues: VarietyWords) -> tuple[str, ...]:
    """The plain words of a text, and the signs where a breath ends; `dotless` is `no dot`."""
    out: list[str] = []
    for word in _STEP.findall(_bare(text)):
        if word.endswith(LESS) and len(word) > len(LESS) + 2:
            out.append("no")
            word = word[: -len(LESS)]
        if (plain := tongues.meant.get(word, word)) not in tongues.fillers:
            out.append(plain)
    return tuple(out)


def _bare(text: str) -> str:
    return folded(text.replace("ß", "ss"))


@lru_cache(maxsize=4096)
def _plain(variety: str, tongues: VarietyWords) -> tuple[str, ...]:
    return tuple(word for word in steps(variety, tongues) if word not in ("no", "with") and word not in tongues.stops)


@lru_cache(maxsize=4096)
def _parts(variety: str, tongues: VarietyWords) -> tuple[tuple[bool, tuple[str, ...]], ...]:
    """A variety's wordings, each with whether it must stand or be denied: `large date, no dot`."""
    out: list[tuple[bool, list[str]]] = []
    for word in steps(variety, tongues):
        if word == "no":
            out.append((False, []))
        elif word in tongues.stops or (word == "with" and (not out or out[-1][1])):
            out.append((True, []))
        elif word != "with":
            if not out:
                out.append((True, []))
            out[-1][1].append(word)
    return tuple((stands, tuple(words)) for stands, words in out if words)


def _said(issue: Issue, words: Sequence[str], bare: str, tongues: VarietyWords) -> str | None:
    """`named`, `hinted`, `denied` or `doubted`; None where the title does not speak of it."""
    figures = [word for word in bare_words(issue.variety).split() if "/" in word]
    if figures:  # of an overdate its figures are enough: `overdate 7/6` in `1887/6` or `1887 7/6`
        return "named" if all(f"{figure} " in bare for figure in figures) else None
    unit = set(_plain(issue.denomination, tongues))
    parts = [(stands, core) for stands, core in _parts(issue.variety, tongues) if not unit.issuperset(core)]
    found = [(stands, _state(core, words, tongues)) for stands, core in parts]
    if any(state is not None for _, state in found):
        return _verdict("named", found)
    heads = [(stands, core, head) for stands, core in parts if not unit.issuperset(head := _head(core, tongues))]
    return _verdict("hinted", [(stands, _state(head, words, tongues, core[len(head)])) for stands, core, head in heads])


def _verdict(name: str, found: Sequence[tuple[bool, State]]) -> str | None:
    """What wordings that must stand or be denied come to, with what the title says of each."""
    if any(isinstance(state, bool) and state != stands for stands, state in found):
        return "denied"
    if any(state == "open" for _, state in found):
        return "doubted"
    return name if found and all(state == stands for stands, state in found) else None


def _head(core: Sequence[str], tongues: VarietyWords) -> Sequence[str]:
    """The words of a variety before the place where it stands, where they say enough: `dot` of `dot after date`."""
    at = next((at for at, word in enumerate(core) if word in tongues.places), 0)
    return core[:at] if len("".join(core[:at])) > 1 and core[0] not in COMMON else ()


def _state(core: Sequence[str], words: Sequence[str], tongues: VarietyWords, place: str = "") -> State:
    """What a title says of some words.

    `place`: they are the head of a variety that stands there; with another place behind them they are not its."""
    count, wanted = len(core), sorted(core)
    found = (at for at in range(len(words) - count + 1) if words[at] in core)
    found = (at for at in found if sorted(words[at : at + count]) == wanted)
    ends = ((at, at + count) for at in found if not (place and _elsewhere(words, at + count, place, tongues)))
    states = {_affirmed(words, start, end, tongues) for start, end in ends}
    return states.pop() if len(states) == 1 else "open" if states else None


def _elsewhere(words: Sequence[str], at: int, place: str, tongues: VarietyWords) -> bool:
    """Whether another place follows: `star above bust` is no `star below bust`."""
    return at < len(words) and words[at] in tongues.places and words[at] != place


def _affirmed(words: Sequence[str], start: int, end: int, tongues: VarietyWords) -> bool | str:
    """Whether words of a title are meant, not denied: a `no` stands before them in the same breath."""
    if _is_missing(words[end : end + 2], tongues):
        return False
    between: list[str] = []
    for at in range(start - 1, max(start - REACH - 2, -1), -1):
        word = words[at]
        if word in tongues.stops or (word == "with" and (at == 0 or words[at - 1] != "no")):
            return True
        if word == "no":
            return _reaches(between, tongues)
        if word != "with" and word not in ARTICLES:
            between.append(word)
    return True


def _is_missing(behind: Sequence[str], tongues: VarietyWords) -> bool:
    """`dot missing`, `dot: no`: the words behind a name deny it."""
    if not behind or behind[0] in tongues.missing:
        return bool(behind)
    return behind[0] == "no" and (len(behind) < 2 or behind[1] in tongues.stops)


def _reaches(between: Sequence[str], tongues: VarietyWords) -> bool | str:
    """Whether words stay meant behind a `no` and other words: `never cleaned, dot` does, `no star or dot` is open."""
    if not between:
        return False
    return "open" if any(word in tongues.joining or word in SIZES for word in between) else True
