"""Rows 11 to 18 of the list in docs/screens.md: keys of one's own, undo, questions, sift, many at once, progress."""

from __future__ import annotations

import asyncio
import string
import threading
from pathlib import Path
from typing import Any

import pytest

from tests.screens import pieces
from tests.screens.conftest import Open
from tests.screens.pieces import NOW, seen, settled
from watchlist.core.lots.source import Source
from watchlist.desk.desk import Desk
from watchlist.screens import actions, keys
from watchlist.screens.app import Screens
from watchlist.screens.palette import Palette
from watchlist.screens.tray import Tray
from watchlist.shelf.shelf import Shelf

SCREENS = ("tray", "wants", "bids", "prices", "sources", "ticket", "help", "messages", "detail", "sales")


GIVEN: dict[str, tuple[Any, ...]] = {
    "ticket": ("north:0", lambda key, by: None),
    "help": ("tray",),
    "detail": ("Title", lambda width: []),
    "sales": (lambda: None,),
}
"""What a screen is made of beside the program."""


@pytest.mark.parametrize("screen", SCREENS)
def test_every_action_of_a_screen_is_done_by_one_of_its_parts(app: Screens, screen: str) -> None:
    frame: Any = app._make(screen, *GIVEN.get(screen, ()))
    doing = frame.all_doing()
    for action in actions.on(screen):
        assert callable(doing.get(action.id)), action.id


@pytest.mark.parametrize("screen", SCREENS)
def test_every_screen_knows_whether_there_is_what_its_actions_need(app: Screens, screen: str) -> None:
    frame: Any = app._make(screen, *GIVEN.get(screen, ()))
    asked = {action.needs for action in actions.on(screen)} - {""}
    assert asked - {"something open"} <= frame.all_has().keys()


@pytest.mark.parametrize("screen", ["tray", "wants"])
async def test_every_action_can_be_put_on_another_key_by_its_id(shelf: Path, open_on: Open, screen: str) -> None:
    """Each action of the screen on a key of its own; pressing it does that action and no other; help names it."""
    spare = [*(f"f{number}" for number in range(2, 13)), *string.ascii_letters, *string.digits, *"!,;="]
    own = dict(zip([action.id for action in actions.on(screen)], spare, strict=False))
    assert len(own) == len(actions.on(screen))
    rows = "\n".join(f"{id} = '{key}'" for id, key in own.items())
    (shelf / "settings.toml").write_text(f"[keys]\n{rows}\n", "utf-8")
    app = open_on(shelf)
    done: list[str] = []
    async with app.run_test(size=(80, 24)) as pilot:
        await settled(pilot)
        if screen != "tray":
            app.show(screen)
            await settled(pilot)
        assert app.frame is not None
        app.frame.act = done.append  # type: ignore[assignment, method-assign]
        for key in own.values():
            await pilot.press(keys.library_key(key))
        assert done == list(own)
        del app.frame.act
        foot = seen(app)[-2]
        for action in actions.footer(screen):
            if action.name in foot:
                assert f"{keys.shown_key(own[action.id])} {action.name}" in foot
        app.open("help", app.frame.ID)
        await settled(pilot)
        entries = {"".join(text for _, text in line)[:14].strip() for line in app.screen.lines(80)}  # type: ignore[attr-defined]
        assert {keys.shown_key(key) for key in own.values()} <= entries


async def test_one_arrow_and_enter_reach_every_action_in_the_palette(app: Screens) -> None:
    async with app.run_test(size=(80, 24)) as pilot:
        await settled(pilot)
        await pilot.press("ctrl+p")
        await settled(pilot)
        assert isinstance(app.screen, Palette)
        for action in actions.on("tray"):
            assert f"{action.name}: {action.words}." in " ".join(" ".join(seen(app)[-3:-1]).split()), action.id
            await pilot.press("down")
        steps = [action.id for action in actions.on("tray")].index("wants")
        await pilot.press("escape", "ctrl+p", *["down"] * steps, "enter")
        await settled(pilot)
        assert app.screen.ID == "wants"  # type: ignore[attr-defined]


@pytest.mark.parametrize("key", ["question_mark", "f1"])
@pytest.mark.parametrize("screen", ["tray", "wants", "bids", "prices", "sources", "ticket"])
async def test_help_in_one_key_with_the_marks(app: Screens, screen: str, key: str) -> None:
    async with app.run_test(size=(80, 24)) as pilot:
        await settled(pilot)
        await pilot.press(*{"tray": "", "ticket": ("enter",)}.get(screen, str(SCREENS.index(screen) + 1)))
        await settled(pilot)
        await pilot.press(key)
        await settled(pilot)
        assert seen(app)[0].startswith(f"Help: {screen.capitalize()}")
        text = "\n".join("".join(part for _, part in line) for line in app.screen.lines(80))  # type: ignore[attr-defined]
        for mark in (
            "C   Copy:",
            "!   Doubt:",
            "?   Unclear:",
            "-   Few sales:",
            "B   Bargain:",
            "I   In range:",
            "O   Over:",
        ):
            assert mark in text


def ticked(app: Screens) -> int:
    assert isinstance(app.screen, Tray)
    return len(app.screen.ticks)


def states(path: Path) -> dict[str, int]:
    with Shelf.open(path, write=False) as opened:
        return dict(opened.store.listing.count_by("state"))


async def test_fifty_lots_are_ticked_and_decided_in_two_keys_and_one_undo(tmp_path: Path, open_on: Open) -> None:
    path = pieces.shelf(tmp_path / "many", 60)
    app = open_on(path)
    async with app.run_test(size=(80, 24)) as pilot:
        await settled(pilot)
        await pilot.press("slash", *"mark:b", "enter")
        await settled(pilot)
        await pilot.press("asterisk")
        assert ticked(app) == 10
        await pilot.press("asterisk")
        assert ticked(app) == 0
        await pilot.press("escape", "asterisk")
        await settled(pilot)
        assert ticked(app) == 60
        assert "60 ticked" in seen(app)[0]
        await pilot.press("x")
        await settled(pilot)
        assert states(path) == {"skipped": 60}
        await pilot.press("u")
        await settled(pilot)
        assert "skipped" not in states(path)


async def test_more_lots_than_one_key_ticks_are_told(
    tmp_path: Path, open_on: Open, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("watchlist.screens.tray_list.MOST", 20)
    app = open_on(pieces.shelf(tmp_path / "many", 60))
    async with app.run_test(size=(80, 24)) as pilot:
        await settled(pilot)
        await pilot.press("asterisk")
        await settled(pilot)
        assert ticked(app) == 20
        assert "20 lots ticked; there are more." in " ".join(seen(app))


async def test_two_hundred_decisions_are_undone_and_redone_across_a_restart(tmp_path: Path, open_on: Open) -> None:
    from watchlist.desk import undoing
    from watchlist.desk.decisions import deciding

    path = pieces.shelf(tmp_path / "long", 210)
    with Shelf.open(path, write=True, today=NOW.date) as opened:
        for number in range(200):
            deciding.decide(Desk(opened, NOW), [f"north:{number}"], "skip", "")
    assert states(path)["skipped"] == 200
    with Shelf.open(path, write=True, today=NOW.date) as opened:
        for _ in range(195):
            undoing.undo(Desk(opened, NOW))
    app = open_on(path)
    async with app.run_test(size=(80, 24)) as pilot:
        await settled(pilot)
        for _ in range(5):
            await pilot.press("u")
        await settled(pilot)
        assert "skipped" not in states(path)
        for _ in range(3):
            await pilot.press("ctrl+r")
        await settled(pilot)
        assert states(path)["skipped"] == 3
    with Shelf.open(path, write=False) as opened:
        first = opened.store.lots.get("north:0")
        assert first is not None
        assert first.state == "skipped"


async def test_a_question_is_answered_no_by_every_key_but_y(tmp_path: Path, open_on: Open) -> None:
    path = pieces.shelf(tmp_path / "shelf", 12)
    with Shelf.open(path, write=True, today=NOW.date) as opened:
        opened.notebook.sources.put(Source("north", "https://north.example/feed", ""))
    app = open_on(path)
    async with app.run_test(size=(80, 24)) as pilot:
        await settled(pilot)
        await pilot.press("5")
        await settled(pilot)
        for key in ("enter", "escape", "n", "space", "x", "j"):
            await pilot.press("x")
            assert "y/n" in " ".join(seen(app))
            await pilot.press(key)
            await settled(pilot)
            assert "Left as it was." in " ".join(seen(app)), key
    with Shelf.open(path, write=False) as opened:
        assert [source.name for source in opened.notebook.sources.list()] == ["north"]


async def test_nothing_that_undo_mends_asks(app: Screens) -> None:
    async with app.run_test(size=(80, 24)) as pilot:
        await settled(pilot)
        for key in ("f", "x", "b", "space", "x", "d", "u", "ctrl+r", "s", "S"):
            await pilot.press(key)
            await settled(pilot)
            assert app.frame is not None
            assert not app.frame.dialogue.asks, key


async def test_work_is_seen_at_once_and_esc_stops_it(app: Screens) -> None:
    """The line stands before the work has taken its first step; what it did until Esc is kept and told."""
    over, began = threading.Event(), threading.Event()
    steps: list[int] = []

    def job(desk: Desk) -> str:
        while not over.is_set() and desk.go_on("north, 120 rows", 0.5):
            steps.append(1)
            began.set()
            over.wait(0.01)
        return "Stopped; what came is saved."

    async with app.run_test(size=(80, 24)) as pilot:
        try:
            await settled(pilot)
            app.program.work.write("Gathering 3 of 5", job, stoppable=True)
            assert app.status().startswith("Gathering 3 of 5")
            await pilot.pause()
            assert "Gathering 3 of 5" in " ".join(seen(app)[-3:])
            assert "Esc stops" in " ".join(seen(app)[-3:])
            assert app.frame is not None
            assert await asyncio.to_thread(began.wait, pieces.PATIENCE)
            await pilot.press("j", "f", "escape")
            await settled(pilot)
            assert steps
            assert "Stopped; what came is saved." in " ".join(app.program.messages.kept)
            assert "Gathering" not in app.status()
        finally:
            over.set()
