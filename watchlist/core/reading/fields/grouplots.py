"""Lots of many: rolls, sets, pairs, counts."""

from __future__ import annotations

from dataclasses import dataclass

from watchlist.core.reading.fields.facevalues import is_grade_figure
from watchlist.core.reading.scanning.scan import Mark, Scan
from watchlist.core.reading.vocabulary.tokens import NUMBER

KINDS = ("multiple.words", "multiple.group", "multiple.set", "multiple.two", "multiple.three", "multiple.twelve")
MOST = 100_000
ONE = frozenset(("coin", "piece"))
"""Words that a number counts only where no grade stands before it."""
PRICED = ("$", "£", "€", "US$")
"""Signs that make a number money and no count."""


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
        if scan.used[mark.start] or scan.negated(mark.start, mark.end) or not _believed(scan, mark.start, mark.end):
            continue
        out.multiple = True
        out.is_set |= mark.kind == "multiple.set"
        scan.rest("multiple", mark.start, mark.end, 0.9)
        if out.quantity is None:
            _of(scan, mark.end, out)
    for name, number in (("multiple.two", 2), ("multiple.three", 3), ("multiple.twelve", 12)):
        if out.multiple and out.quantity is None and scan.by.get(name):
            out.quantity = number
    if out.quantity == 1:
        out.multiple, out.quantity = out.is_set, None
    return out


def _worded_counts(scan: Scan, out: Many) -> None:
    """`four pieces`, `zwei Stück`, `ten coins`; `three` at the end of a lot of several."""
    for mark in scan.by.get("number", ()):
        count = float(mark.value)
        if scan.has(mark.start, "unit"):
            continue
        coin = scan.has(mark.end, "coin")
        counted = scan.has(mark.end, "multiple.counted") or (coin and plural(scan, coin))
        if out.quantity is None and count >= 2 and count == int(count) and counted:
            out.multiple, out.quantity = True, int(count)


def _by_face_or_weight(scan: Scan, out: Many) -> None:
    """`$10 face`, `5 lbs foreign coins`, `1 kg`."""
    for mark in scan.by.get("multiple.face", ()):
        figure = scan.tok(mark.start - 1)
        if figure.kind == NUMBER and scan.tok(mark.start - 2).low == "$" and figure.low.replace(".", "", 1).isdigit():
            out.multiple, out.face = True, float(figure.low)
    for at, token in enumerate(scan.them if not scan.lows.isdisjoint(scan.lex.sets["bulk"]) else ()):
        if token.low in scan.lex.sets["bulk"] and scan.tok(at - 1).kind in (NUMBER, "f") and not _dated(scan, at):
            out.multiple = True


def _dated(scan: Scan, at: int) -> bool:
    """`1935 LB`: letters behind a year are no pounds."""
    return scan.them[at].text.isupper() and 1500 <= scan.tok(at - 1).number <= 2099


def _believed(scan: Scan, start: int, end: int) -> bool:
    sets, one = scan.lex.sets, end - start == 1
    word, before, after = scan.them[start], scan.tok(start - 1), scan.tok(end)
    if word.low == "lot" and one:
        return not (after.low in (":", "#", "no", "nr") or (scan.used[end] and after.kind == NUMBER))
    if word.low in sets["collection"] and one:
        whole = scan.tok(start - 2).kind == NUMBER or before.low in sets["sold_whole"]
        return whole or (start <= 1 and before.low not in sets["origin"])
    if word.low in sets["behind_number"] and one:
        heading = after.low in sets["of"] and scan.has(end + 1, "country") is not None  # `Monedas de España.`
        first = start == 0 and word.low in sets["first_word"] and not heading
        return first or _counted_before(scan, start)
    if word.low in sets["packing"] and one and start > 2 and scan.by.get("unit") and scan.votes["en"] < 2:
        return False
    if word.low in sets["of_a_set"]:
        return before.low != "full" and not any(scan.tok(start - back).low in sets["taken_from"] for back in (1, 2, 3))
    if word.low in sets["not_before_unit"] and one:
        behind = end + (after.low == ".")
        return not scan.has(behind + (scan.tok(behind).low == "-"), "unit")
    return not (one and word.low in sets["too_little"])


def _counted_before(scan: Scan, start: int) -> bool:
    token = scan.tok(start - 1)
    return (token.kind == NUMBER and 1 < token.number < 1500) or (
        scan.has(start - 1, "number") is not None and scan.has(start - 1, "unit") is None
    )


def _of(scan: Scan, at: int, out: Many) -> None:
    """`lot of 5`, `roll 50`, `bag of 100`, `roll (40)`."""
    while scan.tok(at).low in ("of", "de", "von", "van", "di", "(", ":", "à", "mit", "with", "x", "da"):
        at += 1
    token = scan.tok(at)
    if token.kind == NUMBER and 1 < token.number < 1500 and not scan.used[at] and not _is_value(scan, at):
        out.quantity = token.number
        scan.take(at, at + 1)
    elif (mark := scan.has(at, "number")) and float(mark.value) > 1 and not scan.has(mark.end, "unit"):
        out.quantity = int(float(mark.value))


def _is_value(scan: Scan, at: int) -> bool:
    after = scan.tok(at + 1)
    return (
        scan.has(at + 1, "unit") is not None
        or after.low in ("/", "½", "¢", "$")
        or after.low == "%"
        or (after.glued and after.kind == "w" and len(after.low) < 3 and after.low != "x")
    )


def _counts(scan: Scan, out: Many) -> None:
    """`3x`, `x10`, `(2)`, `12 pcs`, `2 x 5 Mark`, `5 coins`."""
    for at, token in enumerate(scan.them):
        if token.kind != NUMBER or not 1 < token.number < MOST or scan.used[at] or scan.tok(at - 1).text in PRICED:
            continue
        if is_grade_figure(scan, at):
            continue
        before, after = scan.tok(at - 1), scan.tok(at + 1)
        crossed = after.low in ("x", "×") and (after.glued or not scan.has(at + 1, "x")) and not _stars(scan, at)
        if crossed and scan.tok(at + 2).kind == NUMBER and scan.tok(at + 2).glued:
            continue
        times = (
            before.low in ("x", "×")
            and (token.glued or scan.tok(at + 1).low in ("", ","))
            and (scan.tok(at - 2).kind != NUMBER or _is_date(scan, at - 2))
        )
        bracketed = before.low == "(" and after.low == ")" and token.number < 100 and at > -1 and _count_place(scan, at)
        counted = scan.has(at + 1, "multiple.counted")
        if (
            counted is None
            and token.number < 1500
            and (named := scan.has(at + 1, "coin"))
            and (scan.by.get("multiple.words") or plural(scan, named))
        ):
            counted = named
        if counted is None and scan.has(at + 1, "country") is None and after.kind == "w":
            counted = _few_words_on(scan, at)
        if counted and scan.them[counted.end - 1].low in ONE and scan.tok(at - 1).low in scan.lex.prefixes:
            continue  # `EF 40 nice coin`
        if counted and 1500 <= token.number <= 2099:
            continue
        if (
            counted
            and counted.lang
            and scan.them[counted.start].low in ("ex", "st")
            and after.low != scan.them[counted.start].low
        ):
            continue
        if not (crossed or times or bracketed or counted):
            continue
        if token.number < 1500 or counted:
            out.multiple, out.quantity = True, token.number
            end = counted.end if counted else at + 1 + crossed
            scan.rest("quantity", at, end, 0.9)
            scan.take(at - (times or bracketed), end if not counted else at + 1)
            return


def plural(scan: Scan, mark: Mark) -> bool:
    """Whether a coin is named in the plural: its last word has an `s` that its singular, known too, has not."""
    word = scan.them[mark.end - 1].low
    return len(word) > 4 and word[-1] == "s" and word[-2] != "s" and word[:-1] in scan.lex.phrases.root


def _few_words_on(scan: Scan, at: int) -> Mark | None:
    """`50 old US coins`: the counted word up to three words on, with no unit between."""
    for here in range(at + 1, at + 4):
        if mark := scan.has(here, "multiple.counted"):
            return mark if scan.them[at].number < 1000 else None
        if (mark := scan.has(here, "coin")) and plural(scan, mark):
            return mark if scan.them[at].number < 1000 else None
        if scan.tok(here).kind != "w" or any(scan.has(here, kind) for kind in ("unit", "coin", "number")):
            return None
    return None


def _is_date(scan: Scan, at: int) -> bool:
    """`1853 x3`: behind a date it counts, in `2 x 5` it does not."""
    return len(scan.them[at].low) == 4 and 1500 <= scan.them[at].number <= 2099 and not scan.them[at + 1].glued


def _count_place(scan: Scan, at: int) -> bool:
    return at <= 2 or scan.tok(at + 2).low == "" or True


def _stars(scan: Scan, at: int) -> bool:
    """`7x6 Stars` is a die variety."""
    return scan.tok(at + 2).kind == NUMBER and scan.tok(at + 3).low in ("stars", "star")
