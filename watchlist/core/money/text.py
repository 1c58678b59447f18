"""Price text: an amount, its currency, a range, in the ways sale lists of several countries write them."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, replace
from decimal import ROUND_HALF_UP, Decimal
from itertools import islice, pairwise
from typing import Any

from watchlist.core.folding import folded, plain
from watchlist.core.money.figures import Found, PriceWords, figures, for_the_piece, price_words
from watchlist.core.money.number import DIGITS, evident_mark, number_of

LONGEST = 200
"""Letters; a longer text is no price."""
FREE = "free"
"""The note of a price that is said to be nothing; `labelled_prices` gives 0 for free postage."""


@dataclass(frozen=True, slots=True)
class PriceRead:
    """A price as read; what is unknown is None and the note says why. An assumption stands in the note too."""

    amount: Decimal | None
    """The price, or the low end of a range; two decimals."""
    currency: str | None
    """ISO 4217; never without an amount."""
    high: Decimal | None
    """The high end of a range."""
    note: str
    sign: str = ""
    """The mark or code that stands beside the figure; with it and without a currency, which one is meant is open."""


@dataclass(frozen=True, slots=True)
class _Hint:
    """What the source tells beforehand."""

    mark: str | None
    currency: str | None
    local: str | None
    """Currency of the locale's country."""


def read_price(
    text: str,
    words: Mapping[str, Any],
    *,
    decimal_mark: str | None = None,
    locale: str | None = None,
    currency: str | None = None,
) -> PriceRead:
    """Read one price; never raises.

    `words` is the table `words/money.toml`. The source's decimal mark decides before the locale's; `currency` is the
    source's own and is taken where the text names none. A range gives its low end and `high`. Two amounts without a
    range between them give unknown, as do old pounds, dates and negative figures.
    """
    table = price_words(words)
    if len(text) > LONGEST:
        return _unknown("too long to be one price")
    return _read(plain(text), table, _hint(table, decimal_mark, locale, currency))


def labelled_prices(
    text: str,
    words: Mapping[str, Any],
    *,
    decimal_mark: str | None = None,
    locale: str | None = None,
    currency: str | None = None,
) -> dict[str, PriceRead]:
    """Prices that follow a label in free text: "Current bid: 120 EUR", "Zuschlag 120,-", "Est. $400-600".

    Keys: price, start_price, estimate, hammer, buy_now, shipping. Without a colon after the label the figure must
    carry a currency or a dash, so that "price 1921" is no price. One kind met twice with two values is unknown.
    """
    table = price_words(words)
    hint = _hint(table, decimal_mark, locale, currency)
    found: dict[str, PriceRead] = {}
    for kind, read in _labelled(plain(text[:100_000]), table, hint):
        before = found.get(kind)
        if before is None:
            found[kind] = read
        elif (before.amount, before.currency, before.high) != (read.amount, read.currency, read.high):
            found[kind] = _unknown("given twice with two values")
    found.pop("other", None)
    return found


def learn_decimal_mark(texts: Iterable[str]) -> str | None:
    """The decimal mark a column of prices uses, or None where it does not show or the column disagrees.

    Only sure signs count: one or two digits after the last mark, or both marks in one figure.
    """
    seen = {",": 0, ".": 0}
    for text in texts:
        for number in _NUMBER.findall(plain(text[:LONGEST])):
            mark = evident_mark(number)
            if mark:
                seen[mark] += 1
    common, rare = sorted(seen, key=lambda mark: -seen[mark])
    return common if seen[common] > 20 * seen[rare] else None


_NUMBER = re.compile(rf"(?<![\w.,/':]){DIGITS}")
_SLASHED = re.compile(r"[0-9]\s?/\s?[0-9-]")
_DASHED = re.compile(r"(?<![0-9.,])[0-9]{1,4}-[0-9]{1,2}-[0-9]{1,2}(?![0-9])")
_ESTIMATE = re.compile(r"^((?:[A-Z]{3}|[€$£])?\s?[0-9][0-9.,' ]{0,9}[0-9]|[0-9])\s?/\s?((?:[€$£]\s?)?[0-9]{2})")
"""An estimate of French sale lists, `400/600 €`; no fraction and no date."""
_INNER = re.compile(r"(?<![\w.,])([0-9]{1,6})€([0-9]{2})(?![\w.,])")
"""`12€50`, as French lists write it."""
_IN_BRACKETS = re.compile(r"[^\d(]*\(\s*[0-9][0-9.,' ]*\)[^\d]*")
_GAP = re.compile(
    r"\s*(?:\([^)\n]{0,20}\)\s*)?"
    r"(?:(?:incl|inkl|inc|excl|exkl|including|excluding|ohne|mit|avec|sans|con|senza|sin|met|zonder|per|each|pro|par|por)"
    r"\.?\s[^\W\d][\w.&]{1,11}\s*(?=[:=]))?[:=|.\s]*\s*",
    re.IGNORECASE,
)
"""What may stand between a label and its figure: `Price (incl. post): 45`, `Preis pro Stück: 45`."""


_BESIDE = re.compile(r"^\s*[,(\[]?\s*")
"""Between a price and what it is without."""


def _hint(table: PriceWords, mark: str | None, locale: str | None, currency: str | None) -> _Hint:
    language, _, region = (locale or "").replace("-", "_").partition("_")
    known = table.marks.get(f"{language}_{region}") or table.marks.get(language)
    return _Hint(mark or known, currency or None, table.regions.get(region.upper()))


def _read(text: str, table: PriceWords, hint: _Hint) -> PriceRead:
    text = _INNER.sub(r"\1.\2 €", text)
    if _SLASHED.search(text) or _DASHED.search(text):
        return _unknown("figures with strokes: old pounds, a fraction or a date")
    found = list(figures(text, table))
    if not found:
        return _unknown(FREE if table.free.search(folded(text)) else "no amount in the text")
    if any(f.sign and text[f.end : f.end + 2].strip()[:1].isdigit() and text[f.end - 1] != " " for f in found):
        return _unknown("a currency stands between two figures")
    if _IN_BRACKETS.fullmatch(text):
        return _unknown("an amount in brackets, as accounts write one below nothing")
    if any(text[a.end : b.start] == " " and not a.sure and b.sure and a.scale == 1 for a, b in pairwise(found)):
        return _unknown("a figure with a blank at a place where none belongs")
    found = for_the_piece(text, found, table)
    chosen = [f for f in found if f.sure] if len(found) > 1 else found
    pair = found if len(found) == 2 and _is_range(text, found, table) else None
    if pair:
        return _range(pair, table, hint)
    if len(chosen) != 1:
        return _unknown("more than one amount, and nothing says which counts")
    if text[: chosen[0].start].rstrip().endswith("-") and not text[: chosen[0].start].strip("- "):
        return _unknown("a negative amount")
    return _single(chosen[0], table, hint)


def _is_range(text: str, found: list[Found], table: PriceWords) -> bool:
    low, high = found
    same = not low.sign or not high.sign or low.sign == high.sign
    return same and table.between.fullmatch(folded(text[low.end : high.start])) is not None


def _range(pair: list[Found], table: PriceWords, hint: _Hint) -> PriceRead:
    sign = pair[0].sign or pair[1].sign
    low, high = (_single(replace(f, sign=sign), table, hint) for f in pair)
    if low.amount is None or high.amount is None:
        return low if low.amount is None else high
    if high.amount < low.amount:
        return _unknown("a range that falls: its high end may be shortened")
    return replace(low, high=high.amount)


def _single(found: Found, table: PriceWords, hint: _Hint) -> PriceRead:
    currency, said = _currency(found.sign, table, hint)
    if currency is None and ("$" in found.sign or "/" in found.sign):
        return _unknown(said)
    amount, note = number_of(
        found.number, hint.mark, three_decimals=currency in table.three_decimals, signed=bool(found.sign)
    )
    if amount is None:
        return _unknown(note)
    if found.scale != 1:
        amount = (amount * found.scale).quantize(Decimal("0.01"), ROUND_HALF_UP)
    return PriceRead(amount, currency, None, "; ".join(filter(None, (said, note))), found.sign)


def _currency(sign: str, table: PriceWords, hint: _Hint) -> tuple[str | None, str]:
    if not sign:
        return hint.currency, "" if hint.currency is None else "no currency in the text: the source's taken"
    if sign in table.codes:
        return sign, ""
    if sign not in table.signs:
        return None, f"{sign} is not a currency known here"
    choices, first_is_plain = table.signs[sign]
    for hinted in (hint.currency, hint.local):
        if hinted in choices:
            return hinted, ""
    if not first_is_plain:
        return None, f"{sign} can be {', '.join(choices)}: set the source's currency"
    return choices[0], "" if len(choices) == 1 else f"{sign} taken as {choices[0]}"


def _labelled(text: str, table: PriceWords, hint: _Hint) -> Iterator[tuple[str, PriceRead]]:
    small = folded(text)
    gaps: list[tuple[re.Match[str], re.Match[str]]] = []
    for label in table.label.finditer(small):
        gap = _GAP.match(text, label.end(), label.end() + 80)
        assert gap is not None  # every part of the gap may be empty
        if not gaps or label.start() >= gaps[-1][1].end():  # a label in the brackets of another is none
            gaps.append((label, gap))
    ends = [*(label.start() for label, _ in gaps[1:]), len(text)]
    for (label, gap), end in zip(gaps, ends, strict=False):
        end = min(end, label.end() + 80)
        marked = any(c in ":=|\n" for c in gap[0])
        kind = table.kinds[label[0]]
        rest = _without_former(text[gap.end() : end], table)
        read = _at_once(_ESTIMATE.sub(r"\1-\2", rest) if kind == "estimate" else rest, table, hint, marked)
        if read is None and kind == "shipping" and table.free.match(small, gap.end(), end):
            read = PriceRead(Decimal("0.00"), hint.currency, None, FREE)
        if kind in ("price", "buy_now") and read is not None and _is_net(text, gap, end, table):
            read = _unknown("tax comes on top of it")
        if kind == "price" and _with_bids(text[gap.end() : gap.end() + 80], table):
            kind = "current_bid"
        if read is not None:
            yield kind, read


def _with_bids(rest: str, table: PriceWords) -> bool:
    """`100 EUR, 3 bids`: what is bid so far, whatever its label says."""
    first = next(figures(rest, table), None)
    return first is not None and table.bids.match(folded(rest), first.end) is not None


def _is_net(text: str, gap: re.Match[str], end: int, table: PriceWords) -> bool:
    """`Price (excl. VAT): 45`, `45 EUR + 19% VAT`: tax is named right beside the figure."""
    first = next(figures(text[gap.end() : end], table), None)
    rest = _BESIDE.sub("", folded(text[gap.end() + (first.end if first else 0) : end]), count=1)
    return bool(table.taxed.search(folded(gap[0])) or table.taxed.match(rest))


def _without_former(rest: str, table: PriceWords) -> str:
    """`statt 90 EUR nur 75 EUR` from its second price on."""
    if not table.was.match(folded(rest)):
        return rest
    found = list(islice(figures(rest, table), 2))
    return rest[found[1].start :] if len(found) == 2 else rest


def _at_once(rest: str, table: PriceWords, hint: _Hint, marked: bool) -> PriceRead | None:
    """The price that begins right here, with its high end; None when the next thing is no price."""
    rest = rest.split("\n", 1)[0]
    found = list(islice(figures(rest, table), 2))
    if not found or found[0].start != 0 or _SLASHED.match(rest[found[0].end - 1 :]):
        return None
    pair = found if len(found) == 2 and _is_range(rest, found, table) else found[:1]
    if not (marked or any(f.sure for f in pair)) and not _estimate_like(pair):
        return None
    return _range(pair, table, hint) if len(pair) == 2 else _single(pair[0], table, hint)


def _estimate_like(pair: list[Found]) -> bool:
    """A bare range that cannot be a range of years."""
    return len(pair) == 2 and not all(f.number.isdigit() and 1000 <= int(f.number[:5]) <= 2099 for f in pair)


def _unknown(note: str) -> PriceRead:
    return PriceRead(None, None, None, note)
