"""The person mends a reading in the Ticket, and teaches the reader the words that misled it."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest

from tests.screens import pieces
from tests.screens.conftest import Open
from tests.screens.pieces import NOW, heard, seen, settled
from watchlist.core.lots.source import Source
from watchlist.core.reading.record import Reading, Span
from watchlist.core.reading.vocabulary.corrections import Correction
from watchlist.desk.desk import Desk
from watchlist.desk.reader import taught
from watchlist.screens.app import Screens
from watchlist.screens.forms.correction import lessons_of
from watchlist.shelf.shelf import Shelf

TITLES = {"north:a": "Orvany 5 tor 1893 schnieke", "north:b": "Orvany 5 tor 1894 schnieke", "south:c": "5 tor schnieke"}


@pytest.fixture
def shelf(tmp_path: Path) -> Path:
    path = tmp_path / "shelf"
    with Shelf.open(path, write=True, today=NOW.date) as opened:
        for name in ("north", "south"):
            opened.notebook.sources.put(Source(name, f"https://{name}.example/feed", "Lindmoor Sales"))
        desk = Desk(opened, NOW)
        rows = []
        for number, (key, title) in enumerate(TITLES.items()):
            row = pieces.lot(0, hours=10 + number, key=key, id=key[-1], source=key.split(":")[0], title=title)
            rows.append(replace(row, reading=desk.reader.read(title)))
        opened.store.lots.save(rows)
    return path


def kept(path: Path) -> tuple[list[Correction], dict[str, int | None]]:
    """What was taught, and the grades as they are read now."""
    with Shelf.open(path, write=False, today=NOW.date) as opened:
        rows = opened.store.lots.by_key(TITLES)
        return taught(opened.notebook.corrections.list()), {key: row.reading.grade_low for key, row in rows.items()}


async def correct(pilot: Any, field: str, value: str) -> None:
    """c, to the field, the value, Enter."""
    await pilot.press("c")
    await settled(pilot)
    await type_into(pilot, field, value)
    await pilot.press("enter")
    await settled(pilot)


async def type_into(pilot: Any, field: str, value: str) -> None:
    box = pilot.app.screen.query_one(f"#field-{field}")
    box.focus()
    box.value = value
    await pilot.pause()


def title_of(app: Screens) -> str:
    return str(getattr(app.screen, "TITLE", ""))


@pytest.mark.parametrize(("source", "read"), [("north", (63, 63, None)), ("", (63, 63, 63))])
async def test_a_corrected_grade_can_be_taught_for_one_source_or_all(
    shelf: Path, open_on: Open, source: str, read: tuple[int | None, ...]
) -> None:
    app = open_on(shelf)
    async with app.run_test(size=(80, 24)) as pilot:
        await settled(pilot)
        await correct(pilot, "grade", "63")
        assert title_of(app) == "Teach"
        assert "esc cancels it at this lot" in " ".join(seen(app))
        assert app.screen.query_one("#field-source").value == "north"  # type: ignore[attr-defined]
        await type_into(pilot, "grade", "schnieke")
        await type_into(pilot, "source", source)
        await pilot.press("enter")
        await settled(pilot)
        assert '"schnieke" means grade 63' in app.program.messages.kept[-1]
        assert title_of(app) == "Tray"
    words, grades = kept(shelf)
    assert words == [Correction("schnieke", "grade", "63", source)]
    assert tuple(grades.values()) == read


async def test_leaving_the_lesson_keeps_the_correction_of_the_lot_alone(shelf: Path, open_on: Open) -> None:
    app = open_on(shelf)
    async with app.run_test(size=(80, 24)) as pilot:
        await settled(pilot)
        await correct(pilot, "grade", "63")
        await pilot.press("escape")
        await settled(pilot)
        assert title_of(app) == "Tray"
    assert kept(shelf) == ([], {"north:a": 63, "north:b": None, "south:c": None})


async def test_enter_once_too_often_teaches_nothing(shelf: Path, open_on: Open) -> None:
    app = open_on(shelf)
    async with app.run_test(size=(80, 24)) as pilot:
        await settled(pilot)
        await correct(pilot, "grade", "63")
        await pilot.press("enter")
        await settled(pilot)
        assert app.program.messages.kept[-1].endswith("No word was taught.")
        await correct(pilot, "grade", "64")
        await type_into(pilot, "grade", "no such word")
        await pilot.press("enter")
        await heard(app, "`no such word` does not stand in this title. No word was taught.")
    assert kept(shelf) == ([], {"north:a": 64, "north:b": None, "south:c": None})


async def test_undo_takes_a_correction_back_before_any_decision(shelf: Path, open_on: Open) -> None:
    app = open_on(shelf)
    async with app.run_test(size=(80, 24)) as pilot:
        await settled(pilot)
        await pilot.press("f")
        await settled(pilot)
        await correct(pilot, "grade", "63")
        await pilot.press("escape")
        await settled(pilot)
        await pilot.press("u")
        await heard(app, "Undone: correction of a (")
        await settled(pilot)
        assert kept(shelf)[1]["north:a"] is None
        with Shelf.open(shelf, write=False) as opened:
            assert opened.store.listing.count_by("state") == {"followed": 1, "seen": 2}
        await pilot.press("u")
        await heard(app, "Undone: ")
        with Shelf.open(shelf, write=False) as opened:
            assert opened.store.listing.count_by("state") == {"seen": 3}


async def test_a_source_that_is_none_is_named_and_nothing_typed_is_lost(shelf: Path, open_on: Open) -> None:
    app = open_on(shelf)
    async with app.run_test(size=(80, 24)) as pilot:
        await settled(pilot)
        await correct(pilot, "grade", "63")
        await type_into(pilot, "grade", "schnieke")
        await type_into(pilot, "source", "nroth")
        await pilot.press("enter")
        await settled(pilot)
        assert "nroth" in app.program.messages.kept[-1]
        assert title_of(app) == "Teach"
        assert app.screen.query_one("#field-grade").value == "schnieke"  # type: ignore[attr-defined]
    assert kept(shelf)[0] == []


async def test_a_year_teaches_no_word(shelf: Path, open_on: Open) -> None:
    app = open_on(shelf)
    async with app.run_test(size=(80, 24)) as pilot:
        await settled(pilot)
        await correct(pilot, "year", "1895")
        assert title_of(app) == "Tray"
        assert "Corrected year" in app.program.messages.kept[-1]


def test_the_words_that_misled_are_offered() -> None:
    """`prachtig` is a Dutch grade; here it stands for another."""
    reading = Reading("5 tor prachtig", grade_low=45, grade_high=45, spans=(Span("grade", 6, 14, "prachtig", 0.9),))
    (lesson,) = lessons_of(reading, {"grade": "45"}, {"grade": "63"})
    assert (lesson.field, lesson.value, lesson.words) == ("grade", "63", "prachtig")


def test_a_value_taken_away_teaches_that_its_words_mean_nothing() -> None:
    reading = Reading("5 tor schick", problems=("cleaned",), spans=(Span("problems", 6, 12, "schick", 0.9),))
    (lesson,) = lessons_of(reading, {"problems": "cleaned"}, {"problems": ""})
    assert (lesson.field, lesson.value, lesson.words) == ("nothing", "", "schick")


def test_only_the_problem_that_was_added_is_taught() -> None:
    (lesson,) = lessons_of(Reading("x"), {"problems": "holed"}, {"problems": "holed, mounted"})
    assert (lesson.field, lesson.value, lesson.words) == ("problems", "mounted", "")
