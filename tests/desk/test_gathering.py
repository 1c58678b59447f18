"""A gather from its first question to what follows it: waits, stops, and what it leaves to the next one."""

from __future__ import annotations

import gc
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import replace
from datetime import timedelta
from pathlib import Path
from typing import Any

import pytest

from tests.desk.pieces import NORTH, NOW, feed, lot, row, sales
from watchlist.core.lots.source import Source
from watchlist.desk import settling
from watchlist.desk.desk import Desk
from watchlist.desk.due import MARKS, Due
from watchlist.desk.errors import DeskError
from watchlist.desk.gather import intake
from watchlist.desk.gather.gathering import Gather, Gathered, Progress, ask, gather, waiting
from watchlist.desk.gather_times import gather_before, last_gather
from watchlist.desk.judging import judging
from watchlist.desk.prices import fitting
from watchlist.desk.settling import outstanding
from watchlist.feeds.answers import Fetched


@pytest.fixture
def files(desk: Desk, tmp_path: Path) -> Path:
    """Two sources that are files."""
    desk.shelf.notebook.sources.drop("north")
    for name, *rows in (("east", row("1"), row("2")), ("west", row("1"))):
        path = tmp_path / f"{name}.csv"
        path.write_bytes(feed(*rows))
        desk.shelf.notebook.sources.put(Source(name, str(path), venue="Lindmoor Sales"))
    desk.forget()
    return tmp_path


def test_all_sources_are_taken_in_and_told(desk: Desk, files: Path) -> None:
    told: list[Progress] = []
    run = Gather(lambda: _same(desk))
    found = run.run(told.append)
    assert sorted(step.line for step in told)[-1].startswith("Gathering 2 of 2: ")
    assert [report.new for report in sorted(found.reports, key=lambda each: each.name)] == [2, 1]
    assert (found.stopped, found.due, run.sources) == (False, "", 2)
    assert not desk.owed.all()
    assert not judging.is_due(desk)


@contextmanager
def _same(desk: Desk) -> Iterator[Desk]:
    yield desk


def test_progress_says_how_far_it_is() -> None:
    assert Progress(0, 3).line == "Gathering 0 of 3"
    assert Progress(1, 3, intake.SourceReport("east", lots=120)).line == "Gathering 1 of 3: east, 120 lots"
    assert Progress(2, 3, intake.SourceReport("west", failed="No.")).line == "Gathering 2 of 3: west, failed"
    assert Gathered((), stopped=True).due == ""


def test_only_those_that_are_named(desk: Desk, files: Path) -> None:
    assert [report.name for report in gather(desk, ["WEST"])] == ["west"]
    with pytest.raises(DeskError, match="There is no source `wets` \\(did you mean `west`"):
        list(gather(desk, ["wets"]))


def test_lots_of_the_last_gather_are_new_until_the_next(desk: Desk, files: Path) -> None:
    list(gather(desk))
    assert (last_gather(desk.shelf.store), gather_before(desk.shelf.store)) == (NOW, None)
    assert lot(desk, "east:1").state == "new"
    desk.now += timedelta(days=1)
    list(gather(desk))
    assert (last_gather(desk.shelf.store), gather_before(desk.shelf.store)) == (desk.now, NOW)
    assert lot(desk, "east:1").state == "seen"


def test_who_is_not_asked_and_why(desk: Desk) -> None:
    assert waiting(desk, NORTH, offline=False) == ""
    assert waiting(desk, NORTH, offline=True) == "not asked: offline"
    assert waiting(desk, replace(NORTH, disabled="gone"), offline=False) == "not asked: gone"
    for hours, said in ((1, "not asked before 2026-11-25T10:00 at its request"), (-1, "")):
        desk.shelf.store.feeds.put_state("north", {"retry_after": (NOW + timedelta(hours=hours)).isoformat()})
        assert waiting(desk, NORTH, offline=False) == said
    assert [report.note for report in gather(desk, offline=True)] == ["not asked: offline"]


def test_a_source_is_asked_with_what_it_said_last(desk: Desk) -> None:
    desk.shelf.store.feeds.put_state("north", {"etag": "e1", "last_modified": "Mon"})
    asked = ask(desk, NORTH)
    assert (asked.name, asked.address, asked.etag, asked.last_modified) == ("north", NORTH.address, "e1", "Mon")


def test_a_file_that_is_missing_fails_alone(desk: Desk, files: Path) -> None:
    (files / "east.csv").unlink()
    reports = {report.name: report for report in gather(desk)}
    assert reports["east"].failed
    assert reports["west"].new == 1


def test_a_source_that_was_dropped_meanwhile_is_left_out(desk: Desk, files: Path) -> None:
    run = Gather(lambda: _same(desk))
    desk.shelf.notebook.sources.drop("east")
    desk.forget()
    assert run._take("east", Fetched(200, b"")).note == "removed meanwhile"
    assert run._take("west", Fetched(304)).note == "unchanged"


def test_a_stop_keeps_what_came_and_says_what_is_due(desk: Desk, files: Path) -> None:
    desk.shelf.store.prices.add(sales())
    fitting.refit(desk)
    settling.settle(desk, outstanding(desk))
    run = Gather(lambda: _same(desk))
    reports = iter(run)
    next(reports)
    desk.owed.add(Due(market=True))
    run.stop()
    assert list(reports) == []
    assert run.stopped
    assert run.due == "Calculating the bands is due."
    list(gather(desk))
    assert not desk.owed.all()


def test_a_gather_that_is_stopped_before_it_asks_asks_nobody(desk: Desk, files: Path) -> None:
    run = Gather(lambda: _same(desk))
    run.stop()
    assert list(run) == []
    assert desk.shelf.store.listing.count() == 0


def test_a_stop_of_the_judging_at_the_beginning_ends_the_gather(desk: Desk, files: Path) -> None:
    list(gather(desk))
    desk.owed.add(MARKS)
    desk.go_on = lambda words, share: not words.startswith("marking")
    run = Gather(lambda: _same(desk))
    assert list(run) == []
    assert run.due == "Marking was stopped: some lots keep their old mark until the next gather."
    assert desk.owed.all().marks


def test_lots_end_however_the_gather_ends(desk: Desk, files: Path) -> None:
    list(gather(desk))
    desk.now += timedelta(hours=60)
    run = Gather(lambda: _same(desk))
    run.stop()
    list(run)
    assert lot(desk, "east:1").state == "ended"


def test_lots_that_newcomers_touch_are_judged_anew(desk: Desk, files: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    list(gather(desk))
    cert: dict[str, Any] = {"cert_number": "1234567", "service": "QCG"}
    (files / "east.csv").write_bytes(feed(row("1", **cert), row("2")))
    list(gather(desk))
    (files / "west.csv").write_bytes(feed(row("1"), row("7", "Orvany 1 tor 1889 XF-40", **cert)))
    list(gather(desk))
    judged = lot(desk, "east:1").judgement
    assert judged is not None
    assert any("1234567" in reason.text or "number" in reason.text for reason in judged.reasons)


def test_the_sweeps_of_the_memory_go_back_to_their_pace(desk: Desk, files: Path) -> None:
    before = gc.get_threshold()
    reports = gather(desk)
    next(reports)
    assert gc.get_threshold() != before
    reports.close()  # type: ignore[attr-defined]
    assert gc.get_threshold() == before
