"""The Bids screen on the morning after: what ended stands behind the bids to come and waits for won or lost."""

from __future__ import annotations

from datetime import timedelta
from pathlib import Path

from tests.screens import pieces
from tests.screens.conftest import Open
from tests.screens.pieces import seen, settled
from watchlist.core.decisions import review
from watchlist.screens.parts.prompt import Line
from watchlist.shelf.shelf import Shelf


def laid_out(path: Path) -> Path:
    """One bid placed on a lot that has closed, one planned on a lot to come."""
    shelf = pieces.shelf(path, 2, pieces.lot(9, hours=-2, state="bid", title="5 tor 1891 M, ended"))
    with Shelf.open(shelf, write=True, today=pieces.NOW.date) as opened:
        before = pieces.NOW - timedelta(hours=5)
        opened.store.decisions.add(
            [
                *review.decide("placed", ["north:9"], batch="a", at=before, amount=pieces.eur(120)),
                *review.decide("bid", ["north:0"], batch="b", at=before, amount=pieces.eur(300)),
            ]
        )
        opened.store.lots.set_states([("north:0", "bid")])
    return shelf


async def test_an_ended_bid_stands_apart_and_is_asked_for(tmp_path: Path, open_on: Open) -> None:
    app = open_on(laid_out(tmp_path / "shelf"))
    async with app.run_test(size=(110, 24)) as pilot:
        await settled(pilot)
        await pilot.press("3", "home")
        await settled(pilot)
        text = "\n".join(seen(app))
        assert "Bids   2 bids, 420 of 1,500 EUR committed if all win   one ended: record the result" in text
        rows = [line for line in seen(app) if "5 tor 18" in line]
        assert [line.split()[:2] for line in rows[:2]] == [["Wed", "ended"], ["Fri", "10:00"]]
        assert rows[0].endswith("result?")
        assert "Ended: record the result (w, l or `watchlist result KEY PRICE [--won]`); x takes it off." in " ".join(
            text.split()
        )
        await pilot.press("+")
        assert "record the result" in app.program.messages.kept[-1]
        await pilot.press("l")
        assert any("Hammer price (not yours)" in line for line in seen(app)), "empty: an estimate is no result"
        await pilot.press("2", "9", "0", "enter")
        await settled(pilot)
        assert "ended" not in seen(app)[0]


async def test_a_win_above_the_bid_is_asked_about(tmp_path: Path, open_on: Open) -> None:
    """The prompt opens empty; no leaves all as it was, yes writes it."""
    app = open_on(laid_out(tmp_path / "shelf"))
    async with app.run_test(size=(110, 24)) as pilot:
        await settled(pilot)
        await pilot.press("3", "home")
        await settled(pilot)
        for answer, state in (("n", "bid"), ("y", "won")):
            await pilot.press("w")
            await settled(pilot)
            assert app.screen.query_one(Line).value == ""
            await pilot.press(*"130", "enter")
            await settled(pilot)
            text = " ".join(" ".join(seen(app)).split())
            assert "was 120 EUR, below the price it is said to be won at, 130 EUR. Record it anyway? y/n" in text
            await pilot.press(answer)
            await settled(pilot)
            assert app.program.access.desk.shelf.store.decisions.review().lots["north:9"].state == state


async def test_a_long_message_is_told_whole_where_there_is_room(tmp_path: Path, open_on: Open) -> None:
    """The list gives its lines back at the next key; in a short window one line is kept, shortened."""
    said = "North:9: won at 1,240 EUR hammer, 1,502.10 EUR all in, 30 EUR (25%) above what you had bid. u undoes it."
    app = open_on(laid_out(tmp_path / "shelf"))
    async with app.run_test(size=(60, 24)) as pilot:
        await settled(pilot)
        before = seen(app)
        app.program.messages.say(said)
        await settled(pilot)
        assert said in " ".join(" ".join(seen(app)).split())
        await pilot.press("j")
        await settled(pilot)
        assert len([line for line in seen(app) if line]) >= len([line for line in before if line])
        await pilot.resize_terminal(60, 12)
        app.program.messages.say(said)
        await settled(pilot)
        assert any(line == "North:9: won at 1,240 EUR hammer, 1,502.10 EUR all in.." for line in seen(app)), seen(app)
