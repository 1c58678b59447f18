"""Which prices realised are meant: by their numbers, or by a line such as `file:prices.csv price>500 day<2015`."""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from datetime import date
from decimal import Decimal, InvalidOperation

from watchlist.core.prices.realised import PriceRealised
from watchlist.core.sift.filter import holds
from watchlist.core.sift.line import SiftError

NUMBERS = re.compile(r"\d{1,18}(?:-\d{1,18})?(?:,\d{1,18}(?:-\d{1,18})?)*", re.ASCII)
TOKEN = re.compile(r'\s*(?:(\w+):)?(?:"([^"]*)"|(\S+))')
BOUND = re.compile(r"(price|day|grade)(<=|>=|<|>)(.+)")
EXAMPLE = (
    "write numbers such as 12,15-18, or words and `issue:`, `file:`, `venue:`, `price>500`, `day<2015`, `grade<20`"
)

Test = Callable[[PriceRealised], bool]
NAMED: Mapping[str, Callable[[PriceRealised, str], bool]] = {
    "issue": lambda sale, text: sale.issue.casefold() == text.casefold(),
    "file": lambda sale, text: sale.origin.rpartition(" line ")[0].casefold() == text.casefold(),
    "lot": lambda sale, text: sale.origin == text or sale.lot == text,
    "venue": lambda sale, text: holds(text, sale.venue),
}
"""Fields that take `:`, each with its test."""


@dataclass(frozen=True, slots=True)
class SaleSift:
    """Conditions that a sale must all meet."""

    text: str
    numbers: tuple[tuple[int, int], ...] = ()
    """First and last of each run; with numbers nothing else is asked."""
    tests: tuple[Test, ...] = ()

    def test(self, sale: PriceRealised) -> bool:
        """Whether this sale is meant."""
        if self.numbers:
            return any(first <= sale.id <= last for first, last in self.numbers)
        return all(test(sale) for test in self.tests)


def parse_sales(text: str) -> SaleSift:
    """Understand which sales are meant. Raises SiftError for a word that means nothing, and for none."""
    text = text.strip()
    if NUMBERS.fullmatch(text):
        return SaleSift(text, tuple(_run(part) for part in text.split(",")))
    tests = [_test(found[1] or "", found[2] or found[3] or "") for found in TOKEN.finditer(text)]
    if not tests:
        raise SiftError(f"Say which sales: {EXAMPLE}.")
    return SaleSift(text, tests=tuple(tests))


def _run(part: str) -> tuple[int, int]:
    first, _, last = part.partition("-")
    return int(first), int(last or first)


def _test(name: str, text: str) -> Test:
    if name and name.casefold() not in NAMED:
        raise SiftError(f"`{name}:` is not known of sales; {EXAMPLE}.")
    if name:
        ask = NAMED[name.casefold()]
        return lambda sale: ask(sale, text)
    if bound := BOUND.fullmatch(text):
        return _bound(bound[1], bound[2], bound[3])
    return lambda sale: holds(text, f"{sale.title} {sale.issue}")


def _bound(name: str, op: str, text: str) -> Test:
    edge = _day(text) if name == "day" else _number(text)

    def test(sale: PriceRealised) -> bool:
        value = {"price": sale.price.amount, "day": sale.sale_date, "grade": sale.grade_low}[name]
        return value is not None and _holds(value, op, edge)

    return test


def _holds(value: object, op: str, edge: object) -> bool:
    one, other = (value, edge) if ">" in op else (edge, value)
    return bool(one > other or ("=" in op and one == other))  # type: ignore[operator]


def _day(text: str) -> date:
    parts = [*text.split("-"), "1", "1"][:3]
    try:
        return date(*map(int, parts))
    except ValueError:
        raise SiftError(f"`{text}` is not a valid day: write 2015 or 2015-06-30.") from None


def _number(text: str) -> Decimal:
    try:
        found = Decimal(text.replace(",", "."))
    except InvalidOperation:
        found = Decimal("NaN")
    if not found.is_finite():
        raise SiftError(f"`{text}` is not a valid number: write price>500.")
    return found
