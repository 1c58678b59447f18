"""The 70-point scale: a number as the trade writes it."""

from __future__ import annotations

PREFIXES = ((1, "PO"), (2, "FR"), (3, "AG"), (4, "G"), (7, "VG"), (11, "F"), (20, "VF"), (40, "XF"), (50, "AU"))


def grade_word(number: int) -> str:
    """A number of the scale as the trade writes it: `VF-30`, `MS-65`, `G-4`."""
    if number >= 59:
        return f"MS-{number}"
    prefix = next((word for least, word in reversed(PREFIXES) if number >= least), PREFIXES[0][1])
    return f"{prefix}-{number}"
