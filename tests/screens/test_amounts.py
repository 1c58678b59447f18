"""Bids without a ceiling: the amount is asked, can be changed, and is told to be placed; a venue's form is checked."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal
from pathlib import Path
from typing import Any

import pytest

from tests.screens import pieces
from tests.screens.conftest import Open
from tests.screens.pieces import NOW, eur, heard, seen, settled
from watchlist.core.fees.premiums import Premium
from watchlist.core.fees.terms import Terms
from watchlist.shelf.shelf import Shelf
from watchlist.shelf.store.rows import LotRow

TIERS = Premium("tiers_marginal", minimum=Decimal(8), tiers=((Decimal(5000), Decimal(25)), (None, Decimal(20))))


def unasked(price: int | None = 100) -> LotRow:
    """A lot on that no want with a ceiling asks for."""
    row = pieces.lot(0, hours=10)
    judged = row.judgement and replace(row.judgement, bid_limit=None, ceiling=None)
    lot = replace(row.lot, price=eur(price) if price else None, price_kind="so far" if price else None)
    return replace(row, lot=lot, judgement=judged)


@pytest.fixture
def path(tmp_path: Path) -> Path:
    path = pieces.shelf(tmp_path / "shelf", 0, unasked())
    with Shelf.open(path, write=True, today=NOW.date) as opened:
        venue = unasked().lot.venue
        opened.notebook.venues.put(Terms(venue, "EUR", premium=TIERS, time_zone="Europe/Berlin"))
    return path


def standing(path: Path) -> tuple[str, str]:
    with Shelf.open(path, write=False, today=NOW.date) as opened:
        (stands,) = opened.store.decisions.review().lots.values()
        return stands.stage, str(stands.amount)


async def typed(pilot: Any, text: str) -> None:
    """The line emptied, the text, Enter."""
    await pilot.press("ctrl+u", *text, "enter")
    await settled(pilot)


async def agreed(app: Any, pilot: Any) -> None:
    """The question that the venue's increments give rise to is answered yes."""
    assert "are assumed: limits may move a step. Record it anyway? y/n" in " ".join(" ".join(seen(app)).split())
    await pilot.press("y")
    await settled(pilot)


async def test_a_bid_without_a_ceiling_asks_for_its_amount(path: Path, open_on: Open) -> None:
    app = open_on(path)
    async with app.run_test(size=(80, 24)) as pilot:
        await settled(pilot)
        await pilot.press("b")
        await settled(pilot)
        said = " ".join(seen(app))
        assert "Bid, EUR" in said
        await pilot.press("enter")
        await settled(pilot)
        await agreed(app, pilot)
        stage, amount = standing(path)
        assert stage == "planned"
        assert Decimal(amount.split()[0]) > 100  # one step above the bid so far
        await pilot.press("3")
        await settled(pilot)
        await pilot.press("e")
        await settled(pilot)
        await typed(pilot, "142.50")
        await agreed(app, pilot)
        assert standing(path) == ("planned", "142.50 EUR")
        assert "142.50" in " ".join(seen(app))
        await pilot.press("p")
        await settled(pilot)
        assert standing(path) == ("placed", "142.50 EUR")
        await pilot.press("enter")
        await settled(pilot)
        await pilot.press("e")
        await settled(pilot)
        await typed(pilot, "150")
        await agreed(app, pilot)
        assert standing(path) == ("planned", "150 EUR")


async def test_no_amount_writes_nothing(path: Path, open_on: Open) -> None:
    app = open_on(path)
    async with app.run_test(size=(80, 24)) as pilot:
        await settled(pilot)
        await pilot.press("b")
        await settled(pilot)
        await typed(pilot, "")
        assert "No amount, nothing written." in " ".join(seen(app))
        await pilot.press("b")
        await settled(pilot)
        await typed(pilot, "x")
        with Shelf.open(path, write=False, today=NOW.date) as opened:
            assert not opened.store.decisions.review().lots


async def test_the_form_of_a_venue_shows_its_tiers_and_refuses_what_is_no_rate(path: Path, open_on: Open) -> None:
    from watchlist.screens.forms.venue import VenueForm

    app = open_on(path)
    async with app.run_test(size=(100, 30)) as pilot:
        await settled(pilot)
        venue = unasked().lot.venue
        app.push_screen(VenueForm(app.program.access.desk.terms[venue]))
        await settled(pilot)
        value = {field.name: field.value for field in app.screen.fields}  # type: ignore[attr-defined]
        assert (value["premium_pct"], value["min_premium"]) == ("0:25; 5000:20", "8")
        await pilot.press("enter")
        await heard(app, "saved")
        await settled(pilot)
        assert app.program.access.desk.terms[venue].premium == TIERS
        for field, wrong in (("premium_pct", "x"), ("currency", "x")):  # the others: tests/core/typed/test_venue.py
            app.push_screen(VenueForm(app.program.access.desk.terms[venue]))
            await settled(pilot)
            box: Any = app.screen.query_one(f"#field-{field}")
            box.value = wrong
            box.focus()
            before = len(app.program.messages.kept)
            await pilot.press("enter")
            for _ in range(50):
                await settled(pilot)
                if any("x" in told.lower() and venue in told for told in list(app.program.messages.kept)[before:]):
                    break
            assert any(venue in told for told in list(app.program.messages.kept)[before:]), field
            assert app.program.access.desk.terms[venue].premium == TIERS, field
            await pilot.press("escape")
            await settled(pilot)
