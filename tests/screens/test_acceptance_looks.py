"""Rows 7, 8, 9, 20, 21, 26 and 27 of the list in docs/screens.md: what is told without colour, and wide letters.

Widths of letters: Unicode Standard Annex 11; grey: relative luminance of the Web Content Accessibility Guidelines.
"""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from tests.screens import pieces
from tests.screens.conftest import Open
from tests.screens.pieces import seen, settled
from watchlist.core.marks.record import SIGNS
from watchlist.page.columns import cells
from watchlist.page.wording import MARK_WORDS
from watchlist.screens import actions, keys
from watchlist.screens.app import Screens
from watchlist.screens.looks import DARK, LOOKS, Brush, contrast
from watchlist.screens.tray import Tray
from watchlist.shelf.shelf import Shelf

GREYS = range(256)


def grey(colour: str) -> str:
    """The grey of the same luminance."""
    best = min(
        GREYS,
        key=lambda level: abs(contrast(f"#{level:02x}{level:02x}{level:02x}", "#000000") - contrast(colour, "#000000")),
    )
    return f"#{best:02x}{best:02x}{best:02x}"


@pytest.mark.parametrize("name", sorted(LOOKS))
def test_the_grey_picture_is_readable(name: str) -> None:
    look = LOOKS[name]
    for role in ("ink", "quiet", "bargain", "doubt", "over"):
        assert contrast(grey(getattr(look, role)), grey(look.ground)) >= 4.4, role


PLACES = {
    "lists": ("1", "b", "2", "3", "4", "5", "6", "7", "8", "9", "0"),
    "one lot": ("enter",),
    "help": ("question_mark",),
    "a form": ("2", "a", "1", "2", "home", "shift+end"),
    "a wrong form": ("2", "a", "ctrl+s"),
    "the sift line": ("slash", "z", "z", "home", "shift+end"),
    "the palette": ("ctrl+p", "w"),
}


@pytest.mark.parametrize("name", sorted(LOOKS))
@pytest.mark.parametrize("place", PLACES)
async def test_whatever_is_drawn_is_read(app: Screens, name: str, place: str) -> None:
    """Every letter on every screen against its own ground, also what is typed, selected, offered and wrong."""
    async with app.run_test(size=(120, 40)) as pilot:
        await settled(pilot)
        if app.theme != name:
            app.turn_look()
        for key in PLACES[place]:
            await pilot.press(key)
            await settled(pilot)
            for ink, ground, text in drawn(app):
                assert contrast(ink, ground) >= 4.5, (key, text, ink, ground)


def drawn(app: Screens) -> set[tuple[str, str, str]]:
    """What stands on the screen, with its ink and its ground."""
    found = set()
    for strip in app.screen._compositor.render_strips():
        for segment in strip:
            style = segment.style
            if style and style.color and style.bgcolor and any(map(str.isalnum, segment.text)):
                ink, ground = (colour.get_truecolor().hex for colour in (style.color, style.bgcolor))
                found.add((ink, ground, segment.text) if not style.reverse else (ground, ink, segment.text))
    return found


async def test_each_mark_has_its_letter_in_the_row_and_its_word_in_the_sentence(app: Screens) -> None:
    letters = {}
    async with app.run_test(size=(80, 24)) as pilot:
        await settled(pilot)
        for at in range(6):
            row, said = seen(app)[2 + at], " ".join(seen(app)[19:21])
            word = next(word for mark, word in MARK_WORDS.items() if row[1] == SIGNS[mark])
            assert word in said
            letters[row[1]] = word
            await pilot.press("j")
    assert len(letters) == len(set(letters.values())) == 6


@pytest.mark.parametrize("colour", [True, False])
async def test_new_highlight_and_heads_differ_without_colour(shelf: Path, open_on: Open, colour: bool) -> None:
    """Bold for new, reverse for the highlight, underline for heads; each on its own line."""
    app = open_on(shelf, colour=colour)
    async with app.run_test(size=(80, 24)) as pilot:
        await settled(pilot)
        await pilot.press("j")
        strips = app.screen._compositor.render_strips()
        styles = [[segment.style for segment in strip if segment.text.strip() and segment.style] for strip in strips]
        assert any(style.underline for style in styles[1])
        assert any(style.bold for style in styles[2]), "lot 0 is new"
        assert all(style.reverse for style in styles[3]), "lot 1 is highlighted"
        assert not any(style.bold or style.reverse for style in styles[4]), "lot 2 is seen"


WIDE = {
    "CJK": "中華民國 銀幣 5 tor 1893",
    "accents": "5 to\u0301r e\u0301\u0302 1893 a\u0308\u0323",
    "emoji": "5 tor \U0001fa99\U0001fa99 1893",
    "joined": "5 tor \U0001f468\u200d\U0001f469\u200d\U0001f467 1893",
    "flags": "5 tor \U0001f1ea\U0001f1fa \U0001f1e9\U0001f1ea 1893",
    "arabic": "5 \u0639\u0645\u0644\u0629 1893",
    "half": "5 tor \uff76\uff9e\uff97 1893",
    "picture": "5 tor \u2764\ufe0f 1893",
}


@pytest.mark.parametrize("width", [7, 12, 13, 40])
@pytest.mark.parametrize("name", WIDE)
def test_a_line_has_its_width_as_the_drawing_library_counts(name: str, width: int) -> None:
    from rich.cells import cell_len

    from watchlist.core.clean import clean

    for title in (WIDE[name], clean(WIDE[name])):
        strip = Brush(DARK, colour=True).strip([("ink", title), ("quiet", " end")], width)
        assert cell_len("".join(segment.text for segment in strip)) == strip.cell_length == width


@pytest.mark.parametrize("size", [(80, 24), (60, 16), (160, 50)])
async def test_wide_letters_keep_every_column_straight(tmp_path: Path, open_on: Open, size: tuple[int, int]) -> None:
    rows = [
        pieces.lot(0, hours=n + 1, key=f"north:{n}", id=str(n), title=title) for n, title in enumerate(WIDE.values())
    ]
    app = open_on(pieces.shelf(tmp_path / "wide", 0, *rows))
    async with app.run_test(size=size) as pilot:
        await settled(pilot)
        head = seen(app)[1]
        for line in seen(app)[2 : 2 + len(WIDE)]:
            before = line[: line.index("VF-30")]
            assert cells(before) == head.index("grade"), line


async def test_the_real_cursor_stands_on_the_row_of_every_list(app: Screens) -> None:
    async with app.run_test(size=(80, 24)) as pilot:
        await settled(pilot)
        await pilot.press("b")
        await settled(pilot)
        for key in "12345":
            await pilot.press(key)
            await settled(pilot)
            listing = app.screen.listing  # type: ignore[attr-defined]
            assert app.cursor_position == (0, listing.region.y + listing.head_lines + listing.at - listing.top), key
        await pilot.press("1", "j", "j", "slash")
        await settled(pilot)
        assert app.cursor_position.y == 21, "where one types"
        await pilot.press("escape")
        await settled(pilot)
        assert app.cursor_position.y == 2 + app.screen.listing.at  # type: ignore[attr-defined]


EMPTY = {
    "nothing": (),
    "wants": ("2",),
    "bids": ("3",),
    "prices": ("4",),
    "sources": ("5",),
    "sifted wants": ("2", "slash", *"zzz", "enter"),
    "sifted sources": ("5", "slash", *"zzz", "enter"),
    "sifted lots": ("slash", *"zzz", "enter"),
}


@pytest.mark.parametrize("name", EMPTY)
async def test_each_empty_state_names_a_key_that_is_there(tmp_path: Path, open_on: Open, name: str) -> None:
    app = open_on(tmp_path / "new")
    async with app.run_test(size=(60, 16)) as pilot:
        await settled(pilot)
        for key in EMPTY[name]:
            await pilot.press(key)
        await settled(pilot)
        assert app.frame is not None
        said = " ".join(" ".join(seen(app)[1:10]).split())
        assert app.frame.listing is not None
        assert app.frame.listing.content.empty() in said, "it is in the window whole"
        known = {keys.shown_key(key) for action in actions.on(app.frame.ID) for key in action.keys}
        named = set(re.findall(r"(?:^|[.,] |then )(?:Press )?(\w+|[/?])(?= |,|\.)", said)) & known
        assert named, said


async def test_a_day_on_which_all_is_skipped_says_what_shows_it(tmp_path: Path, open_on: Open) -> None:
    path = pieces.shelf(tmp_path / "shelf", 0, pieces.lot(0, state="skipped"))
    with Shelf.open(path, write=True, today=pieces.NOW.date) as opened:
        from watchlist.core.lots.source import Source

        opened.notebook.sources.put(Source("north", "https://north.example/feed", ""))
    app = open_on(path)
    async with app.run_test(size=(80, 24)) as pilot:
        await settled(pilot)
        assert "/ state:x shows what was skipped." in " ".join(seen(app))
        await pilot.press("slash", *"state:x", "enter")
        await settled(pilot)
        assert isinstance(app.screen, Tray)
        assert "5 tor 1893 V, toned" in " ".join(seen(app))


async def test_the_ticket_of_every_mark_gives_reasons_and_the_words_read(app: Screens) -> None:
    async with app.run_test(size=(80, 36)) as pilot:
        await settled(pilot)
        for at in range(5):
            await pilot.press(*["j"] * bool(at), "enter")
            await settled(pilot)
            text = "\n".join(seen(app))
            assert "Read as: " in text
            assert re.search(r"^  1  |below the median|above the median|The title gives", text, re.M), text
            await pilot.press("escape")
            await settled(pilot)
