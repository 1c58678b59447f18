"""Names of JSON fields that headings of tables have, in any language."""

from __future__ import annotations

import json

from watchlist.core.lots.source import Source
from watchlist.feeds.read import read_entries


def _entry(**row: object) -> tuple[str, str, str, dict[str, str]]:
    (entry,) = read_entries(Source("north", "x", kind="json"), json.dumps([row]).encode()).entries
    return entry.id, entry.title, entry.description, dict(entry.fields)


def test_names_of_fields_are_looked_up_as_headings_are() -> None:
    number, title, text, fields = _entry(
        **{"Los-Nr.": "12", "Titel": "5 tor 1893 V", "Beschreibung": "Kratzer", "Zuschlag": "45,00", "Erhaltung": "ss"}
    )
    assert (number, title, text) == ("12", "5 tor 1893 V", "Kratzer")
    assert (fields["hammer"], fields["grade"]) == ("45,00", "ss")
    assert _entry(title="5 tor 1893 V", prix_de_depart="40", Währung="CHF")[3] == {
        "start_price": "40",
        "currency": "CHF",
    }


def test_a_name_of_the_elements_counts_before_a_heading_and_a_mere_date_for_nothing() -> None:
    fields = _entry(title="5 tor 1893 V", price=40, Preis="50", date="2026-03-04", published="2026-03-01")[3]
    assert fields["price"] == "40"
    assert "ends_at" not in fields


def test_a_name_that_nobody_knows_is_that_of_the_title_where_coins_stand_under_it() -> None:
    rows = [{"kod": "a1", "wot": "Orvany 5 tor 1893 VF", "prix": "12"}, {"kod": "a2", "wot": "10 lind 1884"}]
    read = read_entries(Source("north", "x", kind="json"), json.dumps(rows).encode())
    assert [entry.title for entry in read.entries] == ["Orvany 5 tor 1893 VF", "10 lind 1884"]
    assert [(each.kind, each.facts) for each in read.troubles] == [("title by cells", {"heading": "wot"})]
    assert not read.failed
