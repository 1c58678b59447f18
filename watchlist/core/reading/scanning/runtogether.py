"""Words that a seller has run together, cut apart where both parts are known: `ChXF`, `torOrvany`, `1889-SVF20`."""

from __future__ import annotations

from watchlist.core.reading.vocabulary.lexicon import Lexicon
from watchlist.core.reading.vocabulary.tokens import WORD, YEARS, Token

NAMED = 4
"""Fewest letters of a name that may follow a mint mark without a blank."""
NAMED_BEHIND = frozenset(("coin", "unit", "number"))
"""Kinds of words that an apostrophe parts from their article."""
LETTERS = 2
"""Most letters of a mint mark that stands before a grade without a blank."""


def parted(them: list[Token], lex: Lexicon) -> list[Token]:
    """The tokens, with words run together as two."""
    out = them
    for at in range(len(them) - 1, -1, -1):
        token = them[at]
        if "'" in token.low and (cut := _elided(token, lex)):
            article, word = _halves(token, cut)
            out = [*out[:at], article._replace(low=article.low[:-1]), word._replace(glued=False), *out[at + 1 :]]
            continue
        if token.kind != WORD or len(token.low) < 2 or (token.text == token.low and not token.glued):
            continue
        if cut := _before_grade(them, at, lex) or _behind_year(them, at, lex) or _capital(token, lex):
            out = [*out[:at], *_halves(token, cut), *out[at + 1 :]]
    return out


def _elided(token: Token, lex: Lexicon) -> int:
    """`l'écu`, `mezz'anna`: an article before the apostrophe, and behind it a coin, a unit or a number."""
    head, _, tail = token.low.partition("'")
    node = lex.phrases.root.get(tail) if head in lex.sets["elided"] else None
    known = node is not None and any(sense.kind in NAMED_BEHIND for sense in node.found)
    return len(head) + 1 if known else 0


def _halves(token: Token, cut: int) -> list[Token]:
    middle = token.start + cut
    first = Token(token.text[:cut], token.low[:cut], token.start, middle, WORD, token.glued, -1)
    return [first, Token(token.text[cut:], token.low[cut:], middle, token.end, WORD, True, -1)]


def _capital(token: Token, lex: Lexicon) -> int:
    """Where a capital follows a small letter and both parts are words of the lists."""
    text = token.text
    plainly_cased = len(text) < 3 or text == token.low or text.isupper() or text.istitle()
    if plainly_cased or token.low in lex.phrases.root or token.low in lex.grade_words:
        return 0
    for cut in range(1, len(text)):
        known = _known(token.low[:cut], lex) and _known(token.low[cut:], lex)
        if text[cut].isupper() and text[cut - 1].islower() and known:
            return cut
    return 0


def _known(word: str, lex: Lexicon) -> bool:
    return word in lex.phrases.root or word in lex.grade_parts or word in lex.services


def _behind_year(them: list[Token], at: int, lex: Lexicon) -> int:
    """`omorgan` right behind a year: a mint mark and the name of the piece."""
    token = them[at]
    year = token.glued and at > 0 and len(them[at - 1].low) == 4 and them[at - 1].number >= YEARS[0]
    if not year or token.low in lex.phrases.root or token.low in lex.grade_words:
        return 0
    for cut in range(1, LETTERS + 1):
        tail = token.low[cut:]
        if len(tail) >= NAMED and (tail in lex.phrases.root or tail in lex.grade_words):
            return cut
    return 0


def _before_grade(them: list[Token], at: int, lex: Lexicon) -> int:
    """`SVF` behind a year, `QCGMS` before a number: a mint mark or a service and the prefix of a grade."""
    token = them[at]
    place = at + 1 + (at + 1 < len(them) and them[at + 1].low == "-" and them[at + 1].glued)
    if place >= len(them) or not (them[place].glued and 0 < them[place].number <= 70) or token.low in lex.prefixes:
        return 0
    dated = token.glued and at > 0 and them[at - 1].low[-1:] in "-0123456789"
    for cut in range(1, len(token.low)):
        head, tail = token.low[:cut], token.low[cut:]
        if tail in lex.prefixes and (head in lex.services or (dated and cut <= LETTERS)):
            return cut
    return 0
