"""From a scanned title to its reading: candidates are found, one consistent choice is made, fields are put together."""

from __future__ import annotations

from collections import Counter

from watchlist.core.reading.choice.denomination import choose_denomination, take_values
from watchlist.core.reading.choice.draft import Draft
from watchlist.core.reading.choice.grade import choose_grade, grade_band, is_proof_word
from watchlist.core.reading.choice.mint import choose_mint, mint_again, mint_of, no_mint_of_it
from watchlist.core.reading.choice.quantity import count_before_country, quantity_of
from watchlist.core.reading.choice.year import all_years, choose_year, mark_several_years
from watchlist.core.reading.fields.countries import NAMED_COUNTRY, find_country, head_word
from watchlist.core.reading.fields.dates import find_dates
from watchlist.core.reading.fields.designations import find_designations
from watchlist.core.reading.fields.facevalues import find_values
from watchlist.core.reading.fields.grouplots import find_many
from watchlist.core.reading.fields.kinds import find_kind
from watchlist.core.reading.fields.namedmints import unknown_mint
from watchlist.core.reading.fields.problems import canonical_problems, find_problems
from watchlist.core.reading.fields.replicas import is_replica
from watchlist.core.reading.fields.services import find_service
from watchlist.core.reading.fields.strikes import find_states
from watchlist.core.reading.fields.varieties import find_varieties
from watchlist.core.reading.record import TITLE, Reading
from watchlist.core.reading.scanning.certificates import certificate
from watchlist.core.reading.scanning.corrections import claim_corrected
from watchlist.core.reading.scanning.noise import claim_noise, claim_stops, leading_number, lot_number
from watchlist.core.reading.scanning.scan import SILENT, Scan
from watchlist.core.reading.vocabulary.vocabulary import Vocabulary

COPPER = frozenset(
    ("cent", "half cent", "2 cent", "penny", "half penny", "farthing", "1/4 anna", "1/12 anna", "half anna",
     "quarter anna", "1 centime", "2 centimes", "5 centimes", "10 centimes", "1 centesimo", "2 centesimi",
     "5 centesimi", "10 centesimi", "1 pfennig", "2 pfennig", "1 centimo", "2.5 cent")
)  # fmt: skip
"""Denominations whose colour is graded: red, brown."""
MADE_OTHERWISE = frozenset(("pattern", "trial strike", "off metal strike", "cast"))
"""Varieties that only say how a copy was made."""
NO_COINS = frozenset(("medal", "token", "bar"))
OTHER_THINGS = frozenset(("round", "object"))
LIKE_A_COIN = frozenset(("design", "style", "type"))
"""Words that say a round is struck in the likeness of a coin."""

Hedged = list[tuple[str, bool]]
"""Names of a field, each with whether the seller doubts it."""


def read(
    text: str,
    vocabulary: Vocabulary,
    place: str = TITLE,
    number: str = "",
    heard: Counter[str] = SILENT,
    *,
    several: bool = False,
) -> Reading:
    """The reading of a title, or of a text that stands elsewhere and is read like one.

    `number`: by which the source knows the entry; it may stand at the head of the title; `heard`: the languages of the
    texts beside it; `several`: the lot holds several pieces."""
    scan = Scan(text, vocabulary.lex, place=place, heard=heard)
    leading_number(scan, number)
    return finish(begin(scan, vocabulary), several=several)


def begin(scan: Scan, vocabulary: Vocabulary) -> Draft:
    """A draft with its holder and the certificate number."""
    draft = Draft(scan, vocabulary)
    claim_corrected(scan)
    for mark in scan.by.get("nothing.words", ()):
        if not scan.has(mark.start, "variety"):
            scan.take(mark.start, mark.end)
    claim_stops(scan)
    draft.holder = find_service(scan, scan.lex.services)
    draft.certificate = certificate(scan, draft.holder.named)
    lot_number(scan)
    return draft


def finish(draft: Draft, country: str = "", *, whole: bool = True, several: bool = False) -> Reading:
    """The reading of a draft. `country`: known already; `whole`: varieties are wanted too; `several`: the lot holds
    several pieces, whatever this text says.

    The order decides: each step sees only the words that no step before it has taken."""
    scan = draft.scan
    claim_noise(scan)
    values = find_values(scan)
    draft.country, draft.country_sure = (country, 1.0) if country else find_country(scan, values)
    draft.dates = find_dates(scan, draft.country)
    draft.many = find_many(scan)
    draft.many.multiple |= several
    draft.values = values if all(scan.free(v.start, v.end) for v in values) else find_values(scan)
    if not draft.many.multiple and draft.values and scan.by.get("country"):
        count_before_country(draft)
    draft.year = choose_year(draft)
    mark_several_years(draft)
    choose_mint(draft)
    take_values(draft)
    letter = no_mint_of_it(draft)
    choose_grade(draft, draft.vocabulary.grammar)
    mint_again(draft, letter)
    _doubt_strangers(draft)
    return _reading(draft, whole)


def _doubt_strangers(draft: Draft) -> None:
    """A country or a mint that nobody knows is no country of the catalogue's and no main mint."""
    scan = draft.scan
    value = draft.values[0] if draft.values else None
    if draft.country_sure < NAMED_COUNTRY and (land := head_word(scan, value)):
        draft.doubt("country", land)
    silent = draft.mint.mint is None and not draft.mint.several
    if silent and not scan.by.get("kind") and not scan.by.get("mintname") and (mint := unknown_mint(scan)):
        draft.doubt("mint", mint)


def _reading(draft: Draft, whole: bool) -> Reading:
    scan, grade, service = draft.scan, draft.grade, draft.holder.service
    replica = is_replica(scan)
    kind = find_kind(scan)
    years = all_years(draft, draft.year)
    denomination = choose_denomination(draft, kind)
    problems = find_problems(scan, copy=replica)
    strike, date_state = find_states(scan)
    designations = _designations(draft, denomination, replica)
    varieties = _varieties(draft, kind, replica) if whole else []
    _doubt_hedged(draft, problems, designations, varieties)
    low, high = grade_band(grade, designations, replica)
    replica = replica or (kind == "round" and _is_like_a_coin(scan))
    if draft.mint.mint and not draft.mint.several:
        scan.rest("mint", draft.mint.start, draft.mint.end, round(draft.mint.score, 2))
    return Reading(
        title=scan.text,
        country=draft.vocabulary.country_names.get(draft.country or "", draft.country),
        denomination=denomination,
        year=None if kind == "round" else draft.year,
        years=years,
        mint=None if _kind(kind, False) == "other" else mint_of(draft, years),
        denied_mints=tuple(dict.fromkeys(draft.mint.denied)),
        variety=", ".join(varieties) or None,
        grade_low=low,
        grade_high=high,
        grade_text=draft.grade_text if low is not None or (draft.grade_text and not replica) else None,
        certified=service is not None,
        service=service,
        cert_number=draft.certificate,
        designations=tuple(name for name, _ in designations),
        strike=strike,
        date_state=date_state,
        problems=canonical_problems([finer for finer, _, _ in problems], scan.lex.problem_kinds, _has_details(draft)),
        problem_words=tuple(dict.fromkeys(finer for finer, _, _ in problems)),
        multiple=draft.many.multiple or len(years) > 1,
        quantity=quantity_of(draft, denomination, years),
        replica=replica,
        kind=_kind(kind, draft.many.is_set),
        unsure=tuple(draft.unsure),
        alternatives=tuple(draft.other),
        confidence=_confidence(draft, denomination, years),
        spans=tuple(scan.spans),
    )


def _designations(draft: Draft, denomination: str | None, replica: bool) -> Hedged:
    """Strike and colour, with what the grade's own words add; a copy without a grade number is no proof."""
    grade, scan = draft.grade, draft.scan
    after = -1 if grade is None else grade.end
    copper = denomination in COPPER
    found = find_designations(scan, after, grade is not None, copper, is_proof_word(grade, scan))
    if grade is not None and grade.numbered and scan.them[grade.start].low == "pl":
        found = [("PL", False), *(pair for pair in found if pair[0] != "PL")]
    if grade is not None and grade.plus:
        found.append(("PLUS", False))
    if replica and (grade is None or not grade.numbered):
        found = [pair for pair in found if pair[0] != "PROOF"]
    return found


def _varieties(draft: Draft, kind: str, replica: bool) -> list[str]:
    """The varieties of the piece; a copy is no strike of its own."""
    found = find_varieties(draft.scan, draft.dates.found, draft.mint, kind)
    if replica:
        found = [name for name in found if name.rstrip("?") not in MADE_OTHERWISE]
    if draft.dates.restruck and not any(name.startswith("restrike") for name in found):
        found.append("restrike")
    return found


def _has_details(draft: Draft) -> bool:
    """A details grade, or words for one such as `details grade` that stand apart from it."""
    apart = draft.scan.by.get("problem", ())
    graded = draft.grade is not None and draft.grade.details
    return graded or any(mark.value == "details" and mark.end - mark.start > 1 for mark in apart)


def _is_like_a_coin(scan: Scan) -> bool:
    return bool(scan.by.get("coin")) or not scan.lows.isdisjoint(LIKE_A_COIN)


def _doubt_hedged(
    draft: Draft, problems: list[tuple[str, str, bool]], designations: Hedged, varieties: list[str]
) -> None:
    """What the seller is not sure of, field by field."""
    scan, mint, holder = draft.scan, draft.mint, draft.holder
    hedged = {
        "problems": any(doubted for _, _, doubted in problems),
        "designations": any(doubted for _, doubted in designations),
        "variety": any(name.endswith("?") for name in varieties),
        "mint": bool(mint.mint) and bool(mint.rival or mint.guessed or _is_hedged_mint(draft)),
        "service": bool(holder.unknown or holder.doubted),
        "year": any(scan.tok(year.end).low == "?" for year in draft.dates.found),
    }
    draft.unsure |= dict.fromkeys(name for name, doubted in hedged.items() if doubted)
    if mint.mint and mint.rival:
        draft.other.append(("mint", mint.rival))
    if holder.unknown:
        draft.other.append(("service", holder.unknown))


def _is_hedged_mint(draft: Draft) -> bool:
    """A query or a word of doubt by the mint mark: `1889 (probably M)`, `1889-M (looks like V)`."""
    scan, mint = draft.scan, draft.mint
    bracketed = scan.tok(mint.end).low == "(" and scan.has(mint.end + 1, "hedge.words") is not None
    return bracketed or scan.hedged(mint.start, mint.end)


def _kind(kind: str, is_set: bool) -> str:
    """The kind of a reading: rounds and objects are other things, a set is one of coins."""
    if kind in NO_COINS:
        return kind
    if kind in OTHER_THINGS:
        return "other"
    return "set" if is_set else "coin"


def _confidence(draft: Draft, denomination: str | None, years: tuple[int, ...]) -> float:
    """Of the fields that decide what the piece is: denomination, date, mint and grade."""
    value = draft.values[0].score if denomination and draft.values else 0.3
    date = 0.95 if draft.year is not None or years else 0.4
    mint = draft.mint.score if draft.mint.mint else 0.9
    grade = draft.grade_score if draft.grade is not None else 0.9
    return round(min(value, date, mint, grade) * 0.8 ** len(draft.unsure), 2)
