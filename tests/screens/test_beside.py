"""What takes longer than a key may is done beside the screens: gathers, judging anew, signs set aside."""

from __future__ import annotations

import asyncio
import threading
import time
from datetime import datetime
from pathlib import Path
from typing import Any

import pytest

from tests.screens import pieces
from tests.screens.conftest import Open
from tests.screens.pieces import NOW, PATIENCE, heard, seen, settled
from watchlist.core.lots.source import Source
from watchlist.desk.judging import judging
from watchlist.desk.judging.judging import Judge
from watchlist.desk.own_files import importing
from watchlist.screens.app import Screens
from watchlist.screens.background.shelf_access import ShelfAccess
from watchlist.shelf.shelf import Shelf

ROWS = 4_000
MORNING = datetime.fromisoformat("2026-03-03T07:30:00+01:00")
AT_ONCE = 0.2
"""Seconds in which work is seen: row 18 of the list in docs/screens.md."""


async def until(pilot: Any, true: Any) -> None:
    """Wait for something that the background brings about."""
    async with asyncio.timeout(PATIENCE):
        while not true():
            await pilot.pause()


async def test_a_gather_is_seen_at_once_and_stopped_keeps_what_came(tmp_path: Path, open_on: Open) -> None:
    path = pieces.shelf(tmp_path / "shelf", 0)
    (tmp_path / "east.csv").write_text(
        "id,title,price,currency\n"
        + "".join(f"{number},Orvany 5 tor 1893-V VF-30 no. {number},{200 + number},EUR\n" for number in range(ROWS)),
        "utf-8",
    )
    with Shelf.open(path, write=True, today=NOW.date) as shelf:
        shelf.notebook.sources.put(Source("east", str(tmp_path / "east.csv"), kind="csv"))
    app = open_on(path)
    async with app.run_test(size=(80, 24)) as pilot:
        await settled(pilot)
        since = time.perf_counter()
        app.program.gathering.start()
        assert app.status().startswith("Gathering")
        assert time.perf_counter() - since < AT_ONCE
        await until(pilot, lambda: app.program.access.shelf.store.listing.count())
        assert any("Gathering" in line and "Esc stops" in line for line in seen(app))
        await pilot.press("escape")
        await heard(app, "Stopped; what came is saved.")
        await settled(pilot)
        assert 0 < app.program.access.shelf.store.listing.count() < ROWS
        assert any("Orvany 5 tor 1893-V VF-30" in line for line in seen(app))


async def test_a_large_window_draws_the_curve_of_a_real_market(sample_shelf: Path) -> None:
    """List, Ticket and price curve at once: row 5 of the list."""
    session = ShelfAccess(sample_shelf, MORNING)
    app = Screens(session, colour=True)
    async with app.run_test(size=(160, 50)) as pilot:
        await settled(pilot)
        await pilot.press("/", *"mark:b", "enter")
        await settled(pilot)
        await pilot.pause(0.1)
        list_part, ticket = [line[:90] for line in seen(app)], [line[90:] for line in seen(app)]
        assert sum(line.startswith(" B") for line in list_part) > 3
        assert any(line.strip().startswith("Bargain") for line in ticket)
        foot = next(at for at, line in enumerate(ticket) if line.strip().startswith("+---"))
        curve = "\n".join(line.partition("|")[2] for line in ticket[foot - 16 : foot])
        assert curve.count("o") > 2
        assert curve.count("X") == 1
        assert curve.count(".") > 10
    session.close()


async def test_the_form_of_a_want_closes_at_once_and_esc_stops_the_judging(
    app: Screens, monkeypatch: pytest.MonkeyPatch
) -> None:
    gate = threading.Event()
    judge_all = judging.judge_all

    def slow(desk: Any) -> None:
        gate.wait(PATIENCE)
        judge_all(desk)

    monkeypatch.setattr(judging, "judge_all", slow)
    async with app.run_test(size=(80, 24)) as pilot:
        await settled(pilot)
        await pilot.press("2", "a", *"Orvany 5 tor 1893-V", "tab", "tab", *"300 EUR", "enter")
        await heard(app, "w1: ")
        await until(pilot, lambda: app.frame is not None and app.frame.ID == "wants")
        assert "Marking all lots again" in app.status()
        await pilot.press("escape")
        gate.set()
        await heard(app, "Marking was stopped")
        await settled(pilot)
        assert [want.id for want in app.program.access.shelf.notebook.wants.list()] == ["w1"]
        assert judging.is_due(app.program.access.desk)


async def test_a_sign_is_judged_beside_the_screens_when_set_aside_and_when_that_is_undone(
    app: Screens, monkeypatch: pytest.MonkeyPatch
) -> None:
    judged: list[bool] = []
    judge = Judge.judge

    def watched(self: Judge, row: Any) -> Any:
        judged.append(threading.current_thread() is threading.main_thread())
        return judge(self, row)

    monkeypatch.setattr(Judge, "judge", watched)
    async with app.run_test(size=(80, 24)) as pilot:
        await settled(pilot)
        await pilot.press("j", "d", "2", "enter", *"known to me", "enter")
        await heard(app, "Dismissed: ")
        await pilot.press("u")
        await heard(app, "Undone: ")
        await pilot.press("ctrl+r")
        await heard(app, "Redone: ")
    assert judged == [False] * 3


async def test_an_import_asks_for_a_file_and_reads_no_more_of_it_than_it_may(
    tmp_path: Path, app: Screens, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(importing, "MOST_BYTES", 1_000)
    (tmp_path / "large.csv").write_text("issue,price\n" + "x,1\n" * 1_000, "utf-8")
    async with app.run_test(size=(100, 24)) as pilot:
        await settled(pilot)
        await pilot.press("i", *"prices", "tab", *str(tmp_path), "enter")
        await heard(app, f"{tmp_path} is not a file. Nothing was changed.")
        await pilot.press(*"/large.csv", "enter")
        await heard(app, "nothing of it was taken")
    assert len(importing.bytes_of(tmp_path / "large.csv")) == 1_001
