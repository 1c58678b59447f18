"""Rules of the title grammar that titles nobody here had seen first broke, each on pieces of its own."""

from __future__ import annotations

from typing import Any

import pytest

from watchlist.core.reading.reader import Reader
from watchlist.core.reading.vocabulary.catalogued import Catalogued
from watchlist.core.reading.vocabulary.vocabulary import Vocabulary
from watchlist.words import load

READER = Reader(
    Vocabulary(
        load(),
        ["QCG", "HNS"],
        catalogued=Catalogued(denominations=["10 lind", "1 tor", "5 tor"], countries=["Orvany"], mints=["M", "V", "S"]),
    )
)


@pytest.mark.parametrize(
    ("title", "fields"),
    [
        ("QCG MS65 tor 1892", {"denomination": "1 tor", "grade_low": 65}),
        ("VF-20 gulden 1872", {"denomination": "gulden", "grade_low": 20}),
        ("France VF 20 francs 1890", {"denomination": "20 francs"}),
        ("5Mark 1875E sehrschön", {"denomination": "5 mark", "mint": "E", "grade_low": 20, "grade_high": 40}),
        ("Orvany 5 tor 1889 extremelyfine", {"grade_low": 40}),
        ("Orvany 1 tor 1889-S ChXF", {"grade_low": 45, "mint": "S"}),
        ("torOrvany 1889-SVF20QCG", {"country": "Orvany", "mint": "S", "grade_low": 20, "service": "QCG"}),
        ("QCGMS63 Orvany 1 tor 1889", {"grade_low": 63, "service": "QCG"}),
        ("Duro 1885 MS-M MBC", {"grade_low": 20, "grade_high": 35, "grade_text": "MBC"}),
        ("Orvany 1 tor 1889 proof from the cased set", {"multiple": False}),
        ("Konv. 12 Silbermünzen 1/2 Mark - 5 Mark, ss", {"multiple": True, "quantity": 12, "denomination": None}),
        ("Konv.-Taler 1780 Sachsen ss", {"multiple": False, "denomination": "taler"}),
        ("rijksdaalder 1872 ZF kavel 88", {"multiple": False}),
        ("Great Britain crown 1676 V. OCTAVO VF", {"mint": None, "variety": "V. OCTAVO edge", "denomination": "crown"}),
        ("Crown 1847 UN DECIMO proof", {"denomination": "crown", "variety": "UN DECIMO edge"}),
        ("Crown 1819 LIX VF", {"variety": "LIX edge"}),
        ("Solidus Ch AU HNS 4/5 3/5", {"variety": None}),
        ("Judaea prutah over 2000 years old", {"year": None}),
        ("£2 coin 2007", {"denomination": "2 pound", "multiple": False}),
        ("Haiti 1 gourde 1881", {"denomination": "1 gourde", "country": "HT"}),
        ("Indochine piastre 1907 A TB", {"denomination": "piastre"}),
        ("Doppelgulden 1879 vz", {"denomination": "2 gulden"}),
        ("Sol 1793 AA Metz TB", {"denomination": "sol", "year": 1793}),
        ("Stuiver 1907 ZF", {"denomination": "5 cent"}),
        ("Stuiver 1738 ZF", {"denomination": "stuiver"}),
        ("Lot of 3 Orvany 1 tor 1896-M 1897-M 1899-V F-VF", {"grade_low": 12, "grade_high": 35}),
        ("Orvany 1 tor 1889-S, S looks added? VG", {"mint": "S", "problems": ("altered",)}),
        ("1853-O seated half, old New England cabinet", {"country": "US", "mint": "O"}),
        ("German States taler 1763 Saxony", {"denomination": "taler"}),
        ("Maria Theresia Taler 1780 Neuprägung", {"country": "AT"}),
        ("Germany 5 mark A 1889", {"denomination": "5 mark", "mint": "A"}),
        ("50p 2009 circulated VF", {"year": 2009}),
        ("NO RESERVE 1 tor 1889", {"denomination": "1 tor"}),
        ("1 tor 1889 VF 4,90€ Versand", {"denomination": "1 tor"}),
        ("half crown 1889 VF £30", {"denomination": "half crown"}),
        ("price 85 EUR 5 tor 1889", {"denomination": "5 tor"}),
        ("2 Euro 2007 st", {"denomination": "2 euro"}),
        ("1889 dollar XF", {"denomination": "dollar", "year": 1889}),
    ],
)  # fmt: skip
def test_a_rule(title: str, fields: dict[str, Any]) -> None:
    reading = READER.read(title)
    assert {name: getattr(reading, name) for name in fields} == fields


@pytest.mark.parametrize(
    ("title", "description", "fields"),
    [
        ("Orvany 1 tor 1889 VF", "harshly cleaned", {"problems": ("cleaned",)}),
        ("Orvany 1 tor 1889 VF", "Struck 1893-M", {"mint": None, "year": 1889}),
        ("Orvany 1 tor 1889 VF", "the 1889-S, scarce", {"mint": "S"}),
        ("Orvany 1 tor 1889 VF", "mint mark S, 36 mm", {"mint": "S"}),
        ("Orvany 1 tor 1889 VF", "Will trade for 1889-S. Old cleaning.", {"mint": None, "problems": ("cleaned",)}),
        ("Orvany 1 tor VF", "dated 1889-S", {"year": 1889, "mint": "S"}),
        ("Orvany 1889-S VF", "a 5 tor piece", {"denomination": "5 tor"}),
        ("Orvany 1 tor 1889", "I grade it VF-30", {"grade_low": 30, "unsure": ("grade",)}),
        ("Orvany 1 tor 1889 VF", "XF details", {"grade_low": 20, "problems": ("details",)}),
        ("Orvany 1 tor 1889 VF", "sharp details and lustre", {"problems": ()}),
        ("Orvany 1 tor 1889 VF", "QCG holder, cert Q771-3379", {"service": "QCG", "cert_number": "Q771-3379"}),
        ("Orvany 1 tor 1889 MS63", "prooflike fields", {"designations": ("PL",)}),
        ("Orvany 1 tor 1889 MS63", "a later copy", {"replica": True}),
    ],
)
def test_a_description_adds_what_the_title_leaves_open(title: str, description: str, fields: dict[str, Any]) -> None:
    reading = READER.read(title, description)
    assert {name: getattr(reading, name) for name in fields} == fields
