"""The morning, the look over the shelf, and how sources stand: what a collector reads first."""

from __future__ import annotations

from dataclasses import replace
from datetime import timedelta
from decimal import Decimal
from pathlib import Path
from typing import Any

import pytest

from tests.desk.pieces import COIN, NORTH, NOW, come, lot, row, sale, sales
from watchlist.core.fees.terms import Terms
from watchlist.core.lots.source import Source
from watchlist.desk import settling
from watchlist.desk.checking import check
from watchlist.desk.decisions.deciding import decide
from watchlist.desk.desk import Desk
from watchlist.desk.due import MARKET
from watchlist.desk.gather import source_health
from watchlist.desk.gather_times import gather_begins
from watchlist.desk.lists.ticket import facts, with_market
from watchlist.desk.morning import morning_text
from watchlist.desk.morning.morning import Morning, morning, source_troubles, stale
from watchlist.desk.prices import fitting
from watchlist.shelf.shelf import Shelf


@pytest.fixture
def fitted(desk: Desk) -> Desk:
    """A market, and a gather that begins."""
    desk.shelf.store.prices.add(sales())
    fitting.refit(desk)
    gather_begins(desk.shelf.store, NOW - timedelta(days=1))
    gather_begins(desk.shelf.store, NOW)
    return desk


def in_print(desk: Desk) -> str:
    """The morning as one line of text."""
    return " ".join(" ".join(morning_text.lines(desk, 100)).split())


def keys(rows: Any) -> list[str]:
    return [row.lot.key for row in rows]


def test_the_first_morning_of_a_month_says_how_marks_came_out(fitted: Desk) -> None:
    come(fitted, row("1", price="160", hours=5))
    fitted.now += timedelta(hours=8)
    come(fitted, row("1", price="", hammer="200", hours=-3))
    assert "Marks checked" not in in_print(fitted)
    gather_begins(fitted.shelf.store, NOW)
    fitted.now = NOW.replace(month=NOW.month % 12 + 1, day=1)
    gather_begins(fitted.shelf.store, fitted.now)
    assert "Marks checked: " in in_print(fitted)
    assert "1 marked Bargain were sold" in in_print(fitted)


def test_a_morning_tells_what_is_new_wanted_cheap_and_closing(fitted: Desk) -> None:
    cert: dict[str, Any] = {"cert_number": "Q418-2907", "service": "QCG"}
    come(
        fitted,
        row("1", price="150", hours=8),
        row("2", "Orvany 1 tor 1889 VF", hours=8),
        row("3", **cert),
        row("4", "Orvany 1 tor 1889 XF-40", **cert),
        row("5", hours=6),
        row("6", price="900"),
    )
    decide(fitted, ["north:5"], "skip")
    decide(fitted, ["north:2"], "follow")
    decide(fitted, ["north:3"], "bid", "200", anyway=True)
    found = morning(fitted)
    assert (found.new, found.open, found.since) == (3, 6, NOW - timedelta(days=1))
    groups = {group.name: keys(group.lots) for group in found.wanted if group.lots}
    assert groups == {"Wanted: bargains": ["north:1"], "Wanted: doubt, or said to be a copy": ["north:3"]}
    assert (found.above, found.bargains.total) == (1, 0)
    assert keys(found.today.closing) == ["north:2"], "followed or bid on"
    assert found.closing_all == 3
    assert [each.lot for each in found.today.to_place] == ["north:3"]
    assert (found.today.ended, found.wants, found.sources, found.prices) == ((), 1, 1, 10)
    assert found.new_wanted == 2


def test_a_bid_to_place_is_loud_a_day_before_it_is_due(fitted: Desk) -> None:
    come(fitted, row("1", hours=49), row("2", hours=47))
    for key in ("north:1", "north:2"):
        decide(fitted, [key], "bid", "200")
    today = morning(fitted).today
    assert ([each.lot for each in today.to_place], today.to_place_later) == (["north:2"], 1)
    text = in_print(fitted)
    assert "bid 200 EUR hammer, closes Fri 27 Nov 09:00, bids by Thu 26 Nov 09:00" in text
    assert "1 more bid to place later" in text


def test_bids_whose_sale_is_over_are_asked_for(fitted: Desk) -> None:
    come(fitted, row("1", hours=1))
    decide(fitted, ["north:1"], "placed", "200")
    fitted.now += timedelta(hours=2)
    today = morning(fitted).today
    assert [each.lot for each in today.ended] == ["north:1"]
    assert today.to_place == ()


def test_only_what_is_not_skipped_and_can_be_had_stands_among_the_wanted_twelve_a_heading(fitted: Desk) -> None:
    come(fitted, *(row(str(n), price="150", hours=48 - n) for n in range(15)))
    decide(fitted, ["north:14"], "skip")
    (group,) = [each for each in morning(fitted).wanted if each.total]
    assert (group.total, len(group.lots)) == (14, 12)
    assert keys(group.lots)[:2] == ["north:13", "north:12"], "soonest first"
    assert "and 2 more: watchlist lots wanted mark:i" in " ".join(morning_text.lines(fitted, 100))


def test_the_first_morning_has_nothing_before_it(shelf: Shelf) -> None:
    found = morning(Desk(shelf, NOW))
    assert isinstance(found, Morning)
    assert (found.since, found.new, found.open, found.bargains.lots) == (None, 0, 0, ())
    assert found.stale == ("no prices realised yet: import prices, or give wants a low and a high",)


LONG_AGO = (NOW - timedelta(days=3)).isoformat()


@pytest.mark.parametrize(
    ("source", "state", "said"),
    [
        (NORTH, {}, ""),
        (NORTH, {"last_ok": NOW.isoformat()}, ""),
        (NORTH, {"last_ok": LONG_AGO}, "not fetched since 2026-11-22 10:00"),
        (NORTH, {"quiet": True, "last_ok": LONG_AGO}, "gave no lots now, some before: check the link"),
        (NORTH, {"trouble": "It is down."}, "It is down."),
        (NORTH, {"trouble": "Down", "last_ok": LONG_AGO}, "Down; its lots are as of 2026-11-22 10:00"),
        (replace(NORTH, disabled="gone"), {"trouble": "x"}, "is no longer fetched: gone"),
    ],
)
def test_how_a_source_stands(desk: Desk, source: Source, state: dict[str, Any], said: str) -> None:
    assert source_health.trouble(source, state, NOW.astimezone(desk.settings.home.zone)) == said
    desk.shelf.notebook.sources.put(source)
    desk.shelf.store.feeds.put_state("north", state)
    assert [each.what for each in source_troubles(desk)] == ([said] if said else [])
    ill = bool(said) and not source.disabled
    asked = int(not source.disabled)
    assert source_health.standing(desk.shelf.path, desk.shelf.store, NOW) == (asked - ill, int(ill), asked)


def test_what_is_too_old_or_missing_is_told(desk: Desk) -> None:
    desk.shelf.store.prices.add([sale(1)])
    assert list(stale(desk)) == []
    desk.shelf.notebook.venues.put(Terms("Abroad", "GBP"))
    desk.shelf.notebook.sources.put(Source("east", "/x.csv"), Source("west", "/y.csv", venue="Unknown"))
    desk.forget()
    assert list(stale(desk)) == [
        "no exchange rate near today for GBP: import rates",
        "no terms for Unknown, east: fees are not included there; `watchlist venue add` adds them",
    ]
    desk.shelf.store.catalogue.put_rates({("GBP", "2026-09"): Decimal("0.85")})
    desk.forget()
    assert next(iter(stale(desk))).startswith("the newest exchange rate is ")
    desk.shelf.store.catalogue.put_rates({("GBP", "2026-11"): Decimal("0.85")})
    desk.forget()
    assert len(list(stale(desk))) == 1


def looked(desk: Desk) -> dict[str, tuple[bool, str]]:
    return {found.what: (found.ok, found.text) for found in check(Desk(desk.shelf, desk.now))}


def test_an_empty_shelf_says_what_to_do_first(shelf: Shelf) -> None:
    found = looked(Desk(shelf, NOW))
    assert found["shelf"] == (True, str(shelf.path))
    assert found["catalogue"] == (False, "no issues: import a catalogue")
    assert found["prices"] == (False, "none yet: import prices, or give wants a low and a high")
    assert found["market"] == (False, "bands not calculated: `watchlist price --refit`, once there are prices")
    assert found["rates"] == (True, "none needed")
    assert found["wants"] == (False, "none yet: `watchlist want add`")
    assert found["lots"] == (False, "none yet: `watchlist gather`")


def test_a_shelf_that_is_well_says_so(fitted: Desk) -> None:
    come(fitted, row("1"))
    settling.settle(fitted, settling.outstanding(fitted))
    found = looked(fitted)
    assert found["market"] == (True, "calculated 2026-11-25, bands are before postage in EUR")
    assert found["prices"] == (True, "10 prices realised, newest 5 days ago")
    assert found["lots"] == (True, "1 lot")
    assert found["wants"] == (True, "1 want")
    assert found["venue Lindmoor Sales"] == (True, "auction, EUR, no zone")
    ok, text = found["source north"]
    assert ok
    assert text.startswith("web, Lindmoor Sales, 1 lots listed; columns ")


def test_what_wants_a_hand_is_said(fitted: Desk) -> None:
    come(fitted, row("1"))
    shelf = fitted.shelf
    shelf.store.prices.add([sale(100, venue="Unknown")])
    fitted.owed.add(MARKET)
    shelf.notebook.venues.put(Terms("Abroad", "GBP", checked=NOW.date()))
    shelf.notebook.sources.put(Source("east", "/x.csv"))
    shelf.store.feeds.put_state("north", {"trouble": "It is down."})
    shelf.store.catalogue.merge([replace(COIN, key="implied", year=1700, implied=True)])
    shelf.settings = replace(shelf.settings, notices=("settings.toml: odd",))
    found = looked(fitted)
    assert not found["settings"][0]
    assert found["catalogue"][1].endswith("2 issues, and 1 known only from wants or prices")
    assert found["prices"][1].endswith("; no terms for Unknown: fees are not included in those prices")
    assert found["market"][1].startswith("older than the prices")
    assert found["rates"] == (False, "none; needed for GBP")
    assert found["lots"][1].endswith("marked by other settings or an older market: the next gather marks them again")
    assert found["venue Abroad"][1].endswith(", checked today")
    assert found["source north"] == (False, "It is down.")
    assert found["source east"] == (False, "file, no venue, 0 lots listed; its venue has no terms")
    assert not found["age"][0]
    shelf.store.catalogue.put_rates({("GBP", "2026-11"): Decimal("0.85")})
    assert looked(fitted)["rates"][1].startswith("1 monthly rate, the newest ")


def test_a_ticket_has_the_market_of_its_coin(fitted: Desk) -> None:
    come(fitted, row("1"), row("2", "Old silver lot"))
    here = lot(fitted, "north:1")
    found = with_market(fitted, here, facts(fitted, here))
    assert found.issue == "Orvany 5 tor 1893-V"
    assert found.steps
    assert found.sales
    assert found.history
    strange = lot(fitted, "north:2")
    bare = facts(fitted, strange)
    assert (bare.issue, with_market(fitted, strange, bare)) == ("", bare)
    unjudged = replace(here, judgement=None)
    assert facts(fitted, unjudged).issue == ""
    assert here.judgement is not None
    any_grade = replace(here, judgement=replace(here.judgement, grade_low=None, grade_high=None))
    assert with_market(fitted, any_grade, facts(fitted, any_grade)).steps
    assert with_market(fitted, unjudged, bare) == bare


def test_the_places_of_sources_are_read_on_a_connection_of_their_own(desk: Desk, tmp_path: Path) -> None:
    desk.shelf.notebook.sources.put(replace(NORTH, name="south"))
    assert source_health.standing(desk.shelf.path, desk.shelf.store, NOW) == (2, 0, 2)


@pytest.mark.parametrize(("days", "side"), [(-2, "before"), (0, ""), (300, ""), (730, "after")])
def test_a_clock_far_from_the_last_one_seen_is_said(desk: Desk, days: int, side: str) -> None:
    gather_begins(desk.shelf.store, NOW)
    desk.now = NOW + timedelta(days=days)
    for _ in range(2):  # before the gather of that morning, and after it
        said = [each for each in stale(desk) if each.startswith("the clock says")]
        assert [f"far {side} the last gather on 2026-11-25" in each for each in said] == [True] * bool(side)
        gather_begins(desk.shelf.store, desk.now)


@pytest.mark.parametrize(("hours", "old"), [(0, False), (35, False), (36, True), (9000, False)])
def test_a_gather_that_was_left_out_is_said(desk: Desk, hours: int, old: bool) -> None:
    """The usual one is daily; of a clock that is years off something else is said."""
    gather_begins(desk.shelf.store, NOW)
    desk.now = NOW + timedelta(hours=hours)
    said = [each for each in stale(desk) if each.startswith("the last gather was Wed 25 Nov 10:00; since then")]
    assert bool(said) is old


def test_parcels_of_several_lots_stand_in_the_morning(fitted: Desk) -> None:
    fitted.shelf.notebook.venues.put(
        replace(fitted.terms["Lindmoor Sales"], ships_together="sale", shipping=Decimal(9))
    )
    fitted.forget()
    come(fitted, row("1"), row("2"), row("3", hours=99))
    for key in ("1", "2", "3"):
        decide(fitted, [f"north:{key}"], "bid", "100", anyway=True)
    told = "\n".join(morning_text.lines(fitted, 100)).partition("Parcels\n")[2].splitlines()
    assert told[0].endswith(
        "Lindmoor Sales, 2026-11-27: 249 EUR all in if all win, 9 EUR less than each alone (planned)"
    )
    assert told[1] == "", "one that travels alone is a bid, and no parcel to speak of"
