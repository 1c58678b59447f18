"""The figures of a text with what stands beside them: a currency, a unit, a word that says what they are."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from decimal import Decimal
from typing import Any

from watchlist.core.folding import any_of, folded, plain
from watchlist.core.money.number import DIGITS
from watchlist.core.tables import once


@dataclass(frozen=True, slots=True)
class Found:
    """One figure of a text with what stands beside it."""

    start: int
    end: int
    number: str
    sign: str
    dash: bool
    scale: Decimal
    """1, or 1000 after `k`, a million after `m` or `Mio.`, a hundredth after `p` or `ct`."""

    @property
    def sure(self) -> bool:
        """Whether its own writing says that it is an amount."""
        return bool(self.sign) or self.dash


@dataclass(frozen=True, slots=True)
class PriceWords:
    """The word table of prices, built."""

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
    no_price: re.Pattern[str]
    """At the end of what stands before a figure: `Lot 45`."""
    aside_before: re.Pattern[str]
    """The same: a price that was, or the post: `was 60`, `+ 4`, `Versand 5`."""
    aside_after: re.Pattern[str]
    """Right behind a figure: `4 shipping`."""
    was: re.Pattern[str]
    """A word for a price that was."""
    former: frozenset[str]
    bids: re.Pattern[str]
    """Behind a price: how many bids it has."""
    bid_for: re.Pattern[str]
    """That a piece is bid for: bids counted anywhere, or words such as `place your bid`."""
    counted: re.Pattern[str]
    """A count and a price: `2 x 50`, `3 for 50`, `4 instalments of 30`."""
    taxed: re.Pattern[str]
    """Beside a price: tax that comes on top of it."""
    no_codes: frozenset[str]
    """Three capitals beside a price that are no code of a currency."""
    minor: Mapping[str, str]
    """Hundredths by name, with their currency where only one has them."""
    label: re.Pattern[str]
    gap: re.Pattern[str]
    """What may stand between a label and its figure: `Price (incl. post): 45`, `Preis pro Stück: 45`."""
    kinds: Mapping[str, str]
    result: re.Pattern[str]
    """A label of a result, in a folded text."""
    another: re.Pattern[str]
    """In the sentence of a result: it is another piece's, or an old one."""
    no_asking: re.Pattern[str]
    """In the sentence of a lone amount: it is no price of this lot."""
    goes_for: re.Pattern[str]
    """At the end of what stands before a lone amount: `for`, `nur`."""
    parted: re.Pattern[str]
    """A figure with a blank beside its decimal mark, `64, 50 EUR`, and with nothing behind that it could belong to."""
    spoken: re.Pattern[str]
    """An amount as it is spoken, `7 pounds 50`, with nothing behind that the hundredths could count."""


@once
def price_words(words: Mapping[str, Any]) -> PriceWords:
    """Build the patterns from the table `money`."""
    signs: dict[str, tuple[tuple[str, ...], bool]] = {plain(k): ((v,), True) for k, v in words["signs"].items()}
    signs |= {plain(k): (tuple(v), True) for k, v in words["shared"].items()}
    signs |= {plain(k): (tuple(v), False) for k, v in words["hinted"].items()}
    minor = {plain(name): currency for name, currency in words["minor"].items()}
    around = words["around"]
    kinds = {folded(label): kind for kind, labels in words["labels"].items() for label in labels}
    sign = rf"(?:{any_of(signs)}|[A-Za-z]{{1,4}}\$|[A-Z]{{3}}(?![A-Za-z]))"
    shipping = [label for label, kind in kinds.items() if kind == "shipping"]
    said = {name: any_of(map(folded, phrases)) for name, phrases in around.items()}
    return PriceWords(
        codes=frozenset(words["codes"].split()) | frozenset(words["old_codes"].split()),
        three_decimals=frozenset(words["three_decimals"].split()),
        signs=signs,
        marks=words["marks"],
        regions=words["regions"],
        figure=re.compile(
            rf"(?<![\w.,/':])(?:(?P<code>[A-Z]{{3}})\s)?(?:(?P<before>{sign})(?:\s?:)?\s?)?"
            rf"(?P<number>{DIGITS})(?![½¼¾⅓⅔⅛]|[eE][+-]?[0-9]|[.,]{{2,}}[0-9])"
            rf"(?P<dash>[.,:]\s?--?(?![0-9]))?(?:(?P<scale>[kKmM]|\s?(?i:{said['million']})\.?)(?!\w))?"
            rf"(?:\s?(?P<minor>{any_of(minor)})(?![\w&])|\s?(?P<after>{sign})(?!\w))?"
        ),
        between=re.compile(rf"\s*(?:{said['range']})\s*"),
        unit=re.compile(rf"\s?(?:{said['not_prices']})(?!\w)"),
        free=re.compile(rf"(?<!\w)(?:{said['free']})(?!\w)"),
        no_price=re.compile(rf"(?<!\w)(?:{said['not_prices_before']})[.:]?\s?$|#\s?$"),
        aside_before=re.compile(
            rf"\+\s?$|(?<!\w)(?:(?:{said['former']})(?:\s(?:{said['price']}))?|{any_of(shipping)})[:.]?\s*$"
        ),
        aside_after=re.compile(rf"\s?(?:{any_of(shipping)}|{said['former_after']})(?!\w)"),
        was=re.compile(rf"(?:{said['former']})(?!\w)"),
        former=frozenset(map(folded, around["former"])),
        bids=re.compile(rf"\s?[,;(|/-]?\s?[1-9][0-9]{{0,3}}\s?(?:{said['bids']})(?!\w)"),
        bid_for=re.compile(
            rf"(?<!\w)(?:[0-9]{{1,3}}\s?(?:{said['bids']})|(?:{said['bids']})\s?[:=]\s?[0-9]|{said['bidding']})(?!\w)"
        ),
        counted=_counted(said),
        taxed=_taxed(said),
        no_codes=frozenset(around["no_codes"]),
        minor=minor,
        label=re.compile(rf"(?<!\w)(?:{any_of(kinds)})(?!\w)"),
        gap=re.compile(
            rf"\s*(?:\([^)\n]{{0,20}}\)\s*)?(?:(?:{said['beside']})"
            rf"\.?\s[^\W\d][\w.&]{{1,11}}\s*(?=[:=]))?(?:\s?(?:{said['fill']})(?!\w)\.?){{0,4}}"
            r"[:=|\s]*(?:(?<=\w)\.)?[:=|\s]*",
            re.IGNORECASE,
        ),
        kinds=kinds,
        result=re.compile(rf"(?<!\w)(?:{any_of(label for label, kind in kinds.items() if kind == 'hammer')})(?!\w)"),
        another=re.compile(rf"(?<!\w)(?:(?:{said['another']})(?!\w)|(?:in|en|im|nel)\s(?:19|20)[0-9]{{2}}(?![0-9]))"),
        no_asking=re.compile(rf"(?<!\w)(?:{said['no_asking']})(?!\w)"),
        goes_for=re.compile(rf"(?<!\w)(?:{said['for']})\s*$"),
        parted=_parted(sign),
        spoken=re.compile(
            rf"(?<![\w.,/-])(?P<whole>[0-9]{{1,6}})\s(?P<unit>{any_of(filter(_is_name, signs))})\s(?P<part>[0-9]{{2}})"
            rf"(?=\s*(?:$|[;)|\n]|[.,!?](?:\s|$)|(?:{said['goes_on']})(?!\w)))"
        ),
    )


def _is_name(sign: str) -> bool:
    """`pounds`, `Euro`: a whole word."""
    return sign.isalpha() and len(sign) > len("Rs.")


def _parted(sign: str) -> re.Pattern[str]:
    """`64, 50 EUR`, `9 ,50`, `GBP 7. 25`: whole, mark and decimals, at the head of a text."""
    whole, between = rf"\s?(?P<head>(?:{sign}\s?:?\s?)?[0-9]{{1,6}})", r"(?: (?P<late>[.,])|(?P<mark>[.,]) )"
    ends = r"\s*(?:$|[;)|\n]|[.,!?](?:\s|$)|[+/-]\s)"
    return re.compile(rf"{whole}{between}(?P<cents>[0-9]{{2}})(?![0-9]|[.,][0-9])(?=\s?{sign}(?!\w)|{ends})")


def _counted(said: Mapping[str, str]) -> re.Pattern[str]:
    """Folded text in which a figure counts what another one prices; one piece is no count."""
    mark = r"(?:[€$£¥]\s?|[a-z]{3}\s)?"
    several = r"(?<![\w.,/'-])(?!1(?![0-9]))[0-9]{1,4}"
    times, parts = said["times"], rf"(?:{said['counted']})(?!\w)\.?(?:\s?(?:{said['each']})(?!\w))?"
    return re.compile(
        rf"{several}\s?(?:(?:{times})\s?|{parts}\s?){mark}[0-9]"
        rf"|(?:[0-9]{{2}}|[2-9])(?:\s?[€$£¥]|\s[a-z]{{3}})?\s?(?:{times})\s?[0-9]"
    )


def _taxed(said: Mapping[str, str]) -> re.Pattern[str]:
    """Folded text that says of a price that tax is still to be added."""
    tax = rf"(?:{said['tax']})(?!\w|[-\s]?(?:{said['tax_shown']}))"
    plus = rf"(?:\+|(?<!\w)(?:{said['without']})(?!\w))[.:]?\s?"
    return re.compile(
        rf"{plus}(?:[0-9.,]+\s?%\s?)?(?:[a-z]{{1,14}}\s)?{tax}"
        rf"|(?<!\w){tax}\.?\s?(?:{said['not_in']})|(?<![a-z'])(?:{said['net']})(?![\w'-])"
    )


def _scale(written: str | None) -> Decimal:
    """What a letter or a word behind a figure makes of it."""
    return Decimal(1) if not written else Decimal(1000) if written in ("k", "K") else Decimal(1_000_000)


def for_the_piece(text: str, found: Sequence[Found], table: PriceWords) -> Sequence[Found]:
    """Of several figures those that are neither a price that was nor the post."""
    if len(found) < 2:
        return found
    small = folded(text)
    own = [
        f
        for f in found
        if not table.aside_before.search(small[: f.start]) and not table.aside_after.match(small, f.end)
    ]
    return own or found


def figures(text: str, table: PriceWords) -> Iterator[Found]:
    """The figures of a plain text that can be amounts, in order."""
    for m in table.figure.finditer(text):
        before = [_sign(m["code"], table), _sign(m["before"], table)]
        sign = _one_of(filter(None, (*before, _sign(m["after"], table))), table)
        scale = _scale(m["scale"])
        if m["minor"]:
            scale, sign = Decimal("0.01"), sign or table.minor[m["minor"]]
        if not sign and _is_no_price(text, m, table):
            continue
        start = m.start("code" if before[0] else "before" if before[1] else "number")
        yield Found(start, m.end(), m["number"], sign, m["dash"] is not None, scale)


def _is_no_price(text: str, m: re.Match[str], table: PriceWords) -> bool:
    """A bare figure with the unit of something else, or the number of a lot."""
    metres = (m["scale"] or "") in ("m", "M")
    unit = table.unit.match(folded(text[m.end() : m.end() + 12])) is not None
    return metres or unit or table.no_price.search(folded(text[max(0, m.start() - 12) : m.start()])) is not None


def _one_of(signs: Iterator[str], table: PriceWords) -> str:
    """The one currency that stands around a figure: a code before a mark that it may share (`CAD $45`)."""
    written = list(dict.fromkeys(signs))
    if len(written) < 2:  # most figures have one
        return "".join(written)
    different = [sign for sign in written if sign in table.codes or "$" in sign or sign in table.signs] or written[:1]
    codes = [sign for sign in different if sign in table.codes]
    marks = [sign for sign in different if sign not in table.codes]
    fits = len(codes) == 1 and all(codes[0] in table.signs[sign][0] for sign in marks if sign in table.signs)
    return codes[0] if fits else "/".join(different)


def _sign(written: str | None, table: PriceWords) -> str:
    """The mark as a known sign or code; capitals that only look like one are kept, folded words are none."""
    if not written or written in table.signs or written in table.codes:
        return written or ""
    if written in table.no_codes or folded(written) in table.kinds or folded(written) in table.former:
        return ""
    return written
