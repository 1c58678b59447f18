"""Varieties compared by meaning: the words of many tongues become one set of plain words."""

from __future__ import annotations

import re
from collections.abc import Mapping
from functools import lru_cache

from watchlist.core.coins.issue import Issue, bare_words

WORDS: Mapping[str, str] = {
    "small": "kleine kleines kleiner klein kl sm petite petit petites petits pequena pequeno pequenas piccola piccolo"
             " piccole liten litet lille smaller",
    "large": "grosse grosses grosser gross groesse gr lg lrg grande grand grandes grands grandi groot grote stor"
             " stort store larger big",
    "wide": "breite breites breiter breit ancha ancho larga larghe breed brede bred weite weit",
    "narrow": "enge enges enger eng schmale schmal close etroite etroit estrecha stretta smal smalle",
    "high": "hohe hohes hoch haute alta hoog hoge",
    "low": "tiefe niedrige basse baja bassa lage",
    "open": "offene offenes offen ouvert ouverte abierto abierta aperto aperta",
    "closed": "geschlossene geschlossenes ferme fermee cerrado cerrada chiuso chiusa gesloten",
    "date": "jahreszahl jahrzahl jz datum fecha data jaartal millesime arstal aarstal artal aartal dato jahr",
    "letters": "buchstaben schrift lettering lettres letras lettere ltrs legende",
    "head": "kopf tete cabeza testa hoofd hode",
    "edge": "rand tranche canto bordo kant",
    "plain": "glatter glatte glatt lisse liso liscio gladde",
    "reeded": "geriffelter geriffelt cannelee estriado rigato kartelrand",
    "stars": "sterne stern star etoiles etoile estrellas estrella stelle stella sterren",
    "no": "ohne without sans sin senza zonder utan uden uten kein keine keinen not nicht non pas niet geen ikke inte"
          " ej sem nao bez nie w/o never lacks lacking aucun aucune nessun nessuna ningun ninguna nor neither",
    "with": "mit avec con met med com w w/",
    "mintmark": "munzzeichen mzz mm muntteken",
    "dot": "punkt point punto punt ponto kropka kropki kropke prik prikk",
    "plume": "feder plumet piuma pluma pluim plym",
    "berries": "beeren baies bacche bayas bessen",
    "rose": "rosa roos",
    "bust": "buste busto bueste borstbeeld brustbild",
    "below": "under beneath unter sous sotto bajo onder sob",
    "above": "dessus boven sopra encima oberhalb",
    "2": "two zwei deux twee",
    "3": "three drei trois tre tres drie",
    "4": "four vier quatre quattro cuatro",
    "5": "five funf cinq cinque cinco vijf",
    "overdate": "uberpragung ueberpragung ueberpraegung uberpraegung uberpragt sobrefecha surdate sovradata over uber"
                " ueber sur sobre su op",
}  # fmt: skip
"""Plain words of varieties, and what other tongues say for them, folded. Common usage of the trade, from memory."""
MEANT = {word: plain for plain, words in WORDS.items() for word in words.split()}
EMPTY = frozenset(("the", "der", "die", "das", "la", "le", "les", "el", "il", "de", "di", "des", "van", "var"))
"""Words that tell no variety from another."""
_MINT_MARK = re.compile(r"\bmint mark\b")
_OVER = re.compile(r"\d*(\d)\s*/\s*\d*(\d)")
_OVER_WORD = re.compile(r"\b(\d+) (?:over|uber|ueber|sur|sobre|su|op) (\d+)\b")


def of_variety(issues: list[Issue], variety: str | None) -> list[Issue]:
    """The issues of a variety; None prefers plain issues. No issue of that variety: an empty list."""
    if variety is None:
        return [issue for issue in issues if not issue.variety] or issues
    wanted = bare_words(variety)
    exact = [issue for issue in issues if bare_words(issue.variety) == wanted]
    if exact or not wanted:
        return exact
    return [issue for issue in issues if issue.variety and _alike(bare_words(issue.variety), wanted)]


def _alike(one: str, other: str) -> bool:
    """One wording holds all words of the other: `overdate 3/2` and `3/2 overdate`, `3/2` and `1893/2` by its end."""
    mine, yours = meaning(one), meaning(other)
    if any(f"-{word}" in yours for word in mine) or any(f"-{word}" in mine for word in yours):
        return False  # one has what the other denies
    if mine == {"overdate"} or yours == {"overdate"}:  # without its figures it may be any
        return any("/" in word for word in mine | yours) or mine == yours
    return mine <= yours or yours <= mine or one.endswith(other) or other.endswith(one)


@lru_cache(maxsize=4096)
def meaning(variety: str) -> frozenset[str]:
    """The plain words of a variety, those it denies with a dash; `1887/6`, `87/86` and `overdate 7/6` are `7/6`."""
    text = _OVER_WORD.sub(r"\1/\2", _MINT_MARK.sub("mintmark", bare_words(variety)))
    words = [_OVER.sub(r"\1/\2", word) for word in text.split()]
    said = [MEANT.get(word, word) for word in words]
    figures = any("/" in word for word in said)
    told = [w for w in said if not (figures and w == "overdate") and w not in EMPTY]
    return frozenset(signed(told)) or frozenset(said)


def signed(words: list[str]) -> list[str]:
    """The words behind a `no` with a dash before them, up to a `with`; `no` and `with` themselves are left out."""
    out: list[str] = []
    sign, before = "", ""
    for word in words:
        if word == "no":
            sign = "-"
        elif word != "with":
            out.append(sign + word)
        elif before != "no":  # `not with plume` goes on denying
            sign = ""
        before = word
    return out
