"""Wants as typed into the form: what no want can be is refused whole, as on the command line."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.screens.pieces import NOW
from watchlist.desk.desk import Desk
from watchlist.desk.errors import DeskError
from watchlist.desk.wanting import put_want
from watchlist.shelf.shelf import Shelf

TYPED = {"coin": "Orvany 5 tor 1893-V", "ceiling": "300 EUR"}


@pytest.mark.parametrize(
    ("wrong", "said"),
    [
        ({"ceiling": "-5 EUR"}, "ceiling"),
        ({"ceiling": "0 EUR"}, "above zero"),
        ({"ceiling": ""}, "needs a ceiling"),
        ({"low": "70 EUR"}, "both ends"),
        ({"low": "90 EUR", "high": "70 EUR"}, "above the high"),
        ({"quantity": "0"}, "one piece or more"),
        ({"coin": ""}, "needs a coin"),
    ],
)
def test_what_no_want_can_be_is_refused_and_its_coin_is_not_kept(
    tmp_path: Path, wrong: dict[str, str], said: str
) -> None:
    with Shelf.open(tmp_path / "shelf", write=True, today=NOW.date) as shelf:
        with pytest.raises((DeskError, ValueError), match=said):
            put_want(Desk(shelf, NOW), TYPED | wrong)
        assert shelf.notebook.wants.list() == []
        assert shelf.store.issues() == []


def test_a_coin_of_no_catalogue_is_kept_with_its_want(tmp_path: Path) -> None:
    with Shelf.open(tmp_path / "shelf", write=True, today=NOW.date) as shelf:
        want = put_want(Desk(shelf, NOW), TYPED)
        assert shelf.notebook.wants.list() == [want]
        assert [(issue.year, issue.mint, issue.implied) for issue in shelf.store.issues()] == [(1893, "V", True)]
