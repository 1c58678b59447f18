"""What an entry asks: its price and the kind of it, from its own fields, else from the labels in its description."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from decimal import Decimal
from typing import Any

from watchlist.core.fees.terms import Terms
from watchlist.core.folding import folded
from watchlist.core.lots.entry import Entry
from watchlist.core.lots.record import NO_BID, NOT_SOLD, PriceKind
from watchlist.core.lots.sold import End, auction_words, is_unsold
from watchlist.core.lots.source import Source
from watchlist.core.lots.trouble import Trouble
from watchlist.core.money.alone import lone_price
from watchlist.core.money.amount import Money
from watchlist.core.money.cell import read_cell, settled
from watchlist.core.money.spoken import spoken_currency
from watchlist.core.money.text import PriceRead, labelled_prices, read_price, tells_bids, unknown

KINDS: Mapping[str, PriceKind] = {"fixed": "fixed", "so far": "so far", "estimate": "estimate", "ended": "ended"}
FIXED_VENUES = ("marketplace", "dealer")
FIELDS = ("hammer", "current_bid", "price", "buy_now", "start_price", "estimate")
"""Fields of an entry that give a price, the surest first."""
FIXED_FIRST = ("hammer", "current_bid", "buy_now", "price", "start_price", "estimate")
"""The same for a piece that is not bid for."""
UNDER_A_RESULT = ("start_price", "estimate")
"""Fields that a result told in the description beats."""
LONGEST_CELL = 40
"""Letters of a cell that only says how a lot is sold."""
PASSED = "its words say that it was not sold"
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
    troubles: tuple[Trouble, ...] = ()
    """Fields that gave no amount; the next one was tried."""


def asking(
    entry: Entry,
    source: Source,
    terms: Terms | None,
    *,
    words: Mapping[str, Any],
    home: str,
    timed: bool,
    end: End,
) -> Asking:
    """The price an entry asks. `timed`: it has a closing time; `end`: how far its sale is."""
    return _Offer(
        entry=entry,
        words=words,
        mark=source.decimal_mark or None,
        currency=source.currency or (terms.currency if terms else "") or None,
        home=home,
        local=spoken_currency(f"{entry.title}\n{entry.description}", words["money"]) or home,
        fixed=_is_fixed(entry, source, terms, words, timed=timed),
        over=end.over,
        unsold=end.unsold,
        stated=KINDS.get(source.price_kind),
    ).asking()


def _rising(found: Mapping[str, PriceRead]) -> Mapping[str, PriceRead]:
    """`Start price $20. Current price $46`: a price beside the one it began with still rises."""
    if "start_price" not in found:
        return found
    return {"current_bid" if name == "price" else name: read for name, read in found.items()}


def _is_fixed(entry: Entry, source: Source, terms: Terms | None, words: Mapping[str, Any], *, timed: bool) -> bool:
    """A price that is asked, not bid: by the source, by bids or a start price, by the venue, by a closing time.

    What has an end and words of bidding is an auction, whatever else its venue sells: many marketplaces hold both."""
    if source.price_kind:
        return source.price_kind == "fixed"
    if any(entry.fields.get(name) for name in ("bids", "start_price", "current_bid")):
        return False
    if timed and (tells_bids(f"{entry.title}\n{entry.description}", words["money"]) or _is_auction(entry, words)):
        return False
    return terms.kind in FIXED_VENUES if terms else not timed


def _is_auction(entry: Entry, words: Mapping[str, Any]) -> bool:
    """A cell says how it is sold: `Format: Auction`."""
    cells = (*entry.extra.values(), entry.fields.get("status", ""), entry.fields.get("category", ""))
    said = auction_words(words["columns"])
    return any(said.match(folded(cell)) for cell in cells if 0 < len(cell) <= LONGEST_CELL)


@dataclass(frozen=True, slots=True, kw_only=True)
class _Offer:
    """One entry with what is known beside its prices."""

    entry: Entry
    words: Mapping[str, Any]
    mark: str | None
    """What stands before decimals in this source."""
    currency: str | None
    """Of a price that names none."""
    home: str
    local: str
    """Of a mark that several currencies share: as its words speak, else the home currency."""
    fixed: bool
    """It is not bid for."""
    over: bool
    unsold: bool
    stated: PriceKind | None
    """The source's own kind of price, when it has only one."""

    def asking(self) -> Asking:
        """The first field with an amount, else a label with one."""
        troubles: list[Trouble] = []
        for name in FIXED_FIRST if self.fixed else FIELDS:
            if name in UNDER_A_RESULT and self.over and (told := self.result()):
                return replace(told, troubles=tuple(troubles))
            text = self.entry.fields.get(name, "").strip()
            read = self.field(name, text) if text else None
            if read is None or (name == "current_bid" and read.amount == 0) or read.note == PASSED:  # no bid yet
                continue
            if read.amount:
                return replace(self.priced(name, read.amount, read), troubles=tuple(troubles))
            field = name.replace("_", " ")
            why = f"the {field} `{text[:60]}` gives no amount ({read.note or 'it is nothing'})"
            troubles.append(Trouble("no amount", facts={"field": field, "why": why}))
        found = self.labelled()
        if isinstance(found, str):
            found = Asking(note=self.missing(found, troubles))
        return replace(found, troubles=tuple(troubles))

    def missing(self, why: str, troubles: list[Trouble]) -> str:
        """Why there is no price: nobody bought it, a field gave none, else as the text has it."""
        if self.unsold:
            return NOT_SOLD
        return str(troubles[0].facts["why"]) if troubles else why

    def field(self, name: str, text: str) -> PriceRead:
        """A field of the entry as a price; an estimate may have its high end in a field of its own."""
        if any(map(str.isalpha, text)) and is_unsold(text, self.words):
            return unknown(PASSED)
        read = read_cell(
            text,
            self.words["money"],
            kind=name,
            column=self.entry.fields.get("currency", ""),
            decimal_mark=self.mark,
            currency=self.currency,
            home=self.local,
        )
        if read.amount is None and any(map(str.isalpha, text)):
            read = self.said(text).get(name, read)
        top = self.entry.fields.get("estimate_high", "")
        if name == "estimate" and top and read.amount is not None and read.high is None:
            high = read_price(top, self.words["money"], decimal_mark=self.mark).amount
            if high is not None and high >= read.amount:
                return replace(read, high=high)
        return read

    def labelled(self) -> Asking | str:
        """From labels in the description, then in the title, else behind the title; or why there is none."""
        why = ""
        for text in (self.entry.description, self.entry.title):
            found = _rising(self.said(text))
            for name in filter(found.__contains__, self.by_trust()):
                read = self.one_price(name, found[name])
                if read.amount and (text is self.entry.description or read.amount >= 1):  # `For sale: 25 cent 1906`
                    return self.priced(name, read.amount, read)
                why = why or (read.note if read.amount is None else "")
        for name, read in filter(None, (self.behind_title(), self.alone())):
            if read.amount:
                return self.priced(name, read.amount, read)
        return f"no price can be read in the text ({why})" if why else "no price is given"

    def said(self, text: str) -> Mapping[str, PriceRead]:
        """Prices by the labels before them in a text."""
        return labelled_prices(text, self.words["money"], decimal_mark=self.mark, currency=self.currency)

    def result(self) -> Asking | None:
        """What a sale that is over brought, as the description tells."""
        read = self.said(self.entry.description).get("hammer")
        read = self.one_price("hammer", read) if read else None
        return self.priced("hammer", read.amount, read) if read and read.amount else None

    def alone(self) -> tuple[str, PriceRead] | None:
        """The only amount of a description; not of one whose fields or labels gave none."""
        text, words = self.entry.description, self.words["money"]
        if self.over or not text or any(self.entry.fields.get(name) for name in FIELDS):
            return None
        if self.said(text).keys() - {"shipping"}:
            return None
        found = lone_price(text, words, decimal_mark=self.mark, currency=self.currency)
        return (found[0], settled(found[1], words, self.local)) if found else None

    def by_trust(self) -> Iterator[str]:
        """Kinds of labelled prices, the surest first. While a sale is on, a hammer price is an older sale's."""
        if self.over:
            yield "hammer"
        yield from (name for name in (FIXED_FIRST if self.fixed else FIELDS) if name != "hammer")

    def one_price(self, name: str, read: PriceRead) -> PriceRead:
        """A labelled price, unknown where it is a range or its currency is open."""
        if read.high is not None and name != "estimate":
            return unknown("a range, not one price")
        return settled(read, self.words["money"], self.local)

    def behind_title(self) -> tuple[str, PriceRead] | None:
        """`1 tor 1893 VF - EUR 45,00`: a price with its currency and its cents behind the title; `5 EUR` is a coin."""
        title = self.entry.title
        tail = BEHIND.split(title)[-1].strip(" )]") if BEHIND.search(title) else ""
        if not HUNDREDTHS.search(tail) or len(tail) > 20:
            return None
        read = read_price(tail, self.words["money"], decimal_mark=self.mark)
        return ("price", read) if read.currency else None

    def priced(self, name: str, amount: Decimal, read: PriceRead) -> Asking:
        """A price as it counts: of a sale that is over without a buyer or a result it is none."""
        currency = read.currency or self.home
        price = Money(amount, currency)
        if (self.unsold and name != "estimate") or (self.over and name == "start_price"):
            return Asking(note=f"{NOT_SOLD if self.unsold else 'the result is not given'}; it stood at {price}")
        notes = [read.note] if read.note else []
        if not read.currency:
            notes.append(f"no currency is given: {self.home}, the home currency, is taken")
        if name == "start_price":
            notes.append(NO_BID)
        kind = self.kind(name)
        high = Money(read.high, currency) if read.high is not None and kind == "estimate" else None
        return Asking(price, kind, "; ".join(notes), high)

    def kind(self, name: str) -> PriceKind:
        """What the price of a field is: still rising, asked, estimated or a result."""
        if name == "hammer" or (self.over and name != "estimate"):
            return "ended"
        if name == "estimate":
            return "estimate"
        if name in ("current_bid", "start_price"):
            return "so far"
        if name == "price" and self.stated:
            return self.stated
        return "fixed" if self.fixed or name == "buy_now" else "so far"
