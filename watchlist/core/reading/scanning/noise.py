"""Numbers that are no year, value or grade: lot numbers, book references, weights, counts of others."""

from __future__ import annotations

import re

from watchlist.core.reading.scanning.askingprices import claim_prices
from watchlist.core.reading.scanning.scan import BREAKS, Mark, Scan
from watchlist.core.reading.vocabulary.tokens import NUMBER, WORD, YEARS, Token

FIRST = YEARS[0]

OVERSTRUCK = "overstruck"
LOT_MOST = 5
"""Figures of a lot number, at most."""
LOT_BARE = 100
"""Least number that is a lot's where only the word before it says so: a smaller one may be a count."""
SMALL = range(100)
"""Numbers of entries that may as well be a value or a count."""
THOUSANDTHS = frozenset((999, 9999, 900, 925, 800, 835, 500, 625, 720, 750, 916, 917, 958))
FINENESS = re.compile(r"[01][.,]\d{3}|999|9999|925|900|835|720")
CARATS = frozenset((9, 14, 15, 18, 21, 22, 24))


def claim_noise(scan: Scan) -> None:
    """Take all numbers that are something else."""
    _edge_words(scan)
    _references(scan)
    _hosts(scan)
    claim_prices(scan)
    for at, token in enumerate(scan.them):
        if token.kind == NUMBER and not scan.used[at]:
            _number(scan, at)


def claim_stops(scan: Scan) -> None:
    """`will trade for 1923-S`: the rest is about another piece; in a description the sentence is."""
    for mark in scan.by.get("stop.words", ()):
        if scan.quiet:
            scan.take(mark.start, _sentence_end(scan, mark.end))
        elif mark.start > 2:
            scan.take(mark.start, len(scan.them))
            return
    others = scan.lex.sets["other_one"] if scan.quiet else frozenset[str]()
    for mark in scan.kinds("unit", "coin") if not scan.lows.isdisjoint(others) else ():
        if scan.tok(mark.start - 1).low in others:  # `the other cent, with the spots, is not part of this sale`
            scan.take(mark.start - 1, _sentence_end(scan, mark.end))


def _sentence_end(scan: Scan, at: int) -> int:
    """The end of a sentence of a description."""
    while at < len(scan.them) and not (scan.them[at].low in ".!?;" and not scan.tok(at + 1).glued):
        at += 1
    return at


def _number(scan: Scan, at: int) -> None:
    token, before, after, sets = scan.them[at], scan.tok(at - 1), scan.tok(at + 1), scan.lex.sets
    if after.low in ("%", "‰", "°") and after.glued:
        scan.take(at, at + 2)
    elif before.low == "." and token.glued and token.number in THOUSANDTHS:
        scan.take(at - 1, at + 1)
    elif after.low in sets["measure"] and _is_measure(scan, at):
        scan.take(at, at + 2)
    elif (scan.tok(at - 2) if before.low in (".", ":", "=") else before).low in sets["weight"]:
        scan.take(at, at + 1)
    elif before.low in sets["scores"] or (before.low == "." and scan.tok(at - 2).low in sets["page"]):
        _score(scan, at)
    elif after.low == "/" and after.glued and scan.tok(at + 2).kind == NUMBER:
        _out_of(scan, at)
    elif FINENESS.fullmatch(token.low) and (after.low in sets["fineness"] or token.low[0] == "0"):
        scan.take(at, at + 1)


def _is_measure(scan: Scan, at: int) -> bool:
    """`26.7 g`, `1 oz`, `38 mm`; but `F 15 g` is none, and `G` as a mint letter or grade is written large."""
    number, unit = scan.them[at].number, scan.them[at + 1]
    if number >= FIRST and unit.low == "mm":
        return False  # `1575 mm eglantine`: the mint mark; nothing is struck a metre and a half wide
    letter, large = unit.low in ("g", "h", "k"), unit.text.isupper()
    if letter and large and not unit.glued:
        return False
    if number >= FIRST and (letter or large):
        return False  # `1935 LB`, `1832 KG`: letters behind a year
    if number >= FIRST and unit.low == "gr" and not unit.glued and not scan.by.get("kind.bar"):
        return False  # `1891 gr. Jahreszahl`: no coin weighs that much
    return unit.low == "gr" or not scan.has(at + 1, "unit") or (unit.low == "ct" and number in CARATS)


def _score(scan: Scan, at: int) -> None:
    """`pop 45/8`, `p. 144`."""
    before, pages = scan.tok(at - 1), scan.lex.sets["page"]
    if before.low == "lot" or (before.glued and scan.tok(at - 2).kind == NUMBER):
        return
    end = at + 3 if scan.tok(at + 1).low == "/" and scan.tok(at + 2).kind == NUMBER else at + 1
    if scan.them[at].number < FIRST or not pages.isdisjoint((before.low, scan.tok(at - 2).low)):
        scan.take(at, end)


def _out_of(scan: Scan, at: int) -> None:
    """`3/0 finer`: a score before its word; `4/5 3/5`: two scores out of five."""
    if scan.tok(at + 3).low in scan.lex.sets["scores"]:
        scan.take(at, at + 3)
    fives = [scan.tok(at + step).low for step in (1, 2, 4, 5)] == ["/", "5", "/", "5"]
    if fives and 1 <= scan.them[at].number <= 5 and 1 <= scan.tok(at + 3).number <= 5:
        scan.take(at, at + 6)


def _edge_words(scan: Scan) -> None:
    """`SEXTO`, `V. OCTAVO`, `UN DECIMO`: the regnal year on the edge of a crown, no mint mark and no value."""
    if not any(mark.value in ("crown", "half crown|GB") for mark in scan.kinds("unit", "coin")):
        return
    words, small = scan.lex.sets["edge_ordinals"], scan.lex.sets["edge_small"]
    for at, token in enumerate(scan.them):
        if token.low in words and not scan.used[at]:
            one, letter = scan.tok(at - 1).low, scan.tok(at - 2).text
            start = at - 1 if one in small else at - 2 if one == "." and letter in ("V", "T") else at
            end = scan.past(at, words)
            scan.by["edge"].append(Mark(start, end, "edge", scan.words(start, end), ""))
            scan.take(start, end)


def _hosts(scan: Scan) -> None:
    """`overstruck on Spanish 8 reales`: the piece that was struck over."""
    for mark in scan.by.get("variety", ()):
        if mark.value == OVERSTRUCK:
            end = mark.end
            while end < len(scan.them) and scan.them[end].low not in BREAKS:
                end += 1
            scan.take(mark.end, end)


def _references(scan: Scan) -> None:
    """`KM 123`, `Jaeger 45`, `VAM-34`, `R2`."""
    for mark in scan.by.get("ref.words", ()):
        at = scan.past(mark.end, scan.lex.sets["number_signs"])
        if scan.tok(at).kind == NUMBER and not scan.used[mark.start] and _is_book(scan, mark, at):
            scan.take(mark.start, _end_of_number(scan, at))
    for at, sign in enumerate(scan.them[:-1] if "-" in scan.lows else ()):
        if sign.low == "-" and _is_code(scan, at):
            scan.take(at - 1, at + 2)
    for mark in scan.by.get("ref.rarity", ()):
        if scan.tok(mark.end).glued and 0 < scan.tok(mark.end).number <= 10 and scan.them[mark.start].text == "R":
            scan.take(mark.start, mark.end + 1)


def _is_book(scan: Scan, mark: Mark, at: int) -> bool:
    """Whether a word is the book that the number at a token is from.

    Letters that may be a mint mark name one only in capitals, with a sign before a number that is no year: `J. 45`."""
    word, figure = scan.them[mark.start], scan.them[at]
    dated = figure.number >= FIRST and len(figure.low) == 4
    if mark.end - mark.start > 1 or len(word.low) > 2:
        return not dated or len(word.low) > 3
    tied = word.glued and scan.tok(mark.start - 1).low[-1:] in "-0123456789"  # a mint mark tied to its year
    return not dated and not tied and word.text.isupper() and at > mark.end and scan.them[at - 1].low in ".#"


def _end_of_number(scan: Scan, at: int) -> int:
    """Behind a number in a book: `45.2`, `45/3`, `45a`."""
    end = at + 1
    while scan.tok(end).low in (".", "/") and scan.tok(end).glued and scan.tok(end + 1).kind == NUMBER:
        end += 2
    letter = scan.tok(end)
    return end + (letter.kind == WORD and letter.glued and len(letter.low) == 1)


def _is_code(scan: Scan, at: int) -> bool:
    """`ABCD-123`: a word that nobody knows tied to a number; no grade, unit or other word of the trade."""
    word, figure = scan.tok(at - 1), scan.them[at + 1]
    tied = scan.them[at].glued and figure.glued and figure.kind == NUMBER
    strange = word.kind == WORD and len(word.low) > 3 and word.low not in scan.lex.prefixes
    return tied and strange and at - 1 not in scan.marks_at and not scan.has(at + 2, "unit")


def lot_number(scan: Scan) -> None:
    """`LOT 412:`, `Los-Nr. 45`: the number of the lot, no count and no year."""
    for mark in scan.by.get("multiple.number", ()):
        at = scan.past(mark.end, scan.lex.sets["number_signs"])
        if scan.tok(at).number >= 0 and not scan.used[mark.start] and _is_lot_number(scan, mark, at):
            scan.take(mark.start, at + 1)


def leading_number(scan: Scan, own: str) -> None:
    """`4471 - Canada 25 cents 1880`, `1875. Sixpence 1834`: a number at the head that numbers the entry.

    `own`: the number by which the source knows the entry. One that may be a year is a number only beside a year."""
    bracketed = scan.tok(0).low == "(" and scan.tok(2).low == ")"
    if bracketed and own and scan.tok(1).low == own:
        scan.take(0, 3)
    first = scan.tok(0)
    if first.kind != NUMBER or not first.low.isdecimal() or scan.used[0]:
        return
    if not (_is_listed(scan, first) or (own and first.low == own and first.number not in SMALL)):
        return
    if first.number not in YEARS or any(token.number in YEARS and len(token.low) == 4 for token in scan.them[1:]):
        scan.take(0, 1)


def _is_listed(scan: Scan, first: Token) -> bool:
    """Whether the number at the head stands as one of a list: `412. Crown`, `12) 5 Mark`; `5 - Mark` is a value."""
    sign, behind = scan.tok(1), scan.tok(2)
    parted = sign.low in (":", ")") or (sign.low == "." and sign.glued and not behind.glued)
    dashed = sign.low in ("-", "|") and not sign.glued and behind.kind == WORD
    valued = scan.has(2, "unit") and (first.number < LOT_BARE or first.number % 50 == 0)
    if not (parted or dashed) or valued or len(first.low) > LOT_MOST:
        return False
    plain = scan.has(2, "coin") is None and not scan.has(2, "country")
    return not (first.number in YEARS and dashed and plain)  # `1899 - nice crown of 1899`


def _is_lot_number(scan: Scan, mark: Mark, at: int) -> bool:
    """Whether the number at a token is the lot's: a sign stands by it, or the word opens or ends the title."""
    figure, behind, single = scan.them[at], scan.tok(at + 1).low, mark.end - mark.start == 1
    if len(figure.low) > LOT_MOST or _counts(scan, at):
        return False
    if figure.number in YEARS and single and not _is_no_year(scan, mark, at):
        return False
    named = at > mark.end or not single or figure.number in YEARS or behind in (":", ".", ")", "-", "|", ",", ";")
    last = behind == "" and scan.them[mark.start].low in scan.lex.sets["lot_number_only"]
    high = figure.number >= LOT_BARE
    return named or (high and behind == "") or ((last or mark.start <= 1) and (behind == "" or high))


def _is_no_year(scan: Scan, mark: Mark, at: int) -> bool:
    """Whether a number behind `Lot` that may be a year is none: `Lot 1902: Crown`, `Lot 1902 - Crown 1893`, and where
    the word opens the title `Lot 1902 5 Mark 1893`; but `Lot 1902 Crown, 1893 Florin` are two pieces."""
    behind = scan.tok(at + 1)
    if behind.low in (":", ".", ")"):
        return True
    years = [place for place in range(at + 1, len(scan.them)) if scan.them[place].number in YEARS]
    if not years or behind.glued:
        return False
    joins = BREAKS | scan.lex.sets["and"] | scan.lex.sets["until"]
    plain = behind.kind == WORD and behind.low not in joins
    valued = behind.kind == NUMBER and behind.number not in YEARS and scan.has(at + 2, "unit") is not None
    alone = len(years) == 1 and scan.them[years[0] - 1].low not in joins
    return behind.low in ("-", "|") or (mark.start == 0 and alone and (plain or valued))


def _counts(scan: Scan, at: int) -> bool:
    """`lot 12 pcs`, `lot 5 x`, `lot: 12 silver kwartjes`: the number is how many there are."""
    counted = scan.has(at + 1, "multiple.counted") or scan.tok(at + 1).low in scan.lex.sets["behind_count"]
    return bool(counted) or _coins_behind(scan, at)


def _coins_behind(scan: Scan, at: int) -> bool:
    """`lot: 12 silver kwartjes`: the number counts what is named in the plural a word or two on."""
    near = (
        scan.has(here, kind)
        for here, kind in ((at + 1, "coin"), (at + 2, "coin"), (at + 2, "unit"), (at + 3, "unit"))
        if scan.tok(at + 1).kind == WORD
    )
    return any(mark is not None and scan.them[mark.end - 1].low.endswith("s") for mark in near)
