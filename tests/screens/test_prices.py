"""Prices: coins, their plots, and the sales that a person sets aside, weighs and notes."""

from __future__ import annotations

import random
import shutil
from collections.abc import Callable
from datetime import timedelta
from decimal import Decimal
from pathlib import Path

import pytest

from tests.screens import pieces
from tests.screens.conftest import Open
from tests.screens.pieces import NOW, eur, seen, settled
from watchlist.core.coins.issue import Issue
from watchlist.core.decisions.review import fold
from watchlist.core.prices.realised import GuideRow, PriceRealised
from watchlist.desk.desk import Desk
from watchlist.desk.due import MARKET
from watchlist.desk.errors import Stopped
from watchlist.desk.prices import fitting, pricing, weighing
from watchlist.screens.app import Screens
from watchlist.screens.sales import Sales
from watchlist.shelf.shelf import Shelf

COIN = "orvany-5t-1893"
MANY = 60
"""Sales of that coin: more than any list once showed, and more than its row keeps one by one."""


def sold(
    coin: str, count: int, chance: random.Random, *, grades: tuple[int, ...] = (20, 30, 45, 45, 63)
) -> list[PriceRealised]:
    found = []
    for number in range(count):
        grade = chance.choice(grades)
        amount = Decimal(f"{40 * 1.045**grade * chance.lognormvariate(0, 0.15):.2f}")
        found.append(
            PriceRealised(
                0,
                coin,
                NOW.date() - timedelta(days=20 * number + 5),
                eur(str(amount)),
                "all-in",
                grade,
                grade,
                certified=number % 3 == 0,
                service="QCG" if number % 3 == 0 else "",
                venue="Lindmoor Sales",
            )
        )
    return found


def filled(path: Path) -> None:
    """Three coins, one with many sales, one with two, one with none; fitted."""
    chance = random.Random(3)
    with Shelf.open(path, write=True, today=NOW.date) as opened:
        opened.store.catalogue.merge(
            [Issue(f"orvany-5t-{year}", "Orvany", "5 tor", year, mintage=78_000 + year) for year in (1893, 1894, 1895)]
        )
        opened.store.prices.add([*sold(COIN, MANY, chance), *sold("orvany-5t-1894", 2, chance)])
        opened.store.catalogue.put_guides([GuideRow("orvany-5t-1894", 20, 30, 90.0, 150.0, NOW.date())])
        fitting.refit(Desk(opened, NOW))


@pytest.fixture(scope="module")
def priced(tmp_path_factory: pytest.TempPathFactory) -> Path:
    path = pieces.shelf(tmp_path_factory.mktemp("prices") / "shelf", 6)
    filled(path)
    return path


@pytest.fixture
def own(priced: Path, tmp_path: Path) -> Path:
    return Path(shutil.copytree(priced, tmp_path / "own"))


@pytest.fixture
def app(own: Path, open_on: Open) -> Screens:
    return open_on(own)


def text(app: Screens) -> str:
    return " ".join(" ".join(seen(app)).split())


def band_of(path: Path) -> Decimal:
    with Shelf.open(path, write=False) as opened:
        band = pricing.price(Desk(opened, NOW), COIN, (45, 45), raw=True).band
        assert band is not None
        return band.mid


def weight_of(path: Path, number: int) -> float:
    with Shelf.open(path, write=False) as opened:
        kept = opened.store.prices.get(number)
        assert kept is not None
        return kept.weight


def shown(app: Screens) -> Sales:
    assert isinstance(app.screen, Sales)
    return app.screen


async def test_the_coin_opens_in_the_grade_and_class_most_sold(app: Screens) -> None:
    async with app.run_test(size=(160, 50)) as pilot:
        await settled(pilot)
        await pilot.press("4")
        await settled(pilot)
        whole = text(app)
        assert "XF-45 raw: worth" in whole
        assert "79,893 struck: 60 prices realised" in whole
        assert "over five years" in whole
        assert "from similar issues" in whole
        assert "price guide" in whole


async def test_grade_and_class_can_be_changed(app: Screens) -> None:
    async with app.run_test(size=(160, 50)) as pilot:
        await settled(pilot)
        await pilot.press("4", "+")
        await settled(pilot)
        assert "AU-50 raw: worth" in text(app)
        await pilot.press("-", "-", "c")
        await settled(pilot)
        assert "XF-40 certified: worth" in text(app)
        for _ in range(40):
            await pilot.press("-")
        assert "PO-1 certified" in text(app)


@pytest.mark.parametrize("key", ["tab", "enter"])
async def test_every_sale_is_reached_by_scrolling(app: Screens, key: str) -> None:
    async with app.run_test(size=(80, 24)) as pilot:
        await settled(pilot)
        await pilot.press("4", key)
        await settled(pilot)
        assert len(shown(app).table.shown) == MANY
        assert "as XF-45" in text(app)
        assert "weight" in text(app)
        assert "fit" in text(app)
        assert " older " in text(app) or await _at_end(app, pilot)
        await pilot.press("end")
        await settled(pilot)
        oldest = NOW.date() - timedelta(days=20 * (MANY - 1) + 5)
        assert oldest.isoformat() in text(app)
        assert "one of the older sales that are weighed together" in text(app)
        await pilot.press("enter")
        await settled(pilot)
        assert "Median prices in EUR by grade" in text(app)
        await pilot.press("escape", "escape")
        await settled(pilot)
        assert app.screen.ID == "prices"  # type: ignore[attr-defined]


async def _at_end(app: Screens, pilot: object) -> bool:
    await pilot.press("end")  # type: ignore[attr-defined]
    await settled(pilot)
    return " older " in text(app)


async def test_setting_a_sale_aside_shows_at_once_and_is_undone(app: Screens, own: Path) -> None:
    before = band_of(own)
    async with app.run_test(size=(160, 50)) as pilot:
        await settled(pilot)
        await pilot.press("4", "tab", "x")
        screen = shown(app)
        assert screen.rows.looked is not None
        number, band = screen.table.shown[0].sale.id, screen.rows.looked.answer.band
        assert band is not None
        assert band.mid != before, "the band follows before the fit has run"
        assert "excluded by you" in text(app)
        await settled(pilot)
        assert weight_of(own, number) == 0
        assert band_of(own) != before
        assert not _dirty(own), "the fit followed in the background"
        await pilot.press("u")
        await settled(pilot)
        assert weight_of(own, number) == 1
        assert band_of(own) == before
        assert "excluded by you" not in text(app)
        await pilot.press("ctrl+r")
        await settled(pilot)
        assert weight_of(own, number) == 0
        await pilot.press("x")
        await settled(pilot)
        assert weight_of(own, number) == 1


async def test_a_weight_with_a_note_is_kept_and_shown(app: Screens, own: Path) -> None:
    async with app.run_test(size=(100, 30)) as pilot:
        await settled(pilot)
        await pilot.press("4", "tab", "j", "w")
        await pilot.press(*["backspace"] * 10, *"0,5", "space", *"looks", "space", *"cleaned", "enter")
        await settled(pilot)
        assert "weight 50%" in text(app)
        await pilot.press("enter")
        await settled(pilot)
        assert "Your weight: 50%. Note: looks cleaned" in text(app)
        await pilot.press("escape", "w", *["backspace"] * 30, *"half", "enter")
        await settled(pilot)
        assert "`half` is not a valid weight" in text(app)
        await pilot.press("w", *["backspace"] * 30, *"7", "enter")
        await settled(pilot)
        assert "A weight lies between 0 and 1, not 7" in text(app)
    with Shelf.open(own, write=False) as opened:
        assert len(fold(opened.store.decisions.all()).done) == 1


async def test_escape_stops_the_fit_and_the_change_stays(
    app: Screens, own: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def never(_words: str, _share: float) -> bool:
        return False

    async with app.run_test(size=(160, 50)) as pilot:
        await settled(pilot)
        monkeypatch.setattr(app.program.work, "going", never)
        await pilot.press("4", "tab", "x")
        await settled(pilot)
        assert "Stopped: bands stay as they were; they are recalculated next gather." in text(app)
        assert "excluded by you" in text(app)
        assert _dirty(own)


def _dirty(path: Path) -> bool:
    with Shelf.open(path, write=False) as opened:
        return fitting.is_due(Desk(opened, NOW))


@pytest.mark.parametrize("steps", [0, 1, 2, 5, 12, 25])
def test_a_stopped_fit_leaves_the_old_state_and_stays_due(own: Path, steps: int) -> None:
    with Shelf.open(own, write=True, today=NOW.date) as opened:
        desk = Desk(opened, NOW)
        desk.owed.add(MARKET)
        before = opened.store.market.header()
        asked = iter(range(10**6))
        desk.go_on = lambda _words, _share: next(asked) < steps
        with pytest.raises(Stopped):
            fitting.refit(desk)
        assert opened.store.market.header() == before
        assert fitting.is_due(desk)


def test_a_weight_given_while_the_fit_runs_is_not_lost(own: Path) -> None:
    with Shelf.open(own, write=True, today=NOW.date) as opened:
        desk = Desk(opened, NOW)
        desk.owed.add(MARKET)
        steps = iter(range(10**6))

        def meanwhile(_words: str, _share: float) -> bool:
            if next(steps) == 8:
                weighing.weigh(desk, 1, Decimal(0), "")
            return True

        desk.go_on = meanwhile
        fitting.refit(desk, search=False)
        assert fitting.is_due(desk)
        fitting.refit(desk, search=False)
        assert not fitting.is_due(desk)


def test_an_older_sale_waits_for_the_fit_to_count_less(own: Path) -> None:
    with Shelf.open(own, write=True, today=NOW.date) as opened:
        desk = Desk(opened, NOW)
        row = opened.store.market.row(COIN)
        weighing.weigh(desk, MANY, Decimal("0.5"), "")  # the row knows it only with all older ones
        assert opened.store.market.row(COIN) == row
        weighing.weigh(desk, MANY, Decimal(0), "")
        weighing.weigh(desk, MANY, Decimal(1), "")
        assert fitting.is_due(desk)


Make = Callable[[Shelf], None]


def _only(*prices: PriceRealised) -> Make:
    def make(opened: Shelf) -> None:
        opened.store.catalogue.merge([Issue(COIN, "Orvany", "5 tor", 1893, mintage=78_000)])
        opened.store.prices.add(prices)
        fitting.refit(Desk(opened, NOW))

    return make


def one(amount: str, *, grade: int | None = 45, days: int = 30, title: str = "") -> PriceRealised:
    return PriceRealised(0, COIN, NOW.date() - timedelta(days=days), eur(amount), "all-in", grade, grade, title=title)


ODD: dict[str, tuple[tuple[PriceRealised, ...], str]] = {
    "no sales": ((), "No prices realised"),
    "one sale": ((one("310"),), "1 sale"),
    "one grade": (tuple(one(str(300 + n), days=n + 1) for n in range(25)), "25 sales"),
    "all prices equal": (tuple(one("300", days=n + 1, grade=20 + n % 3 * 10) for n in range(25)), "25 sales"),
    "nought and less": ((one("0"), one("-5", days=31)), "the price is not above zero"),
    "a day to come": ((one("300", days=-400),), "is still to come"),
    "no grade": ((one("300", grade=None),), "no grade"),
    "two million among twenties": (
        (*(one(str(20 + n % 3), days=n + 1) for n in range(20)), one("2000000", days=3, title="slip")),
        "times the median of its band",
    ),
}


@pytest.mark.parametrize("name", ODD)
async def test_odd_prices_are_told_in_a_sentence(name: str, tmp_path: Path, open_on: Open) -> None:
    prices, expected = ODD[name]
    with Shelf.open(tmp_path / "odd", write=True, today=NOW.date) as opened:
        _only(*prices)(opened)
    app = open_on(tmp_path / "odd")
    async with app.run_test(size=(160, 50)) as pilot:
        await settled(pilot)
        await pilot.press("4")
        await settled(pilot)
        first = text(app)
        await pilot.press("tab")
        await settled(pilot)
        whole = f"{first} {text(app)}"
        for _ in range(2):
            await pilot.press("j")
            whole += text(app)
        assert expected in whole
        for bad in ("nan", " inf", "Traceback", "internal error"):
            assert bad not in whole
        assert app.is_running


async def test_a_coin_without_sales_still_shows_its_band_and_plots(app: Screens) -> None:
    async with app.run_test(size=(80, 24)) as pilot:
        await settled(pilot)
        await pilot.press("4", "end", "tab")
        await settled(pilot)
        assert shown(app).table.item is None
        await pilot.press("x")
        assert "There is no sale here." in text(app)
        await pilot.press("enter")
        await settled(pilot)
        assert "Median prices in EUR by grade" in text(app)


@pytest.mark.parametrize("size", [(80, 24), (60, 16)])
async def test_no_grade_of_a_sale_is_cut_and_the_head_says_what_it_is_worth(
    app: Screens, size: tuple[int, int]
) -> None:
    async with app.run_test(size=size) as pilot:
        await settled(pilot)
        await pilot.press("4", "enter")
        await settled(pilot)
        looked = shown(app).rows.looked
        assert looked is not None
        value = looked.answer.value
        assert value is not None
        assert f"XF-45 raw: worth {value.low:.0f} to" in seen(app)[0]
        assert seen(app)[1].split()[:3] == ["day", "grade", "price"]
        rows = [line for line in seen(app) if line[:4].isdigit()]
        assert len(rows) > 5
        for line in rows:
            assert len(line.rstrip()) <= size[0]
            assert ".." not in line[:26], line
