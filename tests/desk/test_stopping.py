"""Long work that is stopped leaves what was kept, and what it left undone stays due."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date
from pathlib import Path

import pytest

from tests.screens import pieces
from tests.screens.pieces import NOW, eur
from watchlist.core.coins.issue import Issue
from watchlist.core.lots.source import Source
from watchlist.core.prices.realised import PriceRealised
from watchlist.desk.desk import Desk
from watchlist.desk.due import MARKET, MARKS, TITLES
from watchlist.desk.errors import Stopped
from watchlist.desk.gather import gathering, intake
from watchlist.desk.judging import judging
from watchlist.desk.prices import fitting
from watchlist.desk.settling import outstanding, settle
from watchlist.desk.titles import rereading
from watchlist.shelf.shelf import Shelf

FEED = "id,title,price,currency,ends_at\n" + "".join(
    f"{number},Orvany 5 tor 1893-V VF-30 no. {number},{200 + number},EUR,2026-11-20T20:00:00Z\n" for number in range(3)
)


@pytest.fixture
def desk(tmp_path: Path) -> Iterator[Desk]:
    """A desk on 36 lots, with a source of three ended lots."""
    path = pieces.shelf(tmp_path / "shelf")
    (tmp_path / "east.csv").write_text(FEED, "utf-8")
    with Shelf.open(path, write=True, today=NOW.date) as shelf:
        shelf.notebook.sources.put(Source("east", str(tmp_path / "east.csv"), kind="csv", price_kind="ended"))
        shelf.store.catalogue.merge([Issue("t1", "Orvany", "5 tor", 1893, "V")])
        shelf.store.prices.add(
            PriceRealised(0, "t1", date(2026, month, 5), eur(400), "hammer", 30, 30, origin=f"p:{month}")
            for month in range(1, 9)
        )
        yield Desk(shelf, NOW)


def stop(words: str, share: float) -> bool:
    return False


def test_judging_that_is_stopped_stays_due(desk: Desk) -> None:
    settle(desk, outstanding(desk))
    assert not judging.is_due(desk)
    desk.owed.add(MARKS)
    desk.go_on = stop
    with pytest.raises(Stopped, match="some lots keep their old mark until the next gather"):
        settle(desk, MARKS)
    assert judging.is_due(desk)


def test_reading_that_is_stopped_stays_due(desk: Desk) -> None:
    desk.owed.add(TITLES)
    settle(desk, TITLES)
    assert not rereading.is_due(desk)
    desk.owed.add(TITLES)
    desk.go_on = stop
    with pytest.raises(Stopped, match="some lots keep their earlier reading until the next gather"):
        settle(desk, TITLES)
    assert rereading.is_due(desk)


def test_a_fit_that_is_stopped_keeps_the_old_state_and_stays_due(desk: Desk) -> None:
    fitting.refit(desk)
    before = desk.shelf.store.market.header()
    desk.owed.add(MARKET)
    desk.go_on = stop
    with pytest.raises(Stopped, match="they are recalculated next gather"):
        settle(desk, MARKET)
    assert desk.shelf.store.market.header() == before
    assert fitting.is_due(desk)


def test_a_sale_that_comes_while_the_market_is_fitted_makes_another_fit_due(desk: Desk) -> None:
    def go_on(words: str, share: float) -> bool:
        desk.owed.add(MARKET)
        return True

    desk.go_on = go_on
    fitting.refit(desk, search=False)
    assert fitting.is_due(desk)
    desk.go_on = lambda words, share: True
    fitting.refit(desk, search=False)
    assert not fitting.is_due(desk)


def test_a_gather_that_is_left_early_keeps_results_and_leaves_the_fit_due(desk: Desk) -> None:
    fitting.refit(desk)
    before = desk.shelf.store.market.header()
    reports = gathering.gather(desk)
    assert next(reports).new == 3
    reports.close()  # type: ignore[attr-defined]
    assert desk.shelf.store.prices.count() == 11
    assert fitting.is_due(desk)
    assert desk.shelf.store.market.header() == before
    list(gathering.gather(desk))
    assert not fitting.is_due(desk)


def test_a_source_stopped_between_two_batches_is_read_whole_next_time(
    desk: Desk, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(intake, "STORE_BATCH", 2)
    desk.go_on = lambda words, share: not (words == "reading east" and share > 0)
    (report,) = gathering.gather(desk)
    assert (report.new, report.note) == (2, intake.STOPPED)
    desk.go_on = lambda words, share: True
    (report,) = gathering.gather(desk)
    assert (report.new, report.read, report.note) == (1, 3, "")
