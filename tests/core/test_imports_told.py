"""Imports of files that others made: what their headings mean, and what is said of what does not fit."""

from __future__ import annotations

from datetime import date
from decimal import Decimal
from typing import Any

import pytest

from tests.core.orvany import TONGUES
from watchlist.core.coins.catalogue import Catalogue
from watchlist.core.coins.issue import Issue
from watchlist.core.imports import Imported, ImportRefused
from watchlist.core.imports.coin import UNKNOWN_UNIT
from watchlist.core.imports.context import Context
from watchlist.core.imports.driver import take
from watchlist.core.imports.kinds import KINDS
from watchlist.core.reading.record import Reading
from watchlist.feeds.table import read_table
from watchlist.words import load

CATALOGUE = Catalogue([Issue("O1", "Orvany", "5 tor", 1893, "V"), Issue("O2", "Orvany", "5 tor", 1894, "V")], TONGUES)


class Reader:
    """Stands for the title reader, which these files do not need."""

    def read(self, title: str, description: str = "", fields: Any = None, /) -> Reading:
        return Reading(title, grade_low=45, grade_high=58)

    def canonical_denomination(self, text: str, country: str = "", /) -> str:
        return text.casefold()


def imported(kind: str, text: str, catalogue: Catalogue = CATALOGUE, reader: Any = None) -> Imported[Any]:
    words = {name: load(name) for name in ("columns", "money", "times", "grades", "traits")}
    context = Context(reader or Reader(), words, "EUR", date(2026, 3, 10), catalogue)
    return take(KINDS[kind], read_table(text.encode(), synonyms=words["columns"], kind=kind), context)


@pytest.mark.parametrize(
    ("heading", "sold", "unsold"),
    [
        ("Ergebnis", "verkauft", "unverkauft"),
        ("Resultado", "vendido", "desierto"),
        ("Résultat", "vendu", "invendu"),
        ("Result", "sold", "bought in"),
        ("Esito", "aggiudicato", "invenduto"),
        ("Resultaat", "verkocht", "onverkocht"),
    ],
)
def test_a_result_column_of_words_is_a_status(heading: str, sold: str, unsold: str) -> None:
    """Otherwise every unsold lot of the list counts as a sale at its start price."""
    made = imported(
        "prices",
        f"sale date;denomination;year;mint;grade;hammer;currency;{heading}\n"
        f"2025-01-02;5 tor;1893;V;45;40,00;EUR;{sold}\n"
        f"2025-01-03;5 tor;1893;V;45;40,00;EUR;{unsold}\n",
    )
    assert [sale.status for sale in made.records] == ["sold", "unsold"]


def test_a_result_column_of_figures_is_still_the_price() -> None:
    made = imported(
        "prices", "Datum;Nominal;Jahr;Mzz;Erhaltung;Ergebnis;Währung\n02.01.2025;5 tor;1893;V;45;40,00;EUR\n"
    )
    assert str(made.records[0].price) == "40 EUR"


@pytest.mark.parametrize("yes", ["sì", "sí", "ja", "oui", "x"])
@pytest.mark.parametrize("heading", ["Kopien", "copie", "copias", "faux", "copied", "namaak"])
def test_copied_in_six_languages(heading: str, yes: str) -> None:
    made = imported("catalogue", f"issue;country;denomination;year;{heading}\nO1;Orvany;5 tor;1893;{yes}\n")
    assert made.records[0].copied


def test_certified_in_italian_is_no_service() -> None:
    made = imported(
        "prices",
        "Data asta;Nominale;Anno;Zecca;Grado;Periziata;Prezzo;Valuta\n"
        "02/01/2025;5 tor;1893;V;45;sì;40;EUR\n13/01/2025;5 tor;1893;V;45;no;40;EUR\n",
    )
    assert [(sale.certified, sale.service) for sale in made.records] == [(True, ""), (False, "")]


def test_an_unreadable_figure_is_told_once_with_its_number_of_lines() -> None:
    rows = "".join(f"O{n};Orvany;5 tor;{1890 + n};scarce\n" for n in range(5))
    made = imported("catalogue", f"issue;country;denomination;year;mintage\n{rows}")
    assert len(made.notes) == 1
    assert "line 2" in made.notes[0]
    assert "4 more lines" in made.notes[0]
    unknown = imported("catalogue", "issue;country;denomination;year;mintage\nO1;Orvany;5 tor;1893;n.c.\n")
    assert (unknown.records[0].mintage, unknown.notes) == (None, ())


def test_a_table_with_nothing_that_a_catalogue_says_is_none() -> None:
    """Country, denomination and year alone stand in every file of one's own: a want-list would pass for a catalogue."""
    with pytest.raises(ImportRefused, match=r"not a valid catalogue\. Missing: `issue` or `mintage`"):
        imported("catalogue", "country;denomination;year\nOrvany;5 tor;1893\n")


def test_a_title_with_a_denomination_that_nobody_knows_says_what_teaches_it() -> None:
    """Told once for the file, whatever the number of its rows."""

    class Unknowing(Reader):
        def read(self, title: str, description: str = "", fields: Any = None, /) -> Reading:
            return Reading(title, year=1901, grade_low=45, grade_high=58)

    rows = "".join(f"2025-01-0{n};Veldmark 2 dront 190{n};XF;40;EUR\n" for n in range(1, 5))
    made = imported("prices", f"sale date;title;grade;hammer;currency\n{rows}", reader=Unknowing())
    assert len(made.set_aside) == 4
    assert "names no denomination that is known" in str(made.set_aside[0])
    assert [note for note in made.notes if "import catalogue" in note] == [UNKNOWN_UNIT]


def test_a_slip_of_a_country_shows_beside_a_catalogue() -> None:
    """A name nearly the catalogue's is asked about; one that is far from all is kept, and a note says so."""
    body = "sale date;country;denomination;year;mint;grade;hammer;currency\n2025-01-02;Orvnay;5 tor;1893;V;45;40;EUR\n"
    asked = imported("prices", body)
    assert "country `Orvnay` is not in your catalogue, which has Orvany" in str(asked.set_aside[0])
    assert not asked.records
    assert any("Skandia 5 tor 1893-V" in note for note in imported("prices", body.replace("Orvnay", "Skandia")).notes)
    alone = imported("prices", body, Catalogue((), TONGUES))
    assert (len(alone.records), any("Orvnay" in note for note in alone.notes)) == (1, False)


def test_low_and_high_of_a_want_share_the_currency_of_its_ceiling() -> None:
    made = imported("wants", "denomination;year;mint;min grade;ceiling;low;high\n5 tor;1893;V;45;$300;100;250 GBP\n")
    (want,) = made.records
    assert [str(amount) for amount in (want.ceiling, want.low, want.high)] == ["300 USD", "100 USD", "250 GBP"]


def test_no_mint_is_not_any_mint() -> None:
    made = imported(
        "wants", "denomination;year;mint;min grade;certified;ceiling\n5 tor;1893;V;45;indifférent;300 EUR\n"
    )
    assert (made.records[0].mint, made.records[0].certified) == ("V", False)


def test_tiers_keep_the_minimum_of_its_own_column() -> None:
    tiers = '"{""kind"": ""tiers_whole"", ""tiers"": [[""1000"", ""25""], [null, ""20""]]}"'
    made = imported("terms", f"venue;currency;premium tiers;min premium\nNorth;EUR;{tiers};10,50\n")
    assert str(made.records[0].premium.of(Decimal(10))) == "10.50"
    assert str(made.records[0].premium.of(Decimal(100))) == "25.00"


def test_rates_per_euro_in_german() -> None:
    made = imported("rates", "Monat;Währung;Einheiten pro EUR\n2026-01;CHF;0,95\n")
    assert str(made.records[0].units) == "0.95"


def test_a_month_in_the_future_is_quoted_as_it_stands() -> None:
    made = imported("rates", "month;currency;units_per_EUR\n2026-03-15;CHF;0.95\n")
    assert "`2026-03-15` lies in the future" in str(made.set_aside[0])
