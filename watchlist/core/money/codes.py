"""Codes of currencies: which are known, and which one a wrong one may be meant for."""

from __future__ import annotations

import difflib
from collections.abc import Collection, Mapping
from typing import Any

USUAL = ("EUR", "USD", "GBP", "CHF", "CAD", "AUD", "JPY", "SEK", "NOK", "DKK", "PLN", "CZK")
"""Met most in sale lists: of two codes equally near, one of these is meant."""
OTHER_NAMES = {
    "€": "EUR",
    "$": "USD",
    "US$": "USD",
    "£": "GBP",
    "UKP": "GBP",
    "STG": "GBP",
    "FR": "CHF",
    "SFR": "CHF",
    "FR.": "CHF",
    "SFR.": "CHF",
    "¥": "JPY",
    "YEN": "JPY",
    "RMB": "CNY",
    "DOLLAR": "USD",
    "POUND": "GBP",
}


def known_codes(words: Mapping[str, Any]) -> frozenset[str]:
    """The codes of ISO 4217 in `words/money.toml`, those that are gone included."""
    return frozenset(words["codes"].split()) | frozenset(words["old_codes"].split())


def wrong_code(written: str, codes: Collection[str]) -> str:
    """A clause on a code that is none of those: `XUR is not a valid currency (did you mean EUR?)`."""
    near = nearest_code(written, codes)
    hint = f" (did you mean {near}?)" if near else f"; write a code of ISO 4217, such as {', '.join(USUAL[:3])}"
    return f"{written.strip()[:40] or 'an empty cell'} is not a valid currency{hint}"


def nearest_code(written: str, codes: Collection[str]) -> str:
    """The code that a sign, a name or a slip (`€`, `euro`, `ERU`) may stand for; empty where none is near."""
    written = written.strip().upper()[:40]
    if OTHER_NAMES.get(written, "") in codes:
        return OTHER_NAMES[written]
    usual_first = sorted(codes, key=lambda code: (code not in USUAL, code))
    near = {code: difflib.SequenceMatcher(a=written, b=code).ratio() for code in usual_first}
    best = max(usual_first, key=lambda code: near[code], default="")
    return best if best and near[best] >= 0.6 else ""
