"""One written figure as a number: which mark stands before its decimals, and where that cannot be told."""

from __future__ import annotations

import re
from decimal import ROUND_HALF_UP, Decimal

DIGITS = r"(?:[0-9]{1,3}(?: [0-9]{3})+(?![0-9])(?:[.,][0-9]+)?|[0-9]+(?:[.,'][0-9]+)*)"
"""The pattern of a figure in a plain text."""
_GROUPS = re.compile(r"[0-9]{1,3}(?:([.,' ])[0-9]{3})(?:\1[0-9]{3})*|[0-9]{1,2}(?:,[0-9]{2})+,[0-9]{3}")


def number_of(written: str, mark: str | None, *, three_decimals: bool, signed: bool) -> tuple[Decimal | None, str]:
    """The figure as a number, with its note; None and the reason where it can be read two ways.

    `EUR 1.250` in a source that writes `55.50` is one: nobody prices in three decimals.
    """
    if "," in written and "." in written:
        return _both_marks(written, mark)
    if "," in written or "." in written:
        return _one_mark(written, mark, three_decimals=three_decimals, signed=signed)
    plain = written.isdecimal() or _GROUPS.fullmatch(written) is not None
    return _rounded(_digits(written)) if plain else _no_figure(written)


def _one_mark(written: str, mark: str | None, *, three_decimals: bool, signed: bool) -> tuple[Decimal | None, str]:
    """One kind of mark stands between thousands or before decimals; `1.250` may be either."""
    own = "," if "," in written else "."
    whole, _, decimals = written.rpartition(own)
    thousands = _GROUPS.fullmatch(written) is not None and not written.startswith("0")
    if written.count(own) > 1:
        return _rounded(_digits(written)) if thousands else _no_figure(written)
    if not thousands:
        return _with_decimals(written, whole, decimals)
    if three_decimals and own != mark:
        return None, f"{written} can be read two ways in a currency with three decimals"
    if own != mark:
        return _rounded(_digits(written), "" if mark else f"{written} read with {own!r} between thousands")
    if signed and not three_decimals:
        return None, f"{written} can be read two ways: the source has {own!r} before the decimals"
    return _with_decimals(written, whole, decimals)


def _with_decimals(written: str, whole: str, decimals: str) -> tuple[Decimal | None, str]:
    clear = decimals.isdecimal() and (whole.isdecimal() or _GROUPS.fullmatch(whole) is not None)
    return _rounded(f"{_digits(whole)}.{decimals}") if clear else _no_figure(written)


def _no_figure(written: str) -> tuple[None, str]:
    return None, f"{written} is not a known number"


def _both_marks(written: str, mark: str | None) -> tuple[Decimal | None, str]:
    """With both marks the last one is the decimal mark, unless the source says the other and both would fit."""
    own = "," if written.rfind(",") > written.rfind(".") else "."
    whole, _, decimals = written.rpartition(own)
    doubtful = mark is not None and mark != own and len(decimals) == 3
    if doubtful or own in whole or not decimals.isdecimal() or not _GROUPS.fullmatch(whole):
        return None, f"{written} can be read two ways"
    return _rounded(f"{_digits(whole)}.{decimals}")


def _digits(written: str) -> str:
    return written.translate(_ONLY_DIGITS)


_ONLY_DIGITS = str.maketrans("", "", ".,' ")


def _rounded(written: str, note: str = "") -> tuple[Decimal | None, str]:
    if len(written.partition(".")[0]) > 12:
        return None, "too large to be a price"
    return Decimal(written[:40]).quantize(Decimal("0.01"), ROUND_HALF_UP), note


def evident_mark(written: str) -> str | None:
    """The decimal mark that one figure shows; None where it does not show."""
    last = max(written.rfind(","), written.rfind("."))
    if last < 0:
        return None
    own, other = written[last], "," if written[last] == "." else "."
    if written.count(own) > 1:
        return other if len(written) - last == 4 else None
    return own if other in written or len(written) - last in (2, 3) else None
