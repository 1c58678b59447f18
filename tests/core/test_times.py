"""Closing times.

`ends_at.jsonl`: 40 ways sale lists write a closing time, with the right UTC. Zones against the IANA database by
zoneinfo.
"""

from __future__ import annotations

import json
from datetime import UTC, datetime, timedelta
from functools import partial
from pathlib import Path
from typing import Any
from zoneinfo import ZoneInfo

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tests.growth import IN_STEP, growth
from watchlist.core.times.free_text import find_closing
from watchlist.core.times.text import Setting, learn_date_order, read_time
from watchlist.words import load

HERE = Path(__file__).parent
WORDS = load("times")
CASES = [json.loads(line) for line in (HERE.parent / "data/ends_at.jsonl").read_text("utf-8").splitlines()]
NOW = datetime(2026, 3, 1, 12, tzinfo=UTC)


def utc(text: str) -> datetime:
    return None if text is None else datetime.fromisoformat(text)


@pytest.mark.parametrize("case", CASES, ids=[case["expr"] for case in CASES])
def test_ends_at(case: dict[str, Any]) -> None:
    read = read_time(
        case["expr"], Setting(WORDS, now=utc(case["now"]), zone=case["feed_tz"], order=case.get("date_order"))
    )
    assert read.when == utc(case["expect_utc"]), read.note
    assert read.ambiguous == case["ambiguous"], read.note
    assert read.when is not None or read.note


def test_there_are_40_cases() -> None:
    assert len(CASES) == 40


@pytest.mark.parametrize(
    ("text", "zone", "expected"),
    [
        ("Ending 20 March", "Europe/Berlin", None),
        ("20 March 2026 20:00", "", None),
        ("20 March 2026 20:00 CET", "", "2026-03-20T19:00Z"),
        ("14 Mar 2026 20:00 IST", "UTC", None),
        ("14 Mar 2026 20:00 IST", "Asia/Kolkata", "2026-03-14T14:30Z"),
        ("14 Mar 2026 20:00 CST", "Asia/Shanghai", "2026-03-14T12:00Z"),
        ("14 Jun 2026 20:00 BST", "UTC", "2026-06-14T19:00Z"),
        ("14 Jun 2026 20:00 CEST", "UTC", "2026-06-14T18:00Z"),
        ("14 Mar 2026 20:00 XYZT", "UTC", None),
        ("14 Mar 2026 20:00 GMT+1", "UTC", "2026-03-14T19:00Z"),
        ("14 Mar 2026 20:00 Europe/Paris", "UTC", "2026-03-14T19:00Z"),
        ("03/04/2026 19:00", "UTC", None),
        ("Fri 03/04/2026 19:00", "UTC", "2026-04-03T19:00Z"),
        ("Mon 14 March 2026 19:00", "UTC", None),
        ("14 March 2026 10:00-12:00", "UTC", None),
        ("14 March or 15 March 2026 10:00", "UTC", None),
        ("2026年06月01日 20:00", "Asia/Tokyo", "2026-06-01T11:00Z"),
        ("2026-06-01", "UTC", None),
        ("2026-06-01T20:00:00", "Europe/Berlin", "2026-06-01T18:00Z"),
        ("2026-03-29T02:30:00", "Europe/Berlin", None),
        ("1780336800", "UTC", "2026-06-01T18:00Z"),
        ("14 Mar 1921 20:00", "UTC", None),
        ("31.02.2026 20:00", "UTC", None),
        ("14 March 2026 25:00", "UTC", None),
        ("14 March 2026 13pm", "UTC", None),
        ("14 March 2026 12:00 am", "UTC", "2026-03-14T00:00Z"),
        ("14 March 2026 24:00", "UTC", "2026-03-15T00:00Z"),
        ("14 March 2026 midnight", "UTC", None),
        ("14 March 2026 noon", "UTC", "2026-03-14T12:00Z"),
        ("14 March 2026, 12:00 noon", "UTC", "2026-03-14T12:00Z"),
        ("not before 14 March 2026 20:00", "UTC", None),
        ("20:00", "UTC", None),
        ("19h", "Europe/Paris", None),
        ("next Sunday 20:00", "UTC", None),
        ("mañana a las 19:00", "Europe/Madrid", "2026-03-02T18:00Z"),
        ("demain à 19h", "Europe/Paris", "2026-03-02T18:00Z"),
        ("14 March 20:00", "UTC", "2026-03-14T20:00Z"),
        ("28 February 20:00", "UTC", "2026-02-28T20:00Z"),
        ("", "UTC", None),
        ("x" * 500, "UTC", None),
    ],
)
def test_other_times(text: str, zone: str, expected: Any) -> None:
    read = read_time(text, Setting(WORDS, now=NOW, zone=zone))
    assert read.when == utc(expected), read.note
    assert read.when is not None or (read.note and read.ambiguous)


def test_said_to_have_ended() -> None:
    assert read_time("Auction ended", Setting(WORDS, now=NOW)).ended
    read = read_time("Beendet 28.02.2026 20:00", Setting(WORDS, now=NOW))
    assert read.ended
    assert read.when == datetime(2026, 2, 28, 20, tzinfo=UTC)
    assert read_time("ended 2 days ago", Setting(WORDS, now=NOW)).when is None


def test_a_date_alone_by_setting_is_the_end_of_the_day() -> None:
    read = read_time("Ending 20 March 2026", Setting(WORDS, now=NOW, zone="Europe/London", day_end=True))
    assert (read.when, read.ambiguous) == (datetime(2026, 3, 20, 23, 59, 59, tzinfo=UTC), True)


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("A fine piece. Closes 14 Mar 2026 20:00 CET. Weight 25.8 g", "2026-03-14T19:00Z"),
        ("Endet: 15.03.2026 20:00 Uhr MEZ\nStart: 50 EUR", "2026-03-15T19:00Z"),
        ("Current bid | 120 EUR\nEnds | 14 March 2026, 8:00 PM | Lot 5", "2026-03-14T20:00Z"),
        ("Ends in 2d 4h. Silver, 12 pictures", "2026-03-03T16:00Z"),
        ("Worn at the end of 1921, ends 2026-03-15T20:00:00Z", "2026-03-15T20:00Z"),
        ("Clôture le 14 mars 2026 à 19h, frais 20 %", "2026-03-14T19:00Z"),
        ("Closes 14 Mar 2026 20:00 XYZT", None),
        ("Ends 14 Mar 2026 20:00. Closes 15 Mar 2026 20:00.", None),
    ],
)
def test_closing_in_free_text(text: str, expected: Any) -> None:
    found = find_closing(text, Setting(WORDS, now=NOW))
    assert found is not None
    assert found.when == utc(expected), found.note


def test_no_closing_in_plain_talk() -> None:
    assert find_closing("Worn at the end, struck 14 March 1910 at noon", Setting(WORDS, now=NOW)) is None


def test_learning_the_order_of_day_and_month() -> None:
    assert learn_date_order(["03/04/2026", "15/04/2026"]) == "dmy"
    assert learn_date_order(["03/04/2026", "04/15/2026"]) == "mdy"
    assert learn_date_order(["03/04/2026"]) is None
    assert learn_date_order(["15/04/2026", "04/15/2026"]) is None


zones = st.sampled_from(["UTC", "Europe/Berlin", "America/New_York", "Asia/Kolkata", "Pacific/Auckland", ""])
scraps = st.lists(
    st.sampled_from(
        [*"0123456789 .:/-,+<\n", "2026", "14", "March", "Mar ", "20:00", " CET", "h", "pm", "ends ", "Z", "T",
         "morgen", "noch ", "Sunday ", "P", "D", "EST", "tomorrow ", "á", "٣", "²"]
    ),
    max_size=14,
).map("".join)  # fmt: skip


@settings(max_examples=60, deadline=None)
@given(scraps | st.text(max_size=60), zones, st.sampled_from([None, "dmy", "mdy"]), st.booleans())
def test_time_text_never_raises(text: str, zone: str, order: str, day_end: Any) -> None:
    read = read_time(text, Setting(WORDS, now=NOW, zone=zone, order=order, day_end=day_end))
    assert (read.when is None) <= (read.note != "" and read.ambiguous)
    assert read.when is None or read.when.utcoffset() == timedelta(0)
    find_closing(f"Ends {text}", Setting(WORDS, now=NOW, zone=zone))


@settings(max_examples=60, deadline=None)
@given(st.sampled_from([case["expr"] for case in CASES]), st.integers(0, 30), st.integers(0, 4), st.text(max_size=3))
def test_a_damaged_time_never_raises(text: str, at: int, cut: int, put: str) -> None:
    read_time(text[:at] + put + text[at + cut :], Setting(WORDS, now=NOW, zone="Europe/Berlin"))


def _closing(piece: str, times: int) -> object:
    return find_closing(piece * times, Setting(WORDS, now=NOW))


def test_a_hostile_description_takes_time_in_step_with_its_length() -> None:
    for piece in ("ends ", "ends 1 ", "1 ", "ends: 14.03.2026 ", " "):
        assert growth(partial(_closing, piece), 4_000) < IN_STEP


@settings(max_examples=60, deadline=None)
@given(st.datetimes(datetime(2020, 1, 1), datetime(2030, 1, 1)), zones.filter(bool))
def test_local_times_agree_with_the_zone_database(local: datetime, name: str) -> None:
    local = local.replace(second=0, microsecond=0)
    tz = ZoneInfo(name)
    for text in (f"{local:%d.%m.%Y %H:%M}", f"{local:%Y-%m-%d %H:%M}", f"{local:%B %d, %Y %I:%M %p}"):
        when = read_time(text, Setting(WORDS, now=NOW, zone=name)).when
        both = {local.replace(tzinfo=tz, fold=fold).astimezone(UTC) for fold in (0, 1)}
        assert ({when} == both) if len(both) == 1 else when is None


@pytest.mark.parametrize(
    "text",
    [
        "2026-12-01T19:00:00+25:00",
        "2026-12-01T19:00:00-99:00",
        "2026-12-01T19:00:00+15:00",
        "2026-12-01T19:00+14:30",
        "2026-12-01T19:00:00-12:30",
        "2026-12-01T19:00:00-13:00",
        "20261201T190000+2500",
        "2026-12-01T19:00:00+01:75",
        "Tue, 1 Dec 2026 19:00:00 +2500",
        "1 December 2026 19:00 GMT+15",
        "1 Dec 2026 19:00 UTC-13",
        "2026-12-01 19:00 +0199",
        "Ends 2026-12-01 19:00:00-99:00",
    ],
)
def test_an_offset_that_no_clock_has_is_unknown(text: str) -> None:
    read = read_time(text, Setting(WORDS, now=datetime(2026, 11, 25, tzinfo=UTC)))
    assert read.when is None
    assert read.note


@pytest.mark.parametrize(
    ("text", "hour"),
    [
        ("2026-12-01T19:00:00+14:00", 5),
        ("2026-12-01T19:00:00-12:00", 7),
        ("2026-12-01T19:00:00+05:45", 13),
        ("Tue, 1 Dec 2026 19:00:00 -0930", 4),
        ("1 Dec 2026 19:00 GMT+13", 6),
        ("2026-12-01T19:00:00Z", 19),
    ],
)
def test_the_furthest_offsets_of_the_world(text: str, hour: int) -> None:
    read = read_time(text, Setting(WORDS, now=datetime(2026, 11, 25, tzinfo=UTC)))
    assert read.when is not None
    assert read.when.hour == hour
