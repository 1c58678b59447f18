"""CSV reading: encodings, separators, title lines, lone quotes, ragged rows, headings in six languages.

`tests/data/csv_headers.csv` is the trade handbook's table of headings as venues write them.
"""

from __future__ import annotations

import csv
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tests.growth import IN_STEP, growth
from watchlist.core.imports.headings import fold, read_heading, synonyms_of
from watchlist.core.imports.record import Table
from watchlist.core.lots.source import Source
from watchlist.feeds.names import language
from watchlist.feeds.read import read_entries
from watchlist.feeds.table import read_table
from watchlist.page.troubles import sentence, trouble_line
from watchlist.words import load

WORDS = load("columns")
HEADERS = Path(__file__).parent.parent / "data" / "csv_headers.csv"
KINDS = ("lots", "catalogue", "prices", "wants", "guide", "terms", "rates", "results", "pieces")


def table(text: str | bytes, kind: str = "lots", **options: object) -> Table:
    body = text.encode() if isinstance(text, str) else text
    return read_table(body, synonyms=WORDS, kind=kind, **options)  # type: ignore[arg-type]


def values(read: Table) -> list[dict[str, str]]:
    return [dict(row.values) for row in read.rows]


def test_every_column_of_every_kind_has_its_synonyms() -> None:
    for kind, section in WORDS["kinds"].items():
        for name in section["columns"]:
            assert WORDS["headings"].get(name) or section["also"][name], (kind, name)
            assert read_heading(name, synonyms_of(WORDS, kind)).names[0] == name, (kind, name)


@pytest.mark.parametrize(
    "headings",
    [
        "Lot;Coin name;Report;Current high bid;Ends in",
        "Los;Bez.;Erh.;Gebot aktuell;Ende der Gebotsfrist",
        "Lot;Titre de l'annonce;Obs.;Offre minimale;Clôture des offres",
        "Ficha;Título del anuncio;Aviso;Puja actual;Hora límite",
        "Lotto;Annuncio;Annotazione;Rilancio attuale;Scadenza",
        "Kavelnummer;Advertentie;Conditierapport;Startbod;Sluit op",
    ],
)
def test_headings_that_smaller_sellers_write(headings: str) -> None:
    read = table(f"{headings}\n12;Orvany 5 tor 1893;VF;40,00;2026-03-06 20:15\n")
    (row,) = values(read)
    assert row["title"] == "Orvany 5 tor 1893"
    assert row["ends_at"] == "2026-03-06 20:15"
    assert {"current_bid", "start_price"} & row.keys()


def _alike(name: str) -> set[str]:
    """The names that a heading of the table may have: the table tells no bid from another price."""
    return {"price", "current_bid"} if name == "price" else {name}


def test_the_headings_of_the_trade_table_are_known() -> None:
    known = synonyms_of(WORDS, "lots")
    moved = {("estimate", w) for w in ("high estimate", "est. high", "est. haute", "stima max")}
    moved |= {("price", "mise à prix")}  # a starting price
    missing: list[tuple[str, str]] = []
    for row in csv.DictReader(HEADERS.read_text(encoding="utf-8").splitlines()):
        name = row["canonical"]
        for code in ("en", "de", "fr", "es", "it", "nl"):
            words = (word.strip().rstrip("?") for word in row[code].split(";") if word.strip())
            missing += [(name, word) for word in words if not _alike(name).intersection(known.get(fold(word), ()))]
    assert set(missing) <= moved


@pytest.mark.parametrize("mark", [",", ";", "\t", "|"])
@pytest.mark.parametrize("encoding", ["utf-8", "utf-8-sig", "utf-16", "utf-16-le", "utf-16-be", "cp1252", "utf-32"])
def test_separators_and_encodings(mark: str, encoding: str) -> None:
    rows = (["Los-Nr.", "Bezeichnung", "Währung"], ["7", "5 tor Mersa schön", "EUR"])
    text = "".join(mark.join(row) + "\r\n" for row in rows)
    read = table(text.encode(encoding))
    assert values(read) == [{"lot_id": "7", "title": "5 tor Mersa schön", "currency": "EUR"}]
    assert read.separator == mark
    assert read.troubles == ()


def test_a_setting_overrides_the_encoding_and_an_unknown_one_is_named() -> None:
    body = "id;title\n1;Größe\n".encode("cp850")
    assert values(table(body, encoding="cp850"))[0]["title"] == "Größe"
    read = table(b"id;title\n1;tor\n", encoding="no-such")
    assert values(read) == [{"lot_id": "1", "title": "tor"}]
    assert "`no-such`" in read.troubles[0].what


def test_a_letter_cut_in_two_at_the_end_is_still_utf_8() -> None:
    body = "id;title\n1;prägé\n2;prägé".encode()[:-1]
    assert values(table(body))[0]["title"] == "prägé"


def test_title_and_blank_lines_above_the_headings() -> None:
    read = table("Lindmoor Sales; sale 14\n\n;;\nLot;Title;Current bid\n1;5 tor 1899;12,50\n\n2;1 tor 1900;8\n")
    assert [row.line for row in read.rows] == [5, 7]
    assert read.columns == {"lot_id": "Lot", "title": "Title", "current_bid": "Current bid"}


def test_the_separator_line_of_spreadsheets() -> None:
    assert values(table("sep=|\nid|title\n1|a;b,c\n")) == [{"lot_id": "1", "title": "a;b,c"}]


def test_decimal_commas_do_not_make_a_comma_file() -> None:
    read = table("nr;titel;preis\n1;Bronze, schön, 1899;12,50\n2;Silber, matt;8,00\n")
    assert read.separator == ";"
    assert values(read)[0]["price"] == "12,50"


def test_quoted_cells_over_several_lines() -> None:
    read = table('id,title,description\n1,"5 tor, 1899","first\nsecond, third"\n2,"1 ""tor""",x\n')
    assert [row.line for row in read.rows] == [2, 4]
    assert read.rows[0].get("title") == "5 tor, 1899"
    assert "second, third" in read.rows[0].get("description")
    assert read.rows[1].get("title") == '1 "tor"'
    assert read.troubles == ()


@pytest.mark.parametrize("bad", ['2;"5 tor 1899;10', '2;"5" tor;10', '2;"5 tor;10"'])
def test_a_lone_quote_loses_no_row(bad: str) -> None:
    others = [f'{n};"row {n}";{n}' if n % 7 == 0 else f"{n};row {n};{n}" for n in range(3, 40)]
    read = table("\n".join(["id;title;price", "1;a;9", bad, *others]))
    assert [row.get("lot_id") for row in read.rows] == [str(n) for n in range(1, 40)]
    assert all(row.get("price") for row in read.rows if row.line != 3)


def test_a_lone_quote_is_named_by_its_line() -> None:
    read = table('id;title;price\n1;"a;9\n2;b;10\n3;c 5";11\n')
    assert [row.get("lot_id") for row in read.rows] == ["1", "2", "3"]
    assert "line 2" in str(read.troubles[0])


def test_ragged_rows() -> None:
    read = table("id,title,price,currency\n1,a,b,c,d,e\n2,b\n3,c,5,EUR,,\n")
    assert [row.get("lot_id") for row in read.rows] == ["2", "3"]
    assert "6 cells, but 4 headings" in str(read.set_aside[0])
    assert read.set_aside[0].line == 2
    assert "2 cells" in read.troubles[0].what


@pytest.mark.parametrize(
    ("line", "kept"),
    [
        ("1,Talmark 2 krane,50,EUR,more,and more", {"title": "Talmark 2 krane", "price": "50", "currency": "EUR"}),
        ("1,Talmark 2 krane, ss,50,EUR", {"title": "Talmark 2 krane, ss", "price": "50", "currency": "EUR"}),
        ("1,a,12,50,EUR", {"title": "a", "currency": "EUR"}),  # 12.50, or a title `a, 12`: no price is better than half
    ],
)
def test_of_a_row_with_too_many_cells_those_count_that_surely_stand_where_they_belong(
    line: str, kept: dict[str, str]
) -> None:
    (row,) = table(f"id,title,price,currency\n{line}\n").rows
    assert row.values == {"lot_id": "1", **kept}


def test_a_cell_over_several_lines_may_hold_separators_and_quotation_marks() -> None:
    read = table('lot;title;description;price\n1;a;"two\nlines; and a ""quote""";45\n2;b;;46\n')
    assert values(read) == [
        {"lot_id": "1", "title": "a", "description": 'two\nlines; and a "quote"', "price": "45"},
        {"lot_id": "2", "title": "b", "price": "46"},
    ]
    assert not read.troubles


def test_figures_with_commas_that_nobody_put_in_quotation_marks() -> None:
    rows = "O1,2,000,000,27.20,fine\nO2,450,27.20,known, rare\nO3,1,250,27,2,x\n"
    read = table(f"issue,mintage,weight,note\n{rows}", "catalogue")
    assert values(read)[0] == {"issue": "O1", "mintage": "2,000,000", "weight_g": "27.20", "note": "fine"}
    assert values(read)[1]["note"] == "known, rare"
    assert "put together again" in read.troubles[0].what
    price = table("id,title,price,currency\n1,a,1,250.00,EUR\n")
    assert price.rows[0].get("price") == "1,250.00"


def test_a_last_column_of_free_text_takes_what_is_too_much() -> None:
    read = table("id,price,description\n1,5,fine, rare, from Mersa\n")
    assert read.rows[0].get("description") == "fine, rare, from Mersa"


def test_repeated_and_empty_headings() -> None:
    read = table("id,title,Price,price,\n1,a,5,6,x\n")
    assert values(read) == [{"lot_id": "1", "title": "a", "price": "5"}]
    assert dict(read.rows[0].extra) == {"price (2)": "6", "column 5": "x"}
    assert any("stands twice" in note.what for note in read.troubles)


def test_unknown_headings_stay_with_the_row() -> None:
    read = table("id,title,Plate\n1,a,IV\n")
    assert read.unknown == ("Plate",)
    assert dict(read.rows[0].extra) == {"Plate": "IV"}


def test_the_persons_own_map_wins() -> None:
    read = table("id,text,what\n1,a,b\n", columns={"title": "WHAT", "price": "none"})
    assert read.columns["title"] == "what"
    assert any("`none`" in note.what for note in read.troubles)


def test_headings_without_case_accents_and_marks() -> None:
    for heading in ("Käufer-Aufgeld", "KAUFERAUFGELD", "kaeufer aufgeld", "Käuferaufgeld (%)"):
        assert "premium" in read_heading(heading, synonyms_of(WORDS, "lots")).names, heading


@pytest.mark.parametrize(
    ("heading", "name", "currency"),
    [
        ("Price (EUR)", "price", "EUR"),
        ("price_usd", "price", "USD"),
        ("Preis in CHF", "price", "CHF"),
        ("Price €", "price", "EUR"),
        ("Gewicht (g)", "weight", ""),
        ("diameter mm", "diameter", ""),
        ("Current bid [GBP]", "current_bid", "GBP"),
    ],
)
def test_units_and_currencies_in_headings(heading: str, name: str, currency: str) -> None:
    read = read_heading(heading, synonyms_of(WORDS, "lots"))
    assert (read.names[0], read.currency) == (name, currency)


def test_a_currency_in_the_heading_counts_where_no_column_says() -> None:
    assert values(table("id,title,Price (EUR)\n1,a,5\n"))[0]["currency"] == "EUR"
    assert values(table("id,title,Price (EUR),currency\n1,a,5,USD\n"))[0]["currency"] == "USD"


def test_a_zone_in_the_heading_counts_where_no_column_says() -> None:
    assert values(table("id,title,Ends (CET)\n1,a,2026-03-01 20:00\n"))[0]["time_zone"] == "CET"
    assert "time_zone" not in values(table("id,title,Ends\n1,a,2026-03-01 20:00\n"))[0]


def test_units_per_takes_any_code() -> None:
    read = table("month,currency,units_per_TOR\n2026-01,EUR,2\n", "rates")
    assert read.columns["units_per"] == "units_per_TOR"


@pytest.mark.parametrize(
    ("kind", "text", "name", "heading"),
    [
        ("lots", "id,title,date\n1,a,1899\n2,b,1901\n", "year", "date"),
        ("lots", "id,title,date\n1,a,2026-03-01 20:00\n2,b,2026-03-02 20:00\n", "ends_at", "date"),
        ("prices", "date,year,denomination,grade,price\n2024-03-01,1899,5 tor,VF,30\n", "sale_date", "date"),
        ("prices", "sale date,date,denomination,grade,price\n2024-03-01,1899,5 tor,VF,30\n", "year", "date"),
        ("prices", "date,denomination,year,price\n2024-03-01,5 tor,1899,30\n", "hammer", "price"),
        ("lots", "id,title,condition\n1,a,VF-30\n2,b,XF\n", "grade", "condition"),
        ("lots", "id,title,condition\n1,a,used\n2,b,new\n", "status", "condition"),
        ("lots", "Los;Titel;Limit\n1;a;30,-\n", "start_price", "Limit"),
        ("wants", "denomination;year;grade;limit\n5 tor;1899;VF;30\n", "ceiling", "limit"),
        ("lots", "id;nombre;prix\n1;Pièce de Mersa;5\n", "title", "nombre"),
        ("lots", "lot;titre;nombre;prix\n1;Pièce;3;5\n", "quantity", "nombre"),
        ("lots", "lot,title,mm\n1,a,38.5\n2,b,27\n", "diameter", "mm"),
        ("lots", "lot,title,mm\n1,a,M\n2,b,V\n", "mint", "mm"),
        ("lots", "lot;titel;land\n1;a;Orvany\n", "country", "land"),
    ],
)
def test_the_same_heading_by_kind_and_by_content(kind: str, text: str, name: str, heading: str) -> None:
    assert table(text, kind).columns.get(name) == heading


def test_control_codes_are_taken_out_and_newlines_kept() -> None:
    read = table('id,title,description\n1,\x1b[31mred\u202e x\x07,"a\nb"\n')
    assert "\x1b" not in read.rows[0].get("title")
    assert "\u202e" not in read.rows[0].get("title")


def test_an_apostrophe_against_formulas_is_taken_back() -> None:
    assert [v["title"] for v in values(table("id,title\n1,'=1+1\n2,'tis\n"))] == ["=1+1", "'tis"]


def test_an_over_long_cell_is_cut_and_named() -> None:
    read = table("id,title,description\n1,a," + "x" * 200_000 + "\n2,b,c\n")
    assert len(read.rows[0].get("description")) == 50_000
    assert any("longer" in note.what for note in read.troubles)
    assert read.rows[1].get("title") == "b"


@pytest.mark.parametrize("body", [b"", b"\n\n", b"\xef\xbb\xbf", b"\xff\xfe", b"\0\0", b'"', b",", b"id,title"])
def test_next_to_nothing(body: bytes) -> None:
    assert len(table(body).rows) == 0


def test_a_file_without_headings_says_so() -> None:
    read = table("7;foo;bar\n8;foo;bar\n")
    assert read.columns == {}
    assert "no heading" in read.troubles[0].what


@settings(max_examples=60, deadline=None)
@given(body=st.binary(max_size=3_000), kind=st.sampled_from(KINDS), encoding=st.sampled_from(["", "utf-16", "x"]))
def test_any_bytes(body: bytes, kind: str, encoding: str) -> None:
    read = table(body, kind, encoding=encoding)
    assert all(name in WORDS["kinds"][kind]["columns"] for name in read.columns)


@settings(max_examples=60, deadline=None)
@given(
    cells=st.lists(st.lists(st.text(max_size=12), min_size=1, max_size=5), max_size=12),
    mark=st.sampled_from(",;\t|"),
    quote=st.integers(0, 100),
)
def test_any_rows_with_a_quote_somewhere(cells: list[list[str]], mark: str, quote: int) -> None:
    text = mark.join(("id", "title", "price\n")) + "\n".join(mark.join(row) for row in cells)
    text = text[:quote] + '"' + text[quote:]
    lines = [row.line for row in table(text).rows]
    assert lines == sorted(set(lines))


@pytest.mark.parametrize("row", ['"x', '"a"b;c', '"', 'a;"""', '""a"', '"a";"b', "a;" * 400, '"\n;"'])
def test_hostile_files_take_time_in_step_with_their_length(row: str) -> None:
    def read(size: int) -> None:
        table(("id;title\n" + (row + "\n") * (size // (len(row) + 1))).encode())

    assert growth(read, 12_000) < IN_STEP


@pytest.mark.parametrize(
    ("head", "row", "told"),
    [
        (
            ["id", "title", "price"] + ["x"] * 5_000,
            ["1", "Orvany 5 tor 1893", "80"] + ["y"] * 5_000,
            ["the heading `x` stands 997 times; the first is used", "only the first 1,000 of 5,003 columns were read"],
        ),
        (
            ["id", "title", "price"] + [f"n{n}" for n in range(2_000)],
            ["1", "Orvany 5 tor 1893", "80"] + [""] * 2_000,
            ["only the first 1,000 of 2,003 columns were read"],
        ),
        (
            ["id", "title", "price", "x", "x"],
            ["1", "Orvany 5 tor 1893", "80", "", ""],
            ["the heading `x` stands twice; the first is used"],
        ),
        (
            ["id", "title", "price", "a", "a", "b", "b", "b"],
            ["1", "Orvany 5 tor 1893", "80"],
            ["the heading `a` stands twice; the first is used", "the heading `b` stands 3 times; the first is used"],
        ),
    ],
)
def test_a_list_of_very_many_columns_keeps_its_lots(head: list[str], row: list[str], told: list[str]) -> None:
    read = read_entries(Source("north", "wide.csv"), f"{','.join(head)}\n{','.join(row)}\n".encode())
    assert [entry.fields.get("price") for entry in read.entries] == ["80"]
    said = [sentence(trouble) for trouble in read.troubles]
    assert [what for what in said if "cells, but" not in what] == told


def test_rows_that_are_lost_are_told_before_what_lost_none() -> None:
    lines = "".join(f"{n},Orvany 5 tor 1893\n" for n in range(50)) + "51,a,b,c,d,e\n"
    read = read_entries(Source("north", "long.csv"), f"id,title,price,currency\n{lines}".encode())
    assert read.troubles[0].place == "line 52"
    assert "rejected" in sentence(read.troubles[0])


def test_a_tab_may_be_said_to_separate() -> None:
    read = table("sep=\t\nid\ttitle, price\n1\t5 tor, 80\n")
    assert (read.separator, values(read)) == ("\t", [{"lot_id": "1"}])


def test_after_a_hundred_lines_the_rest_is_counted() -> None:
    read = table("id;title;price;seller\n" + "1;5 tor\n" * 130)
    assert [note.line for note in read.troubles][-2:] == [101, 0]
    assert read.troubles[-1].what == "30 more lines have problems of these kinds"


def test_a_wide_line_above_a_lone_known_word_is_the_line_of_headings() -> None:
    assert table("sep=,\na,b,c\nprice\n1,2,3\n").headings == ("a", "b", "c")


def test_hundredths_become_whole_units_in_columns_of_money_alone() -> None:
    read = table("id;title;price (cents);year (cents)\n1;5 tor;12550;1893\n")
    assert values(read)[0]["price"] == "125.50"
    assert "18.93" not in str(list(read.rows))


def test_a_row_without_a_title_or_a_text_is_set_aside() -> None:
    read = read_entries(Source("north", "lots.csv"), b"id;title;price\n1;5 tor;80\n2;;90\n")
    assert [entry.id for entry in read.entries] == ["1"]
    assert trouble_line(read.troubles[0]) == "north, line 3: has no title and was rejected"


def test_a_list_without_rows_or_headings_is_no_list() -> None:
    read = read_entries(Source("north", "lots.csv"), b"sep=;\n\n")
    assert [trouble_line(trouble) for trouble in read.troubles] == [
        "north: holds no rows; nothing was taken, stored lots are unchanged; check the address or the file"
    ]
    assert read.failed


@pytest.mark.parametrize(
    ("headings", "code"),
    [
        ("Los,Titel,Preis", "de"),
        ("Lot,Titre,Prix", "fr"),
        ("Lotto,Titolo,Prezzo", "it"),
        ("Kavel,Titel,Prijs", "nl"),
        ("Lot,Title,Price", ""),
        ("Nr,Titel,Price", ""),
    ],
)
def test_the_language_of_headings(headings: str, code: str) -> None:
    assert language(headings.split(",")) == code


def test_coins_whole_under_a_heading_of_their_denomination_are_titles() -> None:
    read = table("lot,denomination,price\n1,10 sköl 1888 S,20 EUR\n2,5 tor 1893,30 EUR\n")
    assert read.columns["title"] == "denomination"


@pytest.mark.parametrize("heading", ["Omschr.", "Wot", "Popis kusu", "x1"])
def test_coins_under_a_heading_that_nobody_knows_are_titles_and_it_is_said(heading: str) -> None:
    rows = "1,Orvany 5 tor 1893 VF,12 EUR,ex my album 1999\n2,10 lind 1884 bronze,8 EUR,\n"
    read = table(f"lot,{heading},price,xyz\n{rows}")
    assert read.columns["title"] == heading
    assert read.by_cells == heading


def test_a_description_of_remarks_is_no_title() -> None:
    read = table("Was,description,price\nOrvany 5 tor 1893,cleaned,12 EUR\n10 lind 1884,scratches,8 EUR\n")
    assert (read.columns["title"], read.columns["description"]) == ("Was", "description")


def test_a_description_that_names_the_coins_stands_for_the_title() -> None:
    read = table("what,description,price\nOrvany 1893,Orvany 5 tor 1893 VF,12 EUR\n")
    assert "title" not in read.columns


@pytest.mark.parametrize(
    "cells",
    ["14 March 2026", "14. März 2026 20:00", "Thu 14 Mar 2026", "https://lindmoor.example/coin-1893", "1893", "VF 30",
     "2026-03-14", "14.03.2026 Uhr", "a" * 600 + " 1893"],
)  # fmt: skip
def test_days_addresses_and_grades_are_no_coins(cells: str) -> None:
    assert "title" not in table(f"lot,odd,price\n1,{cells},12 EUR\n2,{cells},8 EUR\n").columns
