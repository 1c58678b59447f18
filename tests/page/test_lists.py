from __future__ import annotations

from datetime import date

from watchlist.page.dates import day_ahead
from watchlist.page.lists import Column, columns_read, fit


def test_a_column_that_is_needed_comes_back_where_a_wider_one_made_room() -> None:
    columns = (Column("coin", 20), Column("left", 4, rank=4), Column("stage", 9, rank=3), Column("venue", 10, rank=2))
    assert fit(columns, 47).places == (0, 2, 3)
    assert fit(columns, 30).places == (0,), "left went first, the wide stage and venue after it"
    assert fit(columns, 30, needed=4).places == (0, 1)
    assert fit(columns, 25, needed=4).places == (0,)


def test_a_day_far_ahead_has_its_year() -> None:
    today = date(2026, 3, 3)
    assert day_ahead(date(2026, 12, 24), today) == "Thu 24 Dec"
    assert day_ahead(date(2027, 2, 27), today) == "27 Feb 2027"


def test_a_heading_that_is_not_known_is_named_with_what_stands_in_for_the_titles() -> None:
    said = columns_read({"price": "Asking", "description": "Note"}, ["What"])
    assert said == [
        "Columns: price=Asking; description=Note.",
        "Headings not known: What.",
        "No heading is known for the titles, so `Note` is read in their place; if that is wrong, name the column, such "
        "as title=What.",
    ]
    assert columns_read({"title": "Los", "price": "Ruf"}, ()) == ["Columns: title=Los; price=Ruf."]
    assert columns_read({}, ()) == []
