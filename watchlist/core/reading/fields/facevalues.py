"""Denominations of a title: a number and a unit, a unit alone, a coin with a name."""

from __future__ import annotations

from dataclasses import dataclass

from watchlist.core.reading.scanning.askingprices import is_behind
from watchlist.core.reading.scanning.scan import Scan
from watchlist.core.reading.vocabulary.lexicon import Unit
from watchlist.core.reading.vocabulary.tokens import FRACTION, FRACTIONS, NUMBER, SIGN

DRAWN = {"dollar": "US", "pound": "GB", "euro": "EU"}
"""Units whose sign stands before the number, and the country whose own pieces are so written."""


COMPOUND = {
    "halb": 0.5, "half": 0.5, "halve": 0.5, "viertel": 0.25, "kwart": 0.25, "drittel": 1 / 3, "sechstel": 1 / 6,
    "achtel": 0.125, "dubbel": 2.0, "dubbele": 2.0, "zwei": 2.0, "twee": 2.0, "drei": 3.0, "drie": 3.0,
}  # fmt: skip
"""Numbers that German and Dutch write in one word with the unit."""
COUNTED = frozenset(("lira", "franc", "peseta"))
"""Units that old lists write before their number: `Lire 20`."""
ROUND = frozenset((1, 2, 2.5, 5, 10, 20, 25, 40, 50, 80, 100, 200, 500, 1000))


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
    out: list[Value] = []
    for mark in scan.kinds("unit", "coin"):
        if scan.used[mark.start] or any(scan.used[mark.start : mark.end]):
            continue
        found = _coin(scan, mark.value, mark.start, mark.end) if mark.kind == "coin" else None
        if mark.kind == "unit":
            found = _unit(scan, scan.lex.units[mark.value], mark.start, mark.end)
        if found and not any(v.start == found.start and v.end == found.end and v.score >= found.score for v in out):
            out.append(found)
    out += _slashed(scan)
    if "$" in scan.lows:
        out = _cifrao(scan) or out
    return _prices_last([value for value in out if not _no_value(scan, value)], scan)


def _prices_last(values: list[Value], scan: Scan) -> list[Value]:
    """Beside a value of another unit an amount in euros, or one with a sign, may be what is asked."""
    signed = [any(t.kind == SIGN and t.low in "$£€" for t in scan.them[v.start : v.end]) for v in values]
    plain = [v for v, sign in zip(values, signed, strict=True) if not sign and v.score >= 0.7 and v.unit != "euro"]
    for value, sign in zip(values, signed, strict=True):
        if value.number is None or not (sign or value.unit == "euro"):
            continue
        if any(v.unit != value.unit and v.country != DRAWN[value.unit] for v in plain):
            value.score = 0.5
    return values


def _coin(scan: Scan, value: str, start: int, end: int) -> Value:
    coin, country, *weak = value.split("|")
    score = 0.45 if weak else 0.9 if end - start > 1 else 0.8
    if coin == "dollar" and scan.tok(start).low == "peace" and end - start == 1:
        score = 0.7
    return Value(None, "", coin, country, start, end, score)


def _unit(scan: Scan, unit: Unit, start: int, end: int) -> Value | None:
    word = scan.them[start]
    letter = word.kind != SIGN and (len(word.low) <= 2 or word.low == "cts")
    if letter and not word.glued and scan.tok(end).kind == NUMBER and scan.tok(end).glued:
        return None
    if unit.name in DRAWN and word.kind == SIGN:
        return _signed(scan, unit, start, end)
    number, begin = _number_before(scan, start)
    if number is None and unit.name in COUNTED and word.low in (unit.many, unit.name):
        number, stop = _number_from(scan, end)
        if number in ROUND and not is_grade_figure(scan, end):
            return Value(number, unit.name, "", unit.country, start, stop, 0.85)
        number = None
    if number is None:
        if letter or word.kind == SIGN or (unit.shy and not _before_year(scan, end)):
            return None
        if word.low in scan.lex.sets["only_counted"]:
            return None
        if (times := _compound_number(scan, unit, word.low)) and end - start == 1:
            return Value(times, unit.name, "", unit.country, start, end, 0.8)
        return Value(None, unit.name, "", unit.country, start, end, 0.75 if unit.alone else 0.7)
    if letter and not _letter_unit(scan, unit, start):
        return None
    return Value(number, unit.name, "", unit.country, begin, end, 0.95, short=letter or word.text in "¢$€£")


def _compound_number(scan: Scan, unit: Unit, word: str) -> float | None:
    """`Doppeltaler`, `Halbgulden`, `driegulden`: the number is part of the word; `Dreikönigstaler` has none."""
    if word.startswith("doppel"):
        return 2
    for prefix, number in COMPOUND.items():
        node = scan.lex.phrases.root.get(word[len(prefix) :]) if word.startswith(prefix) else None
        if node and any(sense.kind == "unit" and sense.value == unit.name for sense in node.found):
            return number
    return None


def _before_year(scan: Scan, at: int) -> bool:
    """`Sol 1793`, `Real 1850`: a year follows a unit that is otherwise only believed behind a number."""
    token = scan.tok(at)
    return len(token.low) == 4 and 1500 <= token.number <= 2099


def _letter_unit(scan: Scan, unit: Unit, start: int) -> bool:
    """`10c`, `6d`, `20 F`, `2 kr`: one letter is a unit only close behind its number."""
    word, before = scan.them[start], scan.them[start - 1]
    if len(word.low) > 1:
        return True
    if before.kind == NUMBER and before.number >= 1500:
        return False
    if word.low == "f":
        return (word.glued and word.text == "F" and before.number in (1, 2, 5, 10, 20, 50, 100)) or (
            word.text == "F" and scan.votes["fr"] > 0
        )
    if word.low == "d":
        return word.glued and word.text == "d"
    if word.low == "p":
        return word.glued and word.text == "p"
    return word.glued or (word.low == "c" and before.number in (1, 2, 3, 5, 10, 20, 25, 50))


def _signed(scan: Scan, unit: Unit, start: int, end: int) -> Value | None:
    """`$1`, `$2.50`, `$2 1/2`, `£5`; and `5 €` behind its number."""
    number, stop = (None, end) if is_behind(scan, start, end) else _number_from(scan, end)
    if number is None:
        number, begin = _number_before(scan, start)
        if number is None:
            return None
        return Value(number, unit.name, "", unit.country, begin, end, 0.9)
    return Value(number, unit.name, "", unit.country, start, stop, 0.93)


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
    for mark in ",.":
        whole, found, part = text.partition(mark)
        if found:
            if not part.isdigit() or not whole.isdigit():
                return None
            return float(whole + part) if len(part) == 3 and whole != "0" else float(f"{whole}.{part}")
    return float(text) if text.isdigit() and len(text) <= 9 else None


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
        value, begin = FRACTIONS[token.low], here
        before = scan.tok(here - 1)
        if before.kind == NUMBER and 0 <= before.number < 100 and not scan.used[here - 1]:
            return before.number + value, here - 1
        return value, begin
    if token.kind == NUMBER:
        return _figures_before(scan, here)
    return _word_before(scan, here, at)


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
    return token.glued or word.low in ("ms", "pr", "pf", "prf")


def _figures_before(scan: Scan, here: int) -> tuple[float | None, int]:
    if is_grade_figure(scan, here):
        return None, here + 1
    token, slash, over = scan.them[here], scan.tok(here - 1), scan.tok(here - 2)
    if (
        slash.low == "/"
        and over.kind == NUMBER
        and 0 < over.number < 10
        and 1 < token.number <= 96
        and not scan.used[here - 2]
        and not is_grade_figure(scan, here - 2)
    ):
        value = over.number / token.number
        whole = scan.tok(here - 3)
        if (
            whole.kind == NUMBER
            and 0 < whole.number < 20
            and not over.glued
            and over.number < token.number
            and not scan.used[here - 3]
        ):
            return whole.number + value, here - 3
        return value, here - 2
    amount = _amount(token.low)
    if amount is None or (len(token.low) == 4 and 1500 <= token.number <= 2099 and token.number % 100):
        return None, here + 1
    return amount, here


def _slashed(scan: Scan) -> list[Value]:
    """`5/-`, `2/6`: shillings and pence."""
    out = []
    for at in range(len(scan.them) - 2 if "/" in scan.lows else 0):
        one, sign, two = scan.them[at : at + 3]
        tied = sign.low == "/" and sign.glued and two.low == "-" and two.glued and not one.glued
        if tied and one.number in (1, 2, 5, 10) and not scan.used[at]:
            out.append(Value(one.number, "shilling", "", "GB", at, at + 3, 0.8))
    return out


def _cifrao(scan: Scan) -> list[Value]:
    """Portuguese `20$00` is 20 escudos, `2$000` 2000 reis."""
    for at in range(1, len(scan.them) - 1):
        whole, sign, part = scan.them[at - 1 : at + 2]
        tied = sign.low == "$" and sign.glued and part.glued and whole.number >= 0 and part.kind == NUMBER
        if tied and len(part.low) in (2, 3) and scan.free(at - 1, at + 2):
            long = len(part.low) == 3
            number = whole.number * 1000 + part.number if long else whole.number + part.number / 100
            return [Value(number, "reis" if long else "escudo", "", "" if long else "PT", at - 1, at + 2, 0.95)]
    return []


def _no_value(scan: Scan, value: Value) -> bool:
    """`1c size`, `10c planchet`, `$10 face`, `mint mark`: no value of this piece."""
    sets, before = scan.lex.sets, scan.tok(value.start - 1).low
    if before in sets["before_price"] and before not in sets["behind_price"] and before not in ("+", "from"):
        return value.number is not None and not scan.used[value.start - 1]
    words = sets["not_value"]
    return scan.tok(value.end).low in words or (scan.tok(value.start - 1).low in ("worth", "bid", "over", "size"))
