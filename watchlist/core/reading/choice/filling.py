"""What a title leaves open, filled from the lot's columns and its description; columns count before the description."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import replace
from typing import Any

from watchlist.core.reading.choice.assembly import read
from watchlist.core.reading.choice.descriptions import describe
from watchlist.core.reading.choice.gradecells import in_coinage
from watchlist.core.reading.fields.denominations import canonical_cell
from watchlist.core.reading.fields.namedmints import named_mint
from watchlist.core.reading.fields.problems import MADE_OF, canonical_problems
from watchlist.core.reading.record import COLUMN, DESCRIPTION, Reading, Span
from watchlist.core.reading.scanning.scan import SILENT, Scan
from watchlist.core.reading.vocabulary.vocabulary import Vocabulary

CODE = re.compile(r"(?=[^\W_]*\d)[^\W_](?:[^\W_]|[-./ ](?=[^\W_])){2,29}")
"""A certificate's number alone in its cell."""
DESCRIPTION_CAP = 3000
"""Characters of a description that are read."""
LANGUAGE = "language"
"""The field that says in which language a lot's columns are headed."""
LONGEST_MARK = 5
"""Letters of a mint mark, at most; more are a mint's name."""
TOLD = ("denomination", "year", "mint")
"""What a description may tell of a coin whose title is silent."""
COUNTED = ("quantity", "years")
"""... and of a lot of several."""


def talk(description: str, fields: Mapping[str, str], vocabulary: Vocabulary) -> list[Scan]:
    """What is said in running text: the description, and the column of remarks beside it."""
    texts = ((text[:DESCRIPTION_CAP], place) for text, place in _running(description, fields) if text)
    headed = spoken(fields)
    return [Scan(text, vocabulary.lex, place=place, quiet=True, heard=headed) for text, place in texts]


def _running(description: str, fields: Mapping[str, str]) -> tuple[tuple[str, str], ...]:
    return (description, DESCRIPTION), (fields.get("remark", ""), COLUMN)


def spoken(fields: Mapping[str, str]) -> Counter[str]:
    """The language of the headings over a lot's cells."""
    language = fields.get(LANGUAGE, "")
    return Counter((language,)) if language else SILENT


def heard(told: Sequence[Scan], fields: Mapping[str, str]) -> Counter[str]:
    """The languages of running texts, and of the headings over a lot's cells."""
    return sum((scan.votes for scan in told), spoken(fields)) if told else spoken(fields)


def fill(reading: Reading, told: Sequence[Scan], fields: Mapping[str, str], vocabulary: Vocabulary) -> Reading:
    """The reading with its open fields filled from columns, by name, and from what is told in running text."""
    if fields:
        reading = _columns(reading, fields, vocabulary, heard(told, fields))
    for scan in told:
        other = describe(scan, reading, vocabulary)
        reading = _with(reading, _described(reading, other), other.spans)
    return _as_a_copy(reading, vocabulary) if reading.replica and reading.problems else reading


def _columns(reading: Reading, fields: Mapping[str, str], vocabulary: Vocabulary, tongue: Counter[str]) -> Reading:
    """The reading with its open fields filled from the columns that have a text."""
    for names, put in COLUMNS.items():
        if text := next((text for name in names if (text := fields.get(name, "").strip())), ""):
            reading = _from_cell(reading, put(reading, text, vocabulary, tongue), text)
    return reading


def _as_a_copy(reading: Reading, vocabulary: Vocabulary) -> Reading:
    """Gilt or plated: what a copy is made of is no fault of it."""
    words = [word for word in reading.problem_words if word not in MADE_OF]
    known = canonical_problems(words, vocabulary.lex.problem_kinds, details="details" in reading.problems)
    return replace(reading, problems=known, problem_words=tuple(words))


def _from_cell(before: Reading, after: Reading, text: str) -> Reading:
    """The reading after a column has told what it had to tell, resting on the cell where it told something."""
    if after is before:
        return before
    told = [name for name, span in RESTING.items() if getattr(after, name) not in (getattr(before, name), None, ())]
    fields = dict.fromkeys(RESTING[name] for name in told)
    kept = (span for span in before.spans if span.field not in fields or span.field in SEVERAL)
    cells = (Span(field, 0, len(text), text, CELL_SURE, COLUMN) for field in fields)
    return replace(after, spans=(*kept, *cells))


def _country(reading: Reading, text: str, vocabulary: Vocabulary, _: Counter[str]) -> Reading:
    if reading.country is not None and "country" not in reading.unsure:
        return reading
    return replace(_settled(reading, "country"), country=vocabulary.country_code(text) or None)


def _denomination(reading: Reading, text: str, vocabulary: Vocabulary, _: Counter[str]) -> Reading:
    if reading.denomination is not None:
        return reading
    code = vocabulary.country_code(reading.country or "")
    return replace(reading, denomination=canonical_cell(text, code, vocabulary) or None)


def _year(reading: Reading, text: str, vocabulary: Vocabulary, _: Counter[str]) -> Reading:
    if reading.year is not None or reading.years:
        return reading
    found = read(text, vocabulary)
    return replace(reading, year=found.year, mint=reading.mint or found.mint)


def _mint(reading: Reading, text: str, vocabulary: Vocabulary, _: Counter[str]) -> Reading:
    if reading.mint is not None or reading.denied_mints:
        return reading
    if len(text) <= LONGEST_MARK:
        return replace(_settled(reading, "mint"), mint=text)
    code, names = vocabulary.country_code(reading.country or ""), vocabulary.mint_names.known
    named = named_mint(Scan(text, vocabulary.lex), names, code, reading.year, "")
    return replace(_settled(reading, "mint"), mint=named[0]) if named else reading


def _grade(reading: Reading, text: str, vocabulary: Vocabulary, tongue: Counter[str]) -> Reading:
    return _with(reading, _stated(reading, in_coinage(vocabulary, reading, text, tongue)))


def _variety(reading: Reading, text: str, _: Vocabulary, __: Counter[str]) -> Reading:
    return reading if reading.variety is not None else replace(reading, variety=text)


def _certificate(reading: Reading, text: str, vocabulary: Vocabulary, _: Counter[str]) -> Reading:
    """A certificate cell: its number alone, or service, grade, number and fault together."""
    code = text.lstrip("#№ ").strip()
    if CODE.fullmatch(code) and code.casefold() not in vocabulary.lex.services:
        return reading if reading.cert_number else replace(reading, cert_number=code)
    return _with(reading, _stated(reading, read(text, vocabulary)))


def _holder(reading: Reading, text: str, vocabulary: Vocabulary, _: Counter[str]) -> Reading:
    """The column that names a grading service; one that the person does not know makes nothing certified."""
    if reading.multiple:
        return reading
    if text.casefold() in vocabulary.lex.services:
        return reading if reading.service else replace(reading, service=text.upper(), certified=True)
    return _with(reading, _stated(reading, read(text, vocabulary)))


def _problem(reading: Reading, text: str, vocabulary: Vocabulary, _: Counter[str]) -> Reading:
    return _with(reading, _stated(reading, read(text, vocabulary)))


COLUMNS: Mapping[tuple[str, ...], Callable[[Reading, str, Vocabulary, Counter[str]], Reading]] = {
    ("country",): _country, ("denomination",): _denomination, ("year",): _year, ("mint",): _mint, ("grade",): _grade,
    ("variety",): _variety, ("cert_number",): _certificate, ("service", "certified"): _holder, ("problem",): _problem,
}  # fmt: skip
"""Columns in the order they are believed in: a coinage is known before its dates, mints and grades are read."""
RESTING = {
    "country": "country", "denomination": "denomination", "year": "year", "mint": "mint", "variety": "variety",
    "grade_low": "grade", "service": "service", "cert_number": "cert_number", "designations": "designations",
    "strike": "strike", "date_state": "date_state", "problems": "problems", "replica": "replica",
    "quantity": "quantity", "multiple": "multiple",
}  # fmt: skip
"""Fields with the name of the span they rest on."""
SEVERAL = frozenset(("designations", "problems"))
"""Fields to which a further text adds."""
CELL_SURE = 0.95


def _settled(reading: Reading, field: str) -> Reading:
    """The reading with nothing open about a field."""
    return replace(
        reading,
        unsure=tuple(name for name in reading.unsure if name != field),
        alternatives=tuple(pair for pair in reading.alternatives if pair[0] != field),
    )


def _stated(reading: Reading, other: Reading) -> dict[str, Any]:
    """What a further text adds: grade, service and certificate where they are open, problems and copy words always."""
    new: dict[str, Any] = {
        name: tuple(dict.fromkeys((*getattr(reading, name), *getattr(other, name))))
        for name in ("problems", "problem_words", "designations")
    }
    if other.strike or other.date_state:
        new |= {"strike": reading.strike or other.strike, "date_state": reading.date_state or other.date_state}
    new["replica"] = reading.replica or other.replica
    if other.grade_low is not None and (_is_open(reading) or _is_slabbed(reading, other)):
        new |= {"grade_low": other.grade_low, "grade_high": other.grade_high, "grade_text": other.grade_text}
    if reading.service is None and other.service is not None and not reading.multiple:
        new |= {"service": other.service, "certified": True}
    if reading.cert_number is None:
        new["cert_number"] = other.cert_number
    return new


def _is_open(reading: Reading) -> bool:
    return reading.grade_text is None and reading.grade_low is None


def _is_slabbed(reading: Reading, other: Reading) -> bool:
    """A service's number beats the seller's words for the piece, never another number."""
    numbered = other.grade_low == other.grade_high
    return numbered and other.service is not None and reading.grade_low != reading.grade_high and not reading.multiple


def _described(reading: Reading, other: Reading) -> dict[str, Any]:
    """What a description adds beyond that; its grade is never sure, for it may be talk of another piece, but for the
    number of the service that holds this one."""
    new = _stated(reading, other)
    if "grade_low" in new and not (other.service and other.grade_low == other.grade_high):
        new["unsure"] = tuple(dict.fromkeys((*reading.unsure, "grade")))
    if reading.kind == "coin" and not reading.years and not reading.denied_mints:
        new |= {name: getattr(other, name) for name in TOLD if getattr(reading, name) is None}
    if reading.multiple:
        new |= {name: getattr(other, name) for name in COUNTED if not getattr(reading, name)}
    if reading.year is not None and other.year not in (None, reading.year):
        new.pop("mint", None)  # the mark of another date
    return new | _said_to_be(reading, other)


def _said_to_be(reading: Reading, other: Reading) -> dict[str, Any]:
    """What a description says a piece is, where that is no plain coin."""
    if reading.kind == "coin" and other.kind == "other":
        return {"kind": "other", "denomination": None}
    if other.variety and other.variety not in (reading.variety or ""):
        return {"variety": f"{reading.variety}, {other.variety}" if reading.variety else other.variety}
    return {}


def _with(reading: Reading, new: Mapping[str, Any], spans: Iterable[Span] = ()) -> Reading:
    """The reading with what is new in it, and the words that this rests on."""
    changed = {name: value for name, value in new.items() if value != getattr(reading, name)}
    if not changed:
        return reading
    told = {RESTING.get(name, name) for name in changed}
    return replace(reading, **changed, spans=(*reading.spans, *(span for span in spans if span.field in told)))
