"""Which face value of a title is the piece's denomination."""

from __future__ import annotations

import pytest

from tests.core.reading.scanned import VOCABULARY, scan
from watchlist.core.reading.choice.denomination import choose_denomination, take_values
from watchlist.core.reading.choice.draft import Draft
from watchlist.core.reading.fields.dates import find_dates
from watchlist.core.reading.fields.facevalues import find_values
from watchlist.core.reading.fields.grouplots import Many


def draft(title: str, many: Many | None = None, year: int | None = None) -> Draft:
    scanned = scan(title)
    made = Draft(scanned, VOCABULARY, many=many or Many(), year=year)
    made.values = find_values(scanned)
    made.dates = find_dates(scanned, None)
    take_values(made)
    return made


@pytest.mark.parametrize(
    ("title", "kind", "name"),
    [
        ("5 mark 1875", "coin", "5 mark"), ("1875", "coin", None), ("mark", "medal", None),
        ("5 mark", "medal", "5 mark"),
        ("sixpence", "token", "6 pence"), ("sixpence", "bar", None), ("5 mark", "object", None),
    ],
)  # fmt: skip
def test_what_a_thing_may_state(title: str, kind: str, name: str | None) -> None:
    assert choose_denomination(draft(title), kind) == name


@pytest.mark.parametrize(
    ("title", "name"),
    [
        ("1/2 mark - 5 mark", None), ("5-10-25 pesetas", None), ("cents and stivers", None),
        ("1858 2 mark, 1876 5 mark", None), ("5 mark, 5 mark", "5 mark"),
    ],
)  # fmt: skip
def test_a_lot_of_several_denominations_has_none(title: str, name: str | None) -> None:
    assert choose_denomination(draft(title, Many(multiple=True)), "coin") == name


def test_a_set_of_several() -> None:
    many = Many(multiple=True, is_set=True)
    assert choose_denomination(draft("euro", many), "coin") == "set"
    assert choose_denomination(draft("", many), "coin") == "set"
    assert choose_denomination(draft("", many), "object") is None


def test_another_value_leaves_a_doubt() -> None:
    made = draft("5 mark, 2 mark")
    assert choose_denomination(made, "coin") == "5 mark"
    assert (list(made.unsure), made.other) == (["denomination"], [("denomination", "2 mark")])


def test_a_unit_that_was_renewed_has_its_later_name() -> None:
    later = VOCABULARY.lex.later
    unit, (since, name) = next(iter(later.items()))
    assert choose_denomination(draft(unit, year=since), "coin") == name
    assert choose_denomination(draft(unit, year=since - 1), "coin") != name
