"""One want, and which lots answer it, and why not."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable

from watchlist.core.coins.finishes import finish_named, finish_of
from watchlist.core.coins.issue import Issue, bare_words
from watchlist.core.coins.matching import Match
from watchlist.core.coins.scale import grade_word
from watchlist.core.coins.varieties import of_variety
from watchlist.core.coins.varietywords import VarietyWords
from watchlist.core.marks.reasons import grade_words, problem_words
from watchlist.core.marks.record import NearWant, Want
from watchlist.core.prices.traits import Traits, kind_of, trait_words
from watchlist.core.reading.record import Reading

__all__ = ["NearWant", "Want", "WantIndex", "answer", "why_not"]

NEAR_FAULTS = 2
"""A lot that fails a want in more points than this is no near miss."""


class WantIndex:
    """The want-list by denomination and year, so that each lot meets only the wants it can concern."""

    def __init__(
        self,
        wants: Iterable[Want],
        tongues: VarietyWords,
        traits: Traits | None = None,
        any_problem: Iterable[str] = (),
    ) -> None:
        """`any_problem`: what a note says where pieces with problems are welcome, in any language."""
        self.tongues, self.traits = tongues, traits
        self._any_problem = tuple(f" {bare_words(phrase)} " for phrase in any_problem)
        self.by_id: dict[str, Want] = {want.id: want for want in wants}
        self._dated: dict[tuple[str, int], list[Want]] = defaultdict(list)
        for want in self.by_id.values():
            self._dated[want.denomination, want.year].append(want)

    def __len__(self) -> int:
        return len(self.by_id)

    def takes_problems(self, want: Want) -> bool:
        """The want's own choice, else what its note says; pieces with problems do not match where neither does."""
        if want.problems or not want.note:
            return want.problems == "any"
        said = f" {bare_words(want.note)} "
        return any(phrase in said for phrase in self._any_problem)

    def asking_for(self, issue: Issue) -> list[Want]:
        """Wants of the issue's country, denomination and year, whatever their mint and grade."""
        wants = self._dated.get((issue.denomination, issue.year), [])
        country = bare_words(issue.country)
        return [want for want in wants if not want.country or bare_words(want.country) == country]


def answer(reading: Reading, match: Match, wants: WantIndex) -> tuple[tuple[Want, ...], tuple[NearWant, ...]]:
    """The wants that a lot answers, by falling ceiling and priority, and those it nearly answers with the reason."""
    if match.issue is None:
        return (), _open_issue(reading, match, wants)
    answers: list[Want] = []
    near: list[NearWant] = []
    for want in wants.asking_for(match.issue):
        faults = why_not(want, reading, match.issue, wants)
        if len(match.candidates) > 1:
            faults.insert(0, "the title leaves the issue open")
        if not faults:
            answers.append(want)
        elif len(faults) <= NEAR_FAULTS:
            near.append(NearWant(want.id, "; ".join(faults)))
    answers.sort(key=lambda want: (-want.priority, want.id))
    return tuple(answers), tuple(near)


def _open_issue(reading: Reading, match: Match, wants: WantIndex) -> tuple[NearWant, ...]:
    """Wants that one of the issues still possible would answer."""
    near: dict[str, NearWant] = {}
    for issue in match.candidates:
        for want in wants.asking_for(issue):
            faults = why_not(want, reading, issue, wants)
            if not faults:
                near.setdefault(want.id, NearWant(want.id, f"may be {issue.name}; the title leaves it open"))
    return tuple(near.values())


def why_not(want: Want, reading: Reading, issue: Issue, wants: WantIndex) -> list[str]:
    """All reasons why a piece of this issue does not answer the want; an empty list where it does."""
    faults: list[str] = []
    if want.mint is not None and want.mint.casefold() != issue.mint.casefold():
        faults.append(f"wrong mint: {_mint(issue.mint)}, you want {_mint(want.mint)}")
    finish = finish_of(issue, wants.tongues)
    if finish and finish_named(want.variety or "", wants.tongues) != finish:
        faults.append(f"{finish}, you want {want.variety or 'the regular coin'}")
    elif want.variety is not None and not of_variety([issue], want.variety, wants.tongues):
        faults.append(f"other variety: {issue.variety or 'plain'}, you want {want.variety or 'the regular coin'}")
    faults += _grade_faults(want, reading)
    if want.certified and not reading.certified:
        faults.append("not certified")
    if reading.replica:
        faults.append("the title says copy")
    if reading.multiple:
        faults.append("several pieces in one lot")
    if reading.problems and not wants.takes_problems(want):
        faults.append(f"problem piece: {', '.join(map(problem_words, reading.problems))}")
    faults += _trait_faults(want, reading, wants)
    if not want.asking:
        faults.append("already filled")
    return faults


def _trait_faults(want: Want, reading: Reading, wants: WantIndex) -> list[str]:
    """What is asked for and not said, and what is refused and said."""
    if not want.traits or wants.traits is None:
        return []
    said = wants.traits.of(reading)
    told = {kind_of(name): name for name in said}
    faults = [f"{trait_words([name[1:]])}, which you refuse" for name in want.traits if name[1:] in said]
    for name in want.traits:
        if not name.startswith("-") and name not in said:
            other = told.get(kind_of(name))
            stands = trait_words([other]) if other else f"no {kind_of(name)} stated"
            faults.append(f"{stands}, you want {trait_words([name])}")
    return faults


def _grade_faults(want: Want, reading: Reading) -> list[str]:
    """A range answers by its middle: a seller's `VF` (20 to 35) is under a floor of 30, and a near miss."""
    low, high = reading.grade_low, reading.grade_high
    if low is None or high is None:
        return ["no grade given"] if want.min_grade is not None or want.max_grade is not None else []
    middle = (low + high) / 2
    if want.min_grade is not None and middle < want.min_grade:
        return [f"grade {grade_words(low, high)}, below your minimum {grade_word(want.min_grade)}"]
    if want.max_grade is not None and low > want.max_grade:
        return [f"grade {grade_words(low, high)}, above your maximum {grade_word(want.max_grade)}"]
    return []


def _mint(mark: str) -> str:
    return mark or "the main mint"
