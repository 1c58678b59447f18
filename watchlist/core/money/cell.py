"""A cell that holds one price: what its own words say, and what the column of its currency says."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import replace
from typing import Any

from watchlist.core.folding import folded, plain
from watchlist.core.money.figures import PriceWords, price_words
from watchlist.core.money.text import STROKE_RANGE, PriceRead, read_price, unknown

BARE = re.compile(r"[\d.,'’\s]+")
"""A figure without a currency of its own."""
FORMULA = re.compile(r"\s*(?:@|=(?!\s*[\d.,' ]+\s*$))|\s*[+-]\s*[A-Za-z]{1,3}\$?\d")
"""What a spreadsheet calculates: its result is not in the file. `=80` is its own result."""
SUM = re.compile(r"[^\w+-]*[\d.,' ]*\d\s*\+\s*[\d.,']*\d[^\w+-]*", re.ASCII)
CODE = re.compile(r"[A-Za-z]{3}", re.ASCII)
RANGES = frozenset(("estimate", "value"))
"""Kinds of price that may be a low and a high."""
GROSS = frozenset(("price", "buy_now", "all_in"))
"""Kinds of price that are all there is to pay for the piece itself."""
RESULTS = frozenset(("hammer", "all_in"))
OF_LOTS = frozenset(("price", "buy_now", "current_bid", "start_price"))


def read_cell(
    text: str,
    words: Mapping[str, Any],
    *,
    kind: str = "price",
    column: str = "",
    decimal_mark: str | None = None,
    currency: str | None = None,
    home: str = "",
) -> PriceRead:
    """The one price of a cell, or unknown with the reason. Never raises.

    `kind` is the field or column of the cell; `column` is what the column of currencies says beside it; `currency` is
    the source's or venue's own, taken where neither says one; `home` only settles a mark that it shares (`kr`). A
    formula, a range, a count times a price, and a mark that the column contradicts are not one price.
    """
    bare = BARE.fullmatch(text) is not None
    if not bare and (why := _no_price(text, kind, price_words(words))):
        return unknown(why)
    code, open_column = currency_of(column, words, currency or "", home)
    text = STROKE_RANGE.sub(r"\1-\2", text) if kind == "estimate" else text
    read = read_price(
        f"{text} {code}" if code and bare else text, words, decimal_mark=decimal_mark, currency=code or currency
    )
    if read.amount is None:
        return read
    if read.high is not None and kind not in RANGES:
        return unknown("a range, not one price")
    read = replace(read, sign="") if bare else read
    if code:
        return _beside(code, read)
    if open_column and not (read.sign and read.currency):
        return unknown(open_column)
    return settled(read, words, home)


def _beside(code: str, read: PriceRead) -> PriceRead:
    """A price whose column of currencies says `code`: what stands beside its figure must not say another."""
    if read.sign and read.currency is None:
        return unknown(f"{read.sign} beside it is not {code}, which its column says")
    if read.currency != code:
        return unknown(f"{read.sign} beside it says {read.currency}, its column {code}")
    if read.sign:
        return read
    return replace(read, note="; ".join(part for part in read.note.split("; ") if not part.endswith(ASSUMED)))


ASSUMED = "the source's taken"


def settled(read: PriceRead, words: Mapping[str, Any], home: str) -> PriceRead:
    """A price beside whose figure stands a mark that may mean several currencies: the one at home there where it is one
    of them, else unknown. Any other price as it is."""
    if read.amount is None or read.currency or not read.sign:
        return read
    choices, _ = price_words(words).signs.get(read.sign, ((), False))
    if home in choices:
        return replace(read, currency=home, note=f"{read.sign} taken as {home}")
    return unknown(read.note or f"{read.sign} is not a currency known here")


def currency_of(text: str, words: Mapping[str, Any], own: str = "", home: str = "") -> tuple[str, str]:
    """The code that a cell of currencies means, or why it is unknown; neither for a cell that says nothing.

    `own` is the source's or venue's currency, which settles a mark that several share; `home` one that nothing else
    settles."""
    text = text.strip()
    if text in price_words(words).codes:
        return text, ""
    if not text or not any(letter.isalpha() or letter in "€$£¥₹₽₺₴₩₪฿₫" for letter in text):
        return "", ""
    read = read_price(f"1 {text.upper() if CODE.fullmatch(text) else text}", words, currency=own or None)
    if not read.sign and read.amount is not None:
        return "", f"{text[:40]} is not a currency known here"
    if read.amount is not None and read.amount != 1:
        return "", f"{text[:40]} names hundredths, no currency"
    read = settled(read, words, home)
    return read.currency or "", "" if read.currency else read.note


def _no_price(text: str, kind: str, table: PriceWords) -> str:
    """Why a text is not one price, whatever its figures are; empty when it may be one."""
    if FORMULA.match(text):
        return "a formula, not its result"
    small = folded(plain(text[:200]))
    if SUM.fullmatch(small):
        return "a sum, and nothing says of what"
    if table.counted.search(small):
        return "quantity x price, not one price"
    if kind in GROSS and table.taxed.search(small):
        return "tax comes on top of it"
    return _other_kind(small, kind, table)


def _other_kind(small: str, kind: str, table: PriceWords) -> str:
    """`est. 50` is no result: a label before the figure that says another kind of price than the column."""
    head = re.split(r"\d", small, maxsplit=1)[0]
    said = {table.kinds[label[0]] for label in table.label.finditer(head)}
    if kind not in RESULTS | OF_LOTS:
        return ""
    if "other" in said or ("estimate" in said and kind != "start_price"):
        return "its words say that it is an estimate or another price"
    if "start_price" in said and kind in RESULTS:
        return "its words say that it is a start price"
    if "hammer" in said and kind in OF_LOTS:
        return "its words say that it is the price of a sale that is over"
    return ""
