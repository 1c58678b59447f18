"""The one amount of a free text that carries no label: `Nice piece. £45 only.`"""

from __future__ import annotations

import re
from collections.abc import Mapping
from itertools import islice
from typing import Any

from watchlist.core.folding import folded, plain
from watchlist.core.money.figures import PriceWords, figures, price_words
from watchlist.core.money.text import PriceRead, read_price

LONGEST = 3_000
"""Characters that are looked at."""
MOST = 40
"""Figures that are looked at."""
REACH = 40
"""Characters beside an amount in which a word says that it is the post's."""
FEW = 3
"""Words that may stand beside an amount in a sentence of its own: `only £45 posted`, `£28 for the pair`."""
_ENDS = re.compile(r"[\n!?;|]|\.(?=\s|$)")
_HUNDREDTHS = re.compile(r"[0-9][.,](?:[0-9]{2}|--?)(?![0-9])")
_DIGIT = re.compile("[0-9]")
_WORD = re.compile(r"[^\W\d_]{2,}")


def lone_price(
    text: str, words: Mapping[str, Any], *, decimal_mark: str | None = None, currency: str | None = None
) -> tuple[str, PriceRead] | None:
    """The price that a text gives by its only amount, with its kind: a bid where bids are counted behind it. None where
    there is none, another one, or where it may be a face value: it must stand in a sentence of its own, behind a
    `for`, or have its hundredths. Never raises."""
    said, table = plain(text[:LONGEST]), price_words(words)
    said = _without_post(said, table)
    amounts = [found for found in islice(figures(said, table), MOST) if found.sign]
    if len({(found.number, found.sign) for found in amounts}) != 1:
        return None
    first = amounts[0]
    start = max((end.end() for end in _ENDS.finditer(said, 0, first.start)), default=0)
    end = _ENDS.search(said, first.end)
    before, behind = said[start : first.start], said[first.end : end.start() if end else len(said)]
    beside = folded(f"{before} {behind}")
    if table.no_asking.search(beside) or table.another.search(beside) or _is_other(before, table):
        return None
    figure = said[first.start : first.end]
    short = len(_WORD.findall(f"{before} {behind}")) <= FEW and not _DIGIT.search(before + behind)
    if not (short or _HUNDREDTHS.search(figure) or table.goes_for.search(folded(before))):
        return None
    kind = "current_bid" if table.bids.match(folded(said), first.end) else "price"
    return kind, read_price(figure, words, decimal_mark=decimal_mark, currency=currency)


def _is_other(before: str, table: PriceWords) -> bool:
    """Whether a label stands before that says it is no price of the piece: `Katalogpreis`, `reserve`."""
    return any(table.kinds[label.group()] == "other" for label in table.label.finditer(folded(before)))


def _without_post(said: str, table: PriceWords) -> str:
    """A text without the amounts of the post and of prices that were: `postage £3`, `post (£1.55 each)`, `was £60`."""
    for found in reversed([each for each in islice(figures(said, table), MOST) if each.sign]):
        before = folded(said[max(0, found.start - REACH) : found.start]).rstrip("( ")
        if table.aside_before.search(before) or table.aside_after.match(folded(said[found.end : found.end + REACH])):
            said = said[: found.start] + said[found.end :]
    return said
