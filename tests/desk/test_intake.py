"""One source's answer taken in: read, judged and kept, or why it gave nothing."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from datetime import timedelta
from pathlib import Path
from typing import Any

import pytest

from tests.desk.pieces import COIN, NORTH, NOW, come, feed, lot, row
from watchlist.core.lots.source import Source
from watchlist.core.lots.trouble import Trouble
from watchlist.desk.desk import Desk
from watchlist.desk.due import Due
from watchlist.desk.errors import DeskError
from watchlist.desk.gather import intake
from watchlist.desk.gather.intake import Found, SourceReport, has_body, take, try_source
from watchlist.feeds.answers import Fetched
from watchlist.feeds.failures import FetchError
from watchlist.feeds.read import read_entries
from watchlist.page.troubles import sentence

BUSY = Trouble("busy", "north.example", {"status": 429, "until": NOW})
GONE = Trouble("gone", "north.example")
SILENT = sentence(FetchError("silent", "north.example").trouble)
ENDED = replace(NORTH, price_kind="ended")


def state(desk: Desk) -> dict[str, Any]:
    return desk.shelf.store.feeds.state("north")


def test_new_lots_are_kept_with_their_marks(desk: Desk) -> None:
    report = come(desk, row("1"), row("2", "Old silver lot, see photos"))
    assert report.line == "north: 2 lots, 2 new"
    assert (report.new, report.read) == (2, 2)
    kept = lot(desk, "north:1")
    assert kept.judgement is not None
    assert (kept.judgement.issue, kept.judgement.wants, kept.state) == (COIN.key, ("w1",), "new")
    assert state(desk)["last_ok"] == NOW.isoformat()
    assert state(desk)["lots"] == 2


def test_what_is_unchanged_is_not_read_again(desk: Desk) -> None:
    come(desk, row("1"), row("2"))
    report = come(desk, row("1"), row("2", price="210"))
    assert (report.new, report.read, report.note) == (0, 1, "")
    report = come(desk, row("1"), row("2", price="210"))
    assert (report.read, report.note) == (0, "unchanged")
    assert report.line == "north: 2 lots, 0 new (unchanged)"


@pytest.mark.parametrize(
    ("came", "note", "body"),
    [
        (Fetched(304), "unchanged", False),
        (Fetched(429, retry_after=NOW + timedelta(hours=1), told=BUSY), sentence(BUSY), False),
        (Fetched(410, disabled=True, told=GONE), sentence(GONE), False),
        (Fetched(200, b"x"), "", True),
    ],
)
def test_an_answer_without_a_body_is_noted(desk: Desk, came: Fetched, note: str, body: bool) -> None:
    come(desk, row("1"))
    assert has_body(came) is body
    if not body:
        assert take(desk, NORTH, came, Found()) == SourceReport("north", lots=1, note=note)


def test_a_source_that_is_gone_is_asked_no_more(desk: Desk) -> None:
    take(desk, NORTH, Fetched(410, disabled=True, told=GONE), Found())
    (source,) = desk.shelf.notebook.sources.list()
    assert source.disabled == sentence(GONE)


def test_unchanged_is_well_again(desk: Desk) -> None:
    take(desk, NORTH, FetchError("silent", "north.example"), Found())
    take(desk, NORTH, Fetched(304, etag="e1"), Found())
    assert (state(desk)["trouble"], state(desk)["last_ok"], state(desk)["etag"]) == ("", NOW.isoformat(), "e1")


def test_a_failure_is_noted_and_lots_stay(desk: Desk) -> None:
    come(desk, row("1"))
    report = take(desk, NORTH, FetchError("silent", "north.example"), Found())
    assert report.line == f"north: failed. {SILENT}"
    assert (state(desk)["trouble"], state(desk)["lots"]) == (SILENT, 1)


def answer(desk: Desk, body: bytes, **fields: Any) -> SourceReport:
    read = intake.read_body(NORTH, Fetched(200, body, "text/csv", **fields), desk.shelf.store.feeds.seen("north"))
    return take(desk, NORTH, read, Found())


def test_a_page_in_the_place_of_a_feed_is_a_failure(desk: Desk) -> None:
    report = answer(desk, b"<!doctype html><html><body>Please log in</body></html>", etag="e1")
    assert report.failed
    assert (state(desk)["trouble"], state(desk)["etag"]) == (report.failed, "")


def test_a_source_that_lists_nothing_more_is_quiet(desk: Desk) -> None:
    come(desk, row("1"))
    report = answer(desk, feed())
    assert report.note == "quiet: 0 lots, last time 1"
    assert state(desk)["quiet"]


def test_what_broke_off_or_moved_is_said(desk: Desk) -> None:
    report = answer(desk, feed(row("1")), partial=True, moved_to="https://new.example/", told=BUSY)
    assert report.note == (
        f"{sentence(BUSY)}; partial: it broke off; lots that are missing have not ended; "
        "it has moved to https://new.example/; add it there"
    )
    assert state(desk)["trouble"] == report.note


def test_an_entry_that_cannot_be_read_is_a_trouble_of_its_source(desk: Desk) -> None:
    report = answer(desk, feed(row("1", price="cheap"), row("2")))
    assert report.line == "north: 2 lots, 2 new, 1 problem"
    assert state(desk)["troubles"]


def test_marks_and_dates_are_learnt_of_a_source_unless_they_are_set(desk: Desk) -> None:
    rows = [row(str(n), price=f"1.{n}00", hours=None, ends_at=f"2{n}.11.2026 20:00") for n in range(4, 8)]
    rows.append(row("9", price='"12,50"', hours=None, ends_at="28.11.2026 20:00"))
    answer(desk, feed(*rows))
    assert state(desk)["learned"] == {"decimal_mark": ",", "date_order": "dmy"}
    set_by_hand = replace(NORTH, decimal_mark=".", date_order="mdy")
    source, learned = intake._learned(set_by_hand, intake.read_body(NORTH, Fetched(200, feed(*rows)), ()).read, {})
    assert (source.decimal_mark, source.date_order, learned) == (".", "mdy", {})


def test_a_hammer_price_is_a_price_realised_at_once(desk: Desk) -> None:
    come(desk, row("1", hours=-24), row("2", "Old silver lot", hours=-24), row("3", price="", hours=-24), source=ENDED)
    (price,) = list(desk.shelf.store.prices.each())
    assert (price.issue, str(price.price), price.sale_date.isoformat()) == (COIN.key, "200 EUR", "2026-11-24")
    assert desk.owed.all() == Due(market=True)
    assert [lot(desk, f"north:{number}").state for number in (1, 2, 3)] == ["ended", "ended", "new"]
    come(desk, row("1", hours=-23), source=ENDED)
    assert desk.shelf.store.prices.count() == 1


def test_a_piece_that_was_sold_before_its_closing_counts_today(desk: Desk) -> None:
    come(desk, row("1", hours=240), source=ENDED)
    (price,) = list(desk.shelf.store.prices.each())
    assert price.sale_date == NOW.date()


def test_a_stop_between_two_batches_leaves_the_rest_to_the_next_gather(
    desk: Desk, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(intake, "STORE_BATCH", 2)
    desk.go_on = lambda words, share: share == 0
    report = come(desk, row("1"), row("2"), row("3"))
    assert (report.new, report.note) == (2, intake.STOPPED)
    desk.go_on = lambda words, share: True
    assert come(desk, row("1"), row("2"), row("3")).new == 1


def test_entries_that_time_ran_out_for_come_at_the_next_gather(desk: Desk) -> None:
    """No lot is lost: neither by a hash remembered too early, nor by an ETag that makes the source say "unchanged"."""
    came = Fetched(200, feed(*(row(str(n)) for n in range(500))), "text/csv", etag="e1", last_modified="yesterday")

    def gathered(seconds: float) -> SourceReport:
        read = read_entries(NORTH, came.body, seen=desk.shelf.store.feeds.seen("north"), seconds=seconds)
        return take(desk, NORTH, intake.Body(NORTH, came, read), Found())

    first = gathered(-1)
    left = 500 - first.new
    assert 0 < first.new < 500
    assert first.note == f"partial: {left} entries are left for the next gather"
    assert state(desk)["trouble"] == first.note
    assert (state(desk)["etag"], state(desk)["last_modified"]) == ("", "")
    second = gathered(60)
    assert (second.read, second.new, second.note) == (left, left, "")
    assert (state(desk)["trouble"], state(desk)["etag"], state(desk)["last_modified"]) == ("", "e1", "yesterday")
    assert gathered(60).note == "unchanged"


def test_an_entry_set_aside_is_not_tried_again_before_the_rest(desk: Desk) -> None:
    """One that takes all the time there is and gives nothing does not hold up those behind it for ever."""
    body = b'{"items": [1, {"id": "a", "title": "5 tor 1893"}, {"id": "b", "title": "5 tor 1894"}]}'
    came, news = Fetched(200, body, "application/json"), []
    for _ in range(4):
        read = read_entries(NORTH, body, seen=desk.shelf.store.feeds.seen("north"), seconds=-1)
        news.append(take(desk, NORTH, intake.Body(NORTH, came, read), Found()).new)
    assert news == [0, 1, 1, 0]


def test_newcomers_throw_a_light_on_lots_that_were_there(desk: Desk) -> None:
    cert: dict[str, Any] = {"cert_number": "1234567", "service": "QCG"}
    there = row("1", seller="anna"), row("2", **cert), row("3", seller="bert")
    come(desk, *there)
    found = Found()
    come(desk, *there, row("4", seller="anna"), row("5", **cert), found=found)
    assert found.touched == {"north:1", "north:2"}


def test_one_judge_serves_all_sources_of_a_desk(desk: Desk) -> None:
    found = Found()
    judge = found.judge(desk)
    assert found.judge(desk) is judge
    assert found.judge(Desk(desk.shelf, desk.now)) is not judge


# --- a source tried once ---


def test_a_file_is_tried_and_nothing_is_kept(desk: Desk, tmp_path: Path) -> None:
    (tmp_path / "lots.csv").write_bytes(feed(row("1"), row("2", price="cheap")))
    read, lots, troubles = try_source(desk, Source("here", str(tmp_path / "lots.csv"), venue="Lindmoor Sales"))
    assert (read.total, [each.key for each in lots], len(troubles)) == (2, ["here:1", "here:2"], 1)
    assert desk.shelf.store.listing.count() == 0


def answers(monkeypatch: pytest.MonkeyPatch, came: Fetched | FetchError) -> None:
    """What the network gives."""

    def fetching(asks: Any, now: Any) -> Iterator[Any]:
        return iter([(asks[0], came)])

    monkeypatch.setattr(intake, "Fetching", fetching)


def test_an_address_is_tried(desk: Desk, monkeypatch: pytest.MonkeyPatch) -> None:
    answers(monkeypatch, Fetched(200, feed(row("1")), "text/csv"))
    _, lots, _ = try_source(desk, NORTH)
    assert [each.key for each in lots] == ["north:1"]


@pytest.mark.parametrize("came", [FetchError("silent", "north.example"), Fetched(410, disabled=True, told=GONE)])
def test_an_address_without_a_body_is_said(
    desk: Desk, monkeypatch: pytest.MonkeyPatch, came: Fetched | FetchError
) -> None:
    answers(monkeypatch, came)
    with pytest.raises(DeskError) as error:
        try_source(desk, NORTH)
    assert str(error.value) in (SILENT, sentence(GONE))
