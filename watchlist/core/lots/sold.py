"""What the words of a status or a description say of the end of a sale: over, sold, unsold."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Any

from watchlist.core.folding import any_of, folded
from watchlist.core.lots.entry import Entry
from watchlist.core.money.text import labelled_prices, tells_result
from watchlist.core.tables import once


@dataclass(frozen=True, slots=True)
class End:
    """How far the sale of a lot is."""

    over: bool
    unsold: bool
    """Over, and nobody bought it."""


def state_of(entry: Entry, words: Mapping[str, Any]) -> str:
    """What an entry says of the state of its sale: its cell of status, and where a result should stand that nobody
    bought it: a cell `passed` under `Hammer`, `Result: passed` at the head of a sentence of the description."""
    status, hammer = entry.fields.get("status", ""), entry.fields.get("hammer", "")
    told = list(_passed(entry.description[:5_000], words))
    if any(map(str.isalpha, hammer)) and is_unsold(hammer, words):
        told.append(hammer)
    return " ".join([status, *told[:1]]).strip()


def is_over(status: str, words: Mapping[str, Any]) -> bool:
    """Whether the words of a status cell say that the sale has ended, with or without a buyer."""
    return _over_words(words["columns"])[0].search(status[:200]) is not None


ASKED = frozenset(("price", "current_bid", "buy_now"))
"""Kinds of price that can still be paid."""


def says_sold(description: str, words: Mapping[str, Any], *, asked: bool = False) -> bool:
    """Whether a text says in so many words that this piece is sold: `SOLD` by itself, or a result, `Zuschlag 330 EUR`,
    with nothing that can still be paid. Another piece's sale, told along the way, is none.

    `asked`: a price is asked elsewhere; a result must then stand at the head of a sentence, as in `Sold: 330 EUR`."""
    sold = _sold_words(words["columns"])
    heads = [said for said in _SENTENCES.split(description[:5_000]) if sold.match(said)]
    if any(sold.fullmatch(said.strip(" !.*-–—[]()")) for said in heads):
        return True
    if (asked and not heads) or not tells_result(description, words["money"]):
        return False
    found = labelled_prices(description, words["money"])
    return "hammer" in found and not ASKED & found.keys()


LONGEST_LABEL = 40
"""Letters before a word in which a label is looked for."""
_SENTENCES = re.compile(r"\n|[!?;|]\s*|\.\s+")


@once
def _sold_words(columns: Mapping[str, Any]) -> re.Pattern[str]:
    return re.compile(rf"[\s*\[(-]*(?:{any_of(columns['cells']['sold'])})(?!\w)", re.IGNORECASE)


def _passed(description: str, words: Mapping[str, Any]) -> Iterator[str]:
    """The word behind the label of a result that says that there is none."""
    for found in _no_result(words["columns"]).finditer(description):
        before = description[max(0, found.start() - LONGEST_LABEL) : found.start()]
        if _result_label(words["money"]).search(folded(before)):
            yield found[1]


@once
def _no_result(columns: Mapping[str, Any]) -> re.Pattern[str]:
    return re.compile(rf"\s?[:=]\s?({any_of(columns['cells']['unsold'])})(?!\w)", re.IGNORECASE)


@once
def _result_label(money: Mapping[str, Any]) -> re.Pattern[str]:
    """The label of a result at the head of a sentence and the end of a folded text."""
    labels = any_of(map(folded, money["labels"]["hammer"]))
    return re.compile(rf"(?:^|[\n.!?;|])\W*(?:{labels})$")


@once
def auction_words(columns: Mapping[str, Any]) -> re.Pattern[str]:
    """At the head of a folded cell: the lot is sold by auction."""
    return re.compile(rf"\W*(?:{any_of(map(folded, columns['cells']['auction']))})(?!\w)")


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
