"""Denominations of a title: a number and a unit, a unit alone, a coin with a name."""

from __future__ import annotations

import re
from dataclasses import dataclass

from watchlist.core.reading.scanning.askingprices import is_behind
from watchlist.core.reading.scanning.scan import Mark, Scan
from watchlist.core.reading.vocabulary.lexicon import Unit
from watchlist.core.reading.vocabulary.tokens import FRACTION, FRACTIONS, NUMBER, SIGN, YEARS

DRAWN = {"dollar": "US", "pound": "GB", "euro": "EU"}
"""Units whose sign stands before the number, and the country whose own pieces are so written."""
SIGNS = frozenset("$£€")
COUNTED = frozenset(("lira", "franc", "peseta", "centesimo", "soldo", "grana", "scudo", "mark", "gulden", "real"))
"""Units that old lists write before their number: `Lire 20`."""
ROUND = frozenset((1, 2, 2.5, 5, 10, 20, 25, 40, 50, 80, 100, 200, 500, 1000))
FRANCS, CENTS = frozenset((1, 2, 5, 10, 20, 50, 100)), frozenset((1, 2, 3, 5, 10, 20, 25, 50))
"""Values that pieces marked `F` and `c` have."""
AMOUNT = re.compile(r"([0-9]+)(?:[.,]([0-9]+))?")
MOST = 9
"""Figures of an amount, at most."""
SHILLINGS = frozenset((1, 2, 5, 10))
STANDS = 0.7
"""Score from which a value beside an amount in money makes that amount the price."""
ASKED = 0.5
"""Score of an amount that is asked."""


@dataclass(slots=True)
class Value:
    """One denomination found in a title."""

    number: float | None
    unit: str
    """Name of the unit, or empty for a coin with a name."""
    coin: str
    """Canonical value of a named coin."""
    country: str
    start: int
    end: int
    score: float
    short: bool = False
    """Written with one letter: `10c`, `1d`."""


def find_values(scan: Scan) -> list[Value]:
    """Every denomination of a title, in order. Nothing is taken yet."""
    out = [*_marked(scan), *_slashed(scan)]
    if "$" in scan.lows:
        out = _cifrao(scan) or out
    if scan.quiet:  # in a description an amount with a sign is mostly a price
        out = [value for value in out if value.number in ROUND or not _has_sign(scan, value)]
    return _prices_last([value for value in out if not _no_value(scan, value)], scan)


def _marked(scan: Scan) -> list[Value]:
    """Those of the units and named coins of the title; of two on the same words the second only if it is surer."""
    out: list[Value] = []
    for mark in scan.kinds("unit", "coin"):
        if not scan.free(mark.start, mark.end):
            continue
        found = _coin(scan, mark) if mark.kind == "coin" else _unit(scan, scan.lex.units[mark.value], mark)
        if found and not any(v.start == found.start and v.end == found.end and v.score >= found.score for v in out):
            out.append(found)
    return out


def _prices_last(values: list[Value], scan: Scan) -> list[Value]:
    """Beside a value of another unit an amount in euros, or one with a sign, may be what is asked."""
    if len(values) < 2:
        return values
    plain = [v for v in values if v.score >= STANDS and v.unit != "euro" and not _has_sign(scan, v)]
    for value in values:
        asked = value.number is not None and (value.unit == "euro" or _has_sign(scan, value))
        if asked and any(v.unit != value.unit and v.country != DRAWN[value.unit] for v in plain):
            value.score = ASKED
    return values


def _has_sign(scan: Scan, value: Value) -> bool:
    return any(token.low in SIGNS for token in scan.them[value.start : value.end])


def _coin(scan: Scan, mark: Mark) -> Value:
    """A coin with a name: `morgan dollar`, `thaler`; a weak one, or `peace` alone, may be another word."""
    coin, country, *weak = mark.value.split("|")
    several = mark.end - mark.start > 1
    shy = coin == "dollar" and not several and scan.tok(mark.start).low in scan.lex.sets["shy_dollar"]
    typed = weak == ["type"]  # of the catalogue: a unit that is written out says more
    score = 0.69 if typed else 0.7 if shy else 0.45 if weak else 0.9 if several else 0.8
    return Value(None, "", coin, country, mark.start, mark.end, score)


def _of(unit: Unit, number: float | None, start: int, end: int, score: float) -> Value:
    return Value(number, unit.name, "", unit.country, start, end, score)


def _unit(scan: Scan, unit: Unit, mark: Mark) -> Value | None:
    """A number and a unit, or the unit alone; letters and signs are units only beside a number."""
    word, after, sign = scan.them[mark.start], scan.tok(mark.end), scan.them[mark.start].kind == SIGN
    letter = not sign and (len(word.low) <= 2 or word.low == "cts")
    if letter and not word.glued and after.kind == NUMBER and after.glued:
        return None  # `C1`, `F12`
    if unit.name in DRAWN and sign:
        return _signed(scan, unit, mark.start, mark.end)
    number, begin = _number_before(scan, mark.start)
    if number is None:
        return None if letter or sign else _before_number(scan, unit, mark) or _bare(scan, unit, mark)
    if letter and not _letter_unit(scan, mark.start):
        return None
    value = _of(unit, number, begin, mark.end, 0.95)
    value.short = letter or word.text in "¢$€£"
    return value


def _before_number(scan: Scan, unit: Unit, mark: Mark) -> Value | None:
    """`Lire 20`, `Francs 5`."""
    if unit.name not in COUNTED or scan.them[mark.start].low not in (unit.many, unit.name):
        return None
    number, end = _number_from(scan, mark.end)
    return _of(unit, number, mark.start, end, 0.85) if number in ROUND and not is_grade_figure(scan, mark.end) else None


def _bare(scan: Scan, unit: Unit, mark: Mark) -> Value | None:
    """`Taler`, `Doppeltaler`, `Sol 1793`: a unit without a number before it."""
    word = scan.them[mark.start].low
    if (unit.shy and not _before_year(scan, mark.end)) or word in scan.lex.sets["only_counted"]:
        return None
    if mark.end - mark.start == 1 and (times := _compound_number(scan, unit, word)):
        return _of(unit, times, mark.start, mark.end, 0.8)
    return _of(unit, None, mark.start, mark.end, 0.75 if unit.alone else 0.7)


def _compound_number(scan: Scan, unit: Unit, word: str) -> float | None:
    """`Doppeltaler`, `Halbgulden`, `driegulden`: the number is part of the word; `Dreikönigstaler` has none."""
    for prefix, number in scan.lex.compound.items():
        at = word.find(prefix)  # `Geschichtsdoppeltaler`
        node = scan.lex.phrases.root.get(word[at + len(prefix) :]) if at >= 0 else None
        if node and any(sense.kind == "unit" and sense.value == unit.name for sense in node.found):
            return number
    return None


def _before_year(scan: Scan, at: int) -> bool:
    """`Sol 1793`, `Real 1850`: a year follows a unit that is otherwise only believed behind a number."""
    return scan.tok(at).number in YEARS


def _letter_unit(scan: Scan, at: int) -> bool:
    """`10c`, `6d`, `20 F`, `2 kr`: one letter is a unit only close behind its number, and never behind a year."""
    word, number = scan.them[at], scan.them[at - 1].number
    if len(word.low) > 1 or number >= YEARS[0]:
        return len(word.low) > 1
    if word.low == "f":
        return word.text == "F" and ((word.glued and number in FRANCS) or scan.votes["fr"] > 0)
    if word.low in ("d", "p"):
        return word.glued and word.text == word.low
    return word.glued or (word.low == "c" and number in CENTS)


def _signed(scan: Scan, unit: Unit, start: int, end: int) -> Value | None:
    """`$1`, `$2.50`, `$2 1/2`, `£5`; and `5 €` behind its number."""
    if not is_behind(scan, start, end):
        number, stop = _number_from(scan, end)
        if number is not None:
            return _of(unit, number, start, stop, 0.93)
    number, begin = _number_before(scan, start)
    return None if number is None else _of(unit, number, begin, end, 0.9)


def _number_from(scan: Scan, at: int) -> tuple[float | None, int]:
    token = scan.tok(at)
    if token.kind == FRACTION:
        return FRACTIONS[token.low], at + 1
    if token.kind != NUMBER or scan.used[at]:
        return None, at
    value, end = _amount(token.low), at + 1
    if value is None:
        return None, at
    if scan.tok(end).kind == FRACTION:
        return value + FRACTIONS[scan.tok(end).low], end + 1
    if scan.tok(end).low in ("1", "3") and scan.tok(end + 1).low == "/" and scan.tok(end + 2).number in (2, 4):
        return value + scan.tok(end).number / scan.tok(end + 2).number, end + 3
    return value, end


def _amount(text: str) -> float | None:
    """`2.50`, `2,5`, `1.000`: a mark before exactly three figures groups."""
    found = AMOUNT.fullmatch(text)
    if not found or (found[2] is None and len(text) > MOST):
        return None
    whole, part = found.groups(default="")
    return float(whole + part) if len(part) == 3 and whole != "0" else float(f"{whole}.{part}")


def _number_before(scan: Scan, at: int) -> tuple[float | None, int]:
    """The number in front of a unit: `2 1/2`, `2½`, `1/3`, `five`, `zwei`, `2.50`, `1.000`."""
    here = at - 1
    if scan.tok(here).low in ("-", "."):
        here -= 1
    if scan.tok(here).low in scan.lex.sets["of"] and scan.tok(here - 2).low == "/":
        here -= 1  # `1/4 de real`
    token = scan.tok(here)
    if here < 0 or scan.used[here]:
        return None, at
    if token.kind == FRACTION:
        whole = scan.tok(here - 1).number
        mixed = 0 <= whole < 100 and not scan.used[here - 1]
        return FRACTIONS[token.low] + (whole if mixed else 0), here - mixed
    return _figures_before(scan, here) if token.kind == NUMBER else _word_before(scan, here, at)


def _word_before(scan: Scan, here: int, at: int) -> tuple[float | None, int]:
    part_of = scan.tok(here).low in scan.lex.sets["of"]
    here -= part_of  # `mezzo di`, `quart de`: only a fraction is part of a unit
    for start in range(max(here - 4, 0), here + 1):
        mark = scan.has(start, "number")
        if mark and mark.end == here + 1 and (not part_of or float(mark.value) < 1):
            return float(mark.value), start
    return None, at


def is_grade_figure(scan: Scan, here: int) -> bool:
    """`MS65 gulden`, `VF-20 tor`: the number is the grade's; `VF 20 francs` is a value."""
    token, sign = scan.them[here], scan.tok(here - 1)
    tied = sign.low == "-" and sign.glued
    word = scan.tok(here - 2) if tied else sign
    if word.low not in scan.lex.prefixes or not 1 <= token.number <= 70:
        return False
    if len(word.low) == 1:
        return token.glued and not word.glued
    return token.glued or word.low in scan.lex.sets["apart_prefix"]


def _figures_before(scan: Scan, here: int) -> tuple[float | None, int]:
    """`5`, `2.50`, `1.000`, `1/3`, `2 1/2`; a grade's number and a year that is no round number are none."""
    if is_grade_figure(scan, here):
        return None, here + 1
    if scan.tok(here - 1).low == "/" and (fraction := _fraction_before(scan, here)):
        return fraction
    token = scan.them[here]
    amount = None if token.number in YEARS and token.number % 100 else _amount(token.low)
    return amount, here + (amount is None)


def _fraction_before(scan: Scan, here: int) -> tuple[float, int] | None:
    """`1/3`, or with whole ones before it `2 1/2`."""
    over, under, whole = scan.tok(here - 2), scan.them[here].number, scan.tok(here - 3).number
    if not (0 < over.number < 10 and 1 < under <= 96) or scan.used[here - 2] or is_grade_figure(scan, here - 2):
        return None
    mixed = 0 < whole < 20 and not over.glued and over.number < under and not scan.used[here - 3]
    return over.number / under + (whole if mixed else 0), here - 2 - mixed


def _slashed(scan: Scan) -> list[Value]:
    """`5/-`: shillings without pence."""
    if "/" not in scan.lows:
        return []
    return [
        Value(one.number, "shilling", "", "GB", at, at + 3, 0.8)
        for at, (one, sign, two) in enumerate(zip(scan.them, scan.them[1:], scan.them[2:], strict=False))
        if sign.low == "/" and sign.glued and two.low == "-" and two.glued and one.number in SHILLINGS
        if not one.glued and not scan.used[at]
    ]


def _cifrao(scan: Scan) -> list[Value]:
    """Portuguese `20$00` is 20 escudos, `2$000` 2000 reis."""
    for at in range(1, len(scan.them) - 1):
        whole, sign, part = scan.them[at - 1 : at + 2]
        tied = sign.low == "$" and sign.glued and part.glued and whole.number >= 0 and part.kind == NUMBER
        if tied and len(part.low) in (2, 3) and scan.free(at - 1, at + 2):
            if len(part.low) == 3:
                return [Value(whole.number * 1000 + part.number, "reis", "", "", at - 1, at + 2, 0.95)]
            return [Value(whole.number + part.number / 100, "escudo", "", "PT", at - 1, at + 2, 0.95)]
    return []


def _no_value(scan: Scan, value: Value) -> bool:
    """`1c size`, `10c planchet`, `$10 face`, `mint mark`: no value of this piece."""
    sets, before = scan.lex.sets, scan.tok(value.start - 1).low
    if before in sets["before_price"] and before not in sets["behind_price"] and before not in sets["maybe_price"]:
        return value.number is not None and not scan.used[value.start - 1]
    return scan.tok(value.end).low in sets["not_value"] or before in sets["no_value_behind"]
