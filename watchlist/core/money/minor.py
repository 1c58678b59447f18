"""Amounts written in hundredths of their currency: `price_cents`, `priceInCents`, `Preis (Cent)`, a unit of cents."""

from __future__ import annotations

import re
from decimal import Decimal

TAIL = re.compile(
    r"(?i)(?P<bare>.*?[^\W_])[\s_(\[/-]*(?:in|en)?[\s_-]*(?:cents?|centimes|minor(?:[\s_-]?units?)?)[)\]\s]*"
)
HUNDREDTHS = re.compile(r"\d{1,15}(?:[.,]0+)?", re.ASCII)


def without_cents(name: str) -> str:
    """The name of an amount given in hundredths without its tail; empty when it says nothing of the kind."""
    found = TAIL.fullmatch(name.strip()[:100])
    return found["bare"] if found else ""


def whole_units(text: str) -> str:
    """`12550` hundredths as `125.50`; what is no whole number stays as it is and is read as it stands."""
    text = text.strip()
    if not HUNDREDTHS.fullmatch(text):
        return text
    return f"{Decimal(re.split('[.,]', text)[0]) / 100:.2f}"
