"""From an empty shelf to a first valued lot by the screens alone; sources in trouble; a gather stopped."""

from __future__ import annotations

from pathlib import Path

from tests.screens.conftest import Open
from tests.screens.pieces import seen, settled
from watchlist.screens.app import Screens

CATALOGUE = """issue,country,denomination,year,mint,mintage,metal,weight_g
t1,Orvany,5 tor,1893,V,1000,silver .900,27.2
t2,Orvany,5 tor,1894,,9000,silver .900,27.2
"""
PRICES = "sale_date,country,denomination,year,mint,grade,hammer,currency,source\n" + "".join(
    f"2026-{month:02}-05,Orvany,5 tor,1893,V,VF-30,{390 + month},EUR,Lindmoor Sales\n" for month in range(1, 11)
)
LOTS = """Los-Nr.,Bezeichnung,Ausruf,Währung,Auktionsende
1,Orvany 5 tor 1893-V VF-30,"300,00",EUR,28.11.2026 20:00
2,Orvany 5 tor 1894 XF-40,"120,00",EUR,28.11.2026 20:10
3,Orvany 5 tor 1894 XF-40,viel,EUR,28.11.2026 20:20
"""


def said(app: Screens) -> str:
    return " ".join(" ".join(seen(app)).split())


async def typed(pilot: object, *values: str) -> None:
    """Each value into its field, then keep."""
    for number, value in enumerate(values):
        await pilot.press(*["tab"] * bool(number))  # type: ignore[attr-defined]
        pilot.app.screen.focused.insert_text_at_cursor(value)  # type: ignore[attr-defined]
    await pilot.press("enter")  # type: ignore[attr-defined]
    await settled(pilot)


async def read_in(app: Screens, pilot: object, kind: str, file: Path) -> None:
    """Import a file: first without keeping it, then for good."""
    await pilot.press("i")  # type: ignore[attr-defined]
    await settled(pilot)
    await typed(pilot, kind, str(file))
    assert "would be taken" in said(app)
    await pilot.press("enter")  # type: ignore[attr-defined]
    await settled(pilot)
    assert " taken" in app.program.messages.kept[-1]
    assert "would be" not in app.program.messages.kept[-1]
    await pilot.press("escape")  # type: ignore[attr-defined]
    await settled(pilot)


async def test_from_an_empty_shelf_to_a_valued_lot(tmp_path: Path, open_on: Open) -> None:
    for name, text in (("catalogue", CATALOGUE), ("prices", PRICES), ("lots", LOTS)):
        (tmp_path / f"{name}.csv").write_text(text, "utf-8")
    app = open_on(tmp_path / "shelf")
    async with app.run_test(size=(100, 30)) as pilot:
        await settled(pilot)
        await read_in(app, pilot, "catalogue", tmp_path / "catalogue.csv")
        await pilot.press("5", "v")
        await settled(pilot)
        await typed(pilot, "Lindmoor Sales", "auction", "EUR", "20")
        assert "Lindmoor Sales: saved" in said(app)
        await read_in(app, pilot, "prices", tmp_path / "prices.csv")
        await pilot.press("2", "a")
        await settled(pilot)
        await typed(pilot, "Orvany 5 tor 1893-V", "20-40", "500 EUR")
        assert "w1: Orvany 5 tor 1893-V" in said(app)
        await pilot.press("5", "a")
        await settled(pilot)
        await typed(pilot, "north", str(tmp_path / "lots.csv"), "Lindmoor Sales")
        assert "Tested north, nothing saved" in said(app)
        assert "north: 3 lots, 1 failed." in said(app)
        assert app.program.access.shelf.store.listing.count() == 0
        await pilot.press("escape", "r")
        await settled(pilot)
        await pilot.press("1")
        await settled(pilot)
        row = app.program.access.shelf.store.lots.get("north:1")
        assert row is not None
        assert row.judgement is not None
        assert row.judgement.band is not None
        assert row.judgement.wants == ("w1",)
        assert "3 of 3 lots" in seen(app)[0]


async def test_a_lot_by_hand_is_read_and_judged(app: Screens) -> None:
    async with app.run_test(size=(80, 24)) as pilot:
        await settled(pilot)
        await pilot.press("a")
        await settled(pilot)
        await pilot.press("enter")
        assert "A lot needs a title: its denomination, year, mint and grade. Nothing was saved." in said(app)
        await typed(pilot, "5 tor 1894 VF from the fair", "", "", "120 EUR", "fixed")
        assert "Saved: 5 tor 1894 VF from the fair." in said(app)


async def test_a_source_in_trouble_is_named_and_the_rest_is_kept(tmp_path: Path, open_on: Open) -> None:
    (tmp_path / "lots.csv").write_text(LOTS, "utf-8")
    app = open_on(tmp_path / "shelf")
    async with app.run_test(size=(80, 24)) as pilot:
        await settled(pilot)
        for name, file in (("north", tmp_path / "lots.csv"), ("gone", tmp_path / "none.csv")):
            await pilot.press("5", "a")
            await settled(pilot)
            await typed(pilot, name, str(file))
            await pilot.press("escape")
            await settled(pilot)
        await pilot.press("r")
        await settled(pilot)
        assert "Gathered: 3 new lots" in app.program.messages.kept[-1]
        assert "gone:" in app.program.messages.kept[-1]
        await pilot.press("escape", "5", "x")
        await settled(pilot)
        assert "Remove north? Its 3 lots and your decisions stay. y/n" in said(app)
        await pilot.press("enter")
        assert "Left as it was." in said(app)
        await pilot.press("x", "y")
        await settled(pilot)
        assert app.program.access.shelf.store.listing.count() == 3, "as on the command line, its lots stay"
        assert list(app.program.access.desk.sources) == ["gone"]
        await pilot.press("a")
        await settled(pilot)
        await typed(pilot, "gone", str(tmp_path / "lots.csv"))
        assert "There is a source gone already; edit it, or give another name." in said(app)


async def test_a_wrong_word_in_a_form_is_said_and_nothing_is_lost(app: Screens) -> None:
    async with app.run_test(size=(80, 24)) as pilot:
        await settled(pilot)
        await pilot.press("2", "a")
        await settled(pilot)
        await typed(pilot, "Orvany 5 tor 1893-V", "zz", "300 EUR")
        assert "`zz` is not a valid grade" in said(app)
        assert "Orvany 5 tor 1893-V" in said(app)


async def test_a_dropped_want_is_put_back_by_undo(app: Screens) -> None:
    async with app.run_test(size=(80, 24)) as pilot:
        await settled(pilot)
        await pilot.press("2", "a")
        await settled(pilot)
        await typed(pilot, "Orvany 5 tor 1893-V", "30", "300 EUR")
        await settled(pilot)
        await pilot.press("x")
        await settled(pilot)
        assert "No wants yet" in said(app)
        await pilot.press("u")
        await settled(pilot)
        assert "1 of 1 wants" in seen(app)[0]
