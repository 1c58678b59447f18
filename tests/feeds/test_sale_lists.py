"""Sale lists, feeds and descriptions as venues of six countries write them, with the lots that they mean.

`sale_lists.jsonl` (CSV), `feed_texts.jsonl` (RSS, Atom, JSON Feed), `descriptions.jsonl` (the text inside an item) and
`words_met.json` (headings and elements) were written by hand, each with the reason where it is not plain. All of them
are read at noon UTC on 25 November 2026.
"""

from __future__ import annotations

import json
from dataclasses import replace
from datetime import datetime
from decimal import Decimal
from html import escape
from pathlib import Path
from typing import Any

import pytest

from tests.feeds.samples import rss_of
from watchlist.core.imports.headings import read_heading, synonyms_of
from watchlist.core.lots.lot import make_lot
from watchlist.core.lots.record import Lot
from watchlist.core.lots.source import Source
from watchlist.core.times.text import learn_date_order
from watchlist.feeds.fields import field_of
from watchlist.feeds.markup import words_of
from watchlist.feeds.read import read_entries
from watchlist.words import load

DATA = Path(__file__).parent.parent / "data"
NOW = datetime.fromisoformat("2026-11-25T12:00:00Z")
WORDS: dict[str, Any] = json.loads((DATA / "words_met.json").read_text("utf-8"))


def rows(name: str) -> list[dict[str, Any]]:
    return [json.loads(line) for line in (DATA / name).read_text("utf-8").splitlines()]


def lots(body: bytes, zone: str) -> list[Lot]:
    source = Source("north", "lots.csv", time_zone=zone if zone != "UTC" else "")
    entries = read_entries(source, body).entries
    source = replace(source, date_order=learn_date_order(entry.fields.get("ends_at", "") for entry in entries) or "")
    return [make_lot(entry, source, words=load(), now=NOW, home_currency="EUR")[0] for entry in entries]


def told(lot: Lot) -> list[str | None]:
    closes = f"{lot.closes:%Y-%m-%dT%H:%M:%SZ}" if lot.closes else None
    return [lot.id, lot.title, f"{lot.price.amount:.2f} {lot.price.currency}" if lot.price else None, closes]


LISTS, FEEDS, DESCRIPTIONS = rows("sale_lists.jsonl"), rows("feed_texts.jsonl"), rows("descriptions.jsonl")


@pytest.mark.parametrize("case", LISTS, ids=[case["id"] for case in LISTS])
def test_sale_lists(case: dict[str, Any]) -> None:
    read = lots(case["text"].encode(case["encoding"]), case["zone"])
    assert [told(lot) for lot in read] == case["lots"], case.get("why")


@pytest.mark.parametrize("case", FEEDS, ids=[case["id"] for case in FEEDS])
def test_feeds(case: dict[str, Any]) -> None:
    assert [told(lot) for lot in lots(case["text"].encode(), case["zone"])] == case["lots"], case.get("why")


@pytest.mark.parametrize("case", DESCRIPTIONS, ids=[case["html"][:60] for case in DESCRIPTIONS])
def test_descriptions(case: dict[str, Any]) -> None:
    item = f"<item><title>5 tor 1893 V</title><guid>1</guid><description>{escape(case['html'])}</description></item>"
    (lot,) = lots(rss_of(item), "Europe/Berlin")
    assert (lot.price and lot.price.amount) == (case["price"] and Decimal(case["price"])), lot.price_note
    assert lot.closes == (case["closes"] and datetime.fromisoformat(case["closes"])), lot.closes_note
    assert lot.price is None or lot.price_kind in case["kinds"].split("|")


def _plainly(name: str) -> str:
    """The list tells no bid from another price."""
    return "price" if name == "current_bid" else name


@pytest.mark.parametrize("kind", WORDS["headings"])
def test_headings_in_six_languages(kind: str) -> None:
    known = synonyms_of(load("columns"), kind)
    for name, headings in WORDS["headings"][kind].items():
        assert [text for text in headings if name not in map(_plainly, read_heading(text, known).names)] == [], name


@pytest.mark.parametrize("field", WORDS["elements"])
def test_elements_of_a_source_of_its_own(field: str) -> None:
    assert [name for name in WORDS["elements"][field] if field_of(name) != field] == []


def test_a_day_and_an_hour_in_elements_of_their_own() -> None:
    body = json.dumps([{"id": 1, "title": "5 tor", "endDate": "2026-11-28", "endTime": "18:00"}]).encode()
    (lot,) = lots(body, "Europe/Berlin")
    assert lot.closes == datetime.fromisoformat("2026-11-28T17:00:00Z")


@pytest.mark.parametrize(
    ("markup", "words"),
    [
        ("&lt;b&gt;Price:&lt;/b&gt; 45 EUR", "Price: 45 EUR"),
        ("Price &amp;euro;45", "Price €45"),
        ("5 &lt; 6 and A &amp; B", "5 < 6 and A & B"),
        ("a &lt;3 b", "a <3 b"),
    ],
)
def test_what_was_escaped_twice(markup: str, words: str) -> None:
    assert words_of(markup) == words
