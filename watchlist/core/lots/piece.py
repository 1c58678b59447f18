"""What a seller says of the piece and of themselves in free text: weight, name, ratings."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass
from itertools import chain
from typing import Any

from watchlist.core.fees.working import TaxSign
from watchlist.core.folding import any_of
from watchlist.core.tables import once

LONGEST = 20_000
CELL = 300
"""Characters of a cell that are looked at: a name, a count or a weight is shorter."""
HEAVIEST = 5_000.0
"""Grams; a heavier piece is a typing error or no coin."""
FIGURE = r"(?P<whole>\d{1,4})(?:[.,](?P<decimals>\d{1,4}))?"
GRAIN = 0.06479891
"""Grams of one grain."""
FIGURES = r"\d{1,3}(?:[.,' ]\d{3})+|\d{1,9}"
IN_BRACKETS = re.compile(rf"[(\[]\s*({FIGURES})(?:\s[^\W\d]+\.?)?(?:\s?[|,/]\s?\d+(?:[.,]\d+)?\s?%)?\s*[)\]]?\s*$")
COUNT = re.compile(rf"\W*(?P<figure>{FIGURES})(?:\s[^\W\d]+\.?)?\W*")
THOUSANDS = re.compile(r"\W*(?P<whole>\d{1,3})(?:[.,](?P<part>\d))?\s?[kK]\W*")
SHARE = re.compile(r"\d+(?:[.,]\d+)?\s*%")


@dataclass(frozen=True, slots=True)
class _Weights:
    """How a weight is written, as patterns."""

    grams: tuple[re.Pattern[str], ...]
    """`24.95 g`; `gr. 24,95`, as Italian lists write it, where a figure without decimals may be anything."""
    grains: re.Pattern[str]
    column: re.Pattern[str]
    not_of_piece: re.Pattern[str]
    """Before a weight: it is of the fine metal, a catalogue's or the parcel's, not what the seller weighed."""


@once
def _weights(said: Mapping[str, list[str]]) -> _Weights:
    words = {name: any_of(phrases) for name, phrases in said.items()}
    gram, fine = words["gram"], words["fine"]
    metal, content, standard = words["fine_metal"], words["fine_of"], words["standard"]
    apart = rf"/\s?(?:1000|kg|cm|st\b|pc|pi)|(?:{fine}|{words['for_each']})(?:\b|{content}|{metal})"
    return _Weights(
        (
            re.compile(rf"(?<![\w.,/-]){FIGURE}\s?(?:g|(?i:{gram}))\b\.?(?!\s*(?i:{apart}))"),
            re.compile(rf"(?<![\w.,])(?i:{gram}|g)\.?\s?(?P<whole>\d{{1,4}})[.,](?P<decimals>\d{{1,4}})(?![\w%.,])"),
        ),
        re.compile(
            rf"(?<![\w.,/-]){FIGURE}\s?(?i:{words['grain']})\b(?!\s*(?i:(?:{fine})(?:\b|{content}|{metal})|{metal}))"
        ),
        re.compile(rf"(?:c?a?\.?\s*|~\s*){FIGURE}\s*(?:g|{gram})?\.?", re.IGNORECASE),
        re.compile(
            rf"(?i)(?:(?:{fine}|{words['fine_before']})\W{{0,3}}(?:{content}|{metal})?\W{{0,3}}|(?:{standard})\w*\W{{0,3}}(?:\w+\W{{0,3}})?)$"
        ),
    )


def weight_cell(text: str, words: Mapping[str, Any]) -> tuple[float, float] | None:
    """Grams and the step they are rounded to (25.8: .1), of a column of weights."""
    found = _weights(words["lots"]).column.fullmatch(text[:CELL].strip())
    return _weighed(found) if found else None


def weight_in(text: str, words: Mapping[str, Any]) -> tuple[float, float] | None:
    """The one weight that a free text states; None without any, or when two differ."""
    seen: dict[float, float] = {}
    text = text[:LONGEST]
    if "g" not in text and "G" not in text:  # each way to write a weight has one
        return None
    weights = _weights(words["lots"])
    for found in chain.from_iterable(pattern.finditer(text) for pattern in weights.grams):
        weighed = _weighed(found)
        if weighed and not weights.not_of_piece.search(text[max(0, found.start() - 40) : found.start()]):
            seen[weighed[0]] = min(weighed[1], seen.get(weighed[0], 1.0))
    for found in weights.grains.finditer(text) if not seen else ():
        if weighed := _weighed(found):
            seen[round(weighed[0] * GRAIN, 3)] = weighed[1] * GRAIN
    return next(iter(seen.items())) if len(seen) == 1 else None


def _weighed(found: re.Match[str]) -> tuple[float, float] | None:
    decimals = found["decimals"] or ""
    grams = float(f"{found['whole']}.{decimals or 0}")
    return (grams, float(f"1e-{len(decimals)}")) if 0 < grams <= HEAVIEST else None


def feedback_cell(text: str, words: Mapping[str, Any]) -> int | None:
    """A count of ratings: `312`, `(312)`, `99.8% (1,204)`, `45 ratings`, `1.2k`, `none`."""
    text = text[:CELL]
    if text.strip().casefold() in words["lots"]["no_ratings"]:
        return 0
    if many := THOUSANDS.fullmatch(text):
        return int(many["whole"]) * 1000 + int(many["part"] or 0) * 100
    bare = IN_BRACKETS.search(text.strip())
    found = COUNT.fullmatch(bare[1] if bare else SHARE.sub(" ", text).strip(" +().,'"))
    return int(re.sub(r"\D", "", found["figure"])) if found else None


def seller_cell(text: str, words: Mapping[str, Any]) -> tuple[str, int | None]:
    """Name and count of ratings of a seller cell: `ostrell_coins (312)`."""
    found = IN_BRACKETS.search(text) if len(text) <= CELL else None
    if not found:
        return text.strip(), None
    return text[: found.start()].strip() or text.strip(), feedback_cell(found[1], words)


def tax_cell(text: str, words: Mapping[str, Any]) -> TaxSign:
    """How a lot is taxed by a cell of its own: margin scheme, VAT on the whole price, imported; empty when unsaid."""
    said = " ".join(text.casefold().split()).strip(" .:()[]")
    signs: tuple[TaxSign, ...] = ("margin", "full", "import")
    return next((sign for sign in signs if said and said in words["taxes"][sign]), "")


def seller_in(text: str, words: Mapping[str, Any]) -> tuple[str, int | None]:
    """Seller and count of ratings after their labels in free text: `Seller: ostrell_coins (312)`, `Bewertungen: 3`."""
    names, counts = _labels(words["columns"])
    text = text[:LONGEST]
    name, feedback = "", None
    if found := names.search(text):
        name, feedback = seller_cell(found[1][:80], words)
    if found := counts.search(text):
        feedback = feedback_cell(found[1], words)
    return name, feedback


@once
def _labels(columns: Mapping[str, Any]) -> tuple[re.Pattern[str], re.Pattern[str]]:
    def labels(name: str) -> str:
        return any_of(set(columns["headings"][name]))

    return (
        re.compile(rf"(?im)(?:^|(?<=[\s;|,]))(?:{labels('seller')})\s*:\s*([^\n;|]+)"),
        re.compile(rf"(?im)(?<!\w)(?:{labels('feedback')})\s*[:=]?\s*(\(?\d[\d.,' %()]*)"),
    )
