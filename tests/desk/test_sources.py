"""Sources as they are typed: where they may stand, what a new name means, and how they are put back."""

from __future__ import annotations

from dataclasses import replace

import pytest

from tests.desk.pieces import NORTH, come, row
from watchlist.core.lots.source import Source
from watchlist.desk import undoing
from watchlist.desk.desk import Desk
from watchlist.desk.errors import DeskError
from watchlist.desk.typed.sources import drop_source, put_source, typed_source

VESSICK = {"name": "vessick", "address": "https://vessick.example/feed"}


def test_a_source_as_it_is_typed(desk: Desk) -> None:
    made = typed_source(desk, VESSICK | {"venue": "lindmoor sales"}, columns=["price=Ausruf"])
    assert made == Source("vessick", VESSICK["address"], "Lindmoor Sales", columns={"price": "Ausruf"})
    put_source(desk, made)
    assert desk.sources["vessick"] == made
    drop_source(desk, "vessick")
    assert "vessick" not in desk.sources


@pytest.mark.parametrize(
    ("said", "why"),
    [
        ({"name": ""}, r"^A source needs a name\. Nothing was changed\.$"),
        ({"address": ""}, r"^A source needs an address or a file\. Nothing was changed\.$"),
        ({"address": "vessick.example/feed"}, "an address begins with http:// or https://"),
        ({"venue": "Lindmor"}, r"^There is no venue `Lindmor` \(did you mean `Lindmoor Sales`\?\)\.$"),
        (
            {"currency": "EUROS"},
            r"^Currency: EUROS is not a valid currency \(did you mean EUR\?\)\. Nothing was changed\.$",
        ),
    ],
)
def test_a_wrong_word_is_refused(desk: Desk, said: dict[str, str], why: str) -> None:
    with pytest.raises(DeskError, match=why):
        typed_source(desk, VESSICK | said)


def test_a_name_that_is_there_is_not_taken_from_another(desk: Desk) -> None:
    with pytest.raises(DeskError, match="There is a source north already; edit it, or give another name"):
        put_source(desk, replace(NORTH, address="https://vessick.example/feed"))
    assert desk.sources["north"] == NORTH


def test_a_source_with_lots_keeps_its_name(desk: Desk) -> None:
    come(desk, row("1"))
    with pytest.raises(DeskError, match="north keeps its name, for its 1 lots"):
        put_source(desk, replace(NORTH, name="vessick"), over="north")
    assert list(desk.sources) == ["north"]


def test_one_without_lots_takes_the_words_taught_for_it_along(desk: Desk) -> None:
    taught = {"id": "c1", "kind": "word", "words": "schick", "field": "grade", "value": "40", "source": "north"}
    desk.shelf.notebook.corrections.put(taught)
    desk.forget()
    put_source(desk, replace(NORTH, name="vessick"), over="north")
    assert list(desk.sources) == ["vessick"]
    assert desk.corrections == [taught | {"source": "vessick"}]
    undoing.undo(desk)
    assert desk.sources == {"north": NORTH}
    assert desk.corrections == [taught]
