"""Signs seen of a possible fake or alteration, their groups, and the level they reach. Never a verdict."""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field, replace
from datetime import date

from watchlist.core.coins.issue import Issue
from watchlist.core.coins.matching import Match
from watchlist.core.coins.scale import grade_word
from watchlist.core.lots.record import Lot
from watchlist.core.marks.pricesign import Part, price_weight
from watchlist.core.marks.record import Doubt, Level, Sign, Strength
from watchlist.core.marks.signs import Signs, sentences_of
from watchlist.core.marks.weighing import Spec, limits
from watchlist.core.reading.record import Reading

__all__ = ["CertSeen", "Doubt", "Evidence", "Level", "Sign", "Strength", "judge", "learned_odds", "level_of"]

LEAST_STEP = 0.01
"""Grams; limits are told, and held to, no finer than a collector's scale shows."""
MADE_LIGHT = frozenset({"holed", "clipped", "repaired", "damaged", "env_damage"})
"""Problems that take metal away: a light weight is then no sign."""
MADE_HEAVY = frozenset({"mounted", "repaired", "holed"})
"""Problems that add metal: a heavy weight is then no sign."""


@dataclass(frozen=True, slots=True)
class CertSeen:
    """A certificate number as it was seen before, on another lot or sale than the one judged."""

    where: str
    """In words: `Lindmoor Sales, lot 212`."""
    issue: str
    """Key of the issue read there; empty when it was not read."""
    grade: int | None
    day: date | None = None
    live: bool = False
    """On a lot that can still be bought."""
    name: str = ""
    """The issue in words; empty where only its key is known."""


@dataclass(frozen=True, slots=True)
class Evidence:
    """What is known about a lot beside its own words. All of it may be missing."""

    parts: Sequence[Part] = ()
    """The fair-value distribution, home currency."""
    cost: float | None = None
    """All-in cost in home currency; None while an auction is open or without a price."""
    middle: float | None = None
    """Middle of the lot's band."""
    series_middle: float | None = None
    """Median of the middles of its series in this grade."""
    certs: Sequence[CertSeen] = ()
    notes_copies: bool = False
    """The catalogue says of some issue of the series that copies are known."""
    same_issue: int = 0
    """Other open lots of this issue by the same seller."""
    venue_kind: str = ""
    """auction, marketplace, dealer, club; empty when unknown."""
    learned: float = 0.0
    """Log multiplier learned from the outcomes of this seller and issue."""
    dismissed: Mapping[str, str] = field(default_factory=dict)
    """Names of the lot's signs that the person has set aside, each with the note."""


def judge(
    lot: Lot, reading: Reading, match: Match, evidence: Evidence, signs: Signs, specs: Iterable[Spec] = ()
) -> Doubt:
    """All signs of a lot and their level. Each group gives its weight once; a disclosed copy has no score.

    A sign that the person has dismissed is left out of the weighing, as if it had not been seen; the next sign of its
    group counts then."""
    if reading.replica:
        return Doubt(copy=True)
    number, aside = _set_aside(number_signs(reading, match, evidence, signs), evidence)
    groups = [
        issue_signs(reading, match.issue, evidence, signs),
        price_signs(evidence, signs, comfort=not (number and number[0].weight > 0)),
        number[:1] or certified_signs(reading, signs),
        struck_signs(match, signs),
        seller_signs(lot, match.issue, evidence, signs),
        weight_signs(lot, reading, match.issue, signs, specs),
        venue_signs(evidence, signs),
        learned_signs(evidence),
    ]
    if number and number[0].weight < 0:  # an honest resale: the holder's comfort stays
        groups.append(certified_signs(reading, signs))
    parted = [_set_aside(group, evidence) for group in groups]
    groups = [kept for kept, _ in parted]
    aside += [sign for _, gone in parted for sign in gone]
    seen = [sign for group in groups for sign in group]
    score = signs["score.start"] + sum(_group_weight(group, signs) for group in groups)
    score = max(-signs["score.clip"], min(signs["score.clip"], score))
    shown = sorted((sign for sign in seen if sign.weight > 0), key=lambda sign: -sign.weight)
    comforts = tuple(sign for sign in seen if sign.weight < 0)
    gone = tuple(sorted(aside, key=lambda sign: -sign.weight))
    return Doubt(level_of(score, signs), score, tuple(shown), comforts=comforts, dismissed=gone)


def _set_aside(group: Sequence[Sign], evidence: Evidence) -> tuple[list[Sign], list[Sign]]:
    """The signs of a group that count, and those that the person has dismissed. What speaks for a piece stays."""
    if not evidence.dismissed:
        return list(group), []
    notes = {sign.name: evidence.dismissed.get(sign.name) for sign in group if sign.weight > 0}
    kept = [sign for sign in group if notes.get(sign.name) is None]
    return kept, [replace(sign, dismissed=note) for sign in group if (note := notes.get(sign.name)) is not None]


def level_of(score: float, signs: Signs) -> Level:
    """The level of a score; each level begins at its own figure."""
    levels: tuple[Level, ...] = ("strong", "caution", "query")
    return next((level for level in levels if score >= signs[f"levels.{level}"]), "none")


def _group_weight(group: Sequence[Sign], signs: Signs) -> float:
    """The largest weight of a group; of the seller's group also a share of the next, up to a most."""
    if not group:
        return 0.0
    weights = sorted((sign.weight for sign in group), reverse=True)
    if group[0].group != "seller":
        return weights[0]
    following = weights[1] if len(weights) > 1 else 0.0
    return min(signs["seller.most"], weights[0] + signs["seller.next_share"] * following)


def _sign(signs: Signs, name: str, group: str, text: str, weight: float, could_be: str = "", *, seen: str = "") -> Sign:
    size = abs(weight)
    strength: Strength = (
        "strong" if size >= signs["strength.strong"] else "moderate" if size >= signs["strength.moderate"] else "weak"
    )
    return Sign(name, group, text, weight, strength, could_be, seen=seen)


def issue_signs(reading: Reading, issue: Issue | None, evidence: Evidence, signs: Signs) -> list[Sign]:
    """How tempting the issue is to a faker."""
    if issue is None:
        return []
    if issue.copied:
        text = "an issue known to be copied or altered"
        return [_sign(signs, "copied", "issue", text, signs["issue.copied"], "a genuine coin, as most are")]
    middle, usual = evidence.middle, evidence.series_middle
    worn = reading.grade_high is not None and reading.grade_high < 60
    if worn and middle and usual and middle > signs["issue.scarce_ratio"] * usual:
        text = f"worth {middle / usual:.1f} times the median of its series even worn"
        return [_sign(signs, "scarce", "issue", text, signs["issue.scarce"], "a genuine coin, as most are")]
    if evidence.notes_copies:
        text = "your catalogue notes copies of other issues of this series, not of this one"
        return [_sign(signs, "not_noted", "issue", text, signs["issue.not_noted"])]
    if middle is not None and middle < signs["issue.common_under"]:
        return [_sign(signs, "common", "issue", "a common issue, less often copied", signs["issue.common"])]
    return []


def price_signs(evidence: Evidence, signs: Signs, *, comfort: bool = True) -> list[Sign]:
    """How the cost stands to what such pieces bring; nothing for an auction still open.

    Without `comfort` an honest price says nothing: a holder's copied number is offered at honest prices too."""
    if evidence.cost is None or not evidence.parts:
        return []
    weight = price_weight(evidence.cost, evidence.parts, floor=signs["price.floor"], top=signs["price.top"])
    share = (
        f"the cost is {max(evidence.cost / evidence.middle, 0.01):.0%} of the median" if evidence.middle else "the cost"
    )
    if weight <= 0:
        comforting = comfort and weight < 0
        return [_sign(signs, "price", "price", f"{share}, in line with past sales", weight)] if comforting else []
    far = "far below its value" if weight >= signs["price.told_from"] else "below its value"
    could_be = "a seller's error, an undisclosed problem, a wrong grade or currency"
    return [_sign(signs, "price", "price", f"{far}: {share}", weight, could_be)]


def certified_signs(reading: Reading, signs: Signs) -> list[Sign]:
    """A service that the person knows holds the piece now, under a number: a bare claim can be neither looked up nor
    met again, and counts for nothing."""
    if not reading.certified or not reading.cert_number:
        return []
    text = f"stated as certified by {reading.service or 'a grading service'}"
    return [_sign(signs, "held", "certified", text, signs["certified.held"])]


def number_signs(reading: Reading, match: Match, evidence: Evidence, signs: Signs) -> list[Sign]:
    """The certificate number as seen before, the largest sign first."""
    if not reading.cert_number or match.issue is None:
        return []
    found = [sign for seen in evidence.certs if (sign := _number_sign(reading, match.issue, seen, signs))]
    return sorted(found, key=lambda sign: -sign.weight)


def _number_sign(reading: Reading, issue: Issue, seen: CertSeen, signs: Signs) -> Sign | None:
    number, where = f"certificate number {reading.cert_number}", f"({seen.where})"
    if not seen.issue:
        return None
    if seen.issue != issue.key:
        text = f"{number} was given for another coin, {seen.name or seen.issue} {where}"
        told = f"{number} was seen on another piece, {seen.issue} {where}"
        could_be = "a typing error, a mislabelled holder"
        return _sign(signs, "other_issue", "number", text, signs["number.other_issue"], could_be, seen=told)
    if seen.live:
        text, told = f"{number} is given for two open lots {where}", f"{number} stands on two lots at once {where}"
        return _sign(
            signs, "two_live", "number", text, signs["number.two_live"], "the same piece listed twice", seen=told
        )
    if seen.grade is not None and reading.grade_low is not None and seen.grade != reading.grade_low:
        text = f"{number} was given as {grade_word(seen.grade)}, not {grade_word(reading.grade_low)} {where}"
        told, could_be = f"{number} was seen with grade {seen.grade} {where}", "a new grading, a typing error"
        return _sign(signs, "other_grade", "number", text, signs["number.other_grade"], could_be, seen=told)
    text = f"{number} was seen on this issue and grade before {where}"
    return _sign(signs, "same_piece", "number", text, signs["number.same_piece"], seen=text)


def struck_signs(match: Match, signs: Signs) -> list[Sign]:
    """Year and mint that the catalogue of a known series does not have; less where the year lies beside its run."""
    name = "never" if match.never_struck else "beside" if match.beside_run else ""
    if not name:
        return []
    could_be = "a slip of the title, a gap in your catalogue"
    text = match.why.rstrip(".") if match.never_struck else f"not in your catalogue: {match.why.rstrip('.')}"
    return [_sign(signs, name, "never struck", text, signs[f"struck.{name}"], could_be)]


def seller_signs(lot: Lot, issue: Issue | None, evidence: Evidence, signs: Signs) -> list[Sign]:
    """Ratings, talk, stock pictures, several pieces of one rarity."""
    found: list[Sign] = []
    if lot.feedback is not None and lot.feedback < signs["seller.few_ratings_under"]:
        ratings = "no ratings" if lot.feedback <= 0 else "1 rating" if lot.feedback == 1 else f"{lot.feedback} ratings"
        text = f"seller with {ratings}"
        found.append(_sign(signs, "few_ratings", "seller", text, signs["seller.few_ratings"], "a new seller"))
    words = sentences_of(f"{lot.title}\n{lot.description}")
    found += [
        _sign(signs, phrases.id, "seller", f'{phrases.text}: "{said}"', phrases.weight, phrases.could_be)
        for phrases, said in signs.said_in(words)
    ]
    pieces = evidence.same_issue + max(lot.quantity, 1)
    if pieces >= signs["seller.several_at"] and _rare(issue, evidence, signs):
        text = f"{pieces} pieces of this issue from one seller"
        found.append(_sign(signs, "several", "seller", text, signs["seller.several"], "a dealer in date runs"))
    if not found and (lot.feedback or 0) >= signs["seller.established_at"]:
        text = f"seller with {lot.feedback} ratings"
        return [_sign(signs, "established", "seller", text, signs["seller.established"])]
    return found


def _rare(issue: Issue | None, evidence: Evidence, signs: Signs) -> bool:
    if issue is None:
        return False
    middle, usual = evidence.middle, evidence.series_middle
    return issue.copied or bool(middle and usual and middle > signs["issue.scarce_ratio"] * usual)


def weight_signs(
    lot: Lot, reading: Reading, issue: Issue | None, signs: Signs, specs: Iterable[Spec] = ()
) -> list[Sign]:
    """The weight that the seller states against the limits of the bench."""
    if lot.weight_g is None or issue is None or reading.multiple or lot.quantity > 1:
        return []
    step = lot.weight_step_g or 0.0
    bounds = limits(issue, reading.grade_low, signs, specs, step=step)
    times = signs["weight.believable"]
    if bounds is None or not bounds.standard / times < lot.weight_g < bounds.standard * times:
        return []
    figures = f"stated weight {lot.weight_g:g} g, standard {bounds.standard:g} g"
    problems = set(reading.problems)
    low, high = _rounded(bounds.low, step, down=True), _rounded(bounds.high, step, down=False)
    if lot.weight_g < low - 1e-9 and not problems & MADE_LIGHT:
        text = f"{figures}; {low:g} g or more expected in this grade"
        return [_sign(signs, "light", "weight", text, signs["weight.light"], "worn more than it looks, a typing error")]
    if lot.weight_g > high + 1e-9 and not problems & MADE_HEAVY:
        text = f"{figures}; {high:g} g or less expected, and wear adds no weight"
        return [_sign(signs, "heavy", "weight", text, signs["weight.heavy"], "dirt, a typing error, a poor scale")]
    if bounds.low <= lot.weight_g <= bounds.high:
        return [_sign(signs, "inside", "weight", f"{figures}: inside the limits", signs["weight.inside"])]
    return []


def _rounded(limit: float, step: float, *, down: bool) -> float:
    """A limit as the seller's scale would show it, to the outer side: a figure at the limit of rounding is no sign."""
    unit = max(step, LEAST_STEP)
    steps = math.floor(limit / unit + 1e-6) if down else math.ceil(limit / unit - 1e-6)
    return round(steps * unit, 6)


def venue_signs(evidence: Evidence, signs: Signs) -> list[Sign]:
    """Where it is sold; nothing when the kind of venue is unknown."""
    if not evidence.venue_kind:
        return []
    if evidence.venue_kind == "marketplace":
        text = "sold on an open marketplace"
        return [_sign(signs, "marketplace", "venue", text, signs["venue.marketplace"], "an honest seller, as most are")]
    return [
        _sign(
            signs,
            "other",
            "venue",
            "sold at an auction" if evidence.venue_kind == "auction" else f"sold by a {evidence.venue_kind}",
            signs["venue.other"],
        )
    ]


def learned_signs(evidence: Evidence) -> list[Sign]:
    """What the person's own outcomes with this seller or issue taught."""
    if not evidence.learned:
        return []
    worse = evidence.learned > 0
    text = f"your own outcomes with this seller or issue were {'worse' if worse else 'better'} than expected"
    return [Sign("learned", "learned", text, evidence.learned, "moderate" if abs(evidence.learned) >= 1.1 else "weak")]


def learned_odds(disputed: int, expected: float, *, prior: float = 0.5) -> float:
    """Log multiplier of the odds for a seller or issue: log((k + fakes) / (k + sum p)), clipped to -1.5 and +2.5.

    `expected` is the sum of P(fake) before each resolved purchase, without this multiplier."""
    return max(-1.5, min(2.5, math.log((prior + disputed) / (prior + max(expected, 0.0)))))
