"""Decisions beside a gather or a fit: they wait in order, are written between two steps, and none is lost."""

from __future__ import annotations

import asyncio
import signal
import sys
import threading
import time
from collections.abc import Callable, Iterator
from datetime import date
from pathlib import Path
from typing import Any

import pytest

from tests.screens import pieces
from tests.screens.conftest import Open
from tests.screens.pieces import NOW, PATIENCE, eur, heard, seen, settled
from watchlist import market
from watchlist.core.coins.issue import Issue
from watchlist.core.lots.source import Source
from watchlist.core.marks.record import Want
from watchlist.core.prices.realised import PriceRealised
from watchlist.desk.desk import Desk
from watchlist.desk.due import Due, Owed
from watchlist.desk.gather import intake
from watchlist.desk.gather.gathering import Gather
from watchlist.desk.judging.judging import Judge
from watchlist.desk.prices import fitting
from watchlist.screens.app import Screens
from watchlist.screens.background.pen import Errand
from watchlist.shelf.shelf import Shelf
from watchlist.shelf.store import Store
from watchlist.shelf.store.lots import Lots

FEED = "id,title,price,currency,ends_at\n" + "".join(
    f"{number},Orvany 5 tor 1893-V VF-30 no. {number},{200 + number},EUR,2026-11-28T20:00:00Z\n" for number in range(3)
)
ISSUE = Issue("orvany-5t-1893", "Orvany", "5 tor", 1893)


def sale(number: int, amount: int = 400) -> PriceRealised:
    return PriceRealised(0, ISSUE.key, date(2026, 1, 1 + number), eur(amount), "hammer", 30, 30, origin=f"p:{number}")


@pytest.fixture
def east(tmp_path: Path) -> Path:
    """The shelf of the screens' tests with one source of three new lots, a coin, and prices not fitted yet."""
    path = pieces.shelf(tmp_path / "shelf")
    (tmp_path / "east.csv").write_text(FEED, "utf-8")
    with Shelf.open(path, write=True, today=NOW.date) as shelf:
        shelf.notebook.sources.put(Source("east", str(tmp_path / "east.csv"), kind="csv"))
        shelf.store.catalogue.merge([ISSUE])
        shelf.store.prices.add([sale(number) for number in range(3)])
    return path


@pytest.fixture
def fitted(east: Path) -> Path:
    """The same with a market."""
    with Shelf.open(east, write=True, today=NOW.date) as shelf:
        fitting.refit(Desk(shelf, NOW), search=False)
    return east


class Gate:
    """A step of the work that stops in the middle and goes on when a test says so."""

    def __init__(self) -> None:
        self.reached, self.open = threading.Event(), threading.Event()
        self.passed = 0

    def wait(self) -> None:
        """Stand before the gate, the first time."""
        self.passed += 1
        if self.passed == 1:
            self.reached.set()
            assert self.open.wait(PATIENCE)

    async def inside(self) -> None:
        assert await asyncio.to_thread(self.reached.wait, PATIENCE)


@pytest.fixture
def gate(monkeypatch: pytest.MonkeyPatch) -> Iterator[Gate]:
    """A gather stands in the middle of its first lot, holding the shelf; the lots come one in a batch."""
    made, judge_new = Gate(), Judge.judge_new

    def slow(self: Judge, rows: Any) -> Any:
        made.wait()
        return judge_new(self, rows)

    monkeypatch.setattr(Judge, "judge_new", slow)
    monkeypatch.setattr(intake, "STORE_BATCH", 1)
    yield made
    made.open.set()


def said(app: Screens) -> str:
    return " ".join(" ".join(seen(app)).split())


def state(path: Path, key: str) -> str:
    """How a lot stands on the disk, read beside the screens."""
    store = Store(path / "shelf.db", write=False)
    try:
        row = store.lots.get(key)
        return row.state if row else "gone"
    finally:
        store.close()


def fit_due(path: Path) -> bool:
    store = Store(path / "shelf.db", write=False)
    try:
        return Owed(store.facts).all().market
    finally:
        store.close()


async def test_a_decision_waits_for_the_gather_and_is_written_between_two_lots(
    fitted: Path, open_on: Open, gate: Gate
) -> None:
    app = open_on(fitted)
    async with app.run_test(size=(100, 24)) as pilot:
        await settled(pilot)
        await pilot.press("r")
        await gate.inside()
        await pilot.press("x")
        assert "1 decision waits for the gather." in said(app)
        assert "Skipped" not in " ".join(app.program.messages.kept)
        assert seen(app)[2][0] == "~"
        assert seen(app)[2][2] == "x"
        assert state(fitted, "north:0") == "new" or state(fitted, "north:0") == "seen"
        gate.open.set()
        message = await heard(app, "Skipped: 5 tor 1893 V, toned.")
        assert message.endswith("u undoes it.")
        assert state(fitted, "north:0") == "skipped"
        assert app.program.gathering.running or gate.passed == 3
        await heard(app, "Gathered: 3 new lots")
        await settled(pilot)
        assert "waits" not in said(app)


async def test_what_waits_is_written_before_the_gather_is_over(
    fitted: Path, open_on: Open, gate: Gate, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The gather gives way between its own batches, not only at its end."""
    states: list[str] = []
    save = Lots.save

    def watched(self: Lots, rows: Any) -> None:
        states.append(getattr(self.get("north:0"), "state", ""))
        save(self, rows)

    monkeypatch.setattr(Lots, "save", watched)
    app = open_on(fitted)
    async with app.run_test() as pilot:
        await settled(pilot)
        await pilot.press("r")
        await gate.inside()
        await pilot.press("x")
        gate.open.set()
        await heard(app, "Gathered")
        assert states == ["seen", "skipped", "skipped"]


async def test_decisions_keep_their_order(fitted: Path, open_on: Open, gate: Gate) -> None:
    app = open_on(fitted)
    async with app.run_test(size=(100, 24)) as pilot:
        await settled(pilot)
        await pilot.press("r")
        await gate.inside()
        await pilot.press("x", "u", "j", "f", "x")
        assert "4 decisions wait for the gather." in said(app)
        gate.open.set()
        await heard(app, "Gathered")
        assert state(fitted, "north:0") == "seen"
        assert state(fitted, "north:1") == "skipped"
        words = [message.split("  ", 1)[1].split(":")[0] for message in app.program.messages.kept]
        assert [word for word in words if word in ("Skipped", "Undone", "Following")] == [
            "Skipped",
            "Undone",
            "Following",
            "Skipped",
        ]


async def test_the_same_key_twice_while_it_waits_takes_it_back(fitted: Path, open_on: Open, gate: Gate) -> None:
    app = open_on(fitted)
    async with app.run_test(size=(100, 24)) as pilot:
        await settled(pilot)
        await pilot.press("r")
        await gate.inside()
        await pilot.press("x", "x")
        gate.open.set()
        await heard(app, "Cleared: 5 tor 1893 V")
        assert state(fitted, "north:0") == "seen"


async def test_a_bid_over_the_ceiling_that_waited_still_asks(fitted: Path, open_on: Open, gate: Gate) -> None:
    with Shelf.open(fitted, write=True, today=NOW.date) as shelf:
        shelf.notebook.wants.put(Want("w1", "Orvany", "5 tor", 1893, ceiling=eur(10)))
        row = pieces.lot(0)
        assert row.judgement is not None
        from dataclasses import replace

        shelf.store.lots.judge([("north:0", replace(row.judgement, ceiling=eur(10)))])
    app = open_on(fitted)
    async with app.run_test(size=(120, 24)) as pilot:
        await settled(pilot)
        await pilot.press("r")
        await gate.inside()
        await pilot.press("b")
        assert "y/n" not in said(app)
        gate.open.set()
        await heard(app, "Gathered")
        await settled(pilot)
        assert "above your ceiling of 10 EUR" in said(app)
        await pilot.press("y")
        await heard(app, "On the bid list")
        assert state(fitted, "north:0") == "bid"


async def test_leaving_during_a_gather_writes_what_waits(
    fitted: Path, open_on: Open, gate: Gate, monkeypatch: pytest.MonkeyPatch
) -> None:
    stop = Gather.stop

    def stopped(self: Gather) -> None:
        stop(self)
        gate.open.set()

    monkeypatch.setattr(Gather, "stop", stopped)
    app = open_on(fitted)
    async with app.run_test() as pilot:
        await settled(pilot)
        await pilot.press("r")
        await gate.inside()
        await pilot.press("x", "j", "f")
        await pilot.press("q")
    assert app.return_code == 0
    assert app.program.pen.flush(PATIENCE) == []
    assert (state(fitted, "north:0"), state(fitted, "north:1")) == ("skipped", "followed")


async def test_what_cannot_be_written_at_the_end_is_named(fitted: Path, open_on: Open) -> None:
    app = open_on(fitted)
    with Shelf.open(fitted, write=True, today=NOW.date):
        async with app.run_test() as pilot:
            await settled(pilot)
            await pilot.press("x", "q")
        (sentence,) = app.program.pen.flush(0.05)
    assert sentence.startswith("Not written: Skipped: 5 tor 1893 V, toned (")
    assert sentence.endswith(").")


def test_an_errand_that_is_refused_at_the_end_is_named(fitted: Path, open_on: Open) -> None:
    pen = open_on(fitted).program.pen
    told: list[str] = []

    def job(desk: Desk) -> None:
        raise ValueError("no such thing")

    with pen.hold() as desk:
        assert desk.shelf.write
        done = threading.Thread(target=lambda: pen.write(Errand("Skip: a lot", job, told.append, told.append)))  # type: ignore[arg-type]
        done.start()
        done.join(PATIENCE)
        assert pen.waiting == 1
        pen.close()
    assert pen.flush(1.0) == ["Not written: Skip: a lot (no such thing)."]
    assert told == []


# --- the fit ---


class Fit:
    """A fit that goes on until it is told to stop, or let go."""

    def __init__(self) -> None:
        self.reached, self.open = threading.Event(), threading.Event()
        self.real = market.fit

    def __call__(self, *given: Any, progress: Callable[[str, float], bool], **named: Any) -> Any:
        last = time.monotonic() + PATIENCE
        while not self.open.wait(0.001) and time.monotonic() < last:
            if not progress("fitting the curves", 0.5):
                raise market.Stopped("Stopped: the last bands stay in use.")
            self.reached.set()
        return self.real(*given, progress=progress, **named)

    async def inside(self) -> None:
        assert await asyncio.to_thread(self.reached.wait, PATIENCE)


@pytest.fixture
def fit(monkeypatch: pytest.MonkeyPatch) -> Iterator[Fit]:
    made = Fit()
    monkeypatch.setattr(market, "fit", made)
    yield made
    made.open.set()


def due(path: Path) -> None:
    with Shelf.open(path, write=True, today=NOW.date) as shelf:
        Desk(shelf, NOW).owed.add(Due(market=True))


def header(path: Path) -> Any:
    store = Store(path / "shelf.db", write=False)
    try:
        return store.market.header()
    finally:
        store.close()


async def test_esc_stops_the_fit_at_the_beginning_of_a_gather(fitted: Path, open_on: Open, fit: Fit) -> None:
    due(fitted)
    before = header(fitted)
    app = open_on(fitted)
    async with app.run_test(size=(100, 24)) as pilot:
        await settled(pilot)
        await pilot.press("r")
        await fit.inside()
        await pilot.pause()
        assert "fitting the curves, 50%; Esc stops" in said(app)
        assert "esc Back" in seen(app)[-2]
        await pilot.press("escape")
        message = await heard(app, "Stopped; what came is saved.")
        assert "Stopped: bands stay as they were; they are recalculated next gather." in message
    assert header(fitted) == before
    assert fit_due(fitted)


async def test_esc_stops_the_fit_at_the_end_of_a_gather_and_what_came_is_kept(
    fitted: Path, open_on: Open, fit: Fit, tmp_path: Path
) -> None:
    (tmp_path / "east.csv").write_text(
        "id,title,price,currency,ends_at,status\n7,Orvany 5 tor 1893 VF-30,300,EUR,2026-11-20T20:00:00Z,sold\n", "utf-8"
    )
    with Shelf.open(fitted, write=True, today=NOW.date) as shelf:
        shelf.notebook.sources.put(Source("east", str(tmp_path / "east.csv"), kind="csv", price_kind="ended"))
    app = open_on(fitted)
    async with app.run_test(size=(100, 24)) as pilot:
        await settled(pilot)
        await pilot.press("r")
        await fit.inside()
        await pilot.press("escape")
        await heard(app, "recalculated next gather")
    assert state(fitted, "east:7") == "ended"
    assert fit_due(fitted)
    store = Store(fitted / "shelf.db", write=False)
    assert store.prices.count() == 4
    store.close()


async def test_a_decision_is_written_in_the_middle_of_a_fit(fitted: Path, open_on: Open, fit: Fit) -> None:
    due(fitted)
    app = open_on(fitted)
    async with app.run_test(size=(100, 24)) as pilot:
        await settled(pilot)
        await pilot.press("r")
        await fit.inside()
        await pilot.press("x")
        await heard(app, "Skipped")
        assert state(fitted, "north:0") == "skipped"
        assert app.program.gathering.running
        fit.open.set()
        await heard(app, "Gathered")
        await settled(pilot)


async def test_a_result_in_the_middle_of_a_fit_makes_another_due(fitted: Path, open_on: Open, fit: Fit) -> None:
    due(fitted)
    app = open_on(fitted)
    async with app.run_test(size=(100, 24)) as pilot:
        await settled(pilot)
        app.program.work.write("Recalculating bands", lambda desk: fitting.refit(desk, search=False), stoppable=True)
        await fit.inside()
        await pilot.press("l", *"290", "enter")
        await heard(app, "sold for 290 EUR hammer")
        assert "Esc stops" in said(app)
        fit.open.set()
        await settled(pilot)
        await settled(pilot)
    assert not fit_due(fitted)
    store = Store(fitted / "shelf.db", write=False)
    assert store.results.of("north:0")
    store.close()


async def test_a_result_is_written_before_its_fit_which_esc_stops(fitted: Path, open_on: Open, fit: Fit) -> None:
    app = open_on(fitted)
    async with app.run_test(size=(100, 24)) as pilot:
        await settled(pilot)
        await pilot.press("w", *"290", "enter")
        await fit.inside()
        assert state(fitted, "north:0") == "won"
        await pilot.pause()
        assert "Recalculating bands: fitting the curves, 50%; Esc stops" in said(app)
        await pilot.press("escape")
        await heard(app, "Stopped: bands stay as they were")
    assert fit_due(fitted)


async def test_work_that_is_not_stoppable_leaves_esc_to_the_screen(app: Screens) -> None:
    done = threading.Event()
    async with app.run_test(size=(100, 24)) as pilot:
        await settled(pilot)
        app.program.work.write("Counting", lambda desk: "Counted." if done.wait(PATIENCE) else "")
        await pilot.pause()
        assert not app.program.work.tasks.can_stop
        assert "esc" not in seen(app)[-2]
        done.set()
        await heard(app, "Counted.")


async def test_a_gather_stopped_in_the_middle_of_a_source_reads_the_rest_next_time(
    fitted: Path, open_on: Open, gate: Gate
) -> None:
    app = open_on(fitted)
    async with app.run_test(size=(100, 24)) as pilot:
        await settled(pilot)
        await pilot.press("r")
        await gate.inside()
        await pilot.press("escape")
        gate.open.set()
        assert "1 new lots" in await heard(app, "Stopped; what came is saved.")
        assert state(fitted, "east:1") == "gone"
        await settled(pilot)
        await pilot.press("r")
        await heard(app, "Gathered: 2 new lots.")
    assert state(fitted, "east:2") != "gone"


# --- in a real terminal ---

STANDING = """
import signal
import sys
import threading
from watchlist.desk.gather import gathering
from watchlist.desk.judging import judging

gate, judge_new, stop = threading.Event(), judging.Judge.judge_new, gathering.Gather.stop

def slow(self, rows):
    gate.wait(20)
    return judge_new(self, rows)

def stopped(self):
    stop(self)
    gate.set()

judging.Judge.judge_new, gathering.Gather.stop = slow, stopped
from watchlist.__main__ import run
run()
"""
"""The program with a gather that stands in its first lot, holding the shelf, until it is told to stop."""


@pytest.mark.skipif(sys.platform == "win32", reason="no pseudo-terminals there")
@pytest.mark.parametrize("way", ["q", "SIGTERM"])
def test_however_it_is_left_what_waits_is_written(fitted: Path, monkeypatch: pytest.MonkeyPatch, way: str) -> None:
    from tests.screens import test_terminal
    from tests.screens.test_terminal import Terminal, assert_whole

    given = [sys.executable, "-c", STANDING, "--shelf", str(fitted), "--now", NOW.isoformat()]
    monkeypatch.setattr(test_terminal, "command", lambda _: given)
    terminal = Terminal(fitted)
    try:
        terminal.until("Quit")
        terminal.until("reading east", terminal.press("r"))
        terminal.until("waits for the gather", terminal.press("x"))
        assert state(fitted, "north:0") == "seen"
        if way == "q":
            terminal.press("q")
        else:
            terminal.process.send_signal(signal.SIGTERM)
        assert terminal.end() == (0 if way == "q" else 143)
        assert_whole(terminal.sent)
        assert state(fitted, "north:0") == "skipped"
    finally:
        terminal.close()


@pytest.mark.skipif(sys.platform == "win32", reason="no pseudo-terminals there")
def test_what_another_process_kept_from_being_written_is_said_when_it_ends(
    fitted: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    from tests.screens import test_terminal
    from tests.screens.test_terminal import Terminal

    program = (
        "from watchlist.screens import run\nfrom watchlist.screens.background import pen\n"
        "pen.WAIT, run.FLUSH = 30.0, 0.05\n"
        "from watchlist.__main__ import run\nrun()"
    )
    given = [sys.executable, "-c", program, "--shelf", str(fitted), "--now", NOW.isoformat()]
    monkeypatch.setattr(test_terminal, "command", lambda _: given)
    with Shelf.open(fitted, write=True, today=NOW.date):
        terminal = Terminal(fitted)
        try:
            terminal.until("Quit")
            terminal.until("1 decision waits for another Watchlist process that writes.", terminal.press("x"))
            terminal.press("q")
            assert terminal.end() == 4
            assert "watchlist: Not written: Skipped: 5 tor 1893 V, toned (" in terminal.text()
        finally:
            terminal.close()
