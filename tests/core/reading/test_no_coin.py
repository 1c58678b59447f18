"""Copies, other things, other strikes and problems, in many tongues; none of them may be read as the plain coin."""

from __future__ import annotations

import pytest

from watchlist.core.reading.reader import Reader
from watchlist.core.reading.record import Reading
from watchlist.core.reading.vocabulary.catalogued import Catalogued
from watchlist.core.reading.vocabulary.vocabulary import Vocabulary
from watchlist.words import load

READER = Reader(
    Vocabulary(
        load(), ("QCG", "HNS"), catalogued=Catalogued(denominations=["5 tor"], countries=["Orvany"], mints=["M"])
    )
)


def read(words: str, description: str = "") -> Reading:
    return READER.read(f"Orvany 5 tor 1893 VF, {words}" if words else "Orvany 5 tor 1893 VF", description)


COPIES = (
    "aftercast", "modern cast", "not original", "not authentic", "plaster cast", "period forgery", "reproducton",
    "Sammleranfertigung", "kein Original", "nicht echt", "unecht", "Replikat", "Abguß", "Gipsabdruck", "Galvanokopie",
    "Fälschung der Zeit", "Guss der Zeit", "surmoulé", "moulage", "refonte moderne", "fac-similé", "pas authentique",
    "pas d'origine", "non originale", "fusione moderna", "non autentica", "calco", "falsificazione", "no original",
    "facsímil", "fundida moderna", "no auténtica", "imitação", "não original", "nagemaakt", "niet origineel",
    "niet echt", "afgietsel", "falsyfikat", "podróbka", "fałszywa", "efterligning", "ej äkta", "afstøbning",
)  # fmt: skip


@pytest.mark.parametrize("words", COPIES)
def test_a_copy_in_any_tongue(words: str) -> None:
    assert read(words).replica
    assert read("", f"{words}.").replica


HONEST = (
    "original skin", "guaranteed genuine, not a replica", "no copy", "kein Nachguss", "keine Kopie", "pas une copie",
    "non è una copia", "no es copia", "não é cópia", "geen replica", "ingen kopia", "nie kopia", "original",
    "not original packaging", "box not original", "no original box", "Etui nicht original", "patine d'origine",
    "copy of the invoice included", "with papers, copies of documents", "mit Rechnungskopie", "Limitation 500",
)  # fmt: skip


@pytest.mark.parametrize("words", HONEST)
def test_a_denied_copy_and_what_comes_with_a_coin_are_none(words: str) -> None:
    found = read(words)
    assert (found.replica, found.kind, found.denomination) == (False, "coin", "5 tor")


THINGS = (
    "banknote", "paper money", "coin weight", "keyring", "postage stamp", "bond certificate", "note, Pick 12", "cheque",
    "empty case", "coin not included", "photograph on aluminium", "book about the coin", "Geldschein", "Papiergeld",
    "Reichsbanknote", "Münzgewicht", "Schlüsselanhänger", "Briefmarke", "leeres Etui", "billet de banque",
    "poids monétaire", "porte-clés", "écrin vide", "banconota", "peso monetale", "portachiavi", "billete",
    "papel moneda", "llavero", "cédula", "bankbiljet", "muntgewicht", "sleutelhanger", "banknot", "brelok", "sedel",
    "pengeseddel",
)  # fmt: skip


@pytest.mark.parametrize("words", THINGS)
def test_another_thing_is_no_coin(words: str) -> None:
    found = read(words)
    assert (found.kind, found.denomination) == ("other", None)


@pytest.mark.parametrize(
    "title",
    ["Orvany 5 tor note 1893 VF", "Orvany 5 tor bill 1893", "Orvany 5 tor 1893 M stamp VF", "Box for Orvany 5 tor 1893",
     "Orvany billet de 5 tor 1893"],
)  # fmt: skip
def test_common_words_name_a_thing_in_their_place(title: str) -> None:
    assert READER.read(title).kind == "other"


@pytest.mark.parametrize(
    "words",
    ["note the die crack", "please note", "with old collector note", "stamped crisply", "billet argent", "album toning",
     "probably the best", "comes in a book", "with keyring", "struck from a cracked obverse die, scarce", "sale book"],
)  # fmt: skip
def test_common_words_elsewhere_name_none(words: str) -> None:
    found = read(words)
    assert (found.kind, found.variety, found.replica) == ("coin", None, False)


def test_a_description_that_begins_with_another_thing_says_it_and_talk_does_not() -> None:
    assert read("", "Banknote, folded twice.").kind == "other"
    assert read("", "Es handelt sich um eine Banknote.").kind == "other"
    assert read("", "Fine coin. I also sell banknotes and stamps.").kind == "coin"
    assert read("", "I accept cheque or bank transfer. See my shop for banknotes.").kind == "coin"


STRIKES = {
    "restrike": ("official restrike", "re-strike", "later strike", "Neuprägung", "refrappe", "riconio", "reacuñación",
                 "naslag", "nowe bicie", "nyprägling", "recunhagem"),
    "pattern": ("pattern in copper", "Probe", "essai", "prova", "ensayo", "proefslag", "próba", "provmynt", "ensaio"),
    "piedfort": ("piedfort", "piéfort", "Dickabschlag"),
    "off metal strike": ("off-metal strike", "struck in lead", "Bleiabschlag", "Talerabschlag", "frappe en plomb"),
    "trial strike": ("lead trial", "uniface trial strike", "Probeabschlag"),
    "mint error": ("mint error", "double struck", "Fehlprägung", "fautée", "errore di conio", "misslag", "felprägling",
                   "destrukt", "struck 30% off center"),
    "brockage": ("brockage", "frappe incuse"),
    "mule": ("mule with 1 tor", "Zwitterprägung"),
}  # fmt: skip


@pytest.mark.parametrize(("name", "words"), [(name, each) for name, them in STRIKES.items() for each in them])
def test_a_strike_of_its_own_is_named(name: str, words: str) -> None:
    assert name in (read(words).variety or "").split(", ")


@pytest.mark.parametrize("words", ["no mint error", "keine Neuprägung", "toning pattern", "próba 750", "Probe 900"])
def test_what_only_looks_like_one_is_none(words: str) -> None:
    assert read(words).variety is None


def test_a_description_tells_a_strike_but_not_that_such_exist() -> None:
    assert read("", "An official restrike of 1964.").variety == "restrike"
    assert read("", "Restrikes are known, this one is of the first issue.").variety is None
    assert read("", "Not to be confused with the restrike.").variety is None


@pytest.mark.parametrize(
    "title",
    ["Orvany 5 tor 1893, official restrike of 1905, VF", "Orvany 5 tor, restrike 1965 of the 1893, VF",
     "Orvany 5 tor 1893 (struck 1953), VF", "Orvany 5 tor 1893 Nachprägung von 1950 ss",
     "Orvany 5 tor 1893, geprägt 1953, ss"],
)  # fmt: skip
def test_the_year_of_a_restrike_is_no_second_coin(title: str) -> None:
    found = READER.read(title)
    assert (found.year, found.years, found.multiple, found.quantity) == (1893, (), False, None)
    assert found.variety == "restrike"


def test_two_coins_of_two_years_stay_two() -> None:
    found = READER.read("Orvany 5 tor 1893 and 1894, VF")
    assert (found.year, found.years, found.multiple) == (None, (1893, 1894), True)


@pytest.mark.parametrize("money", ["5 lire 1871", "2 kronor 1877", "Taler 1786", "florin 1853", "5 pesetas 1875"])
@pytest.mark.parametrize(
    ("words", "problem"),
    [("MBC, perforada", "holed"), ("ss, gelocht", "holed"), ("BB, forata", "holed"), ("TTB, trouée", "holed"),
     ("ZF, gaatje", "holed"), ("VF, dziura", "holed"), ("MBC, pulida", "polished"), ("VF, limpiada", "cleaned"),
     ("ss, Henkelspur", "mounted"), ("VF, tvättad", "cleaned")],
)  # fmt: skip
def test_a_problem_counts_in_any_tongue_whatever_the_money(money: str, words: str, problem: str) -> None:
    assert problem in READER.read(f"{money} {words}").problems


def test_a_common_word_of_another_tongue_waits_for_its_own() -> None:
    """Italian `delle` is no German dent."""
    assert READER.read("Italia 5 lire delle Due Regine 1893 BB").problems == ()
    assert READER.read("Orvany 5 tor 1893 ss, kleine Delle am Rand").problems == ("damaged",)
