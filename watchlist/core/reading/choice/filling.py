"""What a title leaves open, filled from the lot's columns and its description; columns count before the description."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import replace
from typing import Any

from watchlist.core.reading.choice.assembly import read
from watchlist.core.reading.choice.descriptions import describe
from watchlist.core.reading.choice.gradecells import in_coinage
from watchlist.core.reading.fields.denominations import canonical_cell
from watchlist.core.reading.fields.namedmints import named_mint
from watchlist.core.reading.record import Reading
from watchlist.core.reading.scanning.scan import Scan
from watchlist.core.reading.vocabulary.vocabulary import Vocabulary

DESCRIPTION_CAP = 3000
"""Characters of a description that are read."""
LONGEST_MARK = 5
"""Letters of a mint mark, at most; more are a mint's name."""
TOLD = ("denomination", "year", "mint")
"""What a description may tell of a coin whose title is silent."""


def fill(reading: Reading, description: str, fields: Mapping[str, str], vocabulary: Vocabulary) -> Reading:
    """The reading with its open fields filled from columns, by name, and a description."""
    for name, put in COLUMNS.items():
        if text := fields.get(name, "").strip():
            reading = put(reading, text, vocabulary)
    reading = _holder(reading, fields.get("service", "") or fields.get("certified", ""), vocabulary)
    if text := fields.get("problem", "").strip():
        reading = _with(reading, _stated(reading, read(text, vocabulary)))
    if description:
        scan = Scan(description[:DESCRIPTION_CAP], vocabulary.lex, quiet=True)
        reading = _with(reading, _described(reading, describe(scan, reading, vocabulary)))
    return reading


def _country(reading: Reading, text: str, vocabulary: Vocabulary) -> Reading:
    if reading.country is not None and "country" not in reading.unsure:
        return reading
    return replace(_settled(reading, "country"), country=vocabulary.country_code(text) or None)


def _denomination(reading: Reading, text: str, vocabulary: Vocabulary) -> Reading:
    if reading.denomination is not None:
        return reading
    code = vocabulary.country_code(reading.country or "")
    return replace(reading, denomination=canonical_cell(text, code, vocabulary) or None)


def _year(reading: Reading, text: str, vocabulary: Vocabulary) -> Reading:
    if reading.year is not None or reading.years:
        return reading
    found = read(text, vocabulary)
    return replace(reading, year=found.year, mint=reading.mint or found.mint)


def _mint(reading: Reading, text: str, vocabulary: Vocabulary) -> Reading:
    if reading.mint is not None or reading.denied_mints:
        return reading
    if len(text) <= LONGEST_MARK:
        return replace(_settled(reading, "mint"), mint=text)
    code, names = vocabulary.country_code(reading.country or ""), vocabulary.mint_names.known
    named = named_mint(Scan(text, vocabulary.lex), names, code, reading.year, "")
    return replace(_settled(reading, "mint"), mint=named[0]) if named else reading


def _grade(reading: Reading, text: str, vocabulary: Vocabulary) -> Reading:
    return _with(reading, _stated(reading, in_coinage(vocabulary, reading, text)))


def _variety(reading: Reading, text: str, vocabulary: Vocabulary) -> Reading:
    return reading if reading.variety is not None else replace(reading, variety=text)


def _certificate(reading: Reading, text: str, vocabulary: Vocabulary) -> Reading:
    return reading if reading.cert_number else replace(reading, cert_number=text)


COLUMNS: Mapping[str, Callable[[Reading, str, Vocabulary], Reading]] = {
    "country": _country, "denomination": _denomination, "year": _year, "mint": _mint, "grade": _grade,
    "variety": _variety, "cert_number": _certificate,
}  # fmt: skip
"""Columns in the order they are believed in: a coinage is known before its dates, mints and grades are read."""


def _holder(reading: Reading, text: str, vocabulary: Vocabulary) -> Reading:
    """The column that names a grading service; one that the person does not know makes nothing certified."""
    text = text.strip()
    if not text or reading.service is not None or reading.multiple:
        return reading
    if text.casefold() in vocabulary.lex.services:
        return replace(reading, service=text.upper(), certified=True)
    return _with(reading, _stated(reading, read(text, vocabulary)))


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
    new["replica"] = reading.replica or other.replica
    if reading.grade_text is None and reading.grade_low is None and other.grade_low is not None:
        new |= {"grade_low": other.grade_low, "grade_high": other.grade_high, "grade_text": other.grade_text}
    if reading.service is None and other.service is not None and not reading.multiple:
        new |= {"service": other.service, "certified": True}
    if reading.cert_number is None:
        new["cert_number"] = other.cert_number
    return new


def _described(reading: Reading, other: Reading) -> dict[str, Any]:
    """What a description adds beyond that; its grade is never sure, for it may be talk of another piece."""
    new = _stated(reading, other)
    if "grade_low" in new:
        new["unsure"] = tuple(dict.fromkeys((*reading.unsure, "grade")))
    if reading.kind == "coin" and not reading.years and not reading.denied_mints:
        new |= {name: getattr(other, name) for name in TOLD if getattr(reading, name) is None}
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


def _with(reading: Reading, new: Mapping[str, Any]) -> Reading:
    changed = {name: value for name, value in new.items() if value != getattr(reading, name)}
    return replace(reading, **changed) if changed else reading
