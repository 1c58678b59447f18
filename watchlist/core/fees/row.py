"""A venue's terms as one row with the plain columns of a terms file."""

from __future__ import annotations

import json
import re
from collections.abc import Collection, Mapping
from dataclasses import replace
from datetime import date
from decimal import Decimal
from typing import Any

from watchlist.core.fees.ladders import Ladder, TermsError
from watchlist.core.fees.postage import PostSteps
from watchlist.core.fees.premiums import NOUGHT, Premium
from watchlist.core.fees.terms import UNSTATED, Terms
from watchlist.core.money.codes import OTHER_NAMES, wrong_code

COLUMNS = {
    "internet_fee_pct": "internet_pct",
    "vat_on_premium_pct": "vat_fees_pct",
    "vat_on_hammer_pct": "vat_hammer_pct",
    "shipping": "shipping",
    "insurance_pct": "insurance_pct",
    "sales_tax_pct": "sales_tax_pct",
    "duty_pct": "duty_pct",
    "import_vat_pct": "import_vat_pct",
    "handling": "handling",
    "payment_fee_pct": "card_pct",
    "shipping_more": "shipping_more",
    "min_insurance": "min_insurance",
    "payment_fee": "payment_fee",
    "vat_on_imported_pct": "vat_imported_pct",
    "duty_from": "duty_from",
    "import_vat_from": "import_vat_from",
    "sales_tax_from": "sales_tax_from",
}
"""Column to field of Terms, for plain amounts and per cents; the field's own name is taken as a column too."""
COUNTS = ("pay_days", "return_days", "guarantee_days", "bids_by")
"""Columns of whole numbers: days, and hours before a sale."""
_LONGEST = 36_500
_YES = frozenset({"yes", "y", "true", "1", "ja", "oui", "si", "sí"})
_NO = frozenset({"", "no", "n", "false", "0", "nein", "non", "nee"})
_UNSURE = re.compile(r"[1-9][0-9]{0,2}[.,][0-9]{3}")
_FIGURE = re.compile(r"[0-9]{1,12}(?:[.,][0-9]{1,6})?")
_CODE = re.compile(r"[A-Z]{3}")


def terms_to_row(terms: Terms) -> dict[str, str]:
    """The row; what is nothing is left out, and so are increments that were never stated."""
    row = {"venue": terms.venue, "kind": terms.kind, "currency": terms.currency, "time_zone": terms.time_zone}
    row |= {column: _plain(getattr(terms, name)) for column, name in COLUMNS.items()}
    if terms.premium.kind == "flat":
        row |= {"premium_pct": _plain(terms.premium.pct), "min_premium": _plain(terms.premium.minimum)}
    else:
        row["premium"] = json.dumps(terms.premium.json())
    if terms.post_steps is not None:
        row["shipping"] = str(terms.post_steps)
    row |= {name: str(days) for name in COUNTS if (days := getattr(terms, name)) is not None}
    row |= {
        "ships_together": terms.ships_together,
        "or_bids": "yes" if terms.or_bids else "",
        "tax_on_shipping": "yes" if terms.tax_shipping else "",
        "duty_in_import_vat": "yes" if terms.duty_in_import_vat else "",
        "bid_steps": "" if terms.ladder.assumed else str(terms.ladder),
        "checked": terms.checked.isoformat() if terms.checked else "",
    }
    return {name: text for name, text in row.items() if text}


def _plain(amount: Decimal) -> str:
    return f"{amount.normalize():f}" if amount else ""


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
    if not _CODE.fullmatch(currency):
        raise TermsError(f"{venue}: {currency or 'an empty cell'} is not a valid currency code; write one like EUR.")
    try:
        return _terms(venue, currency, cells)
    except TermsError as error:
        sentence = str(error)
        raise TermsError(sentence if sentence.startswith(f"{venue}:") else f"{venue}: {sentence}") from None


def _terms(venue: str, currency: str, cells: Mapping[str, str]) -> Terms:
    cells, steps = _with_steps(_with_share(cells))
    figures: dict[str, Any] = {name: _count(cells, name) for name in COUNTS}
    figures |= {name: _figure(cells, column, name) for column, name in COLUMNS.items()}
    return Terms(
        venue=venue,
        currency=currency,
        kind=(cells.get("kind") or "auction").lower(),
        premium=_premium(cells),
        tax_shipping=_yes(cells, "tax_on_shipping", "tax_shipping"),
        duty_in_import_vat=_yes(cells, "duty_in_import_vat"),
        ladder=Ladder.parse(cells["bidsteps"]) if cells.get("bidsteps") else UNSTATED,
        time_zone=cells.get("timezone", ""),
        checked=_day(cells.get("checked", "")),
        post_steps=steps,
        ships_together=cells.get("shipstogether", "").casefold().replace(" ", ""),
        or_bids=_yes(cells, "or_bids"),
        **figures,
    )


def _with_share(cells: Mapping[str, str]) -> Mapping[str, str]:
    """A fee for paying that says it is per cent goes with the per cents."""
    fee = cells.get("paymentfee", "")
    if not fee.endswith("%"):
        return cells
    return {**{name: cell for name, cell in cells.items() if name != "paymentfee"}, "paymentfeepct": fee}


def _with_steps(cells: Mapping[str, str]) -> tuple[Mapping[str, str], PostSteps | None]:
    """Postage by steps stands in the place of one amount."""
    if ":" not in cells.get("shipping", ""):
        return cells, None
    steps = PostSteps.from_text(cells["shipping"])
    return {name: cell for name, cell in cells.items() if name != "shipping"}, steps


def _count(cells: Mapping[str, str], column: str) -> int | None:
    text = cells.get(_folded(column), "")
    if text and not (text.isascii() and text.isdecimal() and int(text) <= _LONGEST):
        raise TermsError(f"{text[:40]!r} under {column} is not a valid whole number; write it like 14.")
    return int(text) if text else None


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
        raise TermsError(f"{text[:40]!r} under {column} is not a valid number; write it like 12.50.")
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
        raise TermsError(f"{text[:40]!r} under checked is not a valid day; write it like 2026-03-01.") from None
