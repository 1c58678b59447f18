"""No text of a title or a description costs more than in step with its length, whatever stands in it."""

from __future__ import annotations

from collections.abc import Callable
from datetime import UTC, datetime
from time import process_time

import pytest

from tests.growth import IN_STEP, TIMES, growth
from watchlist.core.lots.piece import feedback_cell, seller_cell, seller_in, weight_cell, weight_in
from watchlist.core.lots.sold import is_over, says_sold
from watchlist.core.money.alone import lone_price
from watchlist.core.money.cell import currency_of, read_cell
from watchlist.core.money.text import labelled_prices, read_price, tells_result
from watchlist.core.reading.reader import Reader
from watchlist.core.reading.vocabulary.vocabulary import Vocabulary
from watchlist.core.times.free_text import find_closing
from watchlist.core.times.text import Setting, read_time
from watchlist.words import load

WORDS = load()
SETTING = Setting(WORDS["times"], datetime(2026, 3, 3, tzinfo=UTC), "Europe/Berlin", None, False)
READER = Reader(Vocabulary(WORDS, ["QCG"]))
READS: dict[str, Callable[[str], object]] = {
    "price": lambda text: read_price(text, WORDS["money"]),
    "labelled prices": lambda text: labelled_prices(text, WORDS["money"]),
    "result": lambda text: tells_result(text, WORDS["money"]),
    "lone price": lambda text: lone_price(text, WORDS["money"]),
    "price cell": lambda text: read_cell(text, WORDS["money"], kind="hammer"),
    "currency cell": lambda text: currency_of(text, WORDS["money"]),
    "sold": lambda text: says_sold(text, WORDS),
    "status": lambda text: is_over(text, WORDS),
    "weight": lambda text: weight_in(text, WORDS),
    "cells of the piece": lambda text: (weight_cell(text, WORDS), feedback_cell(text, WORDS), seller_cell(text, WORDS)),
    "seller": lambda text: seller_in(text, WORDS),
    "time": lambda text: read_time(text, SETTING),
    "closing": lambda text: find_closing(text, SETTING),
    "title": READER.read,
    "description": lambda text: READER.read("5 tor 1893", text),
}
WORST = (
    *("1", "1 ", "1,", "1 000 ", "EUR ", "EUR 1 ", "( ", "price (", "price is is is ", "est. ", "hammer price 1 EUR. "),
    *("a like piece sold ", "SOLD! ", ". ", " ", "\n", "1/", "1-", "x1", "l'ecu ", "1893-1899 ", "1893, no, 1894 "),
    *("born in ", "ends in ", "12.03.", "in 2d ", "1 g ", "seller: ", "12 x 5 mark ", "VF to XF ", "64, 50 ", "1 and "),
    *("plus tax ", "incl. post ", "[", "<s>", "1893 (", "no not ", "cleaned? no "),
)
"""What such texts are made of."""
LENGTH = 30_000
AT_ONCE = 0.005
"""Seconds in which a whole text is read whose growth need not be measured."""


@pytest.mark.parametrize("name", READS)
def test_reading_takes_time_in_step_with_the_text(name: str) -> None:
    read = READS[name]

    def spent(unit: str, length: int) -> float:
        text, start = unit * (length // len(unit)) + "!", process_time()
        read(text)
        return process_time() - start

    for unit in WORST:
        if (whole := spent(unit, LENGTH)) > AT_ONCE and whole > TIMES * IN_STEP * spent(unit, LENGTH // TIMES):
            assert growth(lambda n, unit=unit: spent(unit, n), LENGTH // TIMES) < IN_STEP, (name, unit)  # type: ignore[misc]
