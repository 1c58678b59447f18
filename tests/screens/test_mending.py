"""One's own data mended from the screens: names joined in the form of an import, sales and lots amended by a key."""

from __future__ import annotations

from pathlib import Path
from typing import Any

from tests.screens import pieces
from tests.screens.conftest import Open
from tests.screens.pieces import NOW, heard, press, settled
from watchlist.core.coins.issue import Issue
from watchlist.desk.desk import Desk
from watchlist.desk.own_files.importing import import_file
from watchlist.screens.app import Screens
from watchlist.shelf.shelf import Shelf

HEAD = "sale_date,country,denomination,year,mint,grade,hammer,currency\n"
ISSUES = [Issue(f"b{year}", "Brundal", "5 tharn", year, "K") for year in (1871, 1872, 1873)]


def shelf(folder: Path) -> Path:
    """Two lots, a catalogue of Brundal, and a price of it."""
    path = pieces.shelf(folder / "shelf", 0, pieces.lot(0, hours=10), pieces.lot(1, hours=12))
    with Shelf.open(path, write=True, today=NOW.date) as opened:
        opened.store.catalogue.merge(ISSUES)
        import_file(
            Desk(opened, NOW), "prices", f"{HEAD}2025-01-02,Brundal,5 tharn,1871,K,VF,80,EUR\n".encode(), "a.csv"
        )
    return path


async def typed(pilot: Any, **values: str) -> None:
    """Type over fields of the form, and send it."""
    for name, value in values.items():
        box = pilot.app.screen.query_one(f"#field-{name}")
        box.focus()
        box.value = value
    await press(pilot, "enter")


def sales(app: Screens, issue: str) -> int:
    return len(app.program.access.desk.shelf.store.prices.of(issue))


async def test_an_import_asks_once_about_a_name_and_joins_it(tmp_path: Path, open_on: Open) -> None:
    file = tmp_path / "more.csv"
    file.write_text(f"{HEAD}2025-02-02,Brandal,5 tharn,1872,K,VF,90,EUR\n", "utf-8")
    app = open_on(shelf(tmp_path))
    async with app.run_test(size=(100, 30)) as pilot:
        await settled(pilot)
        await press(pilot, "i")
        await typed(pilot, kind="prices", file=str(file))
        await heard(app, "0 would be taken, 1 rejected")
        assert pilot.app.screen.query_one("#field-join").value == "Brandal=Brundal"  # type: ignore[attr-defined]
        await press(pilot, "enter")
        await heard(app, "1 taken")
        await settled(pilot)
        assert sales(app, "b1872") == 1


async def test_a_sale_is_moved_and_a_lot_deleted_by_a_key_and_undone(tmp_path: Path, open_on: Open) -> None:
    app = open_on(shelf(tmp_path))
    async with app.run_test(size=(100, 30)) as pilot:
        await settled(pilot)
        await press(pilot, "4", "enter", "m")
        await press(pilot, "ctrl+u", *"b1873", "enter")
        await heard(app, "moved to Brundal 5 tharn 1873-K")
        await settled(pilot)
        assert (sales(app, "b1871"), sales(app, "b1873")) == (0, 1)
        await press(pilot, "u")
        await settled(pilot)
        assert sales(app, "b1871") == 1
        await press(pilot, "1")
        store = app.program.access.desk.shelf.store
        before = store.listing.count()
        await press(pilot, "D")
        await heard(app, "deleted")
        await settled(pilot)
        assert store.listing.count() == before - 1
        await press(pilot, "u")
        await settled(pilot)
        assert store.listing.count() == before
