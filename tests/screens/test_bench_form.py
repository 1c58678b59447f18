"""The bench form answers as one types, saves with Enter, and what it saved can be taken back."""

from __future__ import annotations

from pathlib import Path

from tests.screens import pieces
from tests.screens.conftest import Open
from tests.screens.pieces import NOW, heard, seen, settled
from watchlist.core.coins.issue import Issue
from watchlist.desk.held.bench import kept
from watchlist.shelf.shelf import Shelf


async def test_a_figure_is_answered_before_it_is_saved(tmp_path: Path, open_on: Open) -> None:
    path = pieces.shelf(tmp_path / "shelf", 0, pieces.lot(0, hours=10))
    with Shelf.open(path, write=True, today=NOW.date) as opened:
        opened.store.catalogue.merge([Issue("orvany-5t-1893", "Orvany", "5 tor", 1893, weight_g=25.0)])
    app = open_on(path)
    async with app.run_test(size=(90, 30)) as pilot:
        await settled(pilot)
        await pilot.press("H")
        await settled(pilot)
        assert "What to check, in this order" in " ".join(seen(app))
        await pilot.press(*"20")
        await settled(pilot)
        assert "Weight 20.00 g" in " ".join(seen(app))
        assert not kept(app.program.access.desk)
        await pilot.press("enter")
        await heard(app, "Saved: check of")
        assert [each.typed for each in kept(app.program.access.desk)] == [{"weight": "20"}]
        await pilot.press("escape", "u")
        await heard(app, "ndone")
        assert not kept(app.program.access.desk)
