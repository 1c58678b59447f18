"""What an entry asks: its price and the kind of it, from its own fields, else from the labels in its description."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass, replace
from typing import Any

from watchlist.core.fees.terms import Terms
from watchlist.core.folding import any_of
from watchlist.core.lots.entry import Entry
from watchlist.core.lots.record import PriceKind
from watchlist.core.lots.source import Source
from watchlist.core.money.amount import Money
from watchlist.core.money.cell import read_cell, settled
from watchlist.core.money.text import PriceRead, labelled_prices, read_price
from watchlist.core.tables import once

KINDS: Mapping[str, PriceKind] = {"fixed": "fixed", "so far": "so far", "estimate": "estimate", "ended": "ended"}
FIXED_VENUES = ("marketplace", "dealer")
FIELDS = ("hammer", "current_bid", "price", "buy_now", "start_price", "estimate")
STOOD = ("not sold", "the result is not given")
"""How the note of a price that is no result begins."""
BEHIND = re.compile(r"\s[-–|•:]\s|[\[(]")
HUNDREDTHS = re.compile(r"\d[.,](?:\d\d|-{1,2})(?!\d)")


@dataclass(frozen=True, slots=True)
class Asking:
    """A price with its kind; without one the note says why."""

    price: Money | None = None
    kind: PriceKind | None = None
    note: str = ""
    high: Money | None = None
    """The upper end of an estimate."""


@dataclass(frozen=True, slots=True)
class Asked:
    """What is known beside the prices: whether the venue has fixed prices, and whether the sale is over."""

    fixed: bool
    over: bool
    stated: str = ""
    """The source's own kind of price, when it has only one."""
    unsold: bool = False


def asking(
    entry: Entry,
    source: Source,
    terms: Terms | None,
    *,
    words: Mapping[str, Any],
    home: str,
    timed: bool,
    over: bool,
    trouble: Callable[[str, str], None],
) -> Asking:
    """The price an entry asks. `timed`: it has a closing time; `over`: its sale has ended.

    A field that cannot be read is told to `trouble` (field, sentence) and the next one is tried.
    """
    unsold = over and is_unsold(entry.fields.get("status", ""), words)
    asked = Asked(_is_fixed(entry, source, terms, timed), over, source.price_kind, unsold)
    hints = _Hints(source.decimal_mark or None, source.currency or (terms.currency if terms else ""), home)
    failed = ""
    for name in _order(asked):
        if text := entry.fields.get(name, "").strip():
            read = _field(entry, name, text, words, hints)
            if read.amount is not None and read.amount > 0:
                return _asking(name, read, asked, hints)
            if name == "current_bid" and read.amount == 0:  # no bid yet
                continue
            why = f"the {name.replace('_', ' ')} `{text[:60]}` gives no amount ({read.note or 'it is nothing'})"
            trouble(name, why)
            failed = failed or why
    found = _labelled(entry, words, asked, hints)
    return replace(found, note=failed) if failed and found.price is None and not found.note.startswith(STOOD) else found


@dataclass(frozen=True, slots=True)
class _Hints:
    mark: str | None
    currency: str
    home: str


def _is_fixed(entry: Entry, source: Source, terms: Terms | None, timed: bool) -> bool:
    """A price that is asked, not bid: by the source, by bids or a start price, by the venue, by a closing time."""
    if source.price_kind:
        return source.price_kind == "fixed"
    if any(entry.fields.get(name) for name in ("bids", "start_price", "current_bid")):
        return False
    return terms.kind in FIXED_VENUES if terms else not timed


def _order(asked: Asked) -> tuple[str, ...]:
    return ("hammer", "current_bid", "buy_now", "price", "start_price", "estimate") if asked.fixed else FIELDS


def _field(entry: Entry, name: str, text: str, words: Mapping[str, Any], hints: _Hints) -> PriceRead:
    if any(map(str.isalpha, text)) and is_unsold(text, words):
        return PriceRead(None, None, None, "its words say that it was not sold")
    money = words["money"]
    read = read_cell(
        text,
        money,
        kind=name,
        column=entry.fields.get("currency", ""),
        decimal_mark=hints.mark,
        currency=hints.currency or None,
        home=hints.home,
    )
    top = entry.fields.get("estimate_high", "")
    if name == "estimate" and top and read.amount is not None and read.high is None:
        high = read_price(top, money, decimal_mark=hints.mark).amount
        if high is not None and high >= read.amount:
            return replace(read, high=high)
    return read


def _labelled(entry: Entry, words: Mapping[str, Any], asked: Asked, hints: _Hints) -> Asking:
    """From labels in the description, then in the title. While a sale is on, a hammer price is an older sale's."""
    why = ""
    for text in (entry.description, entry.title):
        found = labelled_prices(text, words["money"], decimal_mark=hints.mark, currency=hints.currency or None)
        for name in _by_trust(asked):
            read = _one_price(name, found.get(name), words["money"], hints)
            if read is not None and read.amount is not None and read.amount > 0:
                return _asking(name, read, asked, hints)
            why = why or (read.note if read is not None and read.amount is None else "")
    read = _behind_title(entry.title, words["money"], hints)
    if read is not None:
        return _asking("price", read, asked, hints)
    return Asking(note=f"no price can be read in the text ({why})" if why else "no price is given")


def _one_price(name: str, read: PriceRead | None, words: Mapping[str, Any], hints: _Hints) -> PriceRead | None:
    """A labelled price, unknown where it is a range or its currency is open."""
    if read is not None and read.high is not None and name != "estimate":
        return PriceRead(None, None, None, "a range, and not one price")
    return None if read is None else settled(read, words, hints.home)


def _behind_title(title: str, words: Mapping[str, Any], hints: _Hints) -> PriceRead | None:
    """`1 tor 1893 VF - EUR 45,00`: a price with its currency and its cents behind the title; `5 EUR` is a coin."""
    tail = BEHIND.split(title)[-1].strip(" )]") if BEHIND.search(title) else ""
    if not HUNDREDTHS.search(tail) or len(tail) > 20:
        return None
    read = read_price(tail, words, decimal_mark=hints.mark)
    return read if read.amount and read.currency else None


def _by_trust(asked: Asked) -> Iterator[str]:
    if asked.over:
        yield "hammer"
    yield from (name for name in _order(asked) if name != "hammer")


def _asking(name: str, read: PriceRead, asked: Asked, hints: _Hints) -> Asking:
    assert read.amount is not None
    if asked.unsold or (asked.over and name == "start_price"):  # never a result
        stood = Money(read.amount, read.currency or hints.home)
        return Asking(note=f"{'not sold' if asked.unsold else 'the result is not given'}; it stood at {stood}")
    notes = [read.note] if read.note else []
    if not read.currency:
        notes.append(f"no currency is given: {hints.home}, the home currency, is taken")
    if name == "start_price":
        notes.append("no bid yet is known: this is the start price")
    currency = read.currency or hints.home
    kind = _kind(name, asked)
    high = Money(read.high, currency) if read.high is not None and kind == "estimate" else None
    return Asking(Money(read.amount, currency), kind, "; ".join(notes), high)


def _kind(name: str, asked: Asked) -> PriceKind:
    if name == "hammer" or (asked.over and name != "estimate"):
        return "ended"
    if name == "estimate":
        return "estimate"
    if name in ("current_bid", "start_price"):
        return "so far"
    if name == "price" and asked.stated in KINDS:
        return KINDS[asked.stated]
    return "fixed" if asked.fixed or name == "buy_now" else "so far"


def is_over(status: str, words: Mapping[str, Any]) -> bool:
    """Whether the words of a status cell say that the sale has ended, with or without a buyer."""
    return _over_words(words["columns"])[0].search(status[:200]) is not None


def says_sold(description: str, words: Mapping[str, Any]) -> bool:
    """Whether a text says in so many words that this piece is sold: `SOLD` by itself, or `Sold: 330 EUR` at the head
    of a sentence with nothing that can still be paid. Another piece's sale, told along the way, is none."""
    heads = [said for said in _SENTENCES.split(description[:5_000]) if _sold_words(words["columns"]).match(said)]
    if any(_sold_words(words["columns"]).fullmatch(said.strip(" !.*-–—[]()")) for said in heads):
        return True
    found = labelled_prices(description, words["money"]) if heads else {}
    asked = found.keys() & {"price", "current_bid", "start_price", "buy_now"}
    return not asked and any("hammer" in labelled_prices(said, words["money"]) for said in heads)


_SENTENCES = re.compile(r"\n|[!?;|]\s*|\.\s+")


@once
def _sold_words(columns: Mapping[str, Any]) -> re.Pattern[str]:
    return re.compile(rf"[\s*\[(-]*(?:{any_of(columns['cells']['sold'])})(?!\w)", re.IGNORECASE)


def is_unsold(status: str, words: Mapping[str, Any]) -> bool:
    """Whether they say that nobody bought it: what it stood at is then no result."""
    return _over_words(words["columns"])[1].search(status[:200]) is not None


@once
def _over_words(columns: Mapping[str, Any]) -> tuple[re.Pattern[str], re.Pattern[str]]:
    """Patterns of the words for any end, and for one without a buyer."""
    cells = columns["cells"]

    def said(listed: set[str]) -> re.Pattern[str]:
        return re.compile(rf"(?<!\w)(?:{any_of(listed)})(?!\w)", re.IGNORECASE)

    return said({*cells["ended"], *cells["sold"], *cells["unsold"]}), said(set(cells["unsold"]))
