from __future__ import annotations

from watchlist.page.lists import columns_read


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
