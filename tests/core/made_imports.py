"""What the tests of imports share: a small catalogue, a reader that stands for the title reader, rows from text."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from datetime import date
from typing import Any

from tests.core.orvany import TONGUES
from watchlist.core.coins.catalogue import Catalogue
from watchlist.core.coins.issue import Issue
from watchlist.core.imports import Imported, Table
from watchlist.core.imports.context import Context
from watchlist.core.imports.driver import take
from watchlist.core.imports.kinds import KINDS
from watchlist.core.marks.record import Want
from watchlist.core.prices.realised import PriceRealised
from watchlist.core.reading.record import Reading
from watchlist.feeds.table import read_table
from watchlist.words import load

WORDS = load()
TODAY = date(2026, 3, 1)
CATALOGUE = Catalogue(
    [
        Issue("t1", "Orvany", "5 tor", 1899),
        Issue("t2", "Orvany", "5 tor", 1899, "M"),
        Issue("t3", "Orvany", "5 tor", 1900, "M"),
        Issue("t4", "Orvany", "5 tor", 1900, "V"),
        Issue("t5", "Orvany", "1 tor", 1899),
        Issue("t6", "Orvany", "1 tor", 1899, "", "wide date"),
    ],
    TONGUES,
)


GRADES = {"VF": (20, 30), "XF": (40, 45)}


class FakeReader:
    """Stands for the title reader: titles of the form `5 tor 1899-M VF`."""

    def read(self, title: str, description: str = "", fields: Mapping[str, str] = {}, /) -> Reading:
        words = title.split()
        if words[1:2] != ["tor"] or len(words) < 3 or not words[2].partition("-")[0].isdecimal():
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
    return take(KINDS["catalogue"], table(text, "catalogue"), context())


def prices(text: str, **options: Any) -> Imported[PriceRealised]:
    return take(KINDS["prices"], table(text, "prices"), context(**options))


def wants(text: str, **options: Any) -> Imported[Want]:
    return take(KINDS["wants"], table(text, "wants"), context(**options))
