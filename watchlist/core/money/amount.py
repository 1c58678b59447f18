"""Amounts in a currency, and exchange by dated rates."""

from __future__ import annotations

import calendar
import re
from collections.abc import Collection, Mapping
from dataclasses import dataclass
from datetime import date
from decimal import ROUND_HALF_UP, Decimal
from functools import total_ordering

from watchlist.core.money.codes import wrong_code

CENT = Decimal("0.01")

EURO_RATES: Mapping[str, Decimal] = {
    # Council Regulation (EC) 2866/98: units for one euro, exact by law.
    "DEM": Decimal("1.95583"),
    "FRF": Decimal("6.55957"),
    "ITL": Decimal("1936.27"),
    "ESP": Decimal("166.386"),
    "NLG": Decimal("2.20371"),
    # The same regulation, from memory.
    "ATS": Decimal("13.7603"),
    "BEF": Decimal("40.3399"),
    "FIM": Decimal("5.94573"),
    "IEP": Decimal("0.787564"),
    "LUF": Decimal("40.3399"),
    "PTE": Decimal("200.482"),
}

_TYPED = re.compile(
    r"(?:(?P<before>[A-Za-z]{3})\s*)?(?P<number>-?\d[\d., ']*)\s*(?P<after>[A-Za-z]{3})?",
    re.ASCII,
)
_GROUPED = re.compile(r"-?\d{1,3}(?:[, ']\d{3})+(?:\.\d{1,6})?", re.ASCII)
_PLAIN = re.compile(r"-?\d{1,15}(?:[.,]\d{1,6})?", re.ASCII)
_UNSURE = re.compile(r"-?[1-9]\d{0,2}\.\d{3}", re.ASCII)


class MoneyError(ValueError):
    """An amount that cannot be read; the message is one clear sentence."""


def cents(amount: Decimal) -> Decimal:
    """The amount rounded half up to the cent, as invoices do."""
    return amount.quantize(CENT, ROUND_HALF_UP)


@total_ordering
@dataclass(frozen=True, slots=True)
class Money:
    """An amount in a currency (ISO 4217). Ordered by currency, then amount."""

    amount: Decimal
    currency: str

    def __lt__(self, other: Money) -> bool:
        return (self.currency, self.amount) < (other.currency, other.amount)

    def __str__(self) -> str:
        shown = f"{cents(self.amount):,.2f}".removesuffix(".00")
        return f"{shown} {self.currency}"

    def json(self) -> dict[str, str]:
        """`{"amount": "12.50", "currency": "EUR"}`; two decimals at least, never fewer than the amount holds."""
        exponent = self.amount.as_tuple().exponent
        exact = isinstance(exponent, int) and exponent < -2
        return {"amount": f"{self.amount if exact else cents(self.amount):f}", "currency": self.currency}

    @classmethod
    def from_json(cls, data: Mapping[str, str]) -> Money:
        """The amount that `json` wrote."""
        return cls(Decimal(data["amount"]), data["currency"])

    @classmethod
    def parse(cls, text: str, *, default: str = "", codes: Collection[str] | None = None) -> Money:
        """Money as a person types it: `300EUR`, `300 EUR`, `EUR 300`, `1,250.00 EUR`, `12,50 EUR`.

        `default` is the currency of a bare amount; `codes`, when given, are the only currencies taken.
        Raises MoneyError with one sentence that says what to write.
        """
        found = _TYPED.fullmatch(text.strip())
        if not found or (found["before"] and found["after"]):
            raise MoneyError(f"{_shown(text)} is not an amount: write it like 300 EUR.")
        currency = (found["before"] or found["after"] or default).upper()
        if not currency:
            raise MoneyError(f"{_shown(text)} has no currency: write it like 300 EUR.")
        if codes is not None and currency not in codes:
            raise MoneyError(f"{_shown(text)}: {wrong_code(currency, codes)}.")
        return cls(_typed_amount(found["number"], text), currency)


def _typed_amount(number: str, text: str) -> Decimal:
    number = number.strip()
    if _UNSURE.fullmatch(number):
        raise MoneyError(f"{_shown(text)} can be read two ways: write 1250 or 1.25, without a dot between thousands.")
    if _GROUPED.fullmatch(number):
        number = re.sub(r"[, ']", "", number)
    if not _PLAIN.fullmatch(number):
        raise MoneyError(f"{_shown(text)} is not an amount: write it like 1250.00 EUR.")
    return Decimal(number.replace(",", "."))


def _shown(text: str) -> str:
    return repr(text.strip()[:40])


@dataclass(frozen=True, slots=True)
class Rates:
    """Exchange rates by month, as imported: units of a currency for one unit of the home currency."""

    home: str
    rows: Mapping[tuple[str, str], Decimal]
    """(currency, `YYYY-MM`) to units for one home unit; rows at or below nought are passed over."""

    def convert(self, money: Money, when: date) -> Money | None:
        """The amount in home currency, rounded half up to the cent; None when no rate is near enough.

        Divides by the rate, never multiplies by its inverse (Council Regulation (EC) 1103/97, article 4).
        """
        units = self._units(money.currency, when)
        if units is None:
            return None
        return money if money.currency == self.home else Money(cents(money.amount / units), self.home)

    def to_home_factor(self, currency: str, when: date) -> Decimal | None:
        """Home units for one unit of the currency (the `fx` of `terms`); None when no rate is near enough."""
        units = self._units(currency, when)
        return None if units is None else 1 / units

    def age_days(self, when: date) -> int | None:
        """Days from the end of the newest month held to `when`, at least 0; None without any row."""
        if not self.rows:
            return None
        year, month = map(int, max(key[1] for key in self.rows).split("-")[:2])
        return max(0, (when - date(year, month, calendar.monthrange(year, month)[1])).days)

    def _units(self, currency: str, when: date) -> Decimal | None:
        """Units of the currency for one home unit: itself, the rate fixed by law, its own row, or through the euro."""
        if currency == self.home:
            return Decimal(1)
        fixed, home_fixed = _per_euro(currency), _per_euro(self.home)
        if fixed and home_fixed:
            return fixed / home_fixed
        own = self._nearest(currency, when)
        if own is not None or fixed is None:
            return own
        euro = self._nearest("EUR", when)
        return None if euro is None else euro * fixed

    def _nearest(self, currency: str, when: date) -> Decimal | None:
        """The month's own row, else the nearest earlier within 12 months, else the nearest later within 12."""
        month = when.year * 12 + when.month - 1
        for step in (*range(0, -13, -1), *range(1, 13)):
            year, index = divmod(month + step, 12)
            units = self.rows.get((currency, f"{year:04d}-{index + 1:02d}"))
            if units is not None and units > 0:
                return units
        return None


def _per_euro(currency: str) -> Decimal | None:
    return Decimal(1) if currency == "EUR" else EURO_RATES.get(currency)
