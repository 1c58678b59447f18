"""Closing times as sale lists, programs and people write them: 285 texts with the right UTC, worked by hand.

`closing_texts.jsonl`: text, now, the source's zone and date order, the UTC or null, and why where it is not plain.
Zones and clock changes follow the IANA database, read by zoneinfo.
"""

from __future__ import annotations

import json
from datetime import datetime
from pathlib import Path
from typing import Any

import pytest

from watchlist.core.times.free_text import find_closing
from watchlist.core.times.text import Setting, read_time
from watchlist.words import load

DATA = Path(__file__).parent.parent / "data"
CASES: list[dict[str, Any]] = [
    json.loads(line) for line in (DATA / "closing_texts.jsonl").read_text("utf-8").splitlines()
]
LABELS: list[str] = json.loads((DATA / "words_met.json").read_text("utf-8"))["closing_labels"]
NOW = datetime.fromisoformat("2026-11-25T12:00:00Z")


@pytest.mark.parametrize("case", CASES, ids=[case["text"] for case in CASES])
def test_closing_texts(case: dict[str, Any]) -> None:
    now, due = datetime.fromisoformat(case["now"]), case["utc"] and datetime.fromisoformat(case["utc"])
    read = read_time(case["text"], Setting(load("times"), now=now, zone=case["zone"], order=case.get("date_order")))
    assert read.when == due, (case.get("why"), read.note)
    assert read.when is not None or read.note


def test_a_weekday_that_does_not_fit_is_never_passed_over() -> None:
    read = read_time("Fri, 28 Nov 2026 18:00 GMT", Setting(load("times"), now=NOW))
    assert read.when is None
    assert "weekday" in read.note


@pytest.mark.parametrize("label", LABELS)
@pytest.mark.parametrize("mark", [": ", " ", ":"])
def test_labels_of_closing_times(label: str, mark: str) -> None:
    text = f"nice coin. {label}{mark}28.11.2026 18:00 and so on"
    found = find_closing(text, Setting(load("times"), now=NOW, zone="Europe/Berlin"))
    assert found is not None
    assert found.when == datetime.fromisoformat("2026-11-28T17:00:00Z"), found.note


@pytest.mark.parametrize(
    "text",
    [
        "3 days 4 hours left",
        "Bid: 75 EUR [3 bids] 3d 4h left",
        "3 T. 4 Std. verbleibend",
        "3 jours et 4 heures restants",
    ],
)
def test_a_span_with_its_word_behind_it(text: str) -> None:
    found = find_closing(f"No bids yet. {text}", Setting(load("times"), now=NOW))
    assert found is not None
    assert found.when == datetime.fromisoformat("2026-11-28T16:00:00Z"), found.note


@pytest.mark.parametrize(
    "text",
    [
        "2 left in stock",
        "25 g left",
        "viewing 27.11.2026 10:00",
        "free post until 5.12.2026",
    ],
)
def test_what_is_no_closing_time(text: str) -> None:
    found = find_closing(text, Setting(load("times"), now=NOW))
    assert found is None or found.when is None
