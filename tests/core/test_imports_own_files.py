# ruff: noqa: E501
"""A person's own six files, written by hand with plain columns, go in without an option: once with commas and decimal
points, once with semicolons, decimal commas, German headings and a list of cp1252."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date
from typing import Any

import pytest

from tests.core.orvany import TONGUES
from watchlist.core.coins.catalogue import Catalogue
from watchlist.core.imports import Imported
from watchlist.core.imports.context import Context
from watchlist.core.imports.driver import take
from watchlist.core.imports.kinds import KINDS
from watchlist.core.money.amount import Rates
from watchlist.core.reading.record import Reading
from watchlist.feeds.table import read_table
from watchlist.words import load

COMMAS = {
    "catalogue": """issue,country,denomination,year,mint,variety,type,mintage,metal,weight_g,diameter_mm,thickness_mm,weight_tolerance_g,copied,note
O1,Orvany,5 tor,1893,,,Crown,"1,250,000",silver .835,27.2,38.5,2.4,0.1,no,
O2,Orvany,5 tor,1893,M,,Crown,42000,silver .835,27.2,38.5,2.4,0.1,yes,added mint marks
O3,Orvany,1 tor,1901,V,wide date,Wreath,,silver .835,5.5,23,,,,
""",
    "prices": """sale_date,denomination,year,mint,variety,country,grade,certified,cert_number,problem,hammer,currency,source,status,title,quantity
2024-03-09,5 tor,1893,M,,Orvany,VF-30,,,,310,EUR,Lindmoor Sales,sold,,1
2024-06-21,5 tor,1893,M,,Orvany,45,QCG,0012345,,"1,050.00",EUR,Lindmoor Sales,sold,,1
2025-01-15,1 tor,1901,V,wide date,Orvany,XF,,,cleaned,38.50,GBP,Brannental Auctions,unsold,,1
""",
    "wants": """want_id,country,denomination,year,mint,variety,min_grade,max_grade,certified,ceiling,ceiling_currency,low,high,quantity,upgrade,priority,note
crown,Orvany,5 tor,1893,M,,VF,XF,any,400,EUR,250,450,1,,1,
,Orvany,1 tor,1901,V,wide date,40,,yes,60,GBP,,,1,yes,2,for the album
""",
    "guide": """issue,grade,low,high,currency,date
O2,VF,250,350,EUR,2025-06-01
O3,40-45,30,45,GBP,2025-06-01
""",
    "terms": """venue,kind,currency,premium_pct,min_premium,vat_on_premium_pct,shipping,tax_on_shipping,bid_steps,time_zone
Lindmoor Sales,auction,EUR,20,,19,12.50,no,0:5;100:10;500:25,Europe/Berlin
Ostrell Coins,dealer,GBP,,,,4.50,,,Europe/London
""",
    "rates": """month,currency,units_per_EUR
2025-01,GBP,0.8433
2025-06,GBP,0.8502
""",
}
SEMICOLONS = {
    "catalogue": """Ausgabe;Land;Nominal;Jahr;Münzzeichen;Variante;Typ;Auflage;Metall;Gewicht (g);Durchmesser (mm);Dicke;Toleranz;Gefälscht;Notiz
O1;Orvany;5 Tor;1893;;;Crown;1.250.000;silver .835;27,2;38,5;2,4;0,1;nein;
O2;Orvany;5 Tor;1893;M;;Crown;42.000;silver .835;27,2;38,5;2,4;0,1;ja;falsche Münzzeichen
O3;Orvany;1 Tor;1901;V;wide date;Wreath;;silver .835;5,5;23;;;;
""",
    "prices": """Datum;Nominal;Jahr;Münzzeichen;Variante;Land;Erhaltung;Zertifiziert;Zertifikat;Mängel;Zuschlag;Währung;Auktionshaus;Status;Titel;Anzahl
09.03.2024;5 Tor;1893;M;;Orvany;VF-30;;;;310,-;EUR;Lindmoor Sales;verkauft;;1
21.6.2024;5 Tor;1893;M;;Orvany;45;QCG;0012345;;1.050,00;EUR;Lindmoor Sales;verkauft;;1
15.01.2025;1 Tor;1901;V;wide date;Orvany;XF;;;cleaned;38,50;GBP;Brannental Auctions;unverkauft;;1
""",
    "wants": """Nr;Land;Nominal;Jahr;Münzzeichen;Variante;Erhaltung ab;Erhaltung bis;Zertifiziert;Obergrenze;Währung;Tief;Hoch;Anzahl;Aufwerten;Priorität;Notiz
crown;Orvany;5 Tor;1893;M;;VF;XF;egal;400,00;EUR;250;450;1;;1;
;Orvany;1 Tor;1901;V;wide date;40;;ja;60;£;;;1;ja;2;for the album
""",
    "guide": """Ausgabe;Erhaltung;Tief;Hoch;Währung;Stand
O2;VF;250,00;350,00;EUR;1.6.2025
O3;40-45;30,00;45,00;GBP;1.6.2025
""",
    "terms": """Auktionshaus;Art;Währung;Aufgeld;Mindestaufgeld;MwSt auf Aufgeld;Versand;Versand besteuert;Gebotsschritte;Zeitzone
Lindmoor Sales;Auktion;EUR;20;;19;12,50;nein;"0:5;100:10;500:25";Europe/Berlin
Ostrell Coins;Händler;GBP;;;;4,50;;;Europe/London
""",
    "rates": """Monat;Währung;Einheiten je EUR
2025-01;GBP;0,8433
2025-06;GBP;0,8502
""",
}


class PlainReader:
    """No title has to be read here, and the denominations are plain."""

    def read(self, title: str, description: str = "", fields: Mapping[str, str] = {}, /) -> Reading:
        return Reading(title)

    def canonical_denomination(self, text: str, country: str = "", /) -> str:
        return " ".join(text.lower().split())


def bring_in(files: Mapping[str, str], encoding: str) -> dict[str, Imported[Any]]:
    """All six files, in the order a person brings them: what one gives, the next uses."""
    read: dict[str, Imported[Any]] = {}
    catalogue, rates = Catalogue((), TONGUES), None
    for kind in ("catalogue", "rates", "terms", "prices", "wants", "guide"):
        table = read_table(files[kind].encode(encoding), synonyms=load("columns"), kind=kind)
        assert table.troubles == ()
        assert table.unknown == ()
        context = Context(PlainReader(), load(), "EUR", date(2026, 3, 1), catalogue, rates=rates)
        read[kind] = take(KINDS[kind], table, context)
        assert read[kind].set_aside == ()
        if kind == "catalogue":
            catalogue = Catalogue(read[kind].records, TONGUES)
        elif kind == "rates":
            rates = Rates("EUR", {(row.currency, row.month): row.units for row in read[kind].records})
    return read


@pytest.mark.parametrize("encoding", ["utf-8", "utf-8-sig", "utf-16"])
def test_with_commas(encoding: str) -> None:
    read = bring_in(COMMAS, encoding)
    assert [len(one.records) for one in read.values()] == [3, 2, 2, 3, 2, 2]
    assert [(issue.key, issue.mintage, issue.weight_g, issue.copied) for issue in read["catalogue"].records] == [
        ("O1", 1_250_000, 27.2, False),
        ("O2", 42_000, 27.2, True),
        ("O3", None, 5.5, False),
    ]
    assert [
        (price.issue, str(price.price), price.grade_low, price.grade_high, price.certified, price.status)
        for price in read["prices"].records
    ] == [
        ("O2", "310 EUR", 30, 30, False, "sold"),
        ("O2", "1,050 EUR", 45, 45, True, "sold"),
        ("O3", "38.50 GBP", 40, 45, False, "unsold"),
    ]
    assert [
        (want.id, want.mint, want.variety, want.min_grade, want.max_grade, str(want.ceiling), want.certified)
        for want in read["wants"].records
    ] == [("crown", "M", None, 20, 45, "400 EUR", False), ("w1", "V", "wide date", 40, None, "60 GBP", True)]
    assert [(row.issue, row.grade_low, row.grade_high, row.low) for row in read["guide"].records] == [
        ("O2", 20, 35, 250.0),
        ("O3", 40, 45, pytest.approx(35.29)),
    ]


def test_with_semicolons_says_the_same() -> None:
    commas, semicolons = bring_in(COMMAS, "utf-8"), bring_in(SEMICOLONS, "cp1252")
    for kind in ("rates", "terms", "prices", "wants", "guide"):
        assert semicolons[kind].records == commas[kind].records, kind
    assert [issue.mintage for issue in semicolons["catalogue"].records] == [1_250_000, 42_000, None]
