"""Mint marks: tied to the year, glued to it, or named apart from it; and those a title denies."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, field

from watchlist.core.reading.fields.years import Year
from watchlist.core.reading.scanning.scan import Scan
from watchlist.core.reading.vocabulary.tokens import NUMBER, QUOTES, WORD, YEARS

ANYWHERE = frozenset("ABCDEFGHJKLMNOPRSTUVWZ") | {
    *("CC", "BB", "KN", "SA", "KB", "AA", "Mo", "Zs", "Go", "Pi", "Ga", "Do")
}
"""Letters believed when the country is not known."""
BEFORE = frozenset("-([/,.")
"""Signs that may stand between the year and its mint mark."""
OVER = frozenset(("/", "over"))
APART = 0.85
"""How sure a mark is that is named apart from the year."""
SHORT, NAMES = 2, 4
"""Letters of a mark that a negation denies, at most; a mint of more than four letters is a name."""
LONGEST = 4
"""Letters of a mark that may be written in another case than on the piece."""
VOWELS = frozenset("aeioulyst")
"""Small letters that are words or grades of some language."""
LOWER = frozenset("dso") | {"cc"}
"""Written small and apart they still are mint marks, on pieces of the United States."""
FAR = 7
"""Words behind the year among which a letter that stands alone may be the mint mark."""


GRADES = frozenset("FG")
GRADES_IN = {"S": ("de",), "B": ("fr", "it", "es"), "E": ("it",), "C": ("es",)}
"""Letters that are grades: everywhere, and in titles of some languages."""


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
    for by_word in (_behind_word, _before_word):
        if out.mint is None:
            by_word(scan, out, allowed)
    apart = (_listed, _before_year) if unit in scan.lex.sets["assayed"] else (_listed, _before_year, _alone)
    for by_year in apart if years and country is not None else ():
        if out.mint is None:
            by_year(scan, years[0], out, allowed)
    return out


def _after_year(scan: Scan, year: Year, out: Mints, allowed: frozenset[str], country: str | None, sure: bool) -> bool:
    """Whether the letters right behind a year say the mint of the piece; those behind a denied year are denied."""
    at, tied = _place(scan, year)
    letters = _letters(scan, at, allowed, tied=tied, small=country in ("US", None))
    if letters is None and tied and not sure and scan.tok(at).text in ANYWHERE:
        letters = scan.tok(at).text
    guessed = letters is None and at == year.end and country is not None
    if guessed:
        letters = _small_letter(scan, at, allowed)
    if letters is None or scan.used[at] or _is_no_mark(scan, year, at, tied):
        return False
    end = at + 1 + (scan.tok(at + 1).low in ("°", "º"))
    if year.denied:
        out.denied.append(letters)
        scan.take(at, end)
        return False
    if _is_list(scan, at, allowed):
        out.several = True
        scan.take(at, end)
        return True
    out.mint, out.start, out.end, out.guessed = letters, at, end, guessed
    out.score = 0.6 if guessed else 0.95 if tied else 0.88 if country is not None else 0.8
    _over(scan, out, allowed)
    _or(scan, out, allowed)
    scan.take(at, out.end)
    return True


def _place(scan: Scan, year: Year) -> tuple[int, bool]:
    """Where the mint mark of a year stands, and whether it is tied: `1889S`, `1889-S`; `1889 (S)`, `1889 "S"`."""
    at, sign = year.end, scan.tok(year.end)
    tied = sign.glued and (sign.kind == WORD or (sign.low == "-" and scan.tok(at + 1).glued))
    if sign.low == ")" and year.bracketed:
        at += 1 + (scan.tok(at + 1).low == "-")
    elif sign.low in BEFORE or _quoted(scan, at):
        at += 1 + _quoted(scan, at + 1)
    return at, tied


def _is_no_mark(scan: Scan, year: Year, at: int, tied: bool) -> bool:
    """Letters behind a year that are a grade, a variety, an initial or part of another word."""
    sign, after, beyond = scan.tok(year.end), scan.tok(at + 1), scan.tok(at + 2)
    coin = any(mark.kind == "coin" and mark.end > at + 1 for mark in scan.marks_at.get(at, ()))
    parted = sign.low in (",", ".") and not scan.has(at + 1, "mint.after")  # `1889, S`; but `1889, S mint`
    graded = after.glued and (after.kind == NUMBER or after.low == "+")  # `1889 F12`, `1765 BB+`
    die = not tied and after.low == "-" and beyond.kind == NUMBER and beyond.glued  # `1803 C-1`
    century = tied and sign.text == "s" and year.year % 100 == 0  # `1800s`
    return coin or parted or graded or die or century or (not tied and _is_initial(scan, at + 1))


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
    if token.kind != WORD or len(token.low) > LONGEST:
        return None
    if tied:
        return next((mark for mark in sorted(allowed) if mark.lower() == token.low), None)
    if len(token.text) > 1 and token.text.isupper():
        return next((mark for mark in sorted(allowed) if mark.upper() == token.text), None)
    if small and token.low in LOWER and token.text == token.low and token.low.upper() in allowed:
        return token.low.upper()
    return None


def _is_initial(scan: Scan, at: int) -> bool:
    """`1876 A.Weber`, `1898 P. Pander`: a letter with a stop and a name behind is an initial."""
    stop, follows = scan.tok(at), scan.tok(at + 1)
    if stop.low != "." or not stop.glued or follows.kind != WORD:
        return False
    ends = scan.tok(at + 2).low in ("", ",", ".", "(", ")", ";")
    return follows.glued or (
        ends and follows.text.istitle() and len(follows.text) > 2 and not scan.marks_at.get(at + 1)
    )


def _is_list(scan: Scan, at: int, allowed: frozenset[str]) -> bool:
    """`P&D`, `P, D`, `D, F, G, J`: pieces of several mints."""
    if scan.tok(at + 1).low not in ("&", ",", "+"):
        return False
    first, second, beyond = scan.tok(at), scan.tok(at + 2), scan.tok(at + 3)
    other = second.text in allowed and second.text != first.text and len(first.low) == len(second.text) == 1
    return other and beyond.low != "-" and beyond.number < 0


def of_all(scan: Scan, years: list[Year], country: str | None, known: Iterable[str]) -> str | None:
    """The mark that every year of a lot of several carries, or None."""
    allowed = allowed_mints(scan, country, known)
    found = set()
    for year in years:
        at = year.end + (scan.tok(year.end).low == "-")
        found.add(_letters(scan, at, allowed, tied=scan.tok(at).glued, small=country in ("US", None)))
    return found.pop() if len(found) == 1 else None


def _over(scan: Scan, out: Mints, allowed: frozenset[str]) -> None:
    """`D/S`, `D over S`."""
    sign, under = scan.tok(out.end), scan.tok(out.end + 1)
    if sign.low in OVER and under.kind == WORD and under.text.upper() in allowed and len(under.text) <= SHORT:
        out.over = under.text.upper()
        out.end += 2


def _or(scan: Scan, out: Mints, allowed: frozenset[str]) -> None:
    """`M or V?`; the word between is written small, for `O` is a mint mark too."""
    word, other = scan.tok(out.end), scan.tok(out.end + 1)
    if word.text in scan.lex.sets["or"] and other.kind == WORD and other.text in allowed and other.text != out.mint:
        out.rival = other.text
        out.end += 2


def _behind_word(scan: Scan, out: Mints, allowed: frozenset[str]) -> None:
    """`Mzz. J`, `mint mark D`, `mint: Velden`; the name of a mint stands only behind words that mean a mint alone."""
    for mark in scan.by.get("mint.before", ()):
        at = scan.past(mark.end, scan.lex.sets["before_mint"])
        letters = _letters(scan, at, allowed, tied=False, small=True)
        lettered = scan.them[mark.start].low in scan.lex.sets["before_letter"]
        if (
            not letters
            or scan.used[at]
            or _begins(scan, at)
            or (lettered and len(letters) > SHORT)
            or scan.negated(mark.start, mark.end)
        ):
            continue
        valued = scan.has(mark.start, "unit") and scan.tok(mark.start - 1).kind == NUMBER  # `5 Mark J`
        _set(scan, out, letters, at if valued else mark.start, at + 1, APART)
        return


def _begins(scan: Scan, at: int) -> bool:
    """`as it left the mint. I have another`: a word of the next sentence."""
    return scan.tok(at - 1).low == "." and scan.tok(at + 1).text.islower()


def _before_word(scan: Scan, out: Mints, allowed: frozenset[str]) -> None:
    """`S mint`, `D-mint`."""
    for mark in scan.by.get("mint.after", ()):
        at = mark.start - 1 - (scan.tok(mark.start - 1).low == "-")
        letters = _letters(scan, at, allowed, tied=False, small=True)
        if letters and not scan.used[at] and not scan.negated(at, mark.end):
            _set(scan, out, letters, at, mark.end, APART)
            return


def _before_year(scan: Scan, year: Year, out: Mints, allowed: frozenset[str]) -> None:
    """`5 Mark J 1908`: a letter right before the year, never one that may be a ruler's number."""
    at = year.start - 1
    token, before = scan.tok(at), scan.tok(at - 1)
    letter = token.text in allowed and token.text not in "IVXLCDM" and not scan.used[at]
    valued = scan.has(at, "unit") and before.kind == NUMBER  # `1 F 1960`
    joined = before.glued or before.low in (".", "of")
    if letter and not valued and not joined and not scan.negated(at, at + 1):
        _set(scan, out, token.text, at, at + 1, 0.7)


def _listed(scan: Scan, year: Year, out: Mints, allowed: frozenset[str]) -> None:
    """`5 tor, 1905, V, AU`; `1905 5 tor V`: a letter by itself behind the year or the value, that is no grade."""
    values = (mark.end for mark in scan.by.get("unit", ()) if scan.tok(mark.start - 1).kind == NUMBER)
    for at in (year.end + 1 if scan.tok(year.end).low == "," else 0, *values):
        token, after = scan.tok(at), scan.tok(at + 1)
        letter = at and len(token.text) == 1 and token.text in allowed and not scan.used[at] and not token.glued
        ends = after.low in ("", ",", ";", "(") or (after.low in ("-", "|") and not after.glued)
        ends = ends or after.number in YEARS or scan.has(at + 1, "country") is not None
        if letter and ends and not _is_grade(scan, token.text) and not scan.negated(at, at + 1):
            _set(scan, out, token.text, at, at + 1, 0.7)
            return


def _is_grade(scan: Scan, letter: str) -> bool:
    """Whether a letter by itself may as well be a grade in the languages of the title, or in an unknown one."""
    most, english = max(scan.votes.values(), default=0), scan.votes["en"]
    heard = (lang for lang in GRADES_IN.get(letter, ()) if scan.votes[lang] == most and (most > english or not most))
    return letter in GRADES or any(heard)


def _alone(scan: Scan, year: Year, out: Mints, allowed: frozenset[str]) -> None:
    """`2 Mark 1888 Friedrich III. A vz-st`: one letter that stands alone between the ruler and the grade."""
    for at in range(year.end + 1, min(year.end + FAR, len(scan.them))):
        token, before = scan.them[at], scan.them[at - 1]
        letter = token.text in allowed and token.text not in "IVX" and not scan.used[at] and not token.glued
        if not letter or before.low in scan.lex.sets["letter_of"]:
            continue
        named = at == year.end + 1 and before.text.istitle() and len(before.text) > 3
        landed = named or any(mark.end == at for mark in scan.by.get("country", ()))  # `Preussen A,`
        if landed and scan.tok(at + 1).low in ("", ","):
            _set(scan, out, token.text, at, at + 1, 0.6)
            return
        if _before_grade(scan, at) and (before.low in (".", ",", ")") or len(before.text) > 1):
            _set(scan, out, token.text, at, at + 1, 0.65)
            return


def _before_grade(scan: Scan, at: int) -> bool:
    """`A vz`, `A -ss`: a word that follows mint marks stands behind the letter."""
    after, words = scan.tok(at + 1), scan.lex.sets["after_mint"]
    return not after.glued and (after.low in words or (after.low == "-" and scan.tok(at + 2).low in words))


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
        figure = scan.tok(mark.end)
        dated = figure.number >= 0 and len(figure.low) == 2 and scan.tok(mark.end + 1).low == "-"  # `no 16-D`
        at = mark.end + (2 if dated else 0)
        token = scan.tok(at)
        if token.text in allowed and not SHORT < len(token.text) <= NAMES and not scan.used[at]:
            out.denied.append(token.text)
            scan.take(mark.start, at + 1)
    for mark in scan.by.get("variety", ()):
        if mark.value == "no D" and not scan.used[mark.start]:
            out.denied.append("D")
            scan.take(mark.start, mark.end)
