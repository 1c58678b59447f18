"""The parts of a screen, each made alone: ticks, movement, tables, the text of messages. No window."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import UTC, datetime
from typing import Any, cast

import pytest
from hypothesis import given
from hypothesis import strategies as st
from textual.app import App

from watchlist.page.columns import cells
from watchlist.screens.background.messages import LEAST_MESSAGE, Messages, status_line
from watchlist.screens.layout import keys_line, shape, too_small
from watchlist.screens.looks import DARK, Brush, Paint
from watchlist.screens.parts.listing import Listing
from watchlist.screens.parts.movement import FAR, Movement
from watchlist.screens.parts.table import Table
from watchlist.screens.parts.ticks import Ticks
from watchlist.screens.terminal.key_queue import KeyQueue, Step


@dataclass(frozen=True)
class Line:
    key: str
    state: str = "new"


# --- ticks


def test_a_tick_is_turned_and_remembers_the_state() -> None:
    ticks = Ticks()
    ticks.turn(Line("a", "seen"))
    ticks.turn(Line("b"))
    assert ticks.lots() == [("a", "seen"), ("b", "new")]
    ticks.turn(Line("a"))
    assert ("a" in ticks, "b" in ticks, len(ticks)) == (False, True, 1)
    ticks.drop(["b", "c"])
    assert not ticks


def test_all_are_ticked_and_when_all_are_none() -> None:
    ticks, lines = Ticks(), [Line("a"), Line("b")]
    ticks.turn(lines[0])
    ticks.turn_all(lines)
    assert len(ticks) == 2
    ticks.turn_all(lines)
    assert not ticks
    ticks.turn_all(lines)
    ticks.clear()
    assert not ticks


# --- movement


class Walked:
    """A list or a text that is moved through."""

    def __init__(self, *, end: bool = False) -> None:
        self.moves: list[Any] = []
        self.display, self.size = True, type("Size", (), {"height": 11})
        self.end = end

    def step(self, by: int) -> None:
        self.moves.append(by)

    def page(self, way: int) -> None:
        self.moves.append(("page", way))

    def first(self) -> None:
        self.moves.append("first")

    def last(self) -> None:
        self.moves.append("last")

    def scroll_lines(self, by: int) -> bool:
        self.moves.append(by)
        return not self.end


def moved(ids: Sequence[str], listing: Walked | None, pane: Walked | None) -> None:
    doing = Movement(cast("Any", listing), cast("Any", pane)).doing()
    for id in ids:
        doing[id]()


def test_keys_move_through_the_list_where_there_is_one() -> None:
    listing, pane = Walked(), Walked()
    moved(("down", "up", "page-down", "page-up", "first", "last"), listing, pane)
    assert listing.moves == [1, -1, ("page", 1), ("page", -1), "first", "last"]
    assert pane.moves == []


def test_else_through_the_text() -> None:
    pane = Walked()
    moved(("down", "up", "page-down", "page-up", "first", "last"), None, pane)
    assert pane.moves == [1, -1, 10, -10, -FAR, FAR]


def test_tab_pages_through_the_pane_and_starts_again_at_its_end() -> None:
    pane, ended = Walked(), Walked(end=True)
    moved(("part", "part-back"), Walked(), pane)
    moved(("part",), Walked(), ended)
    assert pane.moves == [10, -10]
    assert ended.moves == [10, -FAR]
    pane.display = False
    moved(("part",), Walked(), pane)
    assert pane.moves == [10, -10], "a pane that is not shown stays"


# --- tables


class Words:
    """Rows of one word."""

    none = "No words yet."

    def __init__(self, *words: str) -> None:
        self.words = words

    def items(self) -> Sequence[str]:
        return self.words

    def text_of(self, item: str) -> str:
        return item

    def head(self, width: int) -> str:
        return "word"

    def row(self, item: str, width: int) -> Paint:
        return [("ink", item)]


def table(*words: str) -> Table[str]:
    made = Table(Words(*words), Brush(DARK, colour=True), lambda: None)
    made.load()
    return made


def test_a_table_is_sifted_by_words_and_keeps_its_line() -> None:
    made = table("tor 1893", "lind 1893", "tor 1894")
    made.listing.at = 2
    made.load()
    assert made.item == "tor 1894"
    made.sift("tor 93")
    assert list(made.shown) == ["tor 1893"] or list(made.shown) == []
    made.sift("lind")
    assert (made.item, made.row(0, 80)) == ("lind 1893", [("ink", "lind 1893")])
    made.sift("zzz")
    assert made.item is None
    assert made.empty() == "Nothing matches `zzz`. esc clears it."
    assert table().empty() == "No words yet."


class Verses(Words):
    """Rows of as many lines as they have words."""

    def lines(self, item: str, width: int) -> Sequence[Paint]:
        return [[("ink", word)] for word in item.split()]


class OneList(App[None]):
    """A list and nothing else."""

    def __init__(self, table: Table[str]) -> None:
        super().__init__()
        self.table = table

    def compose(self) -> Iterator[Listing]:
        yield self.table.listing


def sight(listing: Listing) -> list[str]:
    return [listing.render_line(y).text.strip() for y in range(listing.size.height)]


async def test_rows_of_several_lines_are_whole_in_sight_wherever_one_stands() -> None:
    verses = [f"a{n} b{n} c{n}" if n % 3 == 0 else f"a{n} b{n}" if n % 3 == 1 else f"a{n}" for n in range(20)]
    made = Table(Verses(*verses), Brush(DARK, colour=True), lambda: None)
    app = OneList(made)
    async with app.run_test(size=(20, 9)):
        made.load()
        listing = made.listing
        assert sight(listing) == ["word", "a0", "b0", "c0", "a1", "b1", "a2", "a3", "b3"]
        for at in (*range(20), *range(19, -1, -1)):
            listing.go(at)
            shown = "\n".join(sight(listing))
            assert verses[at].replace(" ", "\n") in shown, at
        listing.go(0)
        assert listing.place(5) == (1, 1), "a click there is on the second line of the second row"
        listing.page(1)
        assert made.item in ("a3 b3 c3", "a2"), "a page on passes no row that was not in sight"
        listing.last()
        assert sight(listing)[-1] == "b19"
        listing.first()
        assert sight(listing)[1] == "a0"


def test_an_action_on_an_item_needs_one() -> None:
    done: list[str] = []
    table().on_item(done.append)()
    table("tor").on_item(done.append)()
    assert done == ["tor"]


@given(st.lists(st.text("ab c", max_size=12), max_size=5), st.integers(3, 60))
def test_a_head_line_leaves_out_what_does_not_fit(parts: list[str], width: int) -> None:
    ((_, line),) = table("tor").title("Words", parts, width)
    assert cells(line) <= width


def test_a_list_highlights_the_nearest_row_there_is() -> None:
    moves: list[int] = []
    made = Table(Words("a", "b", "c"), Brush(DARK, colour=True), lambda: moves.append(1))
    made.load()
    listing: Listing = made.listing
    for at, expected in ((1, 1), (99, 2), (-5, 0)):
        listing.go(at)
        assert listing.at == expected
    assert len(moves) == 3
    listing.last()
    assert listing.at == 2
    listing.first()
    assert (listing.at, listing.has_row) == (0, True)


# --- layout and messages


@pytest.mark.parametrize(
    ("size", "expected"),
    [
        ((19, 24), "none"),
        ((80, 4), "none"),
        ((59, 24), "short"),
        ((80, 24), "normal"),
        ((120, 30), "wide"),
        ((160, 50), "rich"),
    ],
)
def test_the_size_of_a_window_gives_its_layout(size: tuple[int, int], expected: str) -> None:
    assert shape(*size) == expected


def test_a_window_of_no_use_says_what_it_needs_and_a_foot_names_what_fits() -> None:
    assert "".join(text for line in too_small(40, 3) for _, text in line) == "Needs 20x5, has 40x3"
    assert keys_line(("Enter save", "esc cancel"), 14) == " Enter save"


def test_messages_are_kept_with_their_minute_until_they_are_read() -> None:
    shown: list[int] = []
    messages = Messages(lambda: datetime(2026, 11, 25, 9, 5, tzinfo=UTC), "u", lambda: shown.append(1))
    messages.say("Two\n words")
    messages.say_undoable("Skipped: 5 tor")
    assert list(messages.kept) == ["09:05  Two words", "09:05  Skipped: 5 tor. u undoes it."]
    assert (messages.newest, len(shown)) == ("Skipped: 5 tor. u undoes it.", 2)
    messages.hush()
    assert messages.newest == ""
    assert len(messages.kept) == 2


def test_the_status_line_has_room_for_work_beside_a_message() -> None:
    assert status_line("Said.", "", "", 80) == "Said."
    assert status_line("Said.", "", "Fitting..", 80) == "Said. Fitting.."
    assert status_line("Said.", "1 decision waits.", "Fitting..", 80) == "1 decision waits. Fitting.."
    assert status_line("Said.", "", "Fitting..", len("Fitting..") + LEAST_MESSAGE) == "Said.", "too narrow for both"
    assert status_line("Hammer price 1,240 EUR noted.", "", "Fitting..", 32) == "Hammer price.. Fitting.."


# --- keys typed ahead


async def test_a_key_waits_until_what_the_one_before_it_opened_is_ready() -> None:
    taken: list[str] = []
    steps: list[Step] = []
    ready = False

    async def take(key: Any) -> None:
        taken.append(key)

    queue = KeyQueue(take, lambda: ready, steps.append)
    for key in ("slash", "t", "o"):
        await queue.came(cast("Any", key))
    assert taken == ["slash"]
    assert not queue.idle
    await steps.pop()()
    assert taken == ["slash"], "the line to type in is not there yet"
    ready = True
    while steps:
        await steps.pop(0)()
    assert taken == ["slash", "t", "o"]
    assert queue.idle


async def test_a_key_goes_on_once_though_it_is_told_twice_and_waits_not_for_ever() -> None:
    taken: list[str] = []
    steps: list[Step] = []

    async def take(key: Any) -> None:
        taken.append(key)

    queue = KeyQueue(take, lambda: False, steps.append)
    for key in ("a", "b", "c"):
        await queue.came(cast("Any", key))
    first = steps[0]
    for _ in range(11):
        await steps.pop(0)()
    assert taken == ["a", "b"]
    await first()
    assert taken == ["a", "b"], "its turn is over"
