"""Price text: an amount, its currency, a range, in the ways sale lists of several countries write them."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, replace
from decimal import ROUND_HALF_UP, Decimal
from typing import Any

from watchlist.core.plain import folded, plain
from watchlist.core.tables import once

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


@dataclass(frozen=True, slots=True)
class _Hint:
    """What the source tells beforehand."""

    mark: str | None
    currency: str | None
    local: str | None
    """Currency of the locale's country."""


@dataclass(frozen=True, slots=True)
class _Found:
    """One figure of a text with what stands beside it."""

    start: int
    end: int
    number: str
    sign: str
    dash: bool
    thousands: bool

    @property
    def sure(self) -> bool:
        return bool(self.sign) or self.dash


@dataclass(frozen=True, slots=True)
class _Words:
    codes: frozenset[str]
    three_decimals: frozenset[str]
    signs: Mapping[str, tuple[tuple[str, ...], bool]]
    """Mark to the currencies it may mean, and whether the first is meant without a hint."""
    marks: Mapping[str, str]
    regions: Mapping[str, str]
    figure: re.Pattern[str]
    between: re.Pattern[str]
    unit: re.Pattern[str]
    free: re.Pattern[str]
    label: re.Pattern[str]
    kinds: Mapping[str, str]


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
    table = _words(words)
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
    table = _words(words)
    hint = _hint(table, decimal_mark, locale, currency)
    found: dict[str, PriceRead] = {}
    for kind, read in _labelled(plain(text[:100_000]), table, hint):
        before = found.get(kind)
        if before is None:
            found[kind] = read
        elif (before.amount, before.currency, before.high) != (read.amount, read.currency, read.high):
            found[kind] = _unknown("given twice with two values")
    return found


def learn_decimal_mark(texts: Iterable[str]) -> str | None:
    """The decimal mark a column of prices uses, or None where it does not show or the column disagrees.

    Only sure signs count: one or two digits after the last mark, or both marks in one figure.
    """
    seen = {",": 0, ".": 0}
    for text in texts:
        for number in _NUMBER.findall(plain(text[:LONGEST])):
            mark = _evident_mark(number)
            if mark:
                seen[mark] += 1
    common, rare = sorted(seen, key=lambda mark: -seen[mark])
    return common if seen[common] > 20 * seen[rare] else None


_DIGITS = r"(?:[0-9]{1,3}(?: [0-9]{3})+(?![0-9])(?:[.,][0-9]+)?|[0-9]+(?:[.,'][0-9]+)*)"
_NUMBER = re.compile(rf"(?<![\w.,/':]){_DIGITS}")
_GROUPS = re.compile(r"[0-9]{1,3}(?:([.,' ])[0-9]{3})(?:\1[0-9]{3})*|[0-9]{1,2}(?:,[0-9]{2})+,[0-9]{3}")
_SLASHED = re.compile(r"[0-9]\s?/\s?[0-9]")
_ESTIMATE = re.compile(r"^((?:[A-Z]{3}|[€$£])?\s?[0-9][0-9.,' ]{0,9}[0-9]|[0-9])\s?/\s?((?:[€$£]\s?)?[0-9]{2})")
"""An estimate of French sale lists, `400/600 €`; no fraction and no date."""
_GAP = re.compile(r"\s*(?:\([^)\n]{0,20}\)\s*)?[:=|.\s]*\s*")


@once
def _words(words: Mapping[str, Any]) -> _Words:
    signs: dict[str, tuple[tuple[str, ...], bool]] = {plain(k): ((v,), True) for k, v in words["signs"].items()}
    signs |= {plain(k): (tuple(v), True) for k, v in words["shared"].items()}
    signs |= {plain(k): (tuple(v), False) for k, v in words["hinted"].items()}
    around = words["around"]
    kinds = {
        folded(label): kind
        for kind, languages in words["labels"].items()
        for labels in languages.values()
        for label in labels
    }
    sign = rf"(?:{_any(signs)}|[A-Z]{{3}}(?![A-Za-z]))"
    return _Words(
        codes=frozenset(words["codes"].split()) | frozenset(words["old_codes"].split()),
        three_decimals=frozenset(words["three_decimals"].split()),
        signs=signs,
        marks=words["marks"],
        regions=words["regions"],
        figure=re.compile(
            rf"(?<![\w.,/':])(?:(?P<before>{sign})\s?)?(?P<number>{_DIGITS})(?P<dash>[.,]\s?--?(?![0-9]))?"
            rf"(?:(?P<k>[kK])(?!\w))?(?:\s?(?P<after>{sign})(?!\w))?"
        ),
        between=re.compile(rf"\s*(?:{_any(map(folded, around['range']))})\s*"),
        unit=re.compile(rf"\s?(?:{_any(map(folded, around['not_prices']))})(?!\w)"),
        free=re.compile(rf"(?<!\w)(?:{_any(map(folded, around['free']))})(?!\w)"),
        label=re.compile(rf"(?<!\w)(?:{_any(kinds)})(?!\w)"),
        kinds=kinds,
    )


def _any(phrases: Iterable[str]) -> str:
    return "|".join(re.escape(phrase) for phrase in sorted(phrases, key=len, reverse=True))


def _hint(table: _Words, mark: str | None, locale: str | None, currency: str | None) -> _Hint:
    language, _, region = (locale or "").replace("-", "_").partition("_")
    known = table.marks.get(f"{language}_{region}") or table.marks.get(language)
    return _Hint(mark or known, currency or None, table.regions.get(region.upper()))


def _read(text: str, table: _Words, hint: _Hint) -> PriceRead:
    if "/" in text and _SLASHED.search(text):
        return _unknown("figures with strokes: old pounds, a fraction or a date")
    found = list(_figures(text, table))
    if not found:
        return _unknown(FREE if table.free.search(folded(text)) else "no amount in the text")
    if any(f.sign and text[f.end : f.end + 2].strip()[:1].isdigit() and text[f.end - 1] != " " for f in found):
        return _unknown("a currency stands between two figures")
    chosen = [f for f in found if f.sure] if len(found) > 1 else found
    pair = found if len(found) == 2 and _is_range(text, found, table) else None
    if pair:
        return _range(pair, table, hint)
    if len(chosen) != 1:
        return _unknown("more than one amount, and nothing says which counts")
    if text[: chosen[0].start].rstrip().endswith("-") and not text[: chosen[0].start].strip("- "):
        return _unknown("a negative amount")
    return _single(chosen[0], table, hint)


def _figures(text: str, table: _Words) -> Iterator[_Found]:
    for m in table.figure.finditer(text):
        before, after = _sign(m["before"], table), _sign(m["after"], table)
        sign = before or after
        if not sign and table.unit.match(folded(text[m.end() : m.end() + 12])):
            continue
        yield _Found(m.start(), m.end(), m["number"], sign, m["dash"] is not None, m["k"] is not None)


def _sign(written: str | None, table: _Words) -> str:
    """The mark as a known sign or code; capitals that only look like one are kept, folded words are none."""
    if not written or written in table.signs or written in table.codes:
        return written or ""
    return "" if folded(written) in table.kinds else written


def _is_range(text: str, found: list[_Found], table: _Words) -> bool:
    low, high = found
    same = not low.sign or not high.sign or low.sign == high.sign
    return same and table.between.fullmatch(folded(text[low.end : high.start])) is not None


def _range(pair: list[_Found], table: _Words, hint: _Hint) -> PriceRead:
    sign = pair[0].sign or pair[1].sign
    low, high = (_single(replace(f, sign=sign), table, hint) for f in pair)
    if low.amount is None or high.amount is None:
        return low if low.amount is None else high
    if high.amount < low.amount:
        return _unknown("a range that falls: its high end may be shortened")
    return replace(low, high=high.amount)


def _single(found: _Found, table: _Words, hint: _Hint) -> PriceRead:
    currency, said = _currency(found.sign, table, hint)
    amount, note = _amount(found.number, hint.mark, currency in table.three_decimals, bool(found.sign))
    if amount is None:
        return _unknown(note)
    if found.thousands:
        amount = (amount * 1000).quantize(Decimal("0.01"))
    return PriceRead(amount, currency, None, "; ".join(filter(None, (said, note))))


def _currency(sign: str, table: _Words, hint: _Hint) -> tuple[str | None, str]:
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


def _amount(number: str, mark: str | None, three_decimals: bool, signed: bool) -> tuple[Decimal | None, str]:
    """The figure as a number, with its note; None and the reason where it can be read two ways.

    `EUR 1.250` in a source that writes `55.50` is one: nobody prices in three decimals.
    """
    if number.isdigit():
        return _rounded(number)
    if "," in number and "." in number:
        return _both_marks(number, mark)
    if not ("," in number or "." in number):
        return _rounded(_digits(number)) if _GROUPS.fullmatch(number) else (None, f"{number} is no figure known here")
    own = "," if "," in number else "."
    whole, _, decimals = number.rpartition(own)
    grouping = _GROUPS.fullmatch(number) is not None and not number.startswith("0")
    if number.count(own) > 1:
        return _rounded(_digits(number)) if grouping else (None, f"{number} is no figure known here")
    if grouping and own == mark and signed and not three_decimals:
        return None, f"{number} can be read two ways: the source has {own!r} before the decimals"
    if not grouping or own == mark:
        clear = decimals.isdigit() and (whole.isdigit() or _GROUPS.fullmatch(whole) is not None)
        return _rounded(f"{_digits(whole)}.{decimals}") if clear else (None, f"{number} is no figure known here")
    if three_decimals:
        return None, f"{number} can be read two ways in a currency with three decimals"
    return _rounded(_digits(number), "" if mark else f"{number} read with {own!r} between thousands")


def _both_marks(number: str, mark: str | None) -> tuple[Decimal | None, str]:
    """With both marks the last one is the decimal mark, unless the source says the other and both would fit."""
    own = "," if number.rfind(",") > number.rfind(".") else "."
    whole, _, decimals = number.rpartition(own)
    doubtful = mark is not None and mark != own and len(decimals) == 3
    if doubtful or own in whole or not decimals.isdigit() or not _GROUPS.fullmatch(whole):
        return None, f"{number} can be read two ways"
    return _rounded(f"{_digits(whole)}.{decimals}")


def _digits(number: str) -> str:
    return number.translate(_ONLY_DIGITS)


_ONLY_DIGITS = str.maketrans("", "", ".,' ")


def _rounded(number: str, note: str = "") -> tuple[Decimal | None, str]:
    if len(number.partition(".")[0]) > 12:
        return None, "too large to be a price"
    return Decimal(number[:40]).quantize(Decimal("0.01"), ROUND_HALF_UP), note


def _evident_mark(number: str) -> str | None:
    last = max(number.rfind(","), number.rfind("."))
    if last < 0:
        return None
    own, other = number[last], "," if number[last] == "." else "."
    if number.count(own) > 1:
        return other if len(number) - last == 4 else None
    return own if other in number or len(number) - last in (2, 3) else None


def _labelled(text: str, table: _Words, hint: _Hint) -> Iterator[tuple[str, PriceRead]]:
    small = folded(text)
    labels = list(table.label.finditer(small))
    ends = [*(label.start() for label in labels[1:]), len(text)]
    for label, end in zip(labels, ends, strict=False):
        end = min(end, label.end() + 80)
        gap = _GAP.match(text, label.end(), end)
        assert gap is not None  # every part of the gap may be empty
        marked = any(c in ":=|\n" for c in gap[0])
        kind = table.kinds[label[0]]
        rest = text[gap.end() : end]
        read = _at_once(_ESTIMATE.sub(r"\1-\2", rest) if kind == "estimate" else rest, table, hint, marked)
        if read is None and kind == "shipping" and table.free.match(small, gap.end(), end):
            read = PriceRead(Decimal("0.00"), hint.currency, None, FREE)
        if read is not None:
            yield kind, read


def _at_once(rest: str, table: _Words, hint: _Hint, marked: bool) -> PriceRead | None:
    """The price that begins right here, with its high end; None when the next thing is no price."""
    rest = rest.split("\n", 1)[0]
    found = list(_figures(rest, table))[:2]
    if not found or found[0].start != 0 or _SLASHED.match(rest[found[0].end - 1 :]):
        return None
    pair = found if len(found) == 2 and _is_range(rest, found, table) else found[:1]
    if not (marked or any(f.sure for f in pair)) and not _estimate_like(pair):
        return None
    return _range(pair, table, hint) if len(pair) == 2 else _single(pair[0], table, hint)


def _estimate_like(pair: list[_Found]) -> bool:
    """A bare range that cannot be a range of years."""
    return len(pair) == 2 and not all(f.number.isdigit() and 1000 <= int(f.number[:5]) <= 2099 for f in pair)


def _unknown(note: str) -> PriceRead:
    return PriceRead(None, None, None, note)
