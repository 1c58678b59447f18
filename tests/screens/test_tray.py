"""The Tray and the Ticket in a window without a terminal: what is seen, decided, sifted, ordered."""

from __future__ import annotations

import asyncio
import subprocess
import sys
from pathlib import Path

import pytest

from tests.screens import pieces
from tests.screens.conftest import Open
from tests.screens.pieces import NOW, heard, seen, settled
from watchlist.screens.app import Screens
from watchlist.screens.tray import Tray
from watchlist.shelf.shelf import Shelf

ROOT = Path(__file__).resolve().parents[2]
SIZES = [(80, 24), (160, 50), (60, 16), (40, 12), (20, 5)]


def tray(app: Screens) -> Tray:
    assert isinstance(app.screen, Tray)
    return app.screen


def lot_at(app: Screens) -> str:
    """The lot under the highlight."""
    line = tray(app).line
    return line.key if line else ""


def keys(app: Screens) -> list[str]:
    """The lots held, in order."""
    roll = tray(app).lots.roll
    assert roll is not None
    roll.reach(10_000)
    return [line.key for at in range(roll.low, roll.high) if (line := roll.line(at))]


@pytest.mark.parametrize("size", SIZES)
async def test_opens_on_the_first_lot(app: Screens, size: tuple[int, int]) -> None:
    async with app.run_test(size=size) as pilot:
        await settled(pilot)
        assert app.screen.focused is tray(app).listing
        assert lot_at(app) == "north:0"
        assert "Tray" in seen(app)[0]
        assert any("5 tor" in line for line in seen(app))


@pytest.mark.parametrize("size", SIZES)
async def test_every_line_fits_the_window(app: Screens, size: tuple[int, int]) -> None:
    async with app.run_test(size=size) as pilot:
        await settled(pilot)
        assert len(seen(app)) == size[1]
        assert all(len(line) <= size[0] for line in seen(app))


async def test_the_head_counts_lots_news_bargains_and_doubts(app: Screens) -> None:
    async with app.run_test(size=(80, 24)) as pilot:
        await settled(pilot)
        assert seen(app)[0] == "Tray   36 of 36 lots   6 new   6 bargains   6 doubts"


async def test_too_small_a_window_says_what_it_needs_and_runs_on(app: Screens) -> None:
    async with app.run_test(size=(12, 3)) as pilot:
        await settled(pilot)
        assert seen(app)[0].startswith("Needs 20..") or "20x5" in seen(app)[0]
        await pilot.resize_terminal(80, 24)
        await settled(pilot)
        assert "36 of 36" in seen(app)[0]


async def test_the_sentence_follows_the_highlight(app: Screens) -> None:
    async with app.run_test(size=(80, 24)) as pilot:
        await settled(pilot)
        await pilot.press("j")
        await settled(pilot)
        said = " ".join(seen(app)[19:21])
        assert said.startswith("Doubt (cheap), caution. 145 EUR all in. 76% below the median of 420, 14 sales.")


async def test_skip_takes_the_lot_out_and_undo_puts_it_back(app: Screens) -> None:
    async with app.run_test(size=(80, 24)) as pilot:
        await settled(pilot)
        before = keys(app)
        await pilot.press("j", "x")
        await settled(pilot)
        assert keys(app) == [key for key in before if key != "north:1"]
        assert lot_at(app) == "north:2"
        await pilot.press("u")
        await settled(pilot)
        assert keys(app) == before
        assert lot_at(app) == "north:1"
        await pilot.press("ctrl+r")
        await settled(pilot)
        assert "north:1" not in keys(app)


async def test_undo_reaches_a_decision_of_an_earlier_run(shelf: Path, open_on: Open) -> None:
    app = open_on(shelf)
    async with app.run_test(size=(80, 24)) as pilot:
        await settled(pilot)
        await pilot.press("x", "q")
    again = open_on(shelf)
    async with again.run_test(size=(80, 24)) as pilot:
        await settled(pilot)
        assert "north:0" not in keys(again)
        await pilot.press("u")
        await settled(pilot)
        assert "north:0" in keys(again)
        assert "Undone: " in " ".join(seen(again))


async def test_f_follows_and_f_again_no_longer(app: Screens, shelf: Path) -> None:
    async with app.run_test(size=(80, 24)) as pilot:
        await settled(pilot)
        await pilot.press("f")
        await settled(pilot)
        assert seen(app)[2].startswith(" Bf")
        assert state(shelf, "north:0") == "followed"
        await pilot.press("f")
        await settled(pilot)
        assert state(shelf, "north:0") == "seen"


def state(shelf: Path, key: str) -> str:
    with Shelf.open(shelf, write=False) as opened:
        row = opened.store.lots.get(key)
        assert row is not None
        return row.state


async def test_fifty_lots_in_three_keys_and_one_undo(tmp_path: Path, open_on: Open) -> None:
    app = open_on(pieces.shelf(tmp_path / "many", 60))
    async with app.run_test(size=(80, 24)) as pilot:
        await settled(pilot)
        for _ in range(50):
            await pilot.press("space")
        assert "50 ticked" in " ".join(seen(app))
        await pilot.press("x")
        await settled(pilot)
        assert len(keys(app)) == 10
        await pilot.press("u")
        await settled(pilot)
        assert len(keys(app)) == 60


async def test_sift_answers_as_one_types_and_esc_clears_it(app: Screens) -> None:
    async with app.run_test(size=(80, 24)) as pilot:
        await settled(pilot)
        await pilot.press("slash", *"mark:b toned")
        await settled(pilot)
        assert "6 of 36 lots   filter: mark:b toned" in seen(app)[0]
        await pilot.press("enter")
        await settled(pilot)
        assert len(keys(app)) == 6
        await pilot.press("escape")
        await settled(pilot)
        assert len(keys(app)) == 36


async def test_a_wrong_word_is_named_and_the_list_stays(app: Screens) -> None:
    async with app.run_test(size=(80, 24)) as pilot:
        await settled(pilot)
        await pilot.press("slash", *"tor")
        await settled(pilot)
        before = keys(app)
        await pilot.press(*":b")
        await settled(pilot)
        assert "`tor:` is not a field; did you mean `source`? Write a word with a colon" in " ".join(seen(app)[-6:])
        assert keys(app) == before
        await pilot.press("escape")
        await settled(pilot)
        assert "36 of 36" in seen(app)[0]


async def test_an_empty_sift_says_what_clears_it(app: Screens) -> None:
    async with app.run_test(size=(80, 24)) as pilot:
        await settled(pilot)
        await pilot.press("slash", *"zzz", "enter")
        await settled(pilot)
        assert "Nothing matches `zzz`. esc clears it." in seen(app)[2]


async def test_sift_and_order_are_kept_between_runs(shelf: Path, open_on: Open) -> None:
    app = open_on(shelf)
    async with app.run_test(size=(80, 24)) as pilot:
        await settled(pilot)
        await pilot.press("slash", *"toned", "enter", "s", "S")
        await settled(pilot)
        await pilot.press("q")
    again = open_on(shelf)
    async with again.run_test(size=(80, 24)) as pilot:
        await settled(pilot)
        assert "filter: toned" in seen(again)[0]
        assert "titlev" in seen(again)[1]


async def test_orders_turn_and_show_it_in_the_head(app: Screens) -> None:
    async with app.run_test(size=(80, 24)) as pilot:
        await settled(pilot)
        first = keys(app)
        for _ in range(5):
            await pilot.press("s")
            await settled(pilot)
            assert sorted(keys(app)) == sorted(first)
        assert keys(app) == first
        await pilot.press("S")
        await settled(pilot)
        assert keys(app) == first[::-1]


async def test_the_ticket_lists_reasons_with_strength_and_other_causes(app: Screens) -> None:
    async with app.run_test(size=(80, 24)) as pilot:
        await settled(pilot)
        await pilot.press("j", "enter")
        await settled(pilot)
        text = " ".join(" ".join(seen(app)).split())
        assert "Doubt (cheap), caution." in text
        assert "1 weight given 25.8 g, standard 27.2 g (strong, could be: worn, a typing error)" in text
        assert "Signs seen, not a verdict" in text
        assert 'Read as: denomination "5 tor".' in text
        await pilot.press("escape")
        await settled(pilot)
        assert isinstance(app.screen, Tray)


async def test_on_the_ticket_a_skip_stays_and_n_goes_on(app: Screens) -> None:
    async with app.run_test(size=(80, 24)) as pilot:
        await settled(pilot)
        await pilot.press("enter", "x")
        await settled(pilot)
        assert "skipped" in " ".join(seen(app)[:4])
        await pilot.press("n")
        await settled(pilot)
        assert "5 tor 1893 M, uncleaned" in seen(app)[1]
        await pilot.press("n")
        await settled(pilot)
        assert "Old silver coin lot" in seen(app)[1]


async def test_a_wide_window_has_list_and_ticket_side_by_side(app: Screens) -> None:
    async with app.run_test(size=(160, 50)) as pilot:
        await settled(pilot)
        await pilot.press("j")
        await pilot.pause(0.1)
        assert "5 tor 1893 M, uncleaned" in seen(app)[1][88:]
        assert "Doubt (cheap)" in " ".join(line[88:] for line in seen(app))


async def test_copy_copies_one_plain_line_and_shows_it(app: Screens) -> None:
    async with app.run_test(size=(80, 24)) as pilot:
        await settled(pilot)
        await pilot.press("y")
        assert app.clipboard.startswith("5 tor 1893 V, toned. Bargain. Now 290 EUR hammer, 310 EUR all in.")
        assert "Copied: 5 tor 1893 V" in " ".join(seen(app))
        await pilot.press("Y")
        assert app.clipboard == "https://north.example/lot/0"
        await pilot.press("A")
        assert app.clipboard.startswith("About 5 tor 1893 V, toned, lot 0:\n- ")


async def test_v_opens_the_page_of_the_lots_seller(tmp_path: Path, open_on: Open) -> None:
    rows = [pieces.lot(1, hours=1), pieces.lot(2, hours=2), pieces.lot(3, hours=3, seller="")]
    app = open_on(pieces.shelf(tmp_path / "sold", 0, *rows))
    async with app.run_test(size=(80, 24)) as pilot:
        await settled(pilot)
        await pilot.press("v")
        await settled(pilot)
        text = "\n".join(seen(app))
        assert "Seller anna" in text
        assert "2 lots seen, 2 open." in text
        assert "Bought here: no pieces." in text
        await pilot.press("escape", "G", "v")
        await heard(app, "This lot names no seller.")


@pytest.mark.parametrize("sign", ["2", "few_ratings"])
async def test_a_sign_is_dismissed_with_a_note_and_restored(app: Screens, sign: str) -> None:
    """By its number on the Ticket, or by the name that it keeps."""
    async with app.run_test(size=(80, 24)) as pilot:
        await settled(pilot)
        await pilot.press("j", "d", "9", "enter")
        assert "signs 1 to 2 (few_ratings, light), not `9`" in await heard(app, "signs 1 to 2")
        await pilot.press("ctrl+u", *sign, "enter", *"known to me", "enter")
        await heard(app, "Dismissed: ")
        await pilot.press("enter")
        await settled(pilot)
        assert "dismissed: known to me" in " ".join(seen(app))
        await pilot.press("d")
        await heard(app, "Restored: ")
        await settled(pilot)
        assert "could be: a new seller" in " ".join(seen(app))


async def test_the_cursor_of_the_terminal_stands_on_the_row(app: Screens) -> None:
    async with app.run_test(size=(80, 24)) as pilot:
        await settled(pilot)
        assert app.cursor_position == (0, 2)
        await pilot.press("j", "j")
        assert app.cursor_position == (0, 4)
        await pilot.press("enter")
        await settled(pilot)
        assert app.cursor_position == (0, 3)
        assert seen(app)[3].startswith("Unclear")


async def test_another_process_is_seen_and_respected(app: Screens, shelf: Path) -> None:
    async with app.run_test(size=(80, 24)) as pilot:
        await settled(pilot)
        with Shelf.open(shelf, write=True) as other:
            await pilot.press("x")
            assert "1 decision waits for another Watchlist process that writes." in " ".join(seen(app))
            await heard(app, "Another Watchlist process uses this shelf")
            assert "Not written: Skipped: 5 tor 1893 V, toned." in " ".join(app.program.messages.kept)
            assert len(keys(app)) == 36
            other.store.lots.set_states([("north:3", "skipped")])
        app._look_again()
        await settled(pilot)
        assert "north:3" not in keys(app)


async def test_commands_of_other_processes_beside_the_screens_do_no_harm(app: Screens, shelf: Path) -> None:
    """As a gather of the clock does: another program opens the store, writes and closes it, again and again."""

    def watchlist(*words: str) -> None:
        command = [sys.executable, "-m", "watchlist", *words, "--shelf", str(shelf), "--now", NOW.isoformat()]
        subprocess.run(command, check=True, capture_output=True, cwd=ROOT)

    async with app.run_test(size=(80, 24)) as pilot:
        await settled(pilot)
        for turn in (1, 2):
            await asyncio.to_thread(watchlist, "decide", f"north:{turn}", "skip")
            app._look_again()
            await settled(pilot)
            assert f"north:{turn}" not in keys(app)
            await pilot.press("f")
            await settled(pilot)
            assert "Following: " in " ".join(app.program.messages.kept)
            await pilot.press("f")
        assert not [message for message in app.program.messages.kept if "damaged" in message]
        await asyncio.to_thread(watchlist, "undo")
    with Shelf.open(shelf, write=False) as opened:
        assert len(opened.store.decisions.all()) == 7


async def test_hostile_titles_are_shown_as_text_on_every_screen(tmp_path: Path, open_on: Open) -> None:
    nasty = "[red]5 tor[/] [/] \x1b[31m\x1b]8;;http://x\x07 =1+1 [@click=app.quit]x[/]"
    app = open_on(pieces.shelf(tmp_path / "bad", 3, pieces.lot(3, title=nasty, seller=nasty, hours=1)))
    async with app.run_test(size=(80, 24)) as pilot:
        await settled(pilot)
        assert "[red]5 tor[/] [/]" in seen(app)[2]
        assert not any("\x1b" in line for line in seen(app))
        await pilot.press("b")  # no ceiling gives a limit: the amount is asked
        await settled(pilot)
        await pilot.press("ctrl+u", *"120", "enter")
        await settled(pilot)
        await pilot.press("enter")
        await settled(pilot)
        assert "[red]5 tor[/] [/]" in seen(app)[1]
        assert not any("\x1b" in line for line in seen(app))
        for key in ("escape", "3", "L", "escape", "1"):
            await pilot.press(key)
            await settled(pilot)
            assert not any("\x1b" in line for line in seen(app))


async def test_wide_letters_keep_the_columns_straight(tmp_path: Path, open_on: Open) -> None:
    titles = ("中華民國 銀幣 5 tor 1893 中華民國中華民國中華民國", "5 tor é́ 1893", "5 tor 🪙🪙 1893 🪙")
    rows = [pieces.lot(number, title=title, hours=number + 1) for number, title in enumerate(titles)]
    app = open_on(pieces.shelf(tmp_path / "wide", 0, *rows))
    from watchlist.page.columns import cells

    async with app.run_test(size=(80, 24)) as pilot:
        await settled(pilot)
        for line in seen(app)[2:5]:
            assert cells(line[: line.rindex("VF-30")] if "VF-30" in line else line[: line.rindex("- ")]) == 51


async def test_empty_states_say_what_to_press(tmp_path: Path, open_on: Open) -> None:
    app = open_on(tmp_path / "new")
    async with app.run_test(size=(80, 24)) as pilot:
        await settled(pilot)
        assert (
            seen(app)[2]
            == (
                "No wants yet. Press 2, then a, to add one. No sources yet. Press 5, then a. "
                "Try the samples: `watchlist try`."
            )[:78]
            + ".."
            or "No wants yet" in seen(app)[2]
        )
        for key, words in (
            ("2", "a to add one"),
            ("3", "b on a lot"),
            ("4", "i to read a catalogue"),
            ("5", "a to add a source"),
        ):
            await pilot.press(key)
            await settled(pilot)
            assert words in " ".join(seen(app)), key


@pytest.mark.parametrize("more", ["x", "f", "b"])
async def test_counts_follow_a_decision_at_once_and_stay_right(app: Screens, more: str) -> None:
    """The head is put right by the decision itself; a count of all lots says the same."""
    async with app.run_test(size=(80, 24)) as pilot:
        await settled(pilot)
        for key in ("j", more, "j", "x", " ", " ", "j", " ", more, "u", "x"):
            await pilot.press(key)
        await settled(pilot)
        at_once = tray(app).counting.counts
        lots, top = keys(app), lot_at(app)
        tray(app).count()
        await settled(pilot)
        assert tray(app).counting.counts == at_once
        tray(app).reload()
        await settled(pilot)
        assert (keys(app), lot_at(app)) == (lots, top)


async def test_a_second_writer_is_seen_and_counted(app: Screens, shelf: Path) -> None:
    async with app.run_test(size=(80, 24)) as pilot:
        await settled(pilot)
        await pilot.press("j", "x")
        with Shelf.open(shelf, write=True) as other:
            other.store.lots.set_states([("north:5", "skipped")])
        app._look_again()
        await settled(pilot)
        assert "north:5" not in keys(app)
        assert "34 of 34" in seen(app)[0]


async def test_a_wide_window_patches_its_list_too(app: Screens) -> None:
    async with app.run_test(size=(160, 50)) as pilot:
        await settled(pilot)
        await pilot.press("j", "x")
        await settled(pilot)
        assert "35 of 35" in seen(app)[0]
        assert lot_at(app) == "north:2"
        await pilot.press("u")
        await settled(pilot)
        assert "36 of 36" in seen(app)[0]
        assert lot_at(app) == "north:1"


async def test_a_title_that_ends_with_a_stop_gets_no_second_one(tmp_path: Path, open_on: Open) -> None:
    path = pieces.shelf(tmp_path / "stops", 0, pieces.lot(0, key="north:a", id="a", title="5 tor 1893 V. VF-30."))
    app = open_on(path)
    async with app.run_test(size=(80, 24)) as pilot:
        await settled(pilot)
        await pilot.press("f")
        await settled(pilot)
        assert "Following: 5 tor 1893 V. VF-30. u undoes it." in app.program.messages.kept[-1]
