"""What a heading that nobody knows means: a label stands in it, `Bid now at`, or its cells are plainly prices, or
running text."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from functools import cache
from itertools import combinations

from watchlist.core.folding import folded, plain
from watchlist.core.imports.headings import fold
from watchlist.core.money.figures import Found, figures, price_words
from watchlist.words import load

PRICES = ("hammer", "current_bid", "start_price", "estimate", "buy_now", "shipping", "price")
"""Kinds of amounts, the most definite first: `Start price now` is where bids start."""
ASKED = frozenset(PRICES) - {"shipping"}
ENDS = "ends_at"
TEXTS = ("description", "remark")
"""What running text is, the first that has no column."""
SENTENCE = 5
"""Words of a cell that is running text, at least."""
WORD = re.compile(r"[^\W\d_]+")
MOSTLY = 0.6
LONGEST_HEADING, LONGEST_AMOUNT, LONGEST_TIME = 60, 24, 40
REST = 4
"""Letters that may stand beside an amount in its cell: `US $225`, `45 VB`."""
TIME = re.compile(r"\d.*[^\W\d]|[^\W\d].*\d|\d[:.h]\d\d")


def near(
    headings: Sequence[tuple[int, str]], cells: Sequence[Sequence[str]], taken: set[str], spare: Sequence[int] = ()
) -> dict[str, int]:
    """Canonical name to column for those of the unknown columns, number and heading, whose meaning shows.

    `cells`: the filled cells of every column; `taken`: names that have a column already; `spare`: columns of which
    another one has the name, `Testo` beside `Titolo`: running text there is worth reading, too."""
    found: dict[str, int] = {}
    for column, heading in headings:
        name = _by_label(heading, cells[column])
        if name and name not in taken and name not in found:
            found[name] = column
    if not (found.keys() | taken) & ASKED:
        _take_first("price", found, (n for n, heading in headings if _is_priced(heading, cells[n])))
    if name := next((name for name in TEXTS if name not in taken), ""):
        _take_first(name, found, (n for n in (*(n for n, _ in headings), *spare) if _mostly(cells[n], _is_text)))
    return found


def _take_first(name: str, found: dict[str, int], columns: Iterable[int]) -> None:
    """Take the first of some columns for a name, if it is free."""
    found |= zip((name,), (n for n in columns if n not in found.values()), strict=False)


def _by_label(heading: str, cells: Sequence[str]) -> str:
    """The kind of the label in a heading, if the cells look like it; empty where there is none."""
    kinds = set(_labels_in(heading))
    if "other" in kinds or len(heading) > LONGEST_HEADING:
        return ""
    if ENDS in kinds and _mostly(cells, _is_time):
        return ENDS
    kind = next((kind for kind in PRICES if kind in kinds), "")
    plain = kind and (kind != "price" or not _is_no_asking(heading))
    return kind if plain and _mostly(cells, _is_amount) else ""


def _is_priced(heading: str, cells: Sequence[str]) -> bool:
    """Most cells are amounts with their currency, and the heading does not say that they are something else."""
    said = set(_labels_in(heading)) & {"other", "shipping"}
    return not said and not _is_no_asking(heading) and _mostly(cells, _is_sure)


def _labels_in(heading: str) -> Iterator[str]:
    """The kinds of all labels of which the words stand in a heading."""
    words, known = WORD.findall(heading[:LONGEST_HEADING]), _labels()
    for start, end in combinations(range(len(words) + 1), 2):
        if kind := known.get(fold(" ".join(words[start:end]))):
            yield kind


@cache
def _labels() -> Mapping[str, str]:
    """Folded labels of prices and closing times, as they stand in running text, with their kinds."""
    closing = load("times")["closing"]
    times = (*closing["labels"], *closing["day_first"], *closing["left_labels"])
    prices = ((label, kind) for kind, labels in load("money")["labels"].items() for label in labels)
    return {fold(label): kind for label, kind in (*((label, ENDS) for label in times), *prices)}


def _is_no_asking(heading: str) -> bool:
    return price_words(load("money")).no_asking.search(folded(heading)) is not None


def _mostly(cells: Sequence[str], test: Callable[[str], bool]) -> bool:
    return bool(cells) and sum(map(test, cells)) >= len(cells) * MOSTLY


def _is_amount(cell: str) -> bool:
    return _one_figure(cell) is not None


def _is_sure(cell: str) -> bool:
    found = _one_figure(cell)
    return found is not None and found.sure


def _is_text(cell: str) -> bool:
    return sum(len(word) > 1 for word in WORD.findall(cell)) >= SENTENCE


def _one_figure(cell: str) -> Found | None:
    """The figure that a cell is, with its currency; None for anything else."""
    text = plain(cell.strip())
    if len(text) > LONGEST_AMOUNT:
        return None
    found = list(figures(text, price_words(load("money"))))
    if len(found) != 1:
        return None
    rest = text[: found[0].start] + text[found[0].end :]
    return found[0] if sum(map(str.isalnum, rest)) <= REST else None


def _is_time(cell: str) -> bool:
    return len(cell) <= LONGEST_TIME and TIME.search(cell) is not None and not _is_sure(cell)
