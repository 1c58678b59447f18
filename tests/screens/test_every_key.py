"""Every key of the table on every screen; any size in any order; any keys in any order: nothing falls over."""

from __future__ import annotations

import random
from pathlib import Path

import pytest

from tests.screens.conftest import Open
from tests.screens.pieces import seen, settled
from watchlist.desk.desk import DELETED_LOTS
from watchlist.screens import actions, keys
from watchlist.screens.app import Screens
from watchlist.screens.frame import Frame
from watchlist.screens.layout import TALL
from watchlist.shelf.shelf import Shelf

LEAVE = {"quit", "suspend", "address"}
"""Keys that leave the program or open another one."""


async def go(app: Screens, pilot: object, screen: str) -> None:
    """Stand on a screen, whatever lies over it."""
    app.program.work.stop()
    frame = app.frame
    if frame is not None and frame.dialogue.prompt is not None:
        frame.dialogue.end()
    if frame is not None and frame.dialogue.asks:
        frame.dialogue.answer(False)
    if getattr(app.screen, "ID", "") != screen or screen == "ticket":
        app.show("tray" if screen == "ticket" else screen)
        await pilot.pause()  # type: ignore[attr-defined]
    if screen == "ticket":
        app.screen.act("open")  # type: ignore[attr-defined]
        await pilot.pause()  # type: ignore[attr-defined]


@pytest.mark.parametrize("screen", [*actions.LISTS, "ticket"])
async def test_each_key_does_something_or_says_why_not(app: Screens, screen: str) -> None:
    async with app.run_test(size=(80, 24)) as pilot:
        await settled(pilot)
        for action in actions.on(screen):
            if action.id in LEAVE:
                continue
            for key in action.keys:
                await go(app, pilot, screen)
                assert isinstance(app.screen, Frame), action.id
                assert screen == app.screen.ID
                await pilot.press(keys.library_key(key))
                await app.workers.wait_for_complete()
                assert app.is_running, action.id


@pytest.mark.parametrize("screen", [*actions.LISTS, "ticket"])
@pytest.mark.parametrize("size", [(80, 24), (60, 16), (160, 50)])
async def test_head_and_footer_are_whole(app: Screens, screen: str, size: tuple[int, int]) -> None:
    async with app.run_test(size=size) as pilot:
        await settled(pilot)
        await go(app, pilot, screen)
        head, foot = seen(app)[0], seen(app)[-2 if size[1] >= TALL else -1]
        assert head.startswith(screen.capitalize())
        assert foot.endswith("? Help  q Quit")
        names = {f"{keys.shown_key(action.keys[0])} {action.name}" for action in actions.footer(screen)}
        assert {part for part in foot.strip().split("  ") if part} <= names


async def test_help_lists_every_key_of_the_screen(app: Screens) -> None:
    async with app.run_test(size=(120, 100)) as pilot:
        await settled(pilot)
        await pilot.press("question_mark")
        await settled(pilot)
        text = "\n".join(seen(app))
        for action in actions.on("tray"):
            if action.keys:
                assert f"{action.name}: {action.words}" in text, action.id
        for word in ("Bargain", "Doubt", "Unclear", "Few sales", "Copy", "In range", "Over"):
            assert word in text


async def test_the_palette_reaches_every_action(app: Screens) -> None:
    async with app.run_test(size=(80, 24)) as pilot:
        await settled(pilot)
        await pilot.press("colon", *"follow", "enter")
        await settled(pilot)
        assert "Following: 5 tor 1893 V, toned." in " ".join(seen(app))
        await pilot.press("ctrl+p", "escape")
        await settled(pilot)
        assert isinstance(app.screen, Frame)


async def test_own_keys_take_the_place_of_ours(shelf: Path, open_on: Open) -> None:
    (shelf / "settings.toml").write_text('[keys]\nfollow = "F"\nfolow = "z"\n', "utf-8")
    app = open_on(shelf)
    async with app.run_test(size=(80, 24)) as pilot:
        await settled(pilot)
        assert "F Follow" in seen(app)[-2]
        assert any(
            "`folow` is not an action (did you mean `follow`?)" in message for message in app.program.messages.kept
        )
        await pilot.press("f")
        await settled(pilot)
        assert "Following" not in " ".join(seen(app))
        await pilot.press("F")
        await settled(pilot)
        assert "Following" in " ".join(seen(app))


async def test_any_size_in_any_order(app: Screens) -> None:
    chance = random.Random(7)
    async with app.run_test(size=(80, 24)) as pilot:
        await settled(pilot)
        await pilot.press("j", "j")
        for _ in range(40):
            await pilot.resize_terminal(chance.randint(1, 300), chance.randint(1, 100))
            assert app.is_running
        await pilot.resize_terminal(80, 24)
        await settled(pilot)
        assert app.screen.line.key == "north:2"  # type: ignore[attr-defined]


async def test_any_keys_in_any_order(app: Screens, shelf: Path) -> None:
    chance = random.Random(11)
    all_keys = sorted(
        {keys.library_key(key) for action in actions.ACTIONS if action.id not in LEAVE for key in action.keys}
    )
    all_keys += ["y", "n", "e", "1", "9", "backspace", "delete", "left", "right"]
    async with app.run_test(size=(80, 24)) as pilot:
        await settled(pilot)
        for _ in range(120):
            await pilot.press(chance.choice(all_keys))
            assert app.is_running
        await settled(pilot)
    with Shelf.open(shelf, write=False) as opened:
        deleted = opened.store.facts.get(DELETED_LOTS) or ()  # by a key of the Tray, and undo brings them back
        assert opened.store.listing.count() + len(deleted) >= 36
