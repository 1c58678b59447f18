"""What leaves the program for a spreadsheet."""

from __future__ import annotations

RISKY = ("=", "+", "-", "@", "\t", "\r")


def safe_cell(text: str) -> str:
    """A cell that no spreadsheet takes for a formula; plain negative numbers stay numbers."""
    if text.startswith(RISKY) and not _is_number(text):
        return "'" + text
    return text


def _is_number(text: str) -> bool:
    try:
        float(text)
    except ValueError:
        return False
    return True
