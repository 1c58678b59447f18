"""The road from rows to records alone, with a kind of file made up for it."""

from __future__ import annotations

from typing import Any

import pytest

from tests.core.made_imports import context
from watchlist.core.imports import ImportRefused, Row, SetAside, Table
from watchlist.core.imports.driver import take
from watchlist.core.imports.kind import File, Kind
from watchlist.core.imports.record import CellError
from watchlist.core.typed.words import TypedError

WRONG = {"cell": CellError("the word is odd"), "typed": TypedError("The word is above zero")}


def toy(**more: Any) -> Kind[str]:
    """Words of one column; `odd` ones raise."""

    def open(file: File) -> Any:
        def read(row: Row) -> str:
            word = row.get("word")
            if word in WRONG:
                raise WRONG[word]
            if word == "left":
                file.leave_open(row.line, "the word is left open")
            return word

        return read

    return Kind("a list of words", (("word", "words"), ("place",)), open, **more)


def rows(*words: str, aside: tuple[SetAside, ...] = ()) -> Table:
    made = tuple(Row(number, {"word": word}) for number, word in enumerate(words, 2))
    return Table("toy", ("word", "place"), {"word": "word", "place": "place"}, made, set_aside=aside)


def test_every_row_is_a_record_or_set_aside_with_its_line() -> None:
    read = take(toy(), rows("a", "cell", "typed", "a", aside=(SetAside(3, "it has too many cells"),)), context())
    assert read.records == ("a", "a")
    assert list(map(str, read.set_aside)) == [
        "line 3: it has too many cells",
        "line 3: the word is odd; row rejected",
        "line 4: the word is above zero; row rejected",
    ]


def test_of_rows_that_are_one_the_last_stands_in_its_own_place() -> None:
    kind = toy(same=str.casefold, again=lambda word: f"the word {word}")
    read = take(kind, rows("a", "b", "A", "c"), context())
    assert read.records == ("b", "A", "c")
    assert list(map(str, read.set_aside)) == ["line 2: the word A is a duplicate: line 4 is used"]
    assert read.notes == ()


def test_or_it_is_noted_once() -> None:
    read = take(toy(same=str.casefold, again_note="some stand twice"), rows("a", "A", "a"), context())
    assert (read.records, read.set_aside, read.notes) == (("a",), (), ("some stand twice",))


def test_what_is_left_open_is_told_once_with_the_number_of_its_lines() -> None:
    assert take(toy(), rows("left"), context()).notes == ("line 2: the word is left open",)
    assert take(toy(), rows("left", "a", "left"), context()).notes == (
        "line 2: the word is left open (1 more lines say so)",
    )


def test_a_file_without_a_needed_column_is_refused_whole() -> None:
    table = Table("toy", ("place",), {"place": "place"}, (Row(2, {"place": "x"}),))
    with pytest.raises(ImportRefused) as refused:
        take(toy(), table, context())
    assert str(refused.value) == (
        "mine.csv is not a valid list of words. Missing: `word` or `words`. Its headings are: place. Name another file "
        "or kind, or say --column NAME=HEADING. Nothing was taken."
    )
    assert take(toy(), Table("toy", (), {}, ()), context()).records == ()


def test_a_kind_may_refuse_more_of_a_file_that_has_rows() -> None:
    def refuse(table: Table, _: object) -> None:
        raise ImportRefused(f"no {table.kind} today")

    with pytest.raises(ImportRefused, match="no toy today"):
        take(toy(refuse=refuse), rows("a"), context())
    assert take(toy(refuse=refuse), rows(), context()).records == ()


def test_the_marks_and_the_order_of_days_are_learnt_from_the_whole_file() -> None:
    cells = (("1.000,50", "1/2/2024"), ("5", "25/2/2024"))
    made = tuple(Row(line, {"low": low, "day": day}) for line, (low, day) in enumerate(cells, 2))
    table = Table("toy", ("low", "day"), {"low": "low", "day": "day"}, made)
    file = toy(amounts=("low",), dates="day").file(table, context())
    assert (file.mark, file.order) == (",", "dmy")
    bare = toy().file(table, context())
    assert (bare.mark, bare.order) == (None, None)


def test_an_import_that_is_stopped_takes_nothing() -> None:
    told: list[float] = []

    def step(_: str, share: float) -> bool:
        told.append(share)
        return len(told) < 2

    with pytest.raises(ImportRefused, match=r"^Stopped at line 2,002; nothing was taken\.$"):
        take(toy(), rows(*["a"] * 2500), context(step=step))
    assert told == [0.0, 0.8]
