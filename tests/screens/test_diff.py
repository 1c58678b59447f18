"""The thinned stream draws what the whole one draws, in fewer bytes: checked on a small terminal of our own."""

from __future__ import annotations

import re

from hypothesis import given, settings
from hypothesis import strategies as st

from watchlist.page.columns import cell
from watchlist.screens.terminal.diff import Diff, shift

WIDTH, HEIGHT = 24, 4
PIECE = re.compile(r"\x1b\[(\d+);(\d+)H|\x1b\[([\d;]*)m|\n|(.)", re.DOTALL)
OFF = {"22": {"1", "2"}, "23": {"3"}, "24": {"4"}, "27": {"7"}}


class Window:
    """A terminal that knows moving, styles and letters; a letter of two cells fills two."""

    def __init__(self) -> None:
        self.cells = {
            (row, column): (" ", frozenset[str]()) for row in range(1, HEIGHT + 1) for column in range(1, WIDTH + 1)
        }
        self.row, self.column, self.style = 1, 1, frozenset[str]()

    def take(self, data: str) -> None:
        for found in PIECE.finditer(data):
            row, column, style, letter = found.groups()
            if row:
                self.row, self.column = int(row), int(column)
            elif style is not None:
                self.style = restyled(self.style, style)
            elif letter:
                self.cells[self.row, self.column] = (letter, self.style)
                for extra in range(1, cell(letter)):
                    self.cells[self.row, self.column + extra] = ("", self.style)
                self.column += cell(letter)


def restyled(style: frozenset[str], codes: str) -> frozenset[str]:
    """The style after some codes; colours are kept whole as `ink ...` and `ground ...`."""
    parts = codes.split(";") if codes else ["0"]
    kept = set(style)
    while parts:
        code = parts.pop(0)
        if code in ("38", "48"):
            kept = {each for each in kept if not each.startswith(code)} | {" ".join([code, *parts[:4]])}
            parts = parts[4:]
        elif code == "0":
            kept.clear()
        elif code in OFF:
            kept -= OFF[code]
        else:
            kept.add(code)
    return frozenset(kept)


STYLES = ("", "1", "7", "1;7", "38;2;1;2;3;48;2;9;9;9", "1;38;2;1;2;3;48;2;9;9;9", "7;38;2;5;5;5;48;2;9;9;9", "4")
runs = st.tuples(
    st.integers(1, HEIGHT),
    st.integers(1, 8),
    st.sampled_from(STYLES),
    st.text("ab  中é", min_size=1, max_size=6),
)
frames = st.lists(st.lists(runs, min_size=1, max_size=5), min_size=1, max_size=6)


def whole(frame: list[tuple[int, int, str, str]]) -> str:
    return (
        "".join(f"\x1b[{row};{column}H\x1b[{style}m{text}\x1b[0m\n" for row, column, style, text in frame) + "\x1b[1;1H"
    )


@settings(max_examples=60, deadline=None)
@given(frames)
def test_both_streams_draw_the_same_window(given_frames: list[list[tuple[int, int, str, str]]]) -> None:
    thin, one, other = Diff(), Window(), Window()
    for frame in given_frames:
        frame = [(row, column, style, text) for row, column, style, text in frame if "中" not in text or column == 1]
        one.take(whole(frame))
        other.take(thin.feed(whole(frame)))
        assert one.cells == other.cells
        assert (one.row, one.column) == (other.row, other.column)


@given(st.sampled_from(STYLES), st.sampled_from(STYLES))
def test_the_shortest_way_between_two_styles_ends_at_the_second(before: str, after: str) -> None:
    start = restyled(frozenset(), before or "0")
    assert restyled(start, shift(before, after)) == restyled(frozenset(), after or "0")


def test_what_is_drawn_twice_is_sent_once() -> None:
    thin = Diff()
    frame = whole([(1, 1, "1", "Tray"), (2, 1, "", "5 tor 1893 V")])
    thin.feed(frame)
    assert len(thin.feed(frame)) <= len("\x1b[1;1H")


def test_anything_else_passes_unchanged_and_is_forgotten() -> None:
    thin = Diff()
    thin.feed(whole([(1, 1, "7", "Tray")]))
    assert thin.feed("\x1b[?1049l\x1b[?25h").endswith("\x1b[?1049l\x1b[?25h")
    assert "Tray" in thin.feed(whole([(1, 1, "7", "Tray")]))
