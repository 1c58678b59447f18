"""From a scanned title to its reading: candidates are found, one consistent choice is made, fields are put together."""

from __future__ import annotations

from itertools import pairwise
from typing import TYPE_CHECKING

from watchlist.core.reading.choice.draft import Draft
from watchlist.core.reading.choice.grade import choose_grade, grade_band, is_proof_word
from watchlist.core.reading.choice.mint import mint_again, no_mint_of_it
from watchlist.core.reading.choice.quantity import count_before_country
from watchlist.core.reading.choice.year import all_years, choose_year, mark_several_years
from watchlist.core.reading.fields.countries import NAMED_COUNTRY, find_country, head_word
from watchlist.core.reading.fields.dates import find_dates
from watchlist.core.reading.fields.designations import find_designations
from watchlist.core.reading.fields.facevalues import Value, find_values
from watchlist.core.reading.fields.grouplots import find_many
from watchlist.core.reading.fields.kinds import find_kind
from watchlist.core.reading.fields.mints import APART, Mints, find_mint, of_all
from watchlist.core.reading.fields.namedmints import NAMED, unknown_mint
from watchlist.core.reading.fields.problems import canonical_problems, find_problems
from watchlist.core.reading.fields.replicas import is_replica
from watchlist.core.reading.fields.services import find_service
from watchlist.core.reading.fields.varieties import find_varieties
from watchlist.core.reading.record import Reading
from watchlist.core.reading.scanning.noise import certificate, claim_noise, lot_number
from watchlist.core.reading.scanning.scan import Scan

if TYPE_CHECKING:
    from watchlist.core.reading.reader import Reader

COPPER = frozenset(
    ("cent", "half cent", "2 cent", "penny", "half penny", "farthing", "1/4 anna", "1/12 anna", "half anna",
     "quarter anna", "1 centime", "2 centimes", "5 centimes", "10 centimes", "1 centesimo", "2 centesimi",
     "5 centesimi", "10 centesimi", "1 pfennig", "2 pfennig", "1 centimo", "2.5 cent")
)  # fmt: skip
MADE_OTHERWISE = frozenset(("pattern", "trial strike", "off metal strike", "cast"))
"""Varieties that only say how a copy was made."""
STATED = frozenset(("half penny", "2 pence", "3 pence", "6 pence", "half crown"))
"""Values that a token states by the name of a coin."""
US_FACE = {"dime": 10, "quarter dollar": 25, "half dollar": 50, "dollar": 100, "cent": 1, "5 cent": 5}


def assemble(scan: Scan, reader: Reader) -> Reading:
    """The reading of a scanned title."""
    draft, cert = begin(scan, reader)
    return finish(draft, reader, cert)


def begin(scan: Scan, reader: Reader) -> tuple[Draft, str | None]:
    """A draft with its holder, and the certificate number."""
    draft = Draft(scan)
    for mark in scan.by.get("nothing.words", ()):
        if not scan.has(mark.start, "variety"):
            scan.take(mark.start, mark.end)
    draft.holder = find_service(scan, reader.services)
    lot_number(scan)
    return draft, certificate(scan, draft.holder.end > 0)


def finish(draft: Draft, reader: Reader, cert: str | None, country: str = "", *, whole: bool = True) -> Reading:
    """The reading of a draft. `country`: known already; `whole`: varieties are wanted too."""
    scan = draft.scan
    claim_noise(scan)
    values = find_values(scan)
    draft.country, draft.country_sure = (country, 1.0) if country else find_country(scan, values, reader.hint)
    draft.dates = find_dates(scan, draft.country)
    draft.many = find_many(scan)
    draft.values = values if all(scan.free(v.start, v.end) for v in values) else find_values(scan)
    if not draft.many.multiple and (scan.by.get("country") and draft.values):
        count_before_country(draft, reader)
    year = choose_year(draft)
    mark_several_years(draft)
    mint_years = [y for y in draft.dates.found if y.last is None] + ([draft.dates.era] if draft.dates.era else [])
    unit = (draft.values[0].unit or draft.values[0].coin) if draft.values else ""
    draft.mint = find_mint(scan, mint_years, draft.country, reader.mints, sure=draft.country_sure > 0.8, unit=unit)
    if draft.mint.mint is None and not draft.mint.several:
        _named_mint(draft, reader, year, unit)
    _by_mint(draft, unit)
    _unused_values(draft)
    letter = no_mint_of_it(draft, reader, year)
    choose_grade(draft, reader.grammar)
    mint_again(draft, letter)
    _strangers(draft, reader)
    return _reading(draft, reader, year, cert, whole)


def _named_mint(draft: Draft, reader: Reader, year: int | None, unit: str) -> None:
    """`1882 Carson City`: the name alone says which mark the piece carries."""
    if draft.scan.by.get("kind"):
        return  # a medal's place is no mint
    if found := reader.mint_names.find(draft.scan, draft.country, year, unit):
        mark, draft.mint.start, draft.mint.end = found
        draft.mint.mint = mark or None  # the main mint, by name
        draft.mint.score = NAMED
        draft.scan.take(draft.mint.start, draft.mint.end)


def _strangers(draft: Draft, reader: Reader) -> None:
    """A country or a mint that nobody knows is no country of the catalogue's and no main mint."""
    scan = draft.scan
    value = draft.values[0] if draft.values else None
    if draft.country_sure < NAMED_COUNTRY and not reader.hint and (land := head_word(scan, value)):
        draft.unsure["country"] = None
        draft.other.append(("country", land))
    silent = draft.mint.mint is None and not draft.mint.several and not scan.by.get("kind")
    if silent and not scan.by.get("mintname") and (mint := unknown_mint(scan)):
        draft.unsure["mint"] = None
        draft.other.append(("mint", mint))


def _by_mint(draft: Draft, unit: str) -> None:
    """A branch mint's letter on a sovereign, a colonial mint on reales: the piece is from there."""
    if draft.country_sure < 0.9 and draft.mint.mint:
        draft.country = draft.scan.lex.mint_country.get(unit, {}).get(draft.mint.mint, draft.country)


def _unused_values(draft: Draft) -> None:
    """Denominations whose words are not spoken for; the best one first, its tokens taken."""
    scan = draft.scan
    values = [v for v in draft.values if scan.free(v.start, v.end)]
    if values:
        best = max(
            values,
            key=lambda v: (
                round(v.score + (0.06 if v.end - v.start > 1 and not v.short and v.score > 0.5 else 0), 2),
                -v.start,
            ),
        )
        values.remove(best)
        values.insert(0, best)
        scan.take(best.start, best.end)
        for value in values[1:]:
            if value.end - value.start > 1 or value.number is not None:
                scan.take(value.start, value.end)
    draft.values = values


def _reading(draft: Draft, reader: Reader, year: int | None, cert: str | None, whole: bool) -> Reading:
    scan = draft.scan
    grade = draft.grade
    replica = is_replica(scan)
    kind = find_kind(scan)
    years = all_years(draft, year)
    denomination = _denomination(draft, reader, kind, year)
    details = bool(grade and grade.details) or _named_details(scan)
    problems = find_problems(scan)
    after = grade.end if grade is not None else -1
    copper = denomination in COPPER
    designations = find_designations(scan, after, grade is not None, copper, is_proof_word(grade, scan))
    varieties = find_varieties(scan, draft.dates.found, draft.mint, kind) if whole else []
    if replica:  # a copy is no strike of its own
        varieties = [name for name in varieties if name.rstrip("?") not in MADE_OTHERWISE]
    if draft.dates.restruck and not any(name.startswith("restrike") for name in varieties):
        varieties.append("restrike")
    if grade is not None and grade.numbered and scan.them[grade.start].low == "pl":
        designations = [("PL", False), *(pair for pair in designations if pair[0] != "PL")]
    if grade is not None and grade.plus:
        designations.append(("PLUS", False))
    if replica and (grade is None or not grade.numbered):
        designations = [pair for pair in designations if pair[0] != "PROOF"]
    _doubts(draft, problems, designations, varieties)
    multiple = draft.many.multiple or len(years) > 1
    low, high = grade_band(grade, designations, replica)
    service = draft.holder.service
    if draft.mint.mint and not draft.mint.several:
        scan.rest("mint", draft.mint.start, draft.mint.end, draft.mint.score)
    if kind == "round":
        replica = replica or bool(scan.by.get("coin") or {"design", "style", "type"} & {t.low for t in scan.them})
    return Reading(
        title=scan.text,
        country=reader.country_names.get(draft.country or "", draft.country),
        denomination=denomination,
        year=None if kind == "round" else year,
        years=years,
        mint=_mint(draft, reader, years),
        denied_mints=tuple(dict.fromkeys(draft.mint.denied)),
        variety=", ".join(varieties) or None,
        grade_low=low,
        grade_high=high,
        grade_text=draft.grade_text if low is not None or (draft.grade_text and not replica) else None,
        certified=service is not None,
        service=service,
        cert_number=cert,
        designations=tuple(name for name, _ in designations),
        problems=canonical_problems([finer for finer, _, _ in problems], reader.lex.problem_kinds, details),
        problem_words=tuple(dict.fromkeys(finer for finer, _, _ in problems)),
        multiple=multiple,
        quantity=_quantity(draft, denomination, years),
        replica=replica,
        kind=_kind(kind, draft),
        unsure=tuple(draft.unsure),
        alternatives=tuple(draft.other),
        confidence=_confidence(draft, denomination, year, years),
        spans=tuple(scan.spans),
    )


def _mint(draft: Draft, reader: Reader, years: tuple[int, ...]) -> str | None:
    """The mint of the piece; of several years only a mark they share."""
    ranged = len(years) > 1 and any(year.last for year in draft.dates.found)
    if draft.mint.several or (ranged and draft.mint.score != APART):
        return None
    if ranged:
        return draft.mint.mint
    if len(years) > 1:
        return of_all(draft.scan, [y for y in draft.dates.found if y.last is None], draft.country, reader.mints)
    return draft.mint.mint


def _named_details(scan: Scan) -> bool:
    return any(m.value == "details" and m.end - m.start > 1 for m in scan.by.get("problem", ()))


def _doubts(
    draft: Draft, problems: list[tuple[str, str, bool]], designations: list[tuple[str, bool]], varieties: list[str]
) -> None:
    if any(hedged for _, _, hedged in problems):
        draft.unsure["problems"] = None
    if any(doubted for _, doubted in designations):
        draft.unsure["designations"] = None
    if any(name.endswith("?") for name in varieties):
        draft.unsure["variety"] = None
    scan, mint = draft.scan, draft.mint
    if mint.mint and (mint.guessed or scan.hedged(mint.start, mint.end) or _looks_like(scan, mint)):
        draft.unsure["mint"] = None
    if mint.mint and mint.rival:
        draft.unsure["mint"] = None
        draft.other.append(("mint", mint.rival))
    if draft.holder.unknown:
        draft.unsure["service"] = None
        draft.other.append(("service", draft.holder.unknown))
    if draft.holder.doubted:
        draft.unsure["service"] = None
    for year in draft.dates.found:
        if scan.tok(year.end).low == "?":
            draft.unsure["year"] = None


def _looks_like(scan: Scan, mint: Mints) -> bool:
    return scan.tok(mint.end).low == "(" and scan.has(mint.end + 1, "hedge.words") is not None


def _denomination(draft: Draft, reader: Reader, kind: str, year: int | None) -> str | None:
    scan = draft.scan
    values = draft.values if kind != "object" else []
    if kind in ("medal", "token", "bar", "round"):
        values = [v for v in values if (v.number is not None and v.unit) or (kind == "token" and v.coin in STATED)]
    if draft.many.multiple and (_several_values(scan, values) or _each_its_year(draft, values)):
        return None
    if draft.many.is_set and values and values[0].number is None and values[0].unit == "euro":
        return "set"  # `euro` says only which money the set is of
    if values:
        value = values[0]
        name = reader.canonical(value, draft.country, scan)
        since, later = scan.lex.later.get(value.unit, (0, ""))
        if later and value.number is None and year is not None and year >= since:
            name = reader.spelt(later)
        scan.rest("denomination", value.start, value.end, value.score)
        _other_values(draft, reader, name, values[1:])
        if name == "dollar" and draft.many.is_set and draft.many.quantity:
            return name
        return name
    return "set" if draft.many.is_set and kind == "coin" else None


def _several_values(scan: Scan, values: list[Value]) -> bool:
    """`1/2 Mark - 5 Mark`, `5-10-25 pesetas`, `cents and stivers`: a lot of more than one denomination."""
    for value in values:
        figures = [scan.tok(value.start - back).number for back in (2, 4)]
        signs = {scan.tok(value.start - back).low for back in (1, 3)}
        if value.number and len(signs) == 1 and signs <= {"-", ",", "+"} and all(0 < n <= 1000 for n in figures):
            return True
    for one, two in pairwise(sorted(values, key=lambda value: value.start)):
        if (one.unit, one.number, one.coin) == (two.unit, two.number, two.coin) or two.start - one.end != 1:
            continue
        sign = scan.tok(one.end).low
        if sign in scan.lex.sets["until"] or sign == "-" or (sign in scan.lex.sets["and"] and one.unit != two.unit):
            return True
    return False


def _each_its_year(draft: Draft, values: list[Value]) -> bool:
    """`1858 half dollar and 1876 quarter`: two values, a year with each."""
    sure = sorted((v for v in values if v.score >= 0.7), key=lambda v: v.start)
    years = [year.start for year in draft.dates.found if year.last is None]
    return any(
        (one.unit, one.number, one.coin) != (two.unit, two.number, two.coin)
        and any(one.end <= at < two.start for at in years)
        and len(years) > 1
        for one, two in pairwise(sure)
    )


def _other_values(draft: Draft, reader: Reader, name: str, rest: list[Value]) -> None:
    """Another denomination in the title, unless it only says the same again."""
    if draft.many.multiple:
        return
    for value in rest:
        other = reader.canonical(value, draft.country, draft.scan)
        if other != name and value.score >= 0.9 and value.number is not None:
            draft.unsure["denomination"] = None
            draft.other.append(("denomination", other))


def _quantity(draft: Draft, name: str | None, years: tuple[int, ...]) -> int | None:
    many, scan = draft.many, draft.scan
    if many.quantity is None and many.face and draft.values:
        cents = US_FACE.get(name or "", 0)
        return round(many.face * 100 / cents) if cents else None
    single = {y.year for y in draft.dates.found if y.last is None}
    if many.quantity is None and many.multiple and len(single) == len(years) > 1 and not scan.by.get("multiple.set"):
        return len(years)
    return many.quantity


def _kind(kind: str, draft: Draft) -> str:
    if kind in ("medal", "token", "bar"):
        return kind
    if kind in ("round", "object"):
        return "other"
    return "set" if draft.many.is_set else "coin"


def _confidence(draft: Draft, denomination: str | None, year: int | None, years: tuple[int, ...]) -> float:
    """Of the fields that decide what the piece is: denomination, date, mint and grade."""
    value = draft.values[0].score if denomination and draft.values else 0.3
    date = 0.95 if year is not None or years else 0.4
    mint = draft.mint.score if draft.mint.mint else 0.9
    grade = draft.grade_score if draft.grade is not None else 0.9
    doubt = 0.8 ** len(draft.unsure)
    return round(min(value, date, mint, grade) * doubt, 2)
