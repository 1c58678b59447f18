"""Rows 4, 5 and 6 of the list in docs/screens.md: every screen and form at every size, no sentence cut."""

from __future__ import annotations

import random
import re
from collections.abc import Sequence
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tests.screens import pieces
from tests.screens.conftest import Open
from tests.screens.pieces import lot, seen, settled
from watchlist.core.lots.source import Source
from watchlist.page.columns import cells, fitting, wrap
from watchlist.screens.app import Screens
from watchlist.screens.forms.form import Form
from watchlist.screens.frame import Frame
from watchlist.screens.parts.text_block import TextBlock
from watchlist.shelf.shelf import Shelf

OPENED = {
    "tray": (),
    "ticket": ("j", "enter"),
    "wants": ("2",),
    "bids": ("b", "3"),
    "prices": ("4",),
    "sources": ("5",),
    "detail": ("5", "enter"),
    "help": ("question_mark",),
    "messages": ("f", "L"),
    "palette": ("ctrl+p",),
    "lot form": ("a",),
    "want form": ("2", "a"),
    "source form": ("5", "a"),
    "venue form": ("5", "v"),
    "import form": ("i", "tab"),
    "correct form": ("c",),
    "confirm": ("5", "x"),
    "prompt": ("slash",),
    "price": ("w",),
    "dismiss": ("j", "d"),
}
"""What to press from the Tray to stand on each."""
WHOLE = [(80, 24), (60, 16)]
SMALL = [(40, 12), (20, 5)]
USELESS = [(12, 3), (19, 24), (80, 4), (1, 1)]


@pytest.fixture
def shelf(tmp_path: Path) -> Path:
    path = pieces.shelf(tmp_path / "shelf")
    with Shelf.open(path, write=True, today=pieces.NOW.date) as opened:
        opened.notebook.sources.put(Source("north", "https://north.example/a-long-address/of/a/feed.rss", "Lindmoor"))
    return path


@given(st.text(st.sampled_from("ab .;\u4e2d"), max_size=80), st.integers(4, 40), st.integers(1, 3))
def test_a_sentence_fits_its_lines_and_loses_only_its_end(text: str, width: int, lines: int) -> None:
    said = fitting(text, width, lines)
    assert len(said) <= lines
    assert all(cells(line) <= width for line in said)
    if len(wrap(text, width)) <= lines:
        assert said == wrap(text, width)


async def stand_on(pilot: object, keys: Sequence[str]) -> None:
    for key in keys:
        await pilot.press(key)  # type: ignore[attr-defined]
        await settled(pilot)


def text_of(app: Screens, id: str) -> list[str]:
    """The lines of a part that are in sight."""
    found = app.screen.query(f"#{id}")
    if not found or not found.first().display:
        return []
    paper = found.first(TextBlock)
    return ["".join(text for _, text in line) for line in paper.lines[paper.top : paper.top + paper.size.height]]


def assert_not_cut(app: Screens) -> None:
    """Heads, sentence, status, hint and foot are in the window whole."""
    width = app.size.width
    for id in ("head", "why", "status", "hint", "foot"):
        for line in text_of(app, id):
            assert not line.endswith(".."), (id, line)
            assert len(line) <= width, (id, line)


@pytest.mark.parametrize("name", OPENED)
async def test_heads_sentences_and_footers_are_whole(app: Screens, name: str) -> None:
    async with app.run_test(size=WHOLE[0]) as pilot:
        await settled(pilot)
        await stand_on(pilot, OPENED[name])
        for size in WHOLE:
            await pilot.resize_terminal(*size)
            await settled(pilot)
            assert_not_cut(app)
            assert seen(app)[-1].strip(), "the footer is not on the last line"
            assert len(seen(app)) == size[1]
            assert not any(re.search("[\u2500-\u259f]", line) for line in seen(app)), "a scroll bar is drawn"


@pytest.mark.parametrize("size", WHOLE)
async def test_every_row_of_the_tray_has_its_sentence_whole(app: Screens, size: tuple[int, int]) -> None:
    async with app.run_test(size=size) as pilot:
        await settled(pilot)
        for _ in range(6):
            assert_not_cut(app)
            await pilot.press("j")


@pytest.mark.parametrize("size", SMALL)
@pytest.mark.parametrize("name", OPENED)
async def test_small_windows_stay_of_use(app: Screens, name: str, size: tuple[int, int]) -> None:
    """A head, something to work with under it, and a question never without its y/n."""
    async with app.run_test(size=size) as pilot:
        await settled(pilot)
        await stand_on(pilot, OPENED[name])
        lines = seen(app)
        assert not text_of(app, "head")[0].endswith(".."), lines
        assert sum(bool(line.strip()) for line in lines) >= 2, lines
        if name == "confirm":
            assert "your decisions stay. y/n" in " ".join(" ".join(lines).split())
        if isinstance(app.screen, Form):
            assert app.screen.focused is not None
            assert app.screen.focused.region.height == 1


@pytest.mark.parametrize("name", OPENED)
async def test_under_20_by_5_one_line_says_what_is_needed(app: Screens, name: str) -> None:
    async with app.run_test(size=(80, 24)) as pilot:
        await settled(pilot)
        await stand_on(pilot, OPENED[name])
        focused = app.screen.focused
        for size in USELESS:
            await pilot.resize_terminal(*size)
            await settled(pilot)
            said = f"Needs 20x5, has {size[0]}x{size[1]}"
            shown = " ".join(" ".join(seen(app)).split())
            assert shown == said if size[0] > 9 else shown.replace(" ", "") in said.replace(" ", "")
        await pilot.resize_terminal(80, 24)
        await settled(pilot)
        assert_not_cut(app)
        assert "Needs 20x5" not in " ".join(seen(app))
        assert app.screen.focused is focused


@pytest.mark.parametrize("name", ["lot form", "palette", "confirm"])
async def test_a_resize_cuts_head_labels_hint_and_foot_anew(shelf: Path, open_on: Open, name: str) -> None:
    async def lines(first: tuple[int, int], then: tuple[int, int]) -> list[str]:
        app = open_on(shelf)
        async with app.run_test(size=first) as pilot:
            await settled(pilot)
            await stand_on(pilot, OPENED[name])
            await pilot.resize_terminal(*then)
            await settled(pilot)
            return seen(app)

    for size in ((80, 24), (40, 12), (60, 16)):
        assert await lines((120, 40), size) == await lines(size, size), size


async def test_a_large_window_has_list_ticket_and_curve_at_once(app: Screens) -> None:
    async with app.run_test(size=(160, 50)) as pilot:
        await settled(pilot)
        await pilot.pause(0.1)
        left = [line[:88] for line in seen(app)]
        right = [line[88:] for line in seen(app)]
        assert any("5 tor 1893 M, uncleaned" in line for line in left)
        assert "5 tor 1893 V, toned" in " ".join(right)
        assert any("Bargain" in line for line in right)


async def test_the_selection_outlives_any_order_of_sizes(app: Screens) -> None:
    chance = random.Random(3)
    async with app.run_test(size=(80, 24)) as pilot:
        await settled(pilot)
        await pilot.press("j", "j", "j", "enter")
        for _ in range(25):
            width, height = chance.choice((1, 5, 19, 20, 60, 139, 300)), chance.choice((1, 4, 5, 16, 40, 100))
            await pilot.resize_terminal(width, height)
        await pilot.resize_terminal(80, 24)
        await settled(pilot)
        assert isinstance(app.screen, Frame)
        assert app.screen.ID == "ticket"
        assert app.screen.key == "north:3"  # type: ignore[attr-defined]


async def test_what_is_longer_than_the_window_says_so_and_scrolls(tmp_path: Path, open_on: Open) -> None:
    long = lot(0, hours=1, title="5 tor 1893 V, " + "a very long story of a coin " * 30)
    app = open_on(pieces.shelf(tmp_path / "long", 3, long))
    async with app.run_test(size=(60, 16)) as pilot:
        await settled(pilot)
        for keys in (("question_mark",), ("enter",)):
            await stand_on(pilot, keys)
            found = []
            for _ in range(60):
                found += seen(app)[1:-2]
                if not any("more below: PgDn" in line for line in seen(app)):
                    break
                assert "more below: PgDn" in seen(app)[-3]
                await pilot.press("pagedown")
            else:
                raise AssertionError("no end")
            whole = [
                "".join(text for _, text in line).rstrip() for line in app.screen.query_one("#pane", TextBlock).lines
            ]
            assert set(whole) <= set(found)
            await stand_on(pilot, ("escape",))


async def test_a_long_report_under_a_form_scrolls(app: Screens) -> None:
    async with app.run_test(size=(60, 16)) as pilot:
        await settled(pilot)
        await stand_on(pilot, ("i",))
        assert isinstance(app.screen, Form)
        app.screen.show_text([f"line {number} of the report" for number in range(40)])
        await settled(pilot)
        assert "more below: PgDn" in " ".join(seen(app))
        for _ in range(10):
            await pilot.press("pagedown")
        assert "line 39 of the report" in " ".join(seen(app))
