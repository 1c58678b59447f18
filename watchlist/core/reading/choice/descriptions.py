"""A description read for what its title leaves open.

It is mostly talk, so its numbers are read only where they can matter.
"""

from __future__ import annotations

from dataclasses import replace

from watchlist.core.reading.choice.assembly import begin, finish
from watchlist.core.reading.choice.draft import Draft
from watchlist.core.reading.fields.grouplots import count_told
from watchlist.core.reading.fields.kinds import other_thing
from watchlist.core.reading.fields.namedmints import mint_told
from watchlist.core.reading.fields.problems import canonical_problems, find_problems
from watchlist.core.reading.fields.replicas import is_replica
from watchlist.core.reading.fields.strikes import find_states
from watchlist.core.reading.record import Reading
from watchlist.core.reading.scanning.scan import Scan
from watchlist.core.reading.vocabulary.gradescales import Scales
from watchlist.core.reading.vocabulary.tokens import END, SIGN, WORD, YEARS, Token
from watchlist.core.reading.vocabulary.vocabulary import Vocabulary

OPENING = 8
"""Words in which a description says what it is about."""
A_FEW = 4
STRUCK_OTHERWISE = frozenset(("restrike", "piedfort", "off metal strike", "trial strike", "brockage"))
"""Strikes that are believed wherever a description names one."""
MINT_LETTERS = 4
"""Longest mint mark."""


def describe(scan: Scan, title: Reading, vocabulary: Vocabulary) -> Reading:
    """A description's own reading, without the fields that its title already gives."""
    found = _described(begin(scan, vocabulary), title)
    kind, strike = "other" if _told_thing(scan) else "coin", _told_strike(scan)
    return replace(found, kind=kind, variety=strike) if (kind, strike) != (found.kind, found.variety) else found


def _told_thing(scan: Scan) -> bool:
    """`Banknote, folded twice`, `This is a banknote`: the description begins by saying so; later it may be talk."""
    thing = other_thing(scan, ("thing.sure",))
    return thing is not None and thing.start < OPENING


def _told_strike(scan: Scan) -> str | None:
    """`An official restrike of 1964.`; several, as in `restrikes exist`, are not this piece."""
    for mark in scan.by.get("variety", ()):
        last = scan.them[mark.end - 1].low
        told = mark.value in STRUCK_OTHERWISE or (mark.value == "pattern" and mark.start < A_FEW)
        several = last.endswith(("s", "en"))
        if told and not several and not scan.used[mark.start] and not scan.negated(mark.start, mark.end):
            return mark.value
    return None


def _described(draft: Draft, title: Reading) -> Reading:
    scan, vocabulary = draft.scan, draft.vocabulary
    if _numbers_matter(scan, title, vocabulary.grammar.scales) or (
        draft.holder.service is not None and title.grade_low != title.grade_high
    ):
        return finish(draft, vocabulary.country_code(title.country or ""), whole=False, several=title.multiple)
    problems, (strike, date_state) = find_problems(scan, single=not title.multiple), find_states(scan)
    return Reading(
        title=scan.text,
        service=draft.holder.service,
        cert_number=draft.certificate,
        strike=strike,
        date_state=date_state,
        problems=canonical_problems([finer for finer, _, _ in problems], scan.lex.problem_kinds, details=False),
        problem_words=tuple(finer for finer, _, _ in problems),
        quantity=count_told(scan) if title.multiple else None,
        replica=is_replica(scan),
        spans=tuple(scan.spans),
    )


def _numbers_matter(scan: Scan, title: Reading, scales: Scales) -> bool:
    """Whether grade, designations, denomination, year or mint may still come from the description."""
    graded = title.grade_text is not None or title.grade_low is not None
    worded = "designation" in scan.by or "+" in scan.lows or _details_grade(scan, scales)
    if not graded or worded or any(m.value == "details" for m in scan.by.get("problem", ())):
        return True
    if title.kind != "coin" or title.years or title.denied_mints:
        return False
    if title.denomination is None or title.year is None:
        return True
    return title.mint is None and (_dated(scan) or _mint_named(scan) or mint_told(scan))


def _mint_named(scan: Scan) -> bool:
    """`S mint`, `mint mark: CC`; but `36 mm` is a measure."""
    for mark in scan.kinds("mint.before", "mint.after"):
        beside = (_word(scan, mark.start - 1, -1), _word(scan, mark.end, 1))
        if any(0 < len(word.low) <= MINT_LETTERS for word in beside):
            return True
    return "mint.none" in scan.by


def _word(scan: Scan, at: int, step: int) -> Token:
    """The word beside a mark, past signs; the empty token for a number."""
    while scan.tok(at).kind == SIGN and scan.tok(at).low:
        at += step
    return scan.tok(at) if scan.tok(at).kind == WORD else END


def _details_grade(scan: Scan, scales: Scales) -> bool:
    """`XF details`, `VF-30 details`; but `sharp details` is praise."""
    if scan.lows.isdisjoint(scales.details):
        return False
    before = (scan.tok(at - 1) for at, token in enumerate(scan.them) if token.low in scales.details)
    return any(token.kind != WORD or token.low in scales.phrases.root for token in before)


def _dated(scan: Scan) -> bool:
    """A year stands in the description, and so perhaps a mint mark behind it."""
    return "era" in scan.by or any(token.number in YEARS for token in scan.them)
