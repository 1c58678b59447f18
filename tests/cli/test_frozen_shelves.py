"""A shelf of each schema there ever was, made by the program of its day, opens with equal figures."""

from __future__ import annotations

from operator import itemgetter
from pathlib import Path

import pytest

from tests.cli.conftest import Run
from watchlist.shelf.shelf import Shelf

FROZEN = sorted((Path(__file__).parents[1] / "data").glob("shelf_schema_*.zip"))
EVENING = "2026-03-05T20:00:00+01:00"
BIDS = [("fen:7", "placed", "210.00", "261.00"), ("fen:8", "planned", "190.00", "237.00")]
KEY = itemgetter("key")
STATES = ["won", "won", "lost", "ended", "new", "followed", "bid", "bid"]


@pytest.mark.parametrize("frozen", FROZEN, ids=lambda file: file.stem)
def test_a_shelf_of_an_earlier_schema_has_equal_figures(run: Run, frozen: Path) -> None:
    """Figures as the program of that day printed them; undo and redo reach what was decided then."""
    assert run("restore", str(frozen)).code == 0
    for _ in range(2):
        assert wants(run) == [("w01", 3, 3), ("w02", 1, 0), ("w3", 1, 0)]
        bids = run("bids", "--json", now=EVENING).rows
        assert [(b["key"], b["stage"], b["bid"]["amount"], b["worst"]["amount"]) for b in bids if "key" in b] == BIDS
        assert [row["state"] for row in sorted(run("lots", "--json", now=EVENING).rows, key=KEY)] == STATES
        with Shelf.open(run.shelf, write=False) as shelf:  # type: ignore[attr-defined]
            assert [str(each.paid.amount) for each in shelf.store.purchases.all()] == ["237.00", "249.00"]
            assert [price.weight for price in shelf.store.prices.each()] == [1.0, 1.0, 0.5, *[1.0] * 22]
        assert run("redo", now=EVENING).code == 2, "a weight was given since"
        assert run("undo", now=EVENING).code == 0
        assert run("redo", now=EVENING).code == 0
    for _ in range(3):
        run("undo", now=EVENING)
    assert wants(run)[0] == ("w01", 3, 2), "the second piece that was won is bought no more"


def wants(run: Run) -> list[tuple[str, int, int]]:
    return [(row["id"], row["quantity"], row.get("filled", 0)) for row in run("want", "list", "--json").rows]
