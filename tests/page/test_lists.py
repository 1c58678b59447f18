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


def test_what_has_no_column_stands_in_the_second_line_behind_the_rest_of_the_coin() -> None:
    columns = (
        Column("closes", 9),
        Column("venue", 10, rank=2, below=True),
        Column("lot", 3),
        Column("coin", 20),
        Column("cost", 4, right=True),
        Column("stage", 8, rank=3, below=True),
    )
    coin = "10 lind 1913-S, XF-45 to AU-58"
    texts = ("Tue 15:00", "Lindmoor", "1044", coin, "84", "to place")
    narrow = fit(columns, 40, flexible=3, least=18, gap=1)
    assert narrow.places == (0, 2, 3, 4)
    assert [line.rstrip() for line in narrow.wrapped(texts, (2, 3))] == [
        "Tue 15:00 104 10 lind 1913-S, XF-45   84",
        "          4   to AU-58; Lindmoor, to",
        "              place",
    ]
    short = (*texts[:2], "88", "1 tor 1890", *texts[4:])
    assert [line.rstrip() for line in narrow.wrapped(short, (2, 3))] == [
        "Tue 15:00 88  1 tor 1890              84",
        "              Lindmoor, to place",
    ]
    wide = fit(columns, 70, flexible=3, least=18, gap=1)
    assert len(wide.places) == 6
    assert [line.rstrip() for line in wide.wrapped(short, (2, 3))] == [
        "Tue 15:00 Lindmoor   88  1 tor 1890                        84 to place",
    ]


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
