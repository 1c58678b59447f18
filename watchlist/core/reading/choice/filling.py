"""What a title leaves open, filled from the lot's columns and its description."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from typing import TYPE_CHECKING, Any

from watchlist.core.reading.choice.descriptions import describe
from watchlist.core.reading.choice.gradecells import in_coinage
from watchlist.core.reading.record import Reading
from watchlist.core.reading.scanning.scan import Scan

if TYPE_CHECKING:
    from watchlist.core.reading.reader import Reader

COLUMNS = ("country", "denomination", "year", "mint", "grade", "variety")
DESCRIPTION_CAP = 3000
"""Characters of a description that are read."""


def fill(reading: Reading, description: str, fields: Mapping[str, str], reader: Reader) -> Reading:
    """The reading with its open fields filled; columns count before the description."""
    for name in COLUMNS:
        if text := fields.get(name, "").strip():
            reading = _column(reading, name, text, reader)
    if number := fields.get("cert_number", "").strip():
        reading = reading if reading.cert_number else replace(reading, cert_number=number)
    reading = _holder(reading, fields.get("service", "") or fields.get("certified", ""), reader)
    if text := fields.get("problem", "").strip():
        reading = _whole(reading, reader.read(text), facts=True)
    if description:
        scan = Scan(description[:DESCRIPTION_CAP], reader.lex, quiet=True)
        reading = _whole(reading, describe(scan, reading, reader), facts=False)
    return reading


def _holder(reading: Reading, text: str, reader: Reader) -> Reading:
    """The column that names a grading service; one that the person does not know makes nothing certified."""
    text = text.strip()
    if not text or reading.service is not None or reading.multiple:
        return reading
    if text.casefold() in reader.services:
        return replace(reading, service=text.upper(), certified=True)
    return _whole(reading, reader.read(text), facts=True)


def _column(reading: Reading, name: str, text: str, reader: Reader) -> Reading:
    """One column of a table."""
    if name == "denomination" and reading.denomination is None:
        code = reader.country_code(reading.country or "")
        return replace(reading, denomination=reader.canonical_denomination(text, code) or None)
    if name == "country" and (reading.country is None or "country" in reading.unsure):
        settled = _settled(reading, "country")
        return replace(settled, country=reader.country_code(text) or None)
    if name == "mint" and reading.mint is None and len(text) <= 5 and not reading.denied_mints:
        return replace(_settled(reading, "mint"), mint=text)
    if name == "mint" and reading.mint is None and not reading.denied_mints:
        code = reader.country_code(reading.country or "")
        named = reader.mint_names.find(Scan(text, reader.lex), code, reading.year, "")
        return replace(_settled(reading, "mint"), mint=named[0]) if named else reading
    if name == "variety" and reading.variety is None:
        return replace(reading, variety=text)
    if name == "year" and reading.year is None and not reading.years:
        found = reader.read(text)
        return replace(reading, year=found.year, mint=reading.mint or found.mint)
    if name == "grade":
        return _whole(reading, in_coinage(reader, reading, reader.read(text), text), facts=True)
    return reading


def _settled(reading: Reading, field: str) -> Reading:
    """The reading with nothing open about a field."""
    return replace(
        reading,
        unsure=tuple(name for name in reading.unsure if name != field),
        alternatives=tuple(pair for pair in reading.alternatives if pair[0] != field),
    )


def _said_to_be(reading: Reading, other: Reading) -> dict[str, Any]:
    """What a description says a piece is, where that is no plain coin."""
    if reading.kind == "coin" and other.kind == "other":
        return {"kind": "other", "denomination": None}
    if other.variety and other.variety not in (reading.variety or ""):
        return {"variety": f"{reading.variety}, {other.variety}" if reading.variety else other.variety}
    return {}


def _whole(reading: Reading, other: Reading, *, facts: bool) -> Reading:
    """Grade, service, certificate where open; problems and copy words always. `facts`: a column and no free text."""
    new: dict[str, Any] = {}
    if reading.grade_text is None and reading.grade_low is None and other.grade_low is not None:
        new |= {"grade_low": other.grade_low, "grade_high": other.grade_high, "grade_text": other.grade_text}
        if not facts:
            new["unsure"] = tuple(dict.fromkeys((*reading.unsure, "grade")))
    if reading.service is None and other.service is not None and not reading.multiple:
        new |= {"service": other.service, "certified": True}
    if reading.cert_number is None:
        new["cert_number"] = other.cert_number
    if not facts:
        for name in ("denomination", "year", "mint"):
            if (
                getattr(reading, name) is None
                and not reading.years
                and not reading.denied_mints
                and reading.kind == "coin"
            ):
                new[name] = getattr(other, name)
        if reading.year is not None and other.year not in (None, reading.year):
            new.pop("mint", None)  # the mark of another date
        new |= _said_to_be(reading, other)
    new["problems"] = tuple(dict.fromkeys((*reading.problems, *other.problems)))
    new["problem_words"] = tuple(dict.fromkeys((*reading.problem_words, *other.problem_words)))
    new["designations"] = tuple(dict.fromkeys((*reading.designations, *other.designations)))
    new["replica"] = reading.replica or other.replica
    new = {name: value for name, value in new.items() if value != getattr(reading, name)}
    return replace(reading, **new) if new else reading
