"""Numbers that are no year, value or grade: certificate and lot numbers, book references, weights, counts of others."""

from __future__ import annotations

import re

from watchlist.core.reading.scanning.askingprices import claim_prices
from watchlist.core.reading.scanning.scan import Mark, Scan
from watchlist.core.reading.vocabulary.tokens import NUMBER, WORD

PAGES = frozenset(("p", "page", "pg", "plate", "vol"))
CERT_LEAST = 5
"""Fewest figures of a certificate number that is named as one."""
LONG = 7
"""Figures from which a bare number by a holder is its certificate."""
THOUSANDTHS = frozenset((999, 9999, 900, 925, 800, 835, 500, 625, 720, 750, 916, 917, 958))
FINENESS = re.compile(r"[01][.,]\d{3}|999|9999|925|900|835|720")
OTHERS = frozenset(("ss", "vz", "t", "q"))


def claim_noise(scan: Scan) -> None:
    """Take all numbers that are something else."""
    claim_stops(scan)
    _edge_words(scan)
    _references(scan)
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


def _sentence_end(scan: Scan, at: int) -> int:
    """The end of a sentence of a description."""
    while at < len(scan.them) and not (scan.them[at].low in ".!?;" and not scan.tok(at + 1).glued):
        at += 1
    return at


def _number(scan: Scan, at: int) -> None:
    token, before, after = scan.them[at], scan.tok(at - 1), scan.tok(at + 1)
    measure = scan.lex.sets["measure"]
    if after.low in ("%", "‰", "°") and after.glued:
        scan.take(at, at + 2)
    elif before.low == "." and token.glued and token.number in THOUSANDTHS:
        scan.take(at - 1, at + 1)
    elif after.low in measure and _is_measure(scan, at):
        scan.take(at, at + 2)
    elif before.low in scan.lex.sets["weight"] or (
        before.low in ".:=" and scan.tok(at - 2).low in scan.lex.sets["weight"]
    ):
        scan.take(at, at + 1)
    elif before.low in scan.lex.sets["scores"] or (
        before.low == "." and scan.tok(at - 2).low in ("p", "pg", "vol", "pl")
    ):
        _score(scan, at)
    elif after.low == "/" and after.glued and scan.tok(at + 2).kind == NUMBER:
        _fraction_of(scan, at)
        _two_scores(scan, at)
    elif FINENESS.fullmatch(token.low) and (after.low in scan.lex.sets["fineness"] or token.low[0] == "0"):
        scan.take(at, at + 1)


def _is_measure(scan: Scan, at: int) -> bool:
    """`26.7 g`, `1 oz`, `38 mm`; but `F 15 g` is none, and `G` as a mint letter or grade is written large."""
    unit = scan.them[at + 1]
    if unit.low in ("g", "h", "k") and unit.text.isupper() and not unit.glued:
        return False
    if scan.them[at].number >= 1500 and (unit.low in ("g", "h", "k") or unit.text.isupper()):
        return False  # `1935 LB`, `1832 KG`: letters behind a year
    if scan.them[at].number >= 1500 and unit.low == "gr" and not unit.glued and not scan.by.get("kind.bar"):
        return False  # `1891 gr. Jahreszahl`: no coin weighs that much
    return (
        not scan.has(at + 1, "unit")
        or unit.low == "gr"
        or (unit.low == "ct" and scan.them[at].number in (22, 24, 18, 14))
    )


def _score(scan: Scan, at: int) -> None:
    """`pop 45/8`, `Strike 4/5`, `p. 144`."""
    if scan.tok(at - 1).low == "lot" or (scan.tok(at - 1).glued and scan.tok(at - 2).kind == NUMBER):
        return
    end = at + 1
    if scan.tok(end).low == "/" and scan.tok(end + 1).kind == NUMBER:
        end += 2
    if scan.them[at].number < 1500 or scan.tok(at - 1).low in PAGES or scan.tok(at - 2).low in PAGES:
        scan.take(at, end)


def _fraction_of(scan: Scan, at: int) -> None:
    """`3/0 finer`, `4/5` after a score word."""
    behind = scan.tok(at + 3).low
    if behind in scan.lex.sets["scores"]:
        scan.take(at, at + 3)


def _two_scores(scan: Scan, at: int) -> None:
    """`4/5 3/5`: strike and surface out of five."""
    one, two = scan.tok(at), scan.tok(at + 3)
    out_of_five = [scan.tok(here).low for here in (at + 1, at + 2, at + 4, at + 5)] == ["/", "5", "/", "5"]
    if out_of_five and 1 <= one.number <= 5 and 1 <= two.number <= 5:
        scan.take(at, at + 6)


def _edge_words(scan: Scan) -> None:
    """`SEXTO`, `V. OCTAVO`, `UN DECIMO`: the regnal year on the edge of a crown, no mint mark and no value."""
    if not any(mark.value in ("crown", "half crown|GB") for mark in scan.kinds("unit", "coin")):
        return
    at, words = 0, scan.lex.sets["edge_ordinals"]
    while at < len(scan.them):
        if scan.tok(at).low not in words or scan.used[at]:
            at += 1
            continue
        start, end = at, at + 1
        while scan.tok(end).low in words:
            end += 1
        if scan.tok(start - 1).low in scan.lex.sets["edge_small"]:
            start -= 1
        elif scan.tok(start - 1).low == "." and scan.tok(start - 2).text in ("V", "T"):
            start -= 2
        scan.by["edge"].append(Mark(start, end, "edge", scan.words(start, end), ""))
        scan.take(start, end)
        at = end


def _references(scan: Scan) -> None:
    """`KM 123`, `Jaeger 45`, `VAM-34`, `R2`."""
    for mark in scan.by.get("ref.words", ()):
        at = mark.end
        while scan.tok(at).low in ("-", ".", "#", ":", "nr", "no", "n", "°"):
            at += 1
        figure = scan.tok(at)
        if figure.kind != NUMBER or scan.used[mark.start]:
            continue
        short = mark.end - mark.start == 1 and len(scan.them[mark.start].low) <= 2
        if short and scan.them[mark.start].glued and scan.tok(mark.start - 1).low[-1:] in "-0123456789":
            continue  # a mint mark tied to its year
        word = scan.them[mark.start]
        if short and not (word.text.isupper() and (at > mark.end and scan.them[at - 1].low in ".#")):
            continue
        if figure.number >= 1500 and len(figure.low) == 4 and (short or len(word.low) < 4):
            continue
        end = at + 1
        while scan.tok(end).low in (".", "/") and scan.tok(end).glued and scan.tok(end + 1).kind == NUMBER:
            end += 2
        if scan.tok(end).kind == WORD and scan.tok(end).glued and len(scan.tok(end).low) == 1:
            end += 1
        scan.take(mark.start, end)
    for at in range(len(scan.them) - 2 if "-" in scan.lows else 0):
        word, sign, figure = scan.them[at : at + 3]
        code = word.kind == WORD and len(word.low) > 3 and sign.low == "-" and sign.glued and figure.glued
        if (
            code
            and figure.kind == NUMBER
            and word.low not in scan.lex.prefixes
            and not scan.has(at, "unit")
            and not scan.has(at + 3, "unit")
            and at not in scan.marks_at
        ):
            scan.take(at, at + 3)
    for mark in scan.by.get("ref.rarity", ()):
        if scan.tok(mark.end).glued and 0 < scan.tok(mark.end).number <= 10 and scan.them[mark.start].text == "R":
            scan.take(mark.start, mark.end + 1)


def die_codes(scan: Scan) -> list[tuple[int, int, str]]:
    """Die variety numbers of specialists: `O-107`, `VAM 34`, `S-44`: start, end, text."""
    out = []
    for mark in scan.by.get("ref.die", ()):
        at = mark.start
        word, sign, figure = scan.them[at], scan.tok(at + 1), scan.tok(at + 2)
        if (
            scan.used[at]
            or not (word.text.isupper() or len(word.low) > 2)
            or word.glued
            or word.low in scan.lex.prefixes
            or word.low in OTHERS
        ):
            continue
        if sign.low == "-" and sign.glued and figure.kind == NUMBER and figure.glued and figure.number < 1500:
            out.append((at, at + 3, f"{word.text}-{figure.low}"))
        elif len(word.low) >= 3 and sign.kind == NUMBER and sign.number < 1500:
            out.append((at, at + 2, f"{word.text.upper()}-{sign.low}"))
    return out


def lot_number(scan: Scan) -> None:
    """`LOT 412:`, `Los-Nr. 45`: the number of the lot, no count and no year."""
    for mark in scan.kinds("multiple.number"):
        at = mark.end
        while scan.tok(at).low in ("-", ".", "#", ":", "nr", "no", "n", "°", "number"):
            at += 1
        figure = scan.tok(at)
        if figure.kind != NUMBER or scan.used[at] or figure.number < 0:
            continue
        behind = scan.tok(at + 1)
        named = at > mark.end or mark.end - mark.start > 1 or behind.low in (":", ".", ")", "-", "|", ",", ";")
        first = mark.start <= 1 or (behind.low == "" and scan.them[mark.start].low in scan.lex.sets["lot_number_only"])
        counted = scan.has(at + 1, "multiple.counted") or behind.low in ("x", "different") or _coins_behind(scan, at)
        if counted or len(figure.low) > 5 or not (named or (first and (behind.low == "" or figure.number >= 100))):
            continue
        if 1500 <= figure.number <= 2099 and mark.end - mark.start == 1 and behind.low not in (":", ".", ")"):
            continue
        scan.take(mark.start, at + 1)


def _coins_behind(scan: Scan, at: int) -> bool:
    """`lot: 12 silver kwartjes`: the number counts what is named in the plural a word or two on."""
    near = (scan.has(here, "coin") for here in (at + 1, at + 2) if scan.tok(at + 1).kind == WORD)
    return any(mark is not None and scan.them[mark.end - 1].low.endswith("s") for mark in near)


def certificate(scan: Scan, held: bool) -> str | None:
    """The certificate number; `held`: a holder is named, so that a long bare number is one."""
    for mark in scan.by.get("holder.cert", ()):
        at = mark.end
        while scan.tok(at).low in ("-", ".", "#", ":", "nr", "no", "n", "°", "number", "num", "º", "numero", "/"):
            at += 1
        if found := _digits(scan, at, CERT_LEAST):
            scan.take(mark.start, found[1])
            scan.rest("cert_number", at, found[1], 0.95)
            return found[0]
        if at > mark.end and scan.tok(at).kind == NUMBER:
            scan.take(mark.start, at + 1)
    for at, token in enumerate(scan.them):
        if token.kind != NUMBER or len(token.low) < CERT_LEAST:
            continue
        hashed = scan.tok(at - 1).low == "#"
        if found := _digits(scan, at, 6 if hashed else LONG if held else 99):
            if not held and not hashed:
                continue
            if scan.tok(at - 1).low in ("€", "$", "£"):
                continue
            scan.take(at - hashed, found[1])
            scan.rest("cert_number", at, found[1], 0.9 if hashed else 0.8)
            return found[0]
    return None


def _digits(scan: Scan, at: int, least: int) -> tuple[str, int] | None:
    """Figures of a certificate from a token on: `4471902-013`, `12345678`."""
    token = scan.tok(at)
    if token.kind != NUMBER or scan.used[at] or not token.low.isdigit() or len(token.low) < least:
        return None
    if scan.tok(at - 1).kind == NUMBER and token.glued:
        return None
    sign, more = scan.tok(at + 1), scan.tok(at + 2)
    if sign.low in ("-", "/") and sign.glued and more.kind == NUMBER and more.glued and 1 <= len(more.low) <= 4:
        return f"{token.low}{sign.low}{more.low}", at + 3
    return token.low, at + 1
