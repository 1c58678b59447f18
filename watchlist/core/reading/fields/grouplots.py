"""Lots of many: rolls, sets, pairs, counts."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass

from watchlist.core.reading.fields.facevalues import ROUND, SIGNS, is_grade_figure
from watchlist.core.reading.scanning.scan import Mark, Scan
from watchlist.core.reading.vocabulary.tokens import FRACTION, NUMBER, WORD, YEARS

KINDS = (
    "multiple.words",
    "multiple.group",
    "multiple.set",
    "multiple.two",
    "multiple.three",
    "multiple.six",
    "multiple.twelve",
)
SAID = (("multiple.two", 2), ("multiple.three", 3), ("multiple.six", 6), ("multiple.twelve", 12))
"""Kinds of words that say themselves how many: `pair`, `trio`, `dozen`."""
MOST = 100_000
MOST_OF_A_UNIT = 5
"""No piece is of more crowns or écus than these, but for round numbers."""
A_FEW = 100
"""A number in brackets under this counts pieces."""
FAR = 1000
"""Only a number under this counts a word that does not stand right behind it."""
NEAR = 3
"""Words between a number and what it counts, at most: `50 old US coins`."""
TIMES = frozenset("x×")


@dataclass(slots=True)
class Many:
    """Whether a lot holds several pieces, and how many."""

    multiple: bool = False
    quantity: int | None = None
    is_set: bool = False
    face: float = 0.0
    """Face value in dollars of a lot sold by it."""


def find_many(scan: Scan) -> Many:
    """Quantity and the words for several pieces."""
    out = Many()
    _counts(scan, out)
    _worded_counts(scan, out)
    _by_face_or_weight(scan, out)
    for mark in scan.kinds(*KINDS):
        if scan.used[mark.start] or scan.negated(mark.start, mark.end) or not _believed(scan, mark):
            continue
        out.multiple = True
        out.is_set |= mark.kind == "multiple.set"
        scan.rest("multiple", mark.start, mark.end, 0.9)
        if out.quantity is None:
            _of(scan, mark.end, out)
    if out.multiple and out.quantity is None:
        out.quantity = next((number for kind, number in SAID if scan.by.get(kind)), None)
    if out.quantity == 1:
        out.multiple, out.quantity = out.is_set, None
    return out


def count_told(scan: Scan) -> int | None:
    """How many pieces a description counts: `Six coins`, `12 Stück`."""
    out = Many()
    _counts(scan, out)
    _worded_counts(scan, out)
    return out.quantity


def _worded_counts(scan: Scan, out: Many) -> None:
    """`four pieces`, `zwei Stück`, `ten coins`."""
    for mark in scan.by.get("number", ()):
        year = mark.start == 0 and scan.tok(mark.end).number in YEARS  # `Two 1964 Kennedy halves`
        behind = mark.end + (year or scan.tok(mark.end).low == "-")  # `two-piece lot`
        count, counted = float(mark.value), scan.has(behind, "multiple.counted") or _coins(scan, behind)
        whole = count >= 2 and count.is_integer() and not scan.has(mark.start, "unit")
        if out.quantity is None and counted and whole and not _are_its_dates(scan, counted):
            out.multiple, out.quantity = True, int(count)


def _by_face_or_weight(scan: Scan, out: Many) -> None:
    """`$10 face`, `5 lbs foreign coins`, `1 kg`."""
    for mark in scan.by.get("multiple.face", ()):
        figure = scan.tok(mark.start - 1)
        if scan.tok(mark.start - 2).low == "$" and figure.low.replace(".", "", 1).isdecimal():
            out.multiple, out.face = True, float(figure.low)
    bulk = scan.lex.sets["bulk"]
    for at, token in enumerate(scan.them if not scan.lows.isdisjoint(bulk) else ()):
        if token.low in bulk and scan.tok(at - 1).kind in (NUMBER, FRACTION):
            dated = token.text.isupper() and scan.tok(at - 1).number in YEARS  # `1935 LB`: a mint master, no pounds
            year = scan.tok(at + 1).number in YEARS or (
                any(other.number in YEARS for other in scan.them) and not scan.by.get("coin")
            )
            out.multiple |= not (dated or (year and scan.has(at, "unit")))  # `5 Pounds 1997`


def _not_its_number(scan: Scan, mark: Mark) -> bool:
    """`Lot 412:` numbers the lot; `lot of 12` is one of several."""
    after = scan.tok(mark.end)
    return after.low not in scan.lex.sets["number_of"] and not (scan.used[mark.end] and after.kind == NUMBER)


def _is_sold(scan: Scan, mark: Mark) -> bool:
    """`Collection of crowns`, `10 coin album`; behind `ex`, or late in a title, a piece only comes from one."""
    before, sets = scan.tok(mark.start - 1).low, scan.lex.sets
    counted = scan.tok(mark.start - 2).kind == NUMBER and scan.tok(mark.start - 3).low not in scan.lex.prefixes
    whole = counted or before in sets["sold_whole"]
    return whole or (mark.start <= 1 and before not in sets["origin"])


def _is_counted(scan: Scan, mark: Mark) -> bool:
    """`5 Münzen`, `zwei Stück`, or the word opens the title; but `Monedas de España` is the heading of a shop."""
    sets, before = scan.lex.sets, mark.start - 1
    heading = scan.tok(mark.end).low in sets["of"] and scan.has(mark.end + 1, "country")
    first = mark.start == 0 and scan.them[0].low in sets["first_word"] and not heading
    worded = scan.has(before, "number") and not scan.has(before, "unit")
    return bool(first or worded or 1 < scan.tok(before).number < YEARS.start)


def _is_no_packing(scan: Scan, mark: Mark) -> bool:
    """`5 Pesetas 1871 estuche`: beside a denomination, late in a title that is not English, what the piece lies in."""
    return mark.start <= 2 or not scan.by.get("unit") or scan.votes["en"] >= 2


def _is_whole_set(scan: Scan, mark: Mark) -> bool:
    """`from the cased set`: one piece taken out of it."""
    near = {scan.tok(mark.start - back).low for back in (1, 2, 3)}
    full = scan.tok(mark.start - 1).low == "full" and not _of_several(scan, mark.end)
    return not full and near.isdisjoint(scan.lex.sets["taken_from"])


def _of_several(scan: Scan, at: int) -> bool:
    """`full roll of 20`."""
    return scan.tok(scan.past(at, scan.lex.sets["of_many"])).number > 1


def _is_no_unit(scan: Scan, mark: Mark) -> bool:
    """`Konv.-Taler` is a coin of the convention, `Konv.` alone a lot of several."""
    behind = mark.end + (scan.tok(mark.end).low == ".")
    return not scan.has(behind + (scan.tok(behind).low == "-"), "unit")


RULES: Mapping[str, Callable[[Scan, Mark], bool]] = {
    "numbered": _not_its_number,
    "collection": _is_sold,
    "behind_number": _is_counted,
    "packing": _is_no_packing,
    "of_a_set": _is_whole_set,
    "not_before_unit": _is_no_unit,
    "too_little": lambda scan, mark: False,
}
"""Words for several pieces that mean them only in some places: the list they stand in, and when they are believed."""


def _believed(scan: Scan, mark: Mark) -> bool:
    """Whether words for several pieces mean them here; the rules are for words that stand alone, and for sets."""
    word, alone = scan.them[mark.start].low, mark.end - mark.start == 1
    return all(
        rule(scan, mark)
        for name, rule in RULES.items()
        if word in scan.lex.sets[name] and (alone or name == "of_a_set")
    )


def _of(scan: Scan, at: int, out: Many) -> None:
    """`lot of 5`, `roll 50`, `bag of 100`, `roll (40)`."""
    at = scan.past(at, scan.lex.sets["of_many"])
    token = scan.tok(at)
    if 1 < token.number < YEARS.start and not scan.used[at] and not _is_value(scan, at):
        out.quantity = token.number
        scan.take(at, at + 1)
    elif (mark := scan.has(at, "number")) and float(mark.value) > 1 and not _is_worded_value(scan, mark):
        out.quantity = int(float(mark.value))
        scan.take(at, mark.end)


def _is_worded_value(scan: Scan, mark: Mark) -> bool:
    """`lot of five francs` may be pieces of five; of `quatre écus` there are four, for no piece is of so many."""
    unit = scan.has(mark.end, "unit")
    return unit is not None and (float(mark.value) in ROUND or not scan.lex.units[unit.value].alone)


def _is_value(scan: Scan, at: int) -> bool:
    """`roll 5 cents`, `lot 10c`, `set 40%`: the number says what a piece is worth and not how many there are."""
    after = scan.tok(at + 1)
    lettered = after.glued and after.kind == WORD and len(after.low) <= 2 and after.low not in TIMES
    tied = after.low == "-" and after.glued  # `collection 5-DM-Gedenkmünzen`
    unit = scan.has(at + 1 + tied, "unit")
    several = unit is not None and unit.value in scan.lex.sets["never_so_many"] and scan.them[at].number not in ROUND
    valued = unit is not None and not (several and scan.them[at].number > MOST_OF_A_UNIT)
    return lettered or after.low in ("/", "½", "¢", "$", "%") or valued


def _counts(scan: Scan, out: Many) -> None:
    """`3x`, `x10`, `(2)`, `12 pcs`, `2 x 5 Mark`, `5 coins`: the first number that counts; a year counts none."""
    for at, token in enumerate(scan.them):
        if token.number <= 1 or token.number in YEARS or token.number >= MOST or scan.used[at]:
            continue
        if scan.tok(at - 1).low in SIGNS or is_grade_figure(scan, at):
            continue
        counted, crossed, led = _counted(scan, at), _is_crossed(scan, at), _is_led(scan, at)
        if counted or ((crossed or led) and token.number < YEARS.start):
            out.multiple, out.quantity = True, token.number
            scan.rest("quantity", at, counted.end if counted else at + 1 + crossed, 0.9)
            scan.take(at - led, at + 1 + (crossed and not counted))
            return


def _is_crossed(scan: Scan, at: int) -> bool:
    """`3x`, `2 x 5 Mark`; but `25x30` is a measure, and `7x6 Stars` a variety of the die."""
    if scan.tok(at + 1).low not in TIMES:
        return False
    figure, stars = scan.tok(at + 2), scan.tok(at + 3).low in scan.lex.sets["stars"]
    return figure.kind != NUMBER or not (figure.glued or stars)


def _is_led(scan: Scan, at: int) -> bool:
    """`x10`, `1853 x3`, `(2)`; but in `2 x 5` the first number counts, not the second."""
    before = scan.tok(at - 1)
    if before.low in TIMES:
        other, last = scan.tok(at - 2), scan.tok(at + 1).low in ("", ",")
        dated = other.number in YEARS and not before.glued
        return (scan.them[at].glued or last or _are_several(scan, at - 2)) and (other.kind != NUMBER or dated)
    return before.low == "(" and scan.tok(at + 1).low == ")" and scan.them[at].number < A_FEW


def _are_several(scan: Scan, at: int) -> bool:
    """`Shillings x 6 George VI`: coins in the plural stand before the sign."""
    return any(mark.end == at + 1 and scan.plural(mark) for mark in scan.kinds("coin", "unit"))


def _counted(scan: Scan, at: int) -> Mark | None:
    """The word that a number counts: `12 pcs`, `5 coins`, `50 old US coins`."""
    number, found = scan.them[at].number, scan.has(at + 1, "multiple.counted")
    if found is None and number < YEARS.start:
        several = scan.by.get("multiple.words")  # beside `lot` or `roll` the singular will do
        found = scan.has(at + 1, "coin") if several else _coins(scan, at + 1)
    if found is None and number < FAR and not scan.has(at + 1, "country"):
        found = _few_words_on(scan, at)
    graded = scan.tok(at - 1).low in scan.lex.prefixes  # `EF 40 nice coin`
    one = found and graded and scan.them[found.end - 1].low in scan.lex.sets["one"]
    return None if one or (found and _are_its_dates(scan, found)) else found


def _are_its_dates(scan: Scan, mark: Mark) -> bool:
    """`three dates visible`: on one piece."""
    sets = scan.lex.sets
    return scan.them[mark.end - 1].low in sets["date_words"] and scan.tok(mark.end).low in sets["date_readable"]


def _coins(scan: Scan, at: int) -> Mark | None:
    """A coin named in the plural."""
    mark = scan.has(at, "coin")
    return mark if mark and scan.plural(mark) else None


def _few_words_on(scan: Scan, at: int) -> Mark | None:
    """`50 old US coins`: the counted word up to three words on, with no unit between."""
    for here in range(at + 1, at + 1 + NEAR):
        if scan.tok(here).kind != WORD or scan.tok(here).low in scan.lex.sets["never_far"]:
            return None
        if found := scan.has(here, "multiple.counted") or _coins(scan, here):
            return found
        if (
            (unit := scan.has(here, "unit"))
            and here > at + 1
            and scan.lex.units[unit.value].alone
            and scan.plural(unit)
        ):
            return unit  # `6 Maria Theresa thalers`
        if any(scan.has(here, kind) for kind in ("unit", "coin", "number")):
            return None
    return None
