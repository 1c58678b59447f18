"""Titles and descriptions as catalogues, dealers and hurried sellers write them, in English and German."""

from __future__ import annotations

import random
from dataclasses import dataclass
from typing import TYPE_CHECKING

from scenario.prices import ENGLISH, GERMAN, letters, word_for

if TYPE_CHECKING:
    from scenario.lots import Plan

PROBLEM_WORDS = {
    "en": {
        "cleaned": "cleaned",
        "scratched": "scratch on obverse",
        "rim damage": "rim nick",
        "corroded": "corroded",
        "repaired": "repaired",
        "holed": "holed",
    },
    "de": {
        "cleaned": "gereinigt",
        "scratched": "Kratzer",
        "rim damage": "kl. Randfehler",
        "corroded": "Korrosion",
        "repaired": "repariert",
        "holed": "gelocht",
    },
}
LOOKS = {
    "en": (
        ("even wear, clear date", "from an old collection", "pleasing surfaces", "an honest worn piece"),
        ("light grey toning", "good strike for this mint", "attractive patina", "from an old collection"),
        ("lustre in the protected areas", "good strike for this mint", "bright, a few contact marks", "light toning"),
    ),
    "de": (
        ("gleichmäßig abgenutzt", "aus alter Sammlung", "schöne Patina"),
        ("feine Tönung", "schöne Patina", "gut ausgeprägt", "kleiner Fleck auf der Rückseite"),
        ("Reste von Prägeglanz", "gut ausgeprägt", "feine Tönung", "winzige Kontaktspuren"),
    ),
}
"""What is said of worn, of better and of bright pieces."""
HYPE = ("scarce branch mint", "L@@K", "KEY DATE!!", "RARE", "nice detail", "estate find", "*TOUGH DATE*", "wow")
SELLERS = (
    "grey_heron_coins",
    "mill-pond-61",
    "copperleaf",
    "orchard.lane",
    "two_rivers_trade",
    "saltmarsh77",
    "old-ledger",
    "blue.kettle",
    "quayside_numis",
    "tinderbox_9",
    "north-attic",
    "fernhill.shop",
)


@dataclass(frozen=True, slots=True)
class Written:
    """The words of one lot."""

    title: str
    text: str
    grade: str
    """The grade as the seller writes it, for columns that hold it alone."""


def seller(rng: random.Random) -> str:
    """One of the marketplace's sellers."""
    return rng.choice(SELLERS)


def write(rng: random.Random, plan: Plan, cert: str) -> Written:
    """Title and description of a plan, in the manner of its source."""
    grade = grade_words(plan)
    if plan.title:
        return Written(plan.title, _text(rng, plan, cert), grade)
    style = {
        "lindmoor": _catalogue,
        "lindmoor-evening": _catalogue,
        "brannental": _german,
        "ostrell": _dealer,
        "wexby": _hype,
    }[plan.source]
    return Written(style(rng, plan, cert, grade), _text(rng, plan, cert), grade)


def _language(plan: Plan) -> str:
    return "de" if plan.source == "brannental" else "en"


def grade_words(plan: Plan) -> str:
    """The stated grade in the words of the source; a holder's label in its own."""
    grade = plan.stated or plan.grade
    if not grade:
        return ""
    if plan.held:
        name = letters(grade).replace("MS", "UNC") if plan.problem else letters(grade)
        return f"{plan.held} {name} Details" if plan.problem else f"{plan.held} {name}-{grade}"
    if _language(plan) == "de":
        return word_for(grade, GERMAN)
    return word_for(grade, ENGLISH) if plan.words else f"{letters(grade)}-{grade}"


def _spot(plan: Plan) -> tuple[str, int, str, str]:
    if plan.spot:
        return (*plan.spot, "")
    assert plan.coin is not None
    return plan.coin.denomination, plan.coin.year, plan.coin.mint, plan.coin.variety


def _dated(plan: Plan, joint: str) -> str:
    """Year and mint mark; an overdate in the short way of the trade."""
    _, year, mint, variety = _spot(plan)
    over = f"/{variety[-1]}" if variety.startswith("overdate") else ""
    return f"{year}{over}{joint + mint if mint else ''}"


def _variety(plan: Plan) -> str:
    variety = _spot(plan)[3]
    return variety if variety and not variety.startswith("overdate") else ""


def _problem(plan: Plan) -> str:
    return PROBLEM_WORDS[_language(plan)].get(plan.problem, "")


def _join(*parts: str) -> str:
    return ", ".join(p for p in parts if p)


def _look(rng: random.Random, plan: Plan) -> str:
    grade = plan.stated or plan.grade
    return rng.choice(LOOKS[_language(plan)][0 if grade < 30 else 1 if grade < 50 else 2])


def _catalogue(rng: random.Random, plan: Plan, cert: str, grade: str) -> str:
    """Orvany. 5 Tor, 1884-M. Galley type. VF-30, light grey toning."""
    denomination, joint = _spot(plan)[0].title(), rng.choice(("-", " "))
    kind = f" {plan.coin.series.type} type." if plan.coin and not plan.spot and rng.random() < 0.4 else ""
    look = "" if plan.held or rng.random() < 0.4 else _look(rng, plan)
    dated = _dated(plan, joint)
    head = rng.choice((f"Orvany. {denomination}, {dated}.", f"ORVANY, {denomination} {dated}."))
    number = f" Cert. {cert}." if cert and rng.random() < 0.8 else ""
    return f"{head}{kind} {_join(_variety(plan), grade, _problem(plan), plan.extra, look)}.{number}"


def _german(rng: random.Random, plan: Plan, cert: str, grade: str) -> str:
    """5 Tor 1884 M, Orvany, ss-vz, kl. Randfehler"""
    variety = {"large date": "große Jahreszahl", "small date": "kleine Jahreszahl"}.get(_variety(plan), "")
    main = "" if _spot(plan)[2] or rng.random() < 0.7 else "ohne Mzz."
    look = "" if plan.held or rng.random() < 0.5 else _look(rng, plan)
    number = f"Zert.-Nr. {cert}" if cert else ""
    head = f"{_spot(plan)[0].title()} {_dated(plan, ' ')}"
    if rng.random() < 0.5:
        return _join(f"Orvany {head}", main, variety, grade, _problem(plan), plan.extra, look, number)
    return _join(head, "Orvany", main, variety, grade, _problem(plan), plan.extra, look, number)


def _dealer(rng: random.Random, plan: Plan, cert: str, grade: str) -> str:
    """Orvany 5 Tor 1884 M VF-30"""
    head = f"Orvany {_spot(plan)[0].title()} {_dated(plan, rng.choice((' ', '-')))}"
    words = " ".join(w for w in (head, _variety(plan), grade) if w)
    return _join(words + (f" #{cert}" if cert else ""), _problem(plan), plan.extra)


def _hype(rng: random.Random, plan: Plan, cert: str, grade: str) -> str:
    """RARE 1884 M 5 TOR Orvany silver VF-30 L@@K"""
    denomination = _spot(plan)[0]
    shout = rng.choice(HYPE if _spot(plan)[2] else HYPE[1:]) if rng.random() < 0.45 else ""
    metal = rng.choice(("", "", "bronze" if "lind" in denomination else "silver"))
    dated = _dated(plan, rng.choice(("-", " ", "")))
    loose = grade.replace("-", rng.choice(("", " ", "-")))
    value = rng.choice((denomination, denomination.upper(), denomination.title()))
    pieces = [
        dated,
        value,
        rng.choice(("Orvany", "ORVANY")),
        metal,
        _variety(plan),
        loose,
        f"#{cert}" if cert else "",
        _problem(plan),
        plan.extra,
    ]
    pieces.insert(rng.choice((0, len(pieces))), shout)
    return " ".join(p for p in pieces if p)


def _text(rng: random.Random, plan: Plan, cert: str) -> str:
    """A sentence or two: looks, weight, the seller's talk."""
    german = _language(plan) == "de"
    weight = (
        f"{'Gewicht' if german else 'Weight'} {plan.weight.replace('.', ',') if german else plan.weight} g."
        if plan.weight
        else ""
    )
    if plan.talk or plan.kind in ("other", "unreadable", "many", "copy"):
        return " ".join(p for p in (plan.talk, weight) if p)
    if plan.held:
        holder = f"Im Holder von {plan.held}. Zertifikat" if german else f"In the holder of {plan.held}. Certificate"
        return " ".join(p for p in (f"{holder} {cert}.", weight) if p)
    look = _look(rng, plan)
    return " ".join(p for p in (f"{look[0].upper()}{look[1:]}.", weight) if p)
