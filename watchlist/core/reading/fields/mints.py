"""Mint marks: tied to the year, glued to it, or named apart from it; and those a title denies."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, field

from watchlist.core.reading.fields.dates import Year
from watchlist.core.reading.scanning.scan import Scan
from watchlist.core.reading.vocabulary.tokens import NUMBER, WORD

ANYWHERE = frozenset("ABCDEFGHJKLMNOPRSTUVWZ") | {
    "CC",
    "BB",
    "KN",
    "SA",
    "KB",
    "AA",
    "Mo",
    "Zs",
    "Go",
    "Pi",
    "Ga",
    "Do",
}
"""Letters believed when the country is not known."""
QUOTES = frozenset("\"'“”„«»")
APART = 0.85
"""How sure a mark is that is named apart from the year."""
NAMES = 4
"""A mint of more letters is a name."""
VOWELS = frozenset("aeioulyst")
"""Small letters that are words or grades of some language."""
OR = frozenset(("or", "oder", "ou", "o", "of", "lub", "eller"))
LOWER = frozenset("dso") | {"cc"}
"""Written small and apart they still are mint marks, on pieces of the United States."""


@dataclass(slots=True)
class Mints:
    """The mint marks of a title."""

    mint: str | None = None
    start: int = 0
    end: int = 0
    score: float = 0.0
    over: str = ""
    """The letter under the mark: S of D/S."""
    several: bool = False
    guessed: bool = False
    """Read from a small letter that may be a word."""
    rival: str = ""
    """Another mark that it may be as well: V of `M or V?`."""
    denied: list[str] = field(default_factory=list)


def allowed_mints(scan: Scan, country: str | None, known: Iterable[str]) -> frozenset[str]:
    """The marks a piece of a country may carry."""
    known = frozenset(known)
    if country in scan.lex.mints:
        return scan.lex.mints[country] | known
    return known if known and country else ANYWHERE | known


def find_mint(
    scan: Scan, years: list[Year], country: str | None, known: Iterable[str], *, sure: bool = True, unit: str = ""
) -> Mints:
    """The mint mark of the piece, and the marks denied. `sure`: the title names the country itself."""
    allowed = allowed_mints(scan, country, known)
    if not sure and unit in scan.lex.mint_country:
        allowed |= frozenset(scan.lex.mint_country[unit])
    out = Mints()
    _denied(scan, out, allowed)
    for place, year in enumerate(years):
        if _after_year(scan, year, out, allowed, country, sure):
            _take_others(scan, years[place + 1 :], allowed)
            break
    if out.mint is None:
        _apart(scan, out, allowed)
    if out.mint is None and years and country is not None:
        _before_year(scan, years[0], out, allowed)
    if out.mint is None and years and country is not None:
        _alone(scan, years[0], out, allowed)
    return out


def _after_year(scan: Scan, year: Year, out: Mints, allowed: frozenset[str], country: str | None, sure: bool) -> bool:
    at = year.end
    sign = scan.tok(at)
    tied = sign.glued and (sign.kind == WORD or (sign.low == "-" and scan.tok(at + 1).glued))
    if sign.low == ")" and year.bracketed:
        at += 1 + (scan.tok(at + 1).low == "-")
    elif sign.low in ("-", "(", "[", "/", ",", ".") or _quoted(scan, at):
        at += 1 + _quoted(scan, at + 1)
    letters = _letters(scan, at, allowed, tied=tied, small=country in ("US", None))
    if letters is None and tied and not sure and scan.tok(at).text in ANYWHERE:
        letters = scan.tok(at).text
    if letters is None and sign.kind == WORD and country is not None:
        letters = _small_letter(scan, at, allowed)
        out.guessed = letters is not None
    if (
        letters is None
        or scan.used[at]
        or any(m.kind == "coin" and m.end > at + 1 for m in scan.marks_at.get(at, ()))
        or (sign.low in (",", ".") and not _named(scan, at))
    ):
        return False
    end = at + 1 + (scan.tok(at + 1).low in ("°", "º"))
    if scan.tok(at + 1).kind == NUMBER and scan.tok(at + 1).glued:
        return False
    if scan.tok(at + 1).low == "+" and scan.tok(at + 1).glued:
        return False  # `1765 BB+`: a grade
    if not tied and scan.tok(at + 1).low == "-" and scan.tok(at + 2).kind == NUMBER and scan.tok(at + 2).glued:
        return False  # `1803 C-1`: a die variety
    if letters == "S" and sign.text == "s" and tied and year.year % 100 == 0:
        return False
    if year.denied:
        out.denied.append(letters)
        scan.take(at, end)
        return False
    if not tied and _initial(scan, at, end):
        return False
    if _is_list(scan, at, allowed):
        out.several = True
        scan.take(at, end)
        return True
    out.mint, out.start, out.end = letters, at, end
    out.score = 0.6 if out.guessed else 0.95 if tied else 0.88 if country is not None else 0.8
    _over(scan, out, allowed)
    _or(scan, out, allowed)
    scan.take(at, out.end)
    return True


def _quoted(scan: Scan, at: int) -> bool:
    """`1889 "K"`: one word between quotation marks."""
    return scan.tok(at).low in QUOTES and scan.tok(at + 2).low in QUOTES


def _take_others(scan: Scan, years: list[Year], allowed: frozenset[str]) -> None:
    """The letters tied to further years are mint marks too, and nothing else: `1897-M 1899-V F-VF`."""
    for year in years:
        at = year.end + (scan.tok(year.end).low == "-")
        token = scan.tok(at)
        alone = len(token.text) == 1 and token.text.isupper() and scan.tok(at + 1).low in (",", "/", ";", "&", "")
        if (token.glued and token.text in allowed) or (alone and not token.glued):
            scan.take(at, at + 1)


def _small_letter(scan: Scan, at: int, allowed: frozenset[str]) -> str | None:
    """A letter behind the year in a title without capitals: `1875 a hercule`; a vowel may also be a word."""
    token = scan.tok(at)
    if len(token.low) != 1 or token.low.upper() not in allowed or not scan.text.islower():
        return None
    named = bool({mark.kind for mark in scan.marks_at.get(at + 1, ())} & {"coin", "type", "unit"})
    return token.low.upper() if named or token.low not in VOWELS else None


def _letters(scan: Scan, at: int, allowed: frozenset[str], *, tied: bool, small: bool) -> str | None:
    """The mint mark a token is, in the spelling of the piece."""
    token = scan.tok(at)
    if token.kind == WORD and token.text in allowed:
        return token.text
    if token.kind != WORD or len(token.low) > 4:
        return None
    if tied:
        return next((mark for mark in allowed if mark.lower() == token.low), None)
    if len(token.text) > 1 and token.text.isupper():
        return next((mark for mark in allowed if mark.upper() == token.text), None)
    if small and token.low in LOWER and token.text == token.low and token.low.upper() in allowed:
        return token.low.upper()
    return None


def _named(scan: Scan, at: int) -> bool:
    return scan.has(at + 1, "mint.after") is not None


def _initial(scan: Scan, at: int, end: int) -> bool:
    """`1876 A. Weber`: a letter with a stop and a name behind is an initial."""
    follows = scan.tok(end + 1)
    return scan.tok(end).low == "." and scan.tok(end).glued and follows.kind == WORD and follows.glued


def _is_list(scan: Scan, at: int, allowed: frozenset[str]) -> bool:
    """`P&D`, `P, D`, `D, F, G, J`: pieces of several mints."""
    sign, follows, beyond = scan.tok(at + 1), scan.tok(at + 2), scan.tok(at + 3)
    letter = follows.text in allowed and len(follows.text) == 1 and follows.text != scan.tok(at).text
    if len(scan.tok(at).low) > 1:
        return False
    return sign.low in ("&", ",", "+") and sign.low != "" and letter and beyond.low != "-" and beyond.number < 0


def of_all(scan: Scan, years: list[Year], country: str | None, known: Iterable[str]) -> str | None:
    """The mark that every year of a lot of several carries, or None."""
    allowed = allowed_mints(scan, country, known)
    found = set()
    for year in years:
        at = year.end + (scan.tok(year.end).low == "-")
        found.add(_letters(scan, at, allowed, tied=scan.tok(at).glued, small=country in ("US", None)))
    return found.pop() if len(found) == 1 else None


def _over(scan: Scan, out: Mints, allowed: frozenset[str]) -> None:
    sign, under = scan.tok(out.end), scan.tok(out.end + 1)
    if sign.low in ("/", "over") and under.kind == WORD and under.text.upper() in allowed and len(under.text) <= 2:
        out.over = under.text.upper()
        out.end += 2


def _or(scan: Scan, out: Mints, allowed: frozenset[str]) -> None:
    word, other = scan.tok(out.end), scan.tok(out.end + 1)
    if word.text in OR and other.kind == WORD and other.text in allowed and other.text != out.mint:
        out.rival = other.text
        out.end += 2


def _apart(scan: Scan, out: Mints, allowed: frozenset[str]) -> None:
    """`S mint`, `Mzz. J`, `mint mark D`."""
    for mark in scan.by.get("mint.before", ()):
        at = mark.end
        while scan.tok(at).low in (".", ":", "'", '"', "-", "=", "is"):
            at += 1
        letters = _letters(scan, at, allowed, tied=False, small=True)
        lone = scan.them[mark.start].low in ("mint", "mark", "mm", "mz", "buchstabe", "lettre", "mt")
        if letters and not scan.used[at] and (not lone or len(letters) <= 2):
            if scan.negated(mark.start, mark.end):
                continue
            valued = scan.has(mark.start, "unit") and scan.tok(mark.start - 1).kind == NUMBER
            return _set(scan, out, letters, at if valued else mark.start, at + 1, APART)
    for mark in scan.by.get("mint.after", ()):
        at = mark.start - 1
        if scan.tok(at).low == "-":
            at -= 1
        letters = _letters(scan, at, allowed, tied=False, small=True)
        if letters and not scan.used[at] and not scan.negated(at, mark.end):
            return _set(scan, out, letters, at, mark.end, APART)
    return None


def _before_year(scan: Scan, year: Year, out: Mints, allowed: frozenset[str]) -> None:
    """`5 Mark J 1908`: a letter right before the year, never one that may be a ruler's number."""
    at = year.start - 1
    token = scan.tok(at)
    letter = token.text in allowed and token.text not in "IVXLCDM" and not scan.used[at] and not scan.tok(at - 1).glued
    if scan.has(at, "unit") and scan.tok(at - 1).kind == NUMBER:
        return  # `1 F 1960`
    if letter and not scan.negated(at, at + 1) and scan.tok(at - 1).low not in (".", "of"):
        _set(scan, out, token.text, at, at + 1, 0.7)


def _alone(scan: Scan, year: Year, out: Mints, allowed: frozenset[str]) -> None:
    """`2 Mark 1888 Friedrich III. A vz-st`: one letter that stands alone between the ruler and the grade."""
    for at in range(year.end + 1, min(year.end + 7, len(scan.them))):
        token = scan.them[at]
        if token.text not in allowed or token.text in "IVX" or scan.used[at] or token.glued:
            continue
        after, before = scan.tok(at + 1), scan.tok(at - 1)
        if before.low in scan.lex.sets["letter_of"]:
            continue
        words = scan.lex.sets["after_mint"]
        stands = not after.glued and (after.low in words or (after.low == "-" and scan.tok(at + 2).low in words))
        if at == year.end + 1 and before.text.istitle() and len(before.text) > 3 and after.low in ("", ","):
            _set(scan, out, token.text, at, at + 1, 0.6)
            return
        if after.low in ("", ",") and any(mark.end == at for mark in scan.by.get("country", ())):
            _set(scan, out, token.text, at, at + 1, 0.6)  # `Preussen A,`
            return
        if stands and (before.low in (".", ",", ")") or len(before.text) > 1):
            _set(scan, out, token.text, at, at + 1, 0.65)
            return


def is_lettering(scan: Scan, at: int) -> bool:
    """`F on thigh`, `R below bust`: a letter on the piece and where it stands; `F on reverse` is a grade."""
    place = scan.tok(at + 1)
    if place.low not in scan.lex.sets["letter_at"] or place.glued:
        return False
    return scan.tok(at + 2).kind == WORD and scan.tok(at + 2).low not in scan.lex.sets["sides"]


def _set(scan: Scan, out: Mints, letters: str, start: int, end: int, score: float) -> None:
    out.mint, out.start, out.end, out.score = letters, start, end, score
    scan.take(start, end)


def _denied(scan: Scan, out: Mints, allowed: frozenset[str]) -> None:
    """`no D`, `not S`, `no 16-D`, `ohne Mzz.`."""
    for mark in scan.by.get("mint.none", ()):
        scan.take(mark.start, mark.end)
    for mark in scan.by.get("negation.before", ()):
        at = mark.end
        if (
            scan.tok(at).number >= 0
            and scan.tok(at).low != ""
            and scan.tok(at + 1).low == "-"
            and len(scan.tok(at).low) == 2
        ):
            at += 2
        token = scan.tok(at)
        if token.text in allowed and not 2 < len(token.text) <= NAMES and not scan.used[at]:
            out.denied.append(token.text)
            scan.take(mark.start, at + 1)
    for mark in scan.by.get("variety", ()):
        if mark.value == "no D" and not scan.used[mark.start]:
            out.denied.append("D")
            scan.take(mark.start, mark.end)
