"""Price text: an amount, its currency, a range, in the ways sale lists of several countries write them."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Mapping, Sequence
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


def read_price(
    text: str,
    words: Mapping[str, Any],
    *,
    decimal_mark: str | None = None,
    locale: str | None = None,
    currency: str | None = None,
) -> PriceRead:
    """Read one price; never raises.

    `words` is the table `money`. The source's decimal mark decides before the locale's; `currency` is the
    source's own and is taken where the text names none. A range gives its low end and `high`. Two amounts without a
    range between them give unknown, as do old pounds, dates and negative figures.
    """
    if len(text) > LONGEST:
        return unknown("too long to be one price")
    return _Reader.of(words, decimal_mark, locale, currency).one(plain(text))


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
    found: dict[str, PriceRead] = {}
    for kind, read in _Reader.of(words, decimal_mark, locale, currency).labelled(plain(text[:100_000])):
        before = found.get(kind)
        if before is None:
            found[kind] = read
        elif (before.amount, before.currency, before.high) != (read.amount, read.currency, read.high):
            found[kind] = unknown("given twice with two values")
    found.pop("other", None)
    return found


def tells_result(text: str, words: Mapping[str, Any]) -> bool:
    """Whether a free text has a label of a result at all; `labelled_prices` says whether one stands behind it."""
    return price_words(words).result.search(folded(text[:100_000])) is not None


def tells_bids(text: str, words: Mapping[str, Any]) -> bool:
    """Whether a text says that the piece is bid for."""
    return price_words(words).bid_for.search(folded(text[:100_000])) is not None


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
STROKE_RANGE = re.compile(
    r"^(?![0-9]\s?/\s?[0-9][ .,'])((?:[A-Z]{3}|[€$£])?\s?[0-9][0-9.,' ]{0,9}[0-9]|[0-9])"
    r"\s?/\s?((?:[€$£]\s?)?[0-9](?:[0-9]|[ .,'][0-9]{3}(?![0-9])))"
)
"""An estimate of French sale lists, `400/600 €`, `1 800 / 2 200 €`; no fraction and no date."""
_INNER = re.compile(r"(?<![\w.,])([0-9]{1,6})€([0-9]{2})(?![\w.,])")
"""`12€50`, as French lists write it."""
_IN_BRACKETS = re.compile(r"[^\d(]*\(\s*[0-9][0-9.,' ]*\)[^\d]*")
_NEAR = 9
"""Letters right before a label in which a word says that it is another piece's."""
_BESIDE = re.compile(r"^\s*[,(\[]?\s*")
"""Between a price and what it is without."""
_APART = re.compile(r"[0-9](?: [.,]|[.,] )[0-9]")
"""A blank beside a decimal mark."""
_NO_WHOLE = re.compile(r"(?<![\w.,-])[.,](?=[0-9]{2}(?![0-9.,]))")
"""`.40`."""
_CENTS = re.compile(r"[0-9]+[.,][0-9]{2}")
_SENTENCE = re.compile(r"[\n!?;|]|\.\s")
_SAID = re.compile(r"\s*(?:$|[.,;!?)|\n](?!\d))")
TRAILING = ("hammer", "start_price", "buy_now", "estimate")
"""Kinds of price whose label may stand behind the figure."""
_REACH = 80
"""Letters behind a label in which its price begins."""


@dataclass(frozen=True, slots=True)
class _Reader:
    """Reads prices with the words of the trade and with what the source tells beforehand."""

    table: PriceWords
    mark: str | None
    """What stands before decimals."""
    currency: str | None
    local: str | None
    """Currency of the locale's country."""

    @classmethod
    def of(cls, words: Mapping[str, Any], mark: str | None, locale: str | None, currency: str | None) -> _Reader:
        """The reader of a source."""
        table = price_words(words)
        language, _, region = (locale or "").replace("-", "_").partition("_")
        known = table.marks.get(f"{language}_{region}") or table.marks.get(language)
        return cls(table, mark or known, currency or None, table.regions.get(region.upper()))

    def one(self, text: str) -> PriceRead:
        """The one price of a plain text."""
        text = whole_figure(_INNER.sub(r"\1.\2 €", text), self.table)
        found = list(figures(text, self.table))
        if why := next(filter(None, (rule(text, found, self.table) for rule in _NO_PRICE)), ""):
            return unknown(why)
        own = for_the_piece(text, found, self.table)
        if len(own) == 2 and self.is_range(text, own):
            return self.range(own)
        chosen = [f for f in own if f.sure] if len(own) > 1 else list(own)
        if len({(f.number, f.sign, f.scale) for f in chosen}) == 1:  # `£475.00 (£475.00)`
            chosen = chosen[:1]
        if len(chosen) != 1:
            return unknown("more than one amount, and nothing says which counts")
        before = text[: chosen[0].start]
        if before.rstrip().endswith("-") and not before.strip("- "):
            return unknown("a negative amount")
        return self.single(chosen[0])

    def is_range(self, text: str, found: Sequence[Found]) -> bool:
        """Whether two figures are a low and a high."""
        low, high = found
        same = not low.sign or not high.sign or low.sign == high.sign
        return same and self.table.between.fullmatch(folded(text[low.end : high.start])) is not None

    def range(self, pair: Sequence[Found]) -> PriceRead:
        """A low and a high as one price."""
        sign = pair[0].sign or pair[1].sign
        low, high = (self.single(replace(f, sign=sign)) for f in pair)
        if low.amount is None or high.amount is None:
            return low if low.amount is None else high
        if high.amount < low.amount:
            return unknown("a range that falls: its high end may be shortened")
        return replace(low, high=high.amount)

    def single(self, found: Found) -> PriceRead:
        """One figure as a price."""
        currency, said = self.currency_of(found.sign)
        if currency is None and ("$" in found.sign or "/" in found.sign):
            return unknown(said)
        three_decimals = currency in self.table.three_decimals
        amount, note = number_of(found.number, self.mark, three_decimals=three_decimals, signed=bool(found.sign))
        if amount is None:
            return unknown(note)
        if found.scale != 1:
            amount = (amount * found.scale).quantize(Decimal("0.01"), ROUND_HALF_UP)
        return PriceRead(amount, currency, None, "; ".join(filter(None, (said, note))), found.sign)

    def currency_of(self, sign: str) -> tuple[str | None, str]:
        """The currency that a sign means here, with a note; None and the reason where that is open."""
        if not sign:
            return self.currency, "" if self.currency is None else "no currency in the text: the source's taken"
        if sign in self.table.codes:
            return sign, ""
        if sign not in self.table.signs:
            return None, f"{sign} is not a currency known here"
        choices, first_is_plain = self.table.signs[sign]
        for hinted in (self.currency, self.local):
            if hinted in choices:
                return hinted, ""
        if not first_is_plain:
            return None, f"{sign} can be {', '.join(choices)}: set the source's currency"
        return choices[0], "" if len(choices) == 1 else f"{sign} taken as {choices[0]}"

    def labelled(self, text: str) -> Iterator[tuple[str, PriceRead]]:
        """Each label of a plain text that has a price behind it, or right before it, as its kind, with that price."""
        small = folded(text)
        labels = list(self.labels(text, small))
        ends = [*(label.start() for label, _ in labels[1:]), len(text)]
        since, taken = 0, 0
        for (label, gap), end in zip(labels, ends, strict=False):
            kind = self.table.kinds[label[0]]
            if kind == "price" and self.of_another_one(small[max(0, label.start() - _NEAR) : label.start()]):
                continue
            if kind == "hammer" and self.of_another(small, label):
                continue
            read = self.behind(kind, text, gap, min(end, label.end() + _REACH))
            read, since, taken = read or self.ahead(kind, text, label, since, taken), gap.end(), _figures_of(read)
            if kind == "price" and self.with_bids(text[gap.end() : gap.end() + _REACH]):
                kind = "current_bid"
            if read is not None:
                yield kind, read

    def of_another(self, small: str, label: re.Match[str]) -> bool:
        """`A like piece sold for 90 EUR`, `made 40 GBP in 2019`: a result in a sentence on another piece or time."""
        before = _SENTENCE.split(small[max(0, label.start() - _REACH) : label.start()])[-1]
        behind = _SENTENCE.split(small[label.end() : label.end() + _REACH], maxsplit=1)[0]
        return self.table.another.search(f"{before}{label[0]}{behind}") is not None

    def of_another_one(self, before: str) -> bool:
        """`another one at 95`: what stands right before a label says that it is another piece's."""
        found = self.table.another.search(before)
        return found is not None and found.end() == len(before.rstrip())

    def labels(self, text: str, small: str) -> Iterator[tuple[re.Match[str], re.Match[str]]]:
        """Labels with the gap behind them; one in the brackets of another is none."""
        reached = 0
        for label in self.table.label.finditer(small):
            gap = self.table.gap.match(text, label.end(), label.end() + _REACH)
            if gap is not None and label.start() >= reached:  # every part of a gap may be empty: it is never None
                reached = gap.end()
                yield label, gap

    def behind(self, kind: str, text: str, gap: re.Match[str], end: int) -> PriceRead | None:
        """The price right behind the gap of a label; None when the next thing is none."""
        marked = any(c in ":=|\n" for c in gap[0])
        rest = self.without_former(text[gap.end() : end])
        read = self.at_once(STROKE_RANGE.sub(r"\1-\2", rest) if kind == "estimate" else rest, marked)
        if read is None and kind == "shipping" and self.table.free.match(folded(text[gap.end() : end])):
            return PriceRead(Decimal("0.00"), self.currency, None, FREE)
        if read is not None and kind in ("price", "buy_now") and self.is_net(text, gap, end):
            return unknown("tax comes on top of it")
        return read

    def ahead(self, kind: str, text: str, label: re.Match[str], since: int, taken: int) -> PriceRead | None:
        """`£12 start.`, `45 € Festpreis`, `for $385 hammer`: the price right before a label that ends what is said.

        `since`: where the words of the label before it end; `taken`: how many figures from there on are that one's."""
        if kind not in TRAILING or not _SAID.match(text, label.end()):
            return None
        found = list(figures(text[since : label.start()], self.table))[taken:]
        if not found or not found[-1].sign or text[since + found[-1].end : label.start()].strip():
            return None
        return self.single(found[-1])

    def with_bids(self, rest: str) -> bool:
        """`100 EUR, 3 bids`: what is bid so far, whatever its label says."""
        first = next(figures(rest, self.table), None)
        return first is not None and self.table.bids.match(folded(rest), first.end) is not None

    def is_net(self, text: str, gap: re.Match[str], end: int) -> bool:
        """`Price (excl. VAT): 45`, `45 EUR + 19% VAT`: tax is named right beside the figure."""
        first = next(figures(text[gap.end() : end], self.table), None)
        rest = _BESIDE.sub("", folded(text[gap.end() + (first.end if first else 0) : end]), count=1)
        return bool(self.table.taxed.search(folded(gap[0])) or self.table.taxed.match(rest))

    def without_former(self, rest: str) -> str:
        """`statt 90 EUR nur 75 EUR` from its second price on."""
        if not self.table.was.match(folded(rest)):
            return rest
        found = list(islice(figures(rest, self.table), 2))
        return rest[found[1].start :] if len(found) == 2 else rest

    def at_once(self, rest: str, marked: bool) -> PriceRead | None:
        """The price that begins right here, with its high end; None when the next thing is no price."""
        rest = whole_figure(rest.split("\n", 1)[0], self.table)
        found = list(islice(figures(rest, self.table), 2))
        if not found or found[0].start != 0 or _SLASHED.match(rest[found[0].end - 1 :]):
            return None
        if len(found) == 2 and self.is_range(rest, found):
            return self.range(found) if marked or found[0].sure or found[1].sure or _estimate_like(found) else None
        return self.single(found[0]) if marked or found[0].sure or _CENTS.fullmatch(found[0].number) else None


def whole_figure(text: str, table: PriceWords) -> str:
    """A text with its first figure made whole: `64, 50` without the blank, `.40` with its nought, `7 pounds 50`."""
    text = table.spoken.sub(r"\g<whole>.\g<part> \g<unit>", text, count=1)
    if _APART.search(text):  # few are, and the pattern that knows all currencies is slow
        text = table.parted.sub(lambda m: f"{m['head']}{m['mark'] or m['late']}{m['cents']}", text, count=1)
    return _NO_WHOLE.sub(r"0\g<0>", text, count=1)


def _strokes(text: str, found: Sequence[Found], table: PriceWords) -> str:
    struck = _SLASHED.search(text) or _DASHED.search(text)
    return "figures with strokes: old pounds, a fraction or a date" if struck else ""


def _nothing(text: str, found: Sequence[Found], table: PriceWords) -> str:
    if found:
        return ""
    return FREE if table.free.search(folded(text)) else "no amount in the text"


def _sign_between(text: str, found: Sequence[Found], table: PriceWords) -> str:
    """`45€50`."""
    between = any(f.sign and text[f.end : f.end + 2].strip()[:1].isdigit() and text[f.end - 1] != " " for f in found)
    return "a currency stands between two figures" if between else ""


def _below_nothing(text: str, found: Sequence[Found], table: PriceWords) -> str:
    return "an amount in brackets, as accounts write one below zero" if _IN_BRACKETS.fullmatch(text) else ""


def _stray_blank(text: str, found: Sequence[Found], table: PriceWords) -> str:
    """`1 25,50 EUR`."""
    apart = any(text[a.end : b.start] == " " and not a.sure and b.sure and a.scale == 1 for a, b in pairwise(found))
    return "a figure with a blank at a place where none belongs" if apart else ""


_NO_PRICE = (_strokes, _nothing, _sign_between, _below_nothing, _stray_blank)
"""Why a text is no price, whichever of its figures counts."""


def _figures_of(read: PriceRead | None) -> int:
    """How many figures a price is made of."""
    return 0 if read is None else 1 if read.high is None else 2


def _estimate_like(pair: Sequence[Found]) -> bool:
    """A bare range that cannot be a range of years."""
    return not all(f.number.isdecimal() and 1000 <= int(f.number[:5]) <= 2099 for f in pair)


def unknown(note: str) -> PriceRead:
    """No price, and why."""
    return PriceRead(None, None, None, note)
