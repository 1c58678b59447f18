"""A language is added by adding one file: a made-up one is read in titles, prices, closing times, headings and talk."""

from __future__ import annotations

import shutil
from collections.abc import Mapping
from datetime import UTC, date, datetime
from decimal import Decimal
from pathlib import Path
from typing import Any

import pytest

from watchlist import words
from watchlist.core.imports.cells import year, yes
from watchlist.core.imports.context import Context
from watchlist.core.imports.dates import day
from watchlist.core.marks.signs import sentences_of, signs_from
from watchlist.core.money.text import labelled_prices, read_price
from watchlist.core.reading.reader import Reader
from watchlist.core.reading.vocabulary.catalogued import Catalogued
from watchlist.core.reading.vocabulary.vocabulary import Vocabulary
from watchlist.core.times.text import Setting, read_time
from watchlist.feeds.table import read_table

NOW = datetime(2026, 3, 1, 12, tzinfo=UTC)
LANGUAGE = """
# Zurgic, a language that nobody speaks.

[titles]
vote = ["plu", "zurbel", "honk"]

[titles.problem]
cleaned = ["wischelt"]
holed = ["lochelt"]

[titles.replica]
words = ["nachzurg"]

[titles.multiple]
words = ["hauf"]
counted = ["stumpen"]

[titles.number]
blip = 2

[titles.variety]
restrike = ["wiederzurg"]

[grades.scale.zurgic]
qq = [20, 35, "quarz"]
quo = [45, 58, "quoll"]

[grades.spoken]
zu = "zurgic"

[coinages.country.FR]
names = ["frankzurg"]

[coinages.unit.tor]
words = ["tzor", "tzoren"]

[columns.headings]
title = ["zurgname"]
hammer = ["zurgschlag"]
ends_at = ["zurgende"]

[columns.cells]
yes = ["jup"]
before_christ = ["vz. zrg."]

[times.months]
5 = ["flor"]

[times.weekdays]
4 = ["drudag"]

[times.days]
1 = ["murgen"]

[times.units]
3600 = ["zund"]

[times.said]
left = ["blubt"]

[times.clock]
after = ["kuh"]

[times.closing]
labels = ["schlut"]

[money.signs]
Zlink = "EUR"

[money.labels]
hammer = ["verzurgt fur"]

[money.marks]
zu = ","

[signs.phrases]
not_sure = ["kein zurg ob .. oddel/ekt"]
"""


@pytest.fixture(scope="module")
def tables(tmp_path_factory: pytest.TempPathFactory) -> Mapping[str, Any]:
    """The word tables of a folder with one file more."""
    folder = tmp_path_factory.mktemp("words")
    shutil.copytree(Path(words.__file__).parent, folder, dirs_exist_ok=True)
    (folder / "languages" / "zu.toml").write_text(LANGUAGE, "utf-8")
    added = words.Words(folder)
    return {name: added.table(name) for name in added.names()}


@pytest.fixture(scope="module")
def reader(tables: Mapping[str, Any]) -> Reader:
    known = Catalogued(denominations=["5 tor"], countries=["Orvany"], mints=["M"])
    return Reader(Vocabulary(tables, ["QCG"], catalogued=known))


def test_its_words_are_of_its_own(tables: Mapping[str, Any]) -> None:
    assert "zu" not in words.load("titles")
    assert tables["titles"]["zu"]["problem"]["cleaned"] == ["wischelt"]


def test_a_title(reader: Reader) -> None:
    read = reader.read("Orvany 5 tzoren 1893-M quoll plu zurbel wischelt")
    assert (read.country, read.denomination, read.year, read.mint) == ("Orvany", "5 tor", 1893, "M")
    assert (read.grade_low, read.grade_high, read.problems) == (45, 58, ("cleaned",))


def test_its_copies_lots_numbers_and_varieties(reader: Reader) -> None:
    assert reader.read("Orvany 5 tor 1893 nachzurg").replica
    assert reader.read("Orvany blip tzoren 1893").denomination == "2 tor"
    assert reader.read("Orvany 5 tor 1893 wiederzurg").variety == "restrike"
    assert reader.read("Orvany 12 stumpen 5 tor 1893").quantity == 12
    assert reader.read("Frankzurg 5 francs 1850").country == "FR"


def test_a_price(tables: Mapping[str, Any]) -> None:
    read = read_price("45,50 Zlink", tables["money"], locale="zu")
    assert (read.amount, read.currency) == (Decimal("45.50"), "EUR")
    assert labelled_prices("Verzurgt fur: 120 EUR", tables["money"])["hammer"].amount == 120


def test_a_closing_time(tables: Mapping[str, Any]) -> None:
    for text in ("Schlut: drudag, 8 flor 2026, 19 kuh", "schlut 8. Flor 2026 19:00"):
        assert read_time(text, Setting(tables["times"], now=NOW)).when == datetime(2026, 5, 8, 19, tzinfo=UTC)
    assert read_time("murgen 19:00", Setting(tables["times"], now=NOW)).when == datetime(2026, 3, 2, 19, tzinfo=UTC)
    assert read_time("blubt 3 zund", Setting(tables["times"], now=NOW)).when == datetime(2026, 3, 1, 15, tzinfo=UTC)


def test_headings_and_cells_of_a_file(tables: Mapping[str, Any], reader: Reader) -> None:
    text = "Zurgname;Zurgschlag;Zurgende\n5 tor 1893;120;8.5.2026\n"
    table = read_table(text.encode(), synonyms=tables["columns"], kind="lots")
    assert table.columns == {"title": "Zurgname", "hammer": "Zurgschlag", "ends_at": "Zurgende"}
    context = Context(reader=reader, words=tables, home="EUR", today=date(2026, 3, 1))
    assert yes("jup", context)
    assert year("44 vz zrg", tables) == (-44, "")
    assert day("8 flor 2025", None, context) == date(2025, 5, 8)


def test_what_sellers_say(tables: Mapping[str, Any]) -> None:
    heard = {family.id for family, _ in signs_from(tables["signs"]).said_in(sentences_of("Kein Zurg, ob das ekt."))}
    assert heard == {"not_sure"}
