"""Rows of a person's own files to records, kind by kind. Every row is a record or is set aside with a sentence."""

from __future__ import annotations

import tomllib
from collections.abc import Mapping
from dataclasses import replace
from datetime import date
from decimal import Decimal
from importlib.resources import files
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from watchlist.core.coins.catalogue import Catalogue, Issue
from watchlist.core.imports import Imported, ImportRefused, Table
from watchlist.core.imports.catalogue import catalogue_rows
from watchlist.core.imports.context import Context
from watchlist.core.imports.guide import guide_rows
from watchlist.core.imports.prices import price_rows
from watchlist.core.imports.rates import RateRow, rate_rows
from watchlist.core.imports.terms import terms_rows
from watchlist.core.imports.wants import want_rows
from watchlist.core.marks.wants import Want
from watchlist.core.money.amount import Money, Rates
from watchlist.core.prices.realised import PriceRealised
from watchlist.core.reading.record import Reading
from watchlist.feeds.table import read_table

WORDS: dict[str, Any] = {
    path.name.removesuffix(".toml"): tomllib.loads(path.read_text("utf-8"))
    for path in files("watchlist.words").iterdir()
    if path.name.endswith(".toml")
}
TODAY = date(2026, 3, 1)
CATALOGUE = Catalogue(
    [
        Issue("t1", "Orvany", "5 tor", 1899),
        Issue("t2", "Orvany", "5 tor", 1899, "M"),
        Issue("t3", "Orvany", "5 tor", 1900, "M"),
        Issue("t4", "Orvany", "5 tor", 1900, "V"),
        Issue("t5", "Orvany", "1 tor", 1899),
        Issue("t6", "Orvany", "1 tor", 1899, "", "wide date"),
    ]
)


GRADES = {"VF": (20, 30), "XF": (40, 45)}


class FakeReader:
    """Stands for the title reader: titles of the form `5 tor 1899-M VF`."""

    def read(self, title: str, description: str = "", fields: Mapping[str, str] = {}, /) -> Reading:
        words = title.split()
        if "tor" not in words or len(words) < 3:
            return Reading(title, problems=("cleaned",) if "brushed" in title else ())
        year, _, mint = words[2].partition("-")
        made = Reading(title, denomination=" ".join(words[:2]), year=int(year), mint=mint or None)
        made = replace(made, replica="copy" in words)
        graded = GRADES.get(words[3]) if len(words) > 3 else None
        return replace(made, grade_low=graded[0], grade_high=graded[1], grade_text=words[3]) if graded else made

    def canonical_denomination(self, text: str, country: str = "", /) -> str:
        return " ".join(text.lower().split())


def context(**options: Any) -> Context:
    made: dict[str, Any] = {
        "reader": FakeReader(),
        "words": WORDS,
        "home": "EUR",
        "today": TODAY,
        "catalogue": CATALOGUE,
        "file": "mine.csv",
    }
    return Context(**(made | options))


def table(text: str, kind: str) -> Table:
    return read_table(text.encode(), synonyms=WORDS["columns"], kind=kind)


def catalogue(text: str) -> Imported[Issue]:
    return catalogue_rows(table(text, "catalogue"), context())


def prices(text: str, **options: Any) -> Imported[PriceRealised]:
    return price_rows(table(text, "prices"), context(**options))


def wants(text: str, **options: Any) -> Imported[Want]:
    return want_rows(table(text, "wants"), context(**options))


# --- catalogue


def test_catalogue() -> None:
    read = catalogue(
        "issue;country;denomination;year;mint;mintage;metal;weight_g;diameter_mm;copied;note\n"
        "a;Orvany;5  Tor;1899;;1.250.000;silver .835;27,2;38,5;no;\n"
        "b;Orvany;5 Tor;1899;M;1,250,000;;27.2 g;38.5 mm;ja;\n"
        "c;Orvany;5 tor;-44;;1 250 000;;;;;counterfeits known\n"
        "d;Orvany;5 tor;AD 79;-;1.2 Mio.;;;;;no counterfeits known\n"
        "e;Orvany;5 tor;1901/0;none;?;;;;counterfeits known;\n"
    )
    assert read.set_aside == ()
    a, b, c, d, e = read.records
    assert a == Issue(
        "a", "Orvany", "5 tor", 1899, mintage=1_250_000, metal="silver .835", weight_g=27.2, diameter_mm=38.5
    )
    assert (b.mint, b.mintage, b.weight_g, b.diameter_mm, b.copied) == ("M", 1_250_000, 27.2, 38.5, True)
    assert (c.year, c.mintage, c.copied) == (-44, 1_250_000, True)
    assert (d.year, d.mintage, d.copied, d.mint) == (79, 1_200_000, False, "")
    assert (e.year, e.variety, e.mintage, e.copied, e.mint) == (1901, "1901/0", None, True, "")


def test_a_catalogue_row_that_cannot_be_used_names_line_and_value() -> None:
    read = catalogue(
        "issue,country,denomination,year\na,Orvany,5 tor,unknown\n,Orvany,5 tor,1899\nb,,5 tor,1899\n"
        "c,Orvany,,1899\nd,Orvany,5 tor,99\ne,Orvany,5 tor,1895-1899\n"
    )
    assert read.records == ()
    assert [str(one) for one in read.set_aside] == [
        "line 2: the year `unknown` is no single year; the row is set aside",
        "line 3: the issue, its key, is missing; the row is set aside",
        "line 4: the country is missing; the row is set aside",
        "line 5: the denomination is missing; the row is set aside",
        "line 6: the year `99` may be short for a year; write all four figures, or AD; the row is set aside",
        "line 7: the year `1895-1899` is no single year; the row is set aside",
    ]


def test_a_figure_of_the_specification_that_cannot_be_read_is_left_open() -> None:
    read = catalogue("issue,country,denomination,year,mintage,weight_g\na,Orvany,5 tor,1899,many,heavy\n")
    assert (read.records[0].mintage, read.records[0].weight_g) == (None, None)
    assert any("line 2: the mintage `many`" in note for note in read.notes)


def test_of_a_key_given_twice_the_last_row_counts_and_is_named() -> None:
    read = catalogue("issue,country,denomination,year\na,Orvany,5 tor,1899\na,Orvany,5 tor,1900\n")
    assert [issue.year for issue in read.records] == [1900]
    assert str(read.set_aside[0]) == "line 2: the issue a stands again at line 3, which counts"


# --- prices

HEAD = "sale_date,country,denomination,year,mint,grade,certified,hammer,currency,source,status\n"


def test_prices() -> None:
    read = prices(
        HEAD + "2024-03-01,Orvany,5 tor,1899,M,VF,,120.50,EUR,Northgate Sales,sold\n"
        "2024-03-02,Orvany,5 tor,1899,,63,QCG,1250,GBP,Northgate Sales,\n"
        "2024-03-03,Orvany,5 tor,1900,V,40-45,yes,80,EUR,,unsold\n"
    )
    assert read.set_aside == ()
    first, second, third = read.records
    assert first == PriceRealised(
        0,
        "t2",
        date(2024, 3, 1),
        Money(Decimal("120.50"), "EUR"),
        "hammer",
        20,
        35,
        "VF",
        venue="Northgate Sales",
        origin="mine.csv line 2",
    )
    assert (second.issue, second.grade_low, second.grade_high, second.certified, second.service) == (
        "t1",
        63,
        63,
        True,
        "QCG",
    )
    assert second.price == Money(Decimal(1250), "GBP")
    assert (third.issue, third.grade_low, third.grade_high, third.certified, third.status) == (
        "t4",
        40,
        45,
        True,
        "unsold",
    )


@pytest.mark.parametrize(
    ("row", "why"),
    [
        ("2024-03-01,Orvany,5 tor,1899,M,VF,,abc,EUR,,", "the price `abc` is no amount"),
        ("2024-03-01,Orvany,5 tor,1899,M,VF,,,EUR,,", "the price is missing"),
        ("2024-03-01,Orvany,5 tor,1899,M,VF,,0,EUR,,", "the price `0` is nothing"),
        ("2024-03-01,Orvany,5 tor,1899,M,VF,,,EUR,,passed", "the lot was not sold, and no price is given"),
        ("2024-02-30,Orvany,5 tor,1899,M,VF,,5,EUR,,", "the sale date `2024-02-30` is no day of the calendar"),
        ("2027-02-28,Orvany,5 tor,1899,M,VF,,5,EUR,,", "the sale date `2027-02-28` lies in the future"),
        (",Orvany,5 tor,1899,M,VF,,5,EUR,,", "the sale date is missing"),
        ("03/04/2024,Orvany,5 tor,1899,M,VF,,5,EUR,,", "the sale date `03/04/2024` can be read two ways"),
        ("2024,Orvany,5 tor,1899,M,VF,,5,EUR,,", "the sale date `2024` is no date"),
        ("2024-03-01,Orvany,5 tor,1899,M,odd,,5,EUR,,", "the grade `odd` is no grade known here"),
        ("2024-03-01,Orvany,5 tor,1899,M,71,,5,EUR,,", "the grade `71` is no grade known here"),
        (
            "2024-03-01,Orvany,5 tor,1899,S,VF,,5,EUR,,",
            "the catalogue knows the series and lists no Orvany 5 tor 1899-S",
        ),
        ("2024-03-01,Orvany,5 tor,1899,M,VF,,5,QQQ,,", "the price `QQQ` is no currency known here"),
        ("2024-03-01,Orvany,5 tor,1899,M,VF,,5,EUR,,perhaps", "the status `perhaps` is neither sold nor unsold"),
    ],
)
def test_a_price_that_cannot_be_used(row: str, why: str) -> None:
    read = prices(HEAD + row + "\n")
    assert read.records == ()
    assert str(read.set_aside[0]).startswith(f"line 2: {why}")


def test_the_column_decides_the_order_of_day_and_month() -> None:
    def days(*texts: str) -> list[date]:
        rows = "".join(f"{text},5 tor,1899,M,VF,5,EUR\n" for text in texts)
        read = prices("sale_date,denomination,year,mint,grade,hammer,currency\n" + rows)
        return [price.sale_date for price in read.records]

    assert days("03/04/2024", "25/04/2024") == [date(2024, 4, 3), date(2024, 4, 25)]
    assert days("03/04/2024", "04/25/2024") == [date(2024, 3, 4), date(2024, 4, 25)]
    assert days("03.04.2024", "3.4.24", "20240403", "2024/04/03") == [date(2024, 4, 3)] * 4
    assert days("3 April 2024", "3. April 2024", "3 avril 2024") == [date(2024, 4, 3)] * 3
    assert days("05/05/2024") == [date(2024, 5, 5)]


def test_semicolons_and_decimal_commas() -> None:
    read = prices(
        "datum;nominal;jahr;münzzeichen;erhaltung;zuschlag;währung\n"
        "1.3.2024;5 Tor;1899;M;VF;1.250,00;€\n2.3.2024;5 Tor;1899;M;VF;80,5;EUR\n"
    )
    assert [str(price.price) for price in read.records] == ["1,250 EUR", "80.50 EUR"]


def test_all_in_beside_hammer() -> None:
    read = prices(
        "sale_date,denomination,year,mint,grade,hammer,all_in,currency\n"
        "2024-03-01,5 tor,1899,M,VF,100,120,EUR\n2024-03-01,5 tor,1899,M,VF,,60,EUR\n"
    )
    assert [(str(price.price), price.kind) for price in read.records] == [("100 EUR", "hammer"), ("60 EUR", "all-in")]
    assert "hammer and all_in" in read.notes[0]


def test_prices_without_a_currency_column() -> None:
    text = "sale_date,denomination,year,mint,grade,hammer\n2024-03-01,5 tor,1899,M,VF,100\n"
    assert prices(text).records[0].price.currency == "EUR"
    assert "home currency" in prices(text).notes[0]
    assert prices(text, currency="GBP").records[0].price.currency == "GBP"
    assert prices(text, currency="GBP").notes == ()


def test_the_title_says_what_the_columns_do_not() -> None:
    read = prices(
        "sale_date,title,hammer,currency\n2024-03-01,5 tor 1899-M VF,100,EUR\n2024-03-01,a nice coin,5,EUR\n"
        "2024-03-01,5 tor 1899-M XF copy,100,EUR\n"
    )
    assert (read.records[0].issue, read.records[0].grade_low) == ("t2", 20)
    assert read.records[1].replica
    assert "line 3" in str(read.set_aside[0])
    assert "`a nice coin`" in str(read.set_aside[0])


def test_an_issue_of_an_unknown_series_is_implied_once() -> None:
    read = prices(HEAD + "2024-03-01,Sundland,2 krem,1870,,VF,,5,EUR,,\n2024-03-02,Sundland,2 krem,1870,,XF,,9,EUR,,\n")
    assert [issue.name for issue in read.issues] == ["Sundland 2 krem 1870"]
    assert read.issues[0].implied
    assert {price.issue for price in read.records} == {read.issues[0].key}


def test_without_a_mint_column_the_unmarked_issue_is_meant() -> None:
    read = prices(
        "sale_date,denomination,year,grade,hammer\n2024-03-01,5 tor,1899,VF,5\n2024-03-01,5 tor,1899-M,VF,5\n"
        "2024-03-01,5 tor,1900,VF,5\n"
    )
    assert [price.issue for price in read.records] == ["t1", "t2"]
    assert "several issues" in read.set_aside[0].why


def test_varieties_keys_and_problems() -> None:
    read = prices(
        "sale_date,issue,denomination,year,variety,grade,problem,hammer\n2024-03-01,t6,,,,VF,cleaned,5\n"
        "2024-03-01,,1 tor,1899,wide date,VF,rim damage,5\n2024-03-01,,1 tor,1899,,XF details,,5\n"
        "2024-03-01,,1 tor,1899,,VF,brushed,5\n2024-03-01,,1 tor,1899,,VF,odd,5\n"
    )
    assert [price.issue for price in read.records] == ["t6", "t6", "t5", "t5", "t5"]
    assert [price.problems for price in read.records] == [
        ("cleaned",),
        ("rim_damage",),
        ("details",),
        ("cleaned",),
        ("damaged",),
    ]
    assert any("`odd`" in note for note in read.notes)


def test_a_file_without_dates_or_prices_is_refused() -> None:
    with pytest.raises(ImportRefused, match="sale_date"):
        prices("denomination,year,hammer\n5 tor,1899,5\n")
    with pytest.raises(ImportRefused, match="hammer"):
        prices("sale_date,denomination,year\n2024-03-01,5 tor,1899\n")


# --- wants


def test_wants() -> None:
    read = wants(
        "want_id,country,denomination,year,mint,min_grade,max_grade,certified,ceiling,low,high,quantity,"
        "upgrade,priority,note\nmine,Orvany,5 tor,1899,M,VF,45,any,300,200,350,2,yes,1,for the album\n"
        ",Orvany,5 tor,1899,,40-55,,yes,300 GBP,,,,,,\n,Orvany,5 tor,1900,any,,,,100,,,,,,\n"
    )
    first, second, third = read.records
    assert first == Want(
        "mine",
        "Orvany",
        "5 tor",
        1899,
        "M",
        None,
        20,
        45,
        False,
        Money(Decimal(300), "EUR"),
        Money(Decimal(200), "EUR"),
        Money(Decimal(350), "EUR"),
        2,
        upgrade=True,
        priority=1,
        note="for the album",
    )
    assert (second.id, second.mint, second.min_grade, second.max_grade, second.certified) == ("w1", "", 40, 55, True)
    assert second.ceiling == Money(Decimal(300), "GBP")
    assert (third.id, third.mint, third.min_grade) == ("w2", None, None)


def test_ids_of_wants_that_are_taken_are_passed_over() -> None:
    text = "want_id,denomination,year,min_grade,ceiling\n,5 tor,1899,VF,3\nw2,5 tor,1899,VF,3\n,5 tor,1899,VF,3\n"
    assert [want.id for want in wants(text, taken_ids=frozenset({"w1"})).records] == ["w3", "w2", "w4"]


@pytest.mark.parametrize(
    ("row", "why"),
    [
        ("5 tor,1899,S,VF,,300", "the catalogue knows the series and lists no 5 tor 1899-S"),
        ("5 tor,1899,M,odd,,300", "the lowest grade `odd` is no grade known here"),
        ("5 tor,1899,M,XF,VF,300", "the lowest grade `XF` is above the highest `VF`"),
        ("5 tor,1899,M,VF,,lots", "the ceiling `lots` is no amount"),
        ("5 tor,1898,any,VF,,5", "the catalogue knows the series and lists no 5 tor 1898"),
    ],
)
def test_a_want_that_cannot_be_used(row: str, why: str) -> None:
    read = wants(f"denomination,year,mint,min_grade,max_grade,ceiling\n{row}\n")
    assert read.records == ()
    assert read.set_aside[0].why.startswith(why)


def test_a_want_of_an_unknown_series_implies_its_issue() -> None:
    read = wants("country,denomination,year,min_grade,ceiling\nSundland,2 krem,1870,VF,5\n")
    assert read.records[0].country == "Sundland"
    assert read.issues[0].implied


# --- guide, terms, rates


def guide(text: str, **options: Any) -> Any:
    return guide_rows(table(text, "guide"), context(**options))


def test_guide() -> None:
    read = guide("issue,grade,low,high,currency,date\nt2,VF,100,150,EUR,2025-06-01\nt2,63,900,,EUR,2025\n")
    assert [(row.issue, row.grade_low, row.grade_high, row.low, row.high, row.day) for row in read.records] == [
        ("t2", 20, 35, 100.0, 150.0, date(2025, 6, 1)),
        ("t2", 63, 63, 900.0, 900.0, date(2025, 1, 1)),
    ]


def test_guide_prices_come_into_home_currency() -> None:
    text = "denomination,year,mint,min_grade,max_grade,low,high,currency,date\n5 tor,1899,M,40,45,100,150,GBP,2025-06\n"
    assert "exchange rate of GBP" in guide(text).set_aside[0].why
    rates = Rates("EUR", {("GBP", "2025-06"): Decimal("0.8")})
    assert [(row.low, row.high) for row in guide(text, rates=rates).records] == [(125.0, 187.5)]


def test_guide_rows_that_cannot_be_used() -> None:
    read = guide("issue,grade,low,high\nt2,VF,200,100\nt9,VF,100,200\nt2,,100,200\n")
    assert [str(one).split(";")[0] for one in read.set_aside] == [
        "line 2: the low price `200` is above the high one `100`",
        "line 3: the issue `t9` is not in the catalogue",
        "line 4: the grade is missing",
    ]


def test_terms() -> None:
    read = terms_rows(
        table(
            "Auktionshaus;Art;Währung;Aufgeld;Mindestaufgeld;Versand;tax_on_shipping;bid_steps;time_zone;checked\n"
            "Northgate Sales;Auktion;€;20;5;12,50;ja;0:5;Europe/Berlin;1.2.2026\n"
            "Tower Street Coins;Händler;GBP;;;3;;;;\n"
            "Odd;Auktion;EUR;abc;;;;;;\n",
            "terms",
        ),
        context(),
    )
    first, second = read.records
    assert (first.venue, first.kind, first.currency, first.premium.pct, first.premium.minimum, first.shipping) == (
        "Northgate Sales",
        "auction",
        "EUR",
        Decimal(20),
        Decimal(5),
        Decimal("12.50"),
    )
    assert (first.tax_shipping, first.time_zone, first.checked) == (True, "Europe/Berlin", date(2026, 2, 1))
    assert (second.kind, second.currency) == ("dealer", "GBP")
    assert str(read.set_aside[0]).startswith("line 4: Odd: ")


def test_terms_with_tiers_as_json() -> None:
    cell = '"{""kind"": ""tiers_marginal"", ""tiers"": [[5000, 25], [null, 20]]}"'
    read = terms_rows(table(f"venue,currency,premium\nNorthgate Sales,EUR,{cell}\n", "terms"), context())
    assert read.records[0].premium.kind == "tiers_marginal"


def rates(text: str, **options: Any) -> Imported[RateRow]:
    return rate_rows(table(text, "rates"), context(**options))


def test_rates() -> None:
    read = rates(
        "month;currency;units_per_EUR\n2024-01;GBP;0,8612\n01/2024;JPY;160,5\n2024-02-28;$;1,0852\n"
        "2024-02;CHF;0\n13/2024;CHF;1\n"
    )
    assert read.records == (
        RateRow("GBP", "2024-01", Decimal("0.8612")),
        RateRow("JPY", "2024-01", Decimal("160.5")),
        RateRow("USD", "2024-02", Decimal("1.0852")),
    )
    assert [str(one) for one in read.set_aside] == [
        "line 5: the rate `0` is no rate above nothing; the row is set aside",
        "line 6: the month `13/2024` is no month; the row is set aside",
    ]


def test_rates_for_another_home_currency_are_refused() -> None:
    with pytest.raises(ImportRefused, match=r"units_per_USD.*home currency is EUR"):
        rates("month,currency,units_per_USD\n2024-01,GBP,0.8\n")
    with pytest.raises(ImportRefused, match="units_per_EUR"):
        rates("month,currency,rate\n2024-01,GBP,0.8\n")


def test_marks_in_rates() -> None:
    read = rates('month,currency,units_per_EUR\n2024-01,GBP,0.861\n2024-01,JPY,"1,250"\n2024-01,USD,1.0852\n')
    assert [row.units for row in read.records] == [Decimal("0.861"), Decimal(1250), Decimal("1.0852")]


IMPORTS: dict[str, Any] = {
    "catalogue": catalogue_rows,
    "prices": price_rows,
    "wants": want_rows,
    "guide": guide_rows,
    "terms": terms_rows,
    "rates": rate_rows,
}


@settings(max_examples=100, deadline=None)
@given(kind=st.sampled_from(sorted(IMPORTS)), data=st.data())
def test_every_row_is_a_record_or_set_aside(kind: str, data: st.DataObject) -> None:
    columns = WORDS["columns"]["kinds"][kind]["columns"]
    columns = [name.replace("units_per", "units_per_EUR") for name in columns]
    letters = st.characters(exclude_categories=["Cs"], exclude_characters='",;\n\r')
    cell = st.text(letters, max_size=10) | st.sampled_from(
        ["5 tor", "1899", "VF", "2024-03-01", "EUR", "120", "any", "yes", "40-50", "t2", "{}", "1e999", "0:5", "NaN"]
    )
    rows = data.draw(st.lists(st.tuples(*[cell] * len(columns)), max_size=4))
    text = "\n".join([",".join(columns), *(",".join(row) for row in rows)])
    read_in = table(text, kind)
    read = IMPORTS[kind](read_in, context())
    lines = {row.line for row in read_in.rows} | {one.line for one in read_in.set_aside}
    assert len(read.records) + len(read.set_aside) >= len(lines) or any("last" in note for note in read.notes)
    assert {one.line for one in read.set_aside} <= lines
