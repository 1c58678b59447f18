"""A venue's terms: fees, taxes, post, increments, currency, time zone. The arithmetic stands in `costs`."""

from __future__ import annotations

import re
from collections.abc import Collection, Mapping
from dataclasses import dataclass, fields, replace
from datetime import date
from decimal import Decimal
from typing import Any
from zoneinfo import ZoneInfo

from watchlist.core.fees.costs import BidLimit, Cost, all_in_amount, all_in_cost, bid_limit, hammer_within
from watchlist.core.fees.ladders import Ladder, TermsError, common_practice
from watchlist.core.fees.premiums import NONE, NOUGHT, Premium, no_negative
from watchlist.core.fees.text import describe
from watchlist.core.money.codes import OTHER_NAMES, wrong_code

__all__ = [
    "BidLimit",
    "Cost",
    "Ladder",
    "Premium",
    "Terms",
    "TermsError",
    "all_in_amount",
    "all_in_cost",
    "bid_limit",
    "describe",
    "hammer_within",
    "known_zone",
    "terms_from_json",
    "terms_from_row",
    "terms_to_json",
]

KINDS = ("auction", "marketplace", "dealer", "club")
_UNSTATED = Ladder(((NOUGHT, Decimal(1)),), assumed=True)


@dataclass(frozen=True, slots=True)
class Terms:
    """What a venue charges. Per cents are of 100; amounts are in the venue's currency. Defaults charge nothing."""

    venue: str
    currency: str
    kind: str = "auction"
    """auction, marketplace, dealer or club."""
    premium: Premium = NONE
    internet_pct: Decimal = NOUGHT
    """On the hammer; taxed like the premium."""
    vat_fees_pct: Decimal = NOUGHT
    """On premium and internet fee."""
    vat_hammer_pct: Decimal = NOUGHT
    shipping: Decimal = NOUGHT
    insurance_pct: Decimal = NOUGHT
    """On hammer and premium."""
    sales_tax_pct: Decimal = NOUGHT
    """On hammer and premium, and on post where `tax_shipping`."""
    tax_shipping: bool = False
    duty_pct: Decimal = NOUGHT
    """On hammer and premium."""
    import_vat_pct: Decimal = NOUGHT
    """On hammer, premium, post and insurance."""
    duty_in_import_vat: bool = False
    """The import VAT is also on the duty; only where the terms say so."""
    handling: Decimal = NOUGHT
    card_pct: Decimal = NOUGHT
    """For paying, on the converted sum."""
    ladder: Ladder = _UNSTATED
    """The increments; not stated, the common practice of the kind and currency, marked as assumed."""
    time_zone: str = ""
    """IANA name; empty when not stated."""
    checked: date | None = None
    """The day the person last compared them with the venue's own terms."""

    def __post_init__(self) -> None:
        shares = [getattr(self, f.name) for f in fields(self) if f.name.endswith("_pct")]
        no_negative(self.venue, (*shares, self.shipping, self.handling))
        if self.kind not in KINDS:
            raise TermsError(f"{self.venue}: {self.kind!r} is no kind of venue; it is one of {', '.join(KINDS)}.")
        if self.time_zone and not known_zone(self.time_zone):
            raise TermsError(f"{self.venue}: the time zone {self.time_zone!r} is not known; write Europe/Berlin or so.")
        if self.ladder.assumed:
            object.__setattr__(self, "ladder", common_practice(self.kind, self.currency))


def known_zone(name: str) -> bool:
    """Whether the IANA zone database of this machine has the name."""
    try:
        ZoneInfo(name)
    except (ValueError, OSError, LookupError):
        return False
    return True


_AMOUNTS = {
    # Field to the column names taken for it.
    "internet_pct": ("internet_fee_pct", "internet_pct"),
    "vat_fees_pct": ("vat_on_premium_pct", "vat_fees_pct"),
    "vat_hammer_pct": ("vat_on_hammer_pct", "vat_hammer_pct"),
    "shipping": ("shipping",),
    "insurance_pct": ("insurance_pct",),
    "sales_tax_pct": ("sales_tax_pct",),
    "duty_pct": ("duty_pct",),
    "import_vat_pct": ("import_vat_pct",),
    "handling": ("handling",),
    "card_pct": ("payment_fee_pct", "card_pct"),
}
_YES = frozenset({"yes", "y", "true", "1", "ja", "oui", "si", "sí"})
_NO = frozenset({"", "no", "n", "false", "0", "nein", "non", "nee"})
_UNSURE = re.compile(r"[1-9][0-9]{0,2}[.,][0-9]{3}")
_FIGURE = re.compile(r"[0-9]{1,12}(?:[.,][0-9]{1,6})?")


def terms_from_row(row: Mapping[str, str], *, codes: Collection[str] | None = None) -> Terms:
    """Terms from one row of a terms file (columns in any case, with blanks, `_` or `-`).

    `codes`, when given, are the only currencies taken. Raises TermsError with one sentence naming venue and column.
    """
    cells = {_folded(name): cell.strip() for name, cell in row.items() if name and cell}
    venue = cells.get("venue") or cells.get("house") or ""
    if not venue:
        raise TermsError("The row names no venue.")
    currency = cells.get("currency", "").upper()
    if codes is not None and currency not in codes:
        raise TermsError(f"{venue}: {wrong_code(currency, codes)}.")
    if not re.fullmatch(r"[A-Z]{3}", currency):
        raise TermsError(f"{venue}: {currency or 'an empty cell'} is no currency code; write one like EUR.")
    try:
        return Terms(
            venue=venue,
            currency=currency,
            kind=(cells.get("kind") or "auction").lower(),
            premium=_premium(cells),
            tax_shipping=_yes(cells, "tax_on_shipping", "tax_shipping"),
            duty_in_import_vat=_yes(cells, "duty_in_import_vat"),
            ladder=Ladder.parse(cells["bidsteps"]) if cells.get("bidsteps") else _UNSTATED,
            time_zone=cells.get("timezone", ""),
            checked=_day(cells.get("checked", "")),
            **{name: _figure(cells, *columns) for name, columns in _AMOUNTS.items()},
        )
    except TermsError as error:
        sentence = str(error)
        raise TermsError(sentence if sentence.startswith(f"{venue}:") else f"{venue}: {sentence}") from None


def _premium(cells: Mapping[str, str]) -> Premium:
    cell = cells.get("premium") or cells.get("premiumpct", "")
    if cell.startswith("{") or ":" in cell:
        premium = Premium.parse(cell) if cell.startswith("{") else Premium.from_text(cell)
        least = _figure(cells, "min_premium")
        return replace(premium, minimum=least) if least else premium
    return Premium("flat", _figure(cells, "premium_pct", "premium"), _figure(cells, "min_premium"))


def _figure(cells: Mapping[str, str], *columns: str) -> Decimal:
    """A number cell: decimal comma or point, with or without a per cent sign or the currency; empty is 0."""
    column = next((name for name in columns if cells.get(_folded(name))), columns[0])
    text = cells.get(_folded(column), "").upper()
    share = column.endswith("pct") or column == "premium"
    text = text.removesuffix("%").strip() if share else _without_currency(text, cells["currency"].upper())
    if not text:
        return NOUGHT
    if not share and _UNSURE.fullmatch(text):
        raise TermsError(f"{text!r} under {column} can be read two ways; write 1250 or 1.25.")
    if not _FIGURE.fullmatch(text):
        raise TermsError(f"{text[:40]!r} under {column} is no number; write it like 12.50.")
    value = Decimal(text.replace(",", "."))
    if share and value > 100:
        raise TermsError(f"{text} under {column} is above 100 per cent.")
    return value


def _without_currency(text: str, currency: str) -> str:
    """An amount without the code or a sign of the venue's currency, before or behind it."""
    for name in (currency, *(name for name, code in OTHER_NAMES.items() if code == currency)):
        text = text.removeprefix(name).removesuffix(name).strip()
    return text


def _folded(column: str) -> str:
    return re.sub(r"[\s_-]", "", column).casefold()


def _yes(cells: Mapping[str, str], *columns: str) -> bool:
    word = next((cells[name] for name in map(_folded, columns) if cells.get(name)), "").casefold()
    if word in _YES or word in _NO:
        return word in _YES
    raise TermsError(f"{word[:40]!r} under {columns[0]} is neither yes nor no.")


def _day(text: str) -> date | None:
    try:
        return date.fromisoformat(text) if text else None
    except ValueError:
        raise TermsError(f"{text[:40]!r} under checked is no day; write it like 2026-03-01.") from None


def terms_to_json(terms: Terms) -> dict[str, Any]:
    """The terms as plain JSON values; an assumed ladder is left out, for it follows from kind and currency."""
    data: dict[str, Any] = {}
    for f in fields(terms):
        value = getattr(terms, f.name)
        if isinstance(value, Decimal):
            data[f.name] = f"{value:f}"
        elif isinstance(value, date):
            data[f.name] = value.isoformat()
        elif isinstance(value, Premium):
            data[f.name] = value.json()
        elif isinstance(value, Ladder):
            data[f.name] = None if value.assumed else str(value)
        else:
            data[f.name] = value
    return data


def terms_from_json(data: Mapping[str, Any]) -> Terms:
    """The terms that `terms_to_json` wrote; raises TermsError when the data do not hold terms."""
    known = {f.name for f in fields(Terms)}
    values: dict[str, Any] = {name: value for name, value in data.items() if name in known}
    try:
        for name in _AMOUNTS:
            values[name] = Decimal(values.get(name, 0))
        values["premium"] = Premium.from_json(values["premium"]) if values.get("premium") else Premium()
        values["ladder"] = Ladder.parse(values["ladder"]) if values.get("ladder") else _UNSTATED
        values["checked"] = _day(values.get("checked") or "")
        return Terms(**values)
    except (TypeError, ArithmeticError, AttributeError):
        raise TermsError(f"The terms kept for {data.get('venue', 'a venue')} cannot be read.") from None
