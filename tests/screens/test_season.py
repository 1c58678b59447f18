"""The screens of a season: bids, plan and calendar, at every size, and what their keys write."""

from __future__ import annotations

import threading
from pathlib import Path
from typing import Any

import pytest

from tests.screens.conftest import Open
from tests.screens.pieces import NOW, heard, lot, seen, settled, shelf
from watchlist.desk.decisions import deciding, noting
from watchlist.desk.desk import Desk
from watchlist.desk.errors import Stopped
from watchlist.desk.plan.plan import Mode, PlanShown
from watchlist.desk.results import results
from watchlist.page.columns import cells
from watchlist.screens import actions
from watchlist.screens import plan as screen
from watchlist.screens.app import Screens
from watchlist.shelf.shelf import Shelf

SIZES = ((60, 16), (80, 24), (160, 50))


@pytest.fixture
def season(tmp_path: Path) -> Path:
    """Lots with bids, one of them ended, one followed, and a date of one's own."""
    path = shelf(tmp_path / "shelf", 12, lot(90, hours=-2, state="bid"))
    with Shelf.open(path, write=True, today=NOW.date) as opened:
        desk = Desk(opened, NOW)
        for key, amount in (("0", "250"), ("6", "260"), ("90", "100")):
            desk.now = NOW if key != "90" else NOW.replace(hour=1)
            deciding.decide(desk, [f"north:{key}"], "bid", amount, anyway=True)
        desk.now = NOW
        deciding.decide(desk, ["north:3"], "follow")
        noting.remind(desk, "fair in the old hall", "2026-12-05")
    return path


@pytest.mark.parametrize("size", SIZES)
async def test_bids_plan_and_calendar_fit_and_name_all_screens(
    season: Path, open_on: Open, size: tuple[int, int]
) -> None:
    app = open_on(season)
    async with app.run_test(size=size) as pilot:
        await settled(pilot)
        texts = {}
        for name, key in (
            ("bids", "3"),
            ("plan", "6"),
            ("parcels", "7"),
            ("held", "8"),
            ("calendar", "9"),
            ("guide", "0"),
        ):
            await pilot.press(key)
            await settled(pilot)
            texts[name] = seen(app)
            assert all(cells(line) <= size[0] for line in texts[name])
            names = [actions.by_id(each).name for each in actions.LISTS]
            shown = " ".join(texts[name][-1].split())
            gap = " " if size[0] > 80 else ""
            all_named = " ".join(f"{n}{gap}{w}" for n, w in zip("1234567890", names, strict=True))
            assert (shown == all_named) is (size[1] >= 24)
        bids = "\n".join(texts["bids"])
        assert "5 tor 1893" in bids
        assert ".." not in "\n".join(texts["bids"][2:4]), "no coin and no figure is cut"
        first = texts["bids"][2]
        assert "ended" in first, "what waits for a word stands first"
        row = " ".join(texts["bids"][2:4])
        assert "not placed" in row, "it was only planned; where it has no column it stands below"
        assert "Lindmoor" in row, "as its venue does"
        assert "left" in texts["bids"][1], "in a small window, too"
        assert ".." not in "\n".join(texts["parcels"][1:-4])
        assert "Fri 09:" in bids or "Fri 10:" in bids, "day and clock time at home"
        assert "Place your bid" in "\n".join(texts["calendar"])
        await pilot.press("9", "G")
        await settled(pilot)
        assert any("fair in the old hall" in line for line in seen(app)), "in a small window below the others"
        assert "Plan" in texts["plan"][0]


async def test_a_date_is_added_and_taken_out_again(season: Path, open_on: Open) -> None:
    app = open_on(season)
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.press("9", "a")
        await pilot.press(*"2026-12-24", "enter")
        await settled(pilot)
        await pilot.press(*"gift", "enter")
        await settled(pilot)
        assert any("gift" in line for line in seen(app))
        await pilot.press("u")
        await settled(pilot)
        assert not any("gift" in line for line in seen(app)[1:-4])


async def test_wanted_and_changed_sift_the_tray_and_the_morning_is_read_there(season: Path, open_on: Open) -> None:
    app = open_on(season)
    async with app.run_test(size=(80, 24)) as pilot:
        await settled(pilot)
        assert any("B bargain" in line and "O over" in line for line in seen(app)[-4:]), "a legend of the marks"
        await pilot.press("W")
        await settled(pilot)
        assert "filter: wanted" in seen(app)[0]
        await pilot.press("W", "C")
        await settled(pilot)
        assert "filter: changed" in seen(app)[0]
        await pilot.press("escape", "m")
        await settled(pilot)
        assert seen(app)[0].startswith("Morning")


async def test_a_question_and_its_answer_are_noted_on_the_ticket(season: Path, open_on: Open) -> None:
    app = open_on(season)
    async with app.run_test(size=(80, 50)) as pilot:
        await settled(pilot)
        await pilot.press("enter", "R")
        await settled(pilot)
        assert any("No question about this lot waits" in line for line in seen(app))
        await pilot.press("a", "enter")
        await settled(pilot)
        assert any(line.startswith("Asked Wed 25 Nov:") for line in seen(app))
        await pilot.press("R", *"24.98", "enter")
        await settled(pilot)
        assert any(line.startswith("Answered Wed 25 Nov: 24.98") for line in seen(app))


async def on_the_open_parcel(pilot: Any, app: Screens) -> None:
    """The screen Parcels with the cursor on the parcel that is open."""
    await pilot.press("7", "G")
    await settled(pilot)
    row = next(at for at, line in enumerate(seen(app)) if " open" in line)
    await pilot.press("g", *["j"] * (row - 2))


async def test_a_parcel_is_invoiced_paid_and_arrives_and_a_piece_of_it_goes_back(season: Path, open_on: Open) -> None:
    with Shelf.open(season, write=True, today=NOW.date) as opened:
        results.result(Desk(opened, NOW), "north:90", "100", won=True)
    app = open_on(season)
    async with app.run_test(size=(120, 30)) as pilot:
        await on_the_open_parcel(pilot, app)
        await pilot.press("I", *"115", "enter")
        await settled(pilot)
        assert any("115 EUR" in line and "invoiced" in line for line in seen(app)), seen(app)
        await pilot.press("P", "enter", "D", "A")
        await settled(pilot)
        assert any("arrived" in line for line in seen(app)), seen(app)
        await pilot.press("8", "C")
        await settled(pilot)
        assert any("checked" in line for line in seen(app))
        await pilot.press("O", "enter")
        assert "genuine" in await heard(app, "lots of this seller")
        await settled(pilot)
        await pilot.press("H")
        assert any("is not identified" in line for line in seen(app)), "the bench needs its coin"
        await pilot.press("u", "u", "R", "enter", "enter")
        await settled(pilot)
        assert any("returned" in line for line in seen(app))


async def test_a_lot_leaves_and_joins_a_parcel_and_money_comes_back(season: Path, open_on: Open) -> None:
    with Shelf.open(season, write=True, today=NOW.date) as opened:
        results.result(Desk(opened, NOW), "north:90", "100", won=True)
    app = open_on(season)
    async with app.run_test(size=(120, 30)) as pilot:
        await on_the_open_parcel(pilot, app)
        await pilot.press("X", *"north:90", "enter")
        assert "90 travels alone" in await heard(app, "travels alone")
        await settled(pilot)
        await pilot.press("J", *"no-such", "enter")
        assert (await heard(app, "no-such")).count("Nothing was") == 1
        await pilot.press("S", "enter")
        await heard(app, "split by-piece")
        await settled(pilot)
        await pilot.press("F", *"5", "enter")
        await heard(app, "refunded 5")
        await settled(pilot)
        await pilot.press("8", "S", *"bank box 3", "enter")
        await heard(app, "stored-in bank box 3")
        await pilot.press("F", *"5", "enter")
        await heard(app, "neither returned nor disputed")


async def test_all_that_becomes_of_a_piece_has_a_key(season: Path, open_on: Open) -> None:
    """Disputed and settled, to a service and back, consigned and unsold, at last sold; in the smallest window."""
    with Shelf.open(season, write=True, today=NOW.date) as opened:
        results.result(Desk(opened, NOW), "north:90", "100", won=True)
    told = (
        (["D", *"edge filed", "enter"], "disputed; its price is excluded"),
        (["T"], "settled"),
        (["t", *"30", "enter"], "sent to a service, fees 30 EUR"),
        (["b", *"VF-30", "enter", *"QCG", "enter", *"Q1-9", "enter", *"5", "enter"], "back from its service as VF-30"),
        (["c", *"150", "enter"], "consigned, reserve 150 EUR"),
        (["B", *"4", "enter"], "not sold, fees 4 EUR"),
        (["R", "enter", "escape"], "not sold, fees 4 EUR"),
        (["X", "enter"], "Nothing typed, nothing written."),
        (["X", *"160", "enter", *"12", "enter"], "sold 160 EUR"),
    )
    app = open_on(season)
    async with app.run_test(size=(60, 16)) as pilot:
        await settled(pilot)
        await pilot.press("8")
        await settled(pilot)
        for keys, words in told:
            await pilot.press(*keys)
            await settled(pilot)
            assert words in app.program.messages.kept[-1], words
        assert not any("returned" in line for line in app.program.messages.kept), "Esc at the second line leaves all"
        for _ in range(7):
            await pilot.press("u")
            await settled(pilot)
        assert "disputed" in app.program.messages.kept[-1]
        assert seen(app)[1].split()[:5] == ["no", "coin", "cost", "today", "gain"]


async def test_a_plan_is_made_beside_the_screen_and_esc_stops_it(
    season: Path, open_on: Open, monkeypatch: pytest.MonkeyPatch
) -> None:
    held = threading.Event()

    def slow(desk: Desk, mode: Mode, **_: object) -> PlanShown:
        held.wait(20)
        assert not desk.go_on("weighing bids", 0.5)
        raise Stopped("Planning was stopped. Nothing was changed.")

    monkeypatch.setattr(screen, "plan", slow)
    app = open_on(season)
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.press("6")
        assert any("Planning ..." in line for line in seen(app))
        assert any("Planning; Esc stops" in line for line in seen(app))
        await pilot.press("escape")
        held.set()
        await settled(pilot)
        assert any("Planning was stopped. Nothing was changed." in line for line in seen(app))
