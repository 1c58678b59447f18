"""What a seller says of the piece and of themselves in free text: weight, name, feedback."""

from __future__ import annotations

import re
from collections.abc import Mapping
from typing import Any

from watchlist.core.tables import once

LONGEST = 20_000
HEAVIEST = 5_000.0
"""Grams; a heavier piece is a typing error or no coin."""
FIGURE = r"(?P<whole>\d{1,4})(?:[.,](?P<decimals>\d{1,4}))?"
WEIGHT = re.compile(
    rf"(?<![\w.,/-]){FIGURE}\s?(?:g|(?i:gr|grm|gramm|grams?|grammes?|grammi|gramos?))\b\.?"
    r"(?!\s*(?i:/|fine|fein|fin\b|fino|pure|puro|each|pro|per))"
)
FINE = re.compile(r"(?i)(?:fine|fein|net|pure|fin|fino)\W{0,3}(?:weight|gewicht|gold|silber|silver|content)?\W{0,3}$")
STANDARD = re.compile(r"(?i)(?:standard|norm|soll|nominal|should|théorique|teórico|teorico)\w*\W{0,3}(?:\w+\W{0,3})?$")
COLUMN = re.compile(rf"(?:c?a?\.?\s*|~\s*){FIGURE}\s*(?:g|gr|gramm|grams?)?\.?", re.IGNORECASE)
IN_BRACKETS = re.compile(r"\(\s*(\d{1,3}(?:[.,' ]\d{3})+|\d{1,9})\s*\)?\s*$")
COUNT = re.compile(r"\d{1,3}(?:[.,' ]\d{3})+|\d{1,9}")
SHARE = re.compile(r"\d+(?:[.,]\d+)?\s*%")


def weight_cell(text: str) -> tuple[float, float] | None:
    """Grams and the step they are rounded to (25.8: .1), of a column of weights."""
    found = COLUMN.fullmatch(text.strip())
    return _weighed(found) if found else None


def weight_in(text: str) -> tuple[float, float] | None:
    """The one weight that a free text states; None without any, or when two differ."""
    seen: dict[float, float] = {}
    for found in WEIGHT.finditer(text[:LONGEST]):
        before = text[max(0, found.start() - 40):found.start()]
        weighed = _weighed(found)
        if weighed and not FINE.search(before) and not STANDARD.search(before):
            seen[weighed[0]] = min(weighed[1], seen.get(weighed[0], 1.0))
    return next(iter(seen.items())) if len(seen) == 1 else None


def _weighed(found: re.Match[str]) -> tuple[float, float] | None:
    decimals = found["decimals"] or ""
    grams = float(f"{found['whole']}.{decimals or 0}")
    return (grams, float(f"1e-{len(decimals)}")) if 0 < grams <= HEAVIEST else None


def feedback_cell(text: str) -> int | None:
    """A feedback count: `312`, `(312)`, `99.8% (1,204)`."""
    bare = IN_BRACKETS.search(text.strip())
    found = bare[1] if bare else SHARE.sub(" ", text).strip(" +().,'")
    return int(re.sub(r"\D", "", found)) if COUNT.fullmatch(found) else None


def seller_cell(text: str) -> tuple[str, int | None]:
    """Name and feedback count of a seller cell: `tower_coins (312)`."""
    found = IN_BRACKETS.search(text)
    if not found:
        return text.strip(), None
    return text[: found.start()].strip() or text.strip(), feedback_cell(found[1])


def seller_in(text: str, words: Mapping[str, Any]) -> tuple[str, int | None]:
    """Seller and feedback count after their labels in a free text: `Seller: tower_coins (312)`, `Bewertungen: 3`."""
    names, counts = _labels(words["columns"])
    text = text[:LONGEST]
    name, feedback = "", None
    if found := names.search(text):
        name, feedback = seller_cell(found[1][:80])
    if found := counts.search(text):
        feedback = feedback_cell(found[1])
    return name, feedback


@once
def _labels(columns: Mapping[str, Any]) -> tuple[re.Pattern[str], re.Pattern[str]]:
    def labels(name: str) -> str:
        column = columns["columns"][name]
        listed = {word for words in column.values() if isinstance(words, list) for word in words}
        return "|".join(re.escape(word) for word in sorted(listed, key=len, reverse=True))

    return (
        re.compile(rf"(?im)(?:^|(?<=[\s;|,]))(?:{labels('seller')})\s*:\s*([^\n;|]+)"),
        re.compile(rf"(?im)(?<!\w)(?:{labels('feedback')})\s*[:=]?\s*(\(?\d[\d.,' %()]*)"),
    )
