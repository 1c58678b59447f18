"""What changed overnight of lots followed, bid on or wanted, told once for each change; the sift that lists them."""

from __future__ import annotations

from datetime import timedelta
from typing import Any

import pytest

from tests.desk.pieces import NOW, come, row, sales
from watchlist.core.sift.line import SiftError, parse
from watchlist.desk import undoing
from watchlist.desk.decisions import noting
from watchlist.desk.decisions.deciding import decide
from watchlist.desk.desk import Desk
from watchlist.desk.due import Due
from watchlist.desk.errors import DeskError
from watchlist.desk.gather.gathering import begin
from watchlist.desk.in_hand import bidding
from watchlist.desk.in_hand.asked import said_of, unanswered
from watchlist.desk.lists import listing
from watchlist.desk.morning import morning_text
from watchlist.desk.morning.overnight import overnight
from watchlist.desk.prices import fitting
from watchlist.desk.settling import settle


@pytest.fixture
def evening(desk: Desk) -> Desk:
    """Yesterday's gather: lots wanted, followed, bid on, skipped, and one that is nothing to anybody."""
    desk.shelf.store.prices.add(sales())
    fitting.refit(desk)
    begin(desk)
    come(
        desk,
        row("1", price="150"),
        row("2", price="150"),
        row("3", "Orvany 1 tor 1889 VF", price="20"),
        row("4", price="100"),
        row("5", "Orvany 1 tor 1889 XF", price="20"),
        row("6", price="100", hours=20),
        row("7", price="100"),
    )
    decide(desk, ["north:2"], "placed", "160")
    decide(desk, ["north:3"], "follow")
    decide(desk, ["north:7"], "skip")
    return desk


def morning_after(desk: Desk, *rows: str) -> dict[str, tuple[str, ...]]:
    """The next gather; what it tells by the lot."""
    desk.now += timedelta(days=1)
    begin(desk)
    come(desk, *rows)
    told = {each.row.lot.key: each.said for each in overnight(desk, bidding.rows(desk))}
    lines = {line.key for line in listing.lines(desk, parse("changed"))}
    assert lines == set(told), "the sift lists what the morning tells"
    return told


def test_each_change_is_told_with_what_was_before(evening: Desk) -> None:
    told = morning_after(
        evening,
        row("1", price="340"),
        row("2", price="180"),
        row("3", "Orvany 1 tor 1889 VF", price="25", hours=50),
        row("5", "Orvany 1 tor 1889 XF", price="30"),
        row("7", price="130"),
    )
    assert told == {
        "north:2": ("at 180 EUR, your placed bid 160 EUR: outbid",),
        "north:3": ("closes Fri 27 Nov 12:00, before Fri 27 Nov 10:00", "current bid 25 EUR, before 20 EUR"),
        "north:1": ("at 340 EUR, past your bid limit of 330 EUR",),
        "north:4": ("not listed any more; withdrawn only if the venue says so",),
        "north:6": ("ended, no hammer price given yet",),
    }, "a skipped lot and one of no concern are not told"
    assert list(told)[:2] == ["north:2", "north:3"], "bids first, then what is followed"
    text = " ".join(" ".join(morning_text.lines(evening, 100)).split())
    assert "- 2: 5 tor 1893-V, VF-30, bid: at 180 EUR, your placed bid 160 EUR: outbid" in text


def test_the_next_morning_tells_only_what_is_new_and_an_open_question_of_money_again(evening: Desk) -> None:
    rows = (row("1", price="200"), row("2", price="180"), row("4", price="100"))
    assert set(morning_after(evening, *rows)) >= {"north:1", "north:2"}
    evening.now += timedelta(hours=1)
    begin(evening)
    come(evening, *rows)
    told = overnight(evening, bidding.rows(evening))
    assert [(each.row.lot.key, each.said) for each in told] == [
        ("north:2", ("at 180 EUR, your placed bid 160 EUR: outbid",))
    ]


def test_a_source_that_breaks_off_or_says_unchanged_loses_no_lot(evening: Desk) -> None:
    evening.now += timedelta(hours=1)
    begin(evening)
    assert overnight(evening, ()) == (), "nothing was listed, so nothing is gone"


def test_a_new_sign_and_a_band_that_moved_are_told(evening: Desk) -> None:
    evening.shelf.store.prices.add(sales(range(420, 470, 5)))
    evening.now += timedelta(days=1)
    begin(evening)
    cert: dict[str, Any] = {"cert_number": "Q418-2907", "service": "QCG"}
    come(evening, row("1", price="150", **cert), row("2", price="150", **cert), row("4", price="100"))
    evening.owed.add(Due(market=True, marks=True))
    settle(evening, Due(market=True, marks=True))
    said = {each.row.lot.key: " ".join(each.said) for each in overnight(evening, ())}
    assert "new sign" in said["north:1"], said
    assert "Q418-2907" in said["north:1"]
    assert "band median" in said["north:4"]
    assert "% higher)" in said["north:4"]


def test_a_lot_that_comes_again_is_told_with_its_earlier_price(evening: Desk) -> None:
    evening.now = NOW + timedelta(days=3)
    settle(evening, Due(ended=True))
    begin(evening)
    come(evening, row("1", price="120", hours=120), row("4", price="100", hours=130))
    said = {each.row.lot.key: each.said for each in overnight(evening, ())}
    assert said["north:1"][0] == "offered again, earlier 150 EUR"


def test_wanted_and_changed_are_words_of_the_sift(evening: Desk) -> None:
    keys = [line.key for line in listing.lines(evening, parse("wanted"))]
    assert keys == ["north:6", "north:1", "north:2", "north:4"], "open, answering a want, not skipped"
    assert [line.key for line in listing.lines(evening, parse("wanted state:x"))] == ["north:7"]
    assert [line.key for line in listing.lines(evening, parse('"wanted"'))] == []
    assert str(parse("wanted tor changed")) == "tor wanted changed"
    assert parse(str(parse('"wanted" x'))) == parse('"wanted" x')
    assert parse("not wanted").not_words == ("wanted",)
    with pytest.raises(SiftError):
        parse("wanted:x")


def test_questions_wait_until_they_are_answered_and_are_undone(evening: Desk) -> None:
    noting.ask(evening, "1", "What does it weigh?")
    evening.now += timedelta(days=1)
    noting.ask(evening, "1", "And what is its diameter?")
    noting.ask(evening, "3", "When does it close?")
    assert [(each.lot, each.text) for each in unanswered(evening)] == [
        ("north:1", "What does it weigh?"),
        ("north:1", "And what is its diameter?"),
        ("north:3", "When does it close?"),
    ]
    text = " ".join(" ".join(morning_text.lines(evening, 100)).split())
    assert '- 1, asked Wed 25 Nov: "What does it weigh?"; `watchlist lot 1 --answered TEXT`' in text
    noting.answered(evening, "1", "24.98 g")
    assert said_of(evening, "north:1")[-1] == "Answered Thu 26 Nov: 24.98 g"
    assert [each.lot for each in unanswered(evening)] == ["north:3"]
    undoing.undo(evening)
    assert len(unanswered(evening)) == 3
    undoing.undo(evening)
    assert [each.lot for each in unanswered(evening)] == ["north:1"] * 2
    undoing.redo(evening)
    assert len(unanswered(evening)) == 3
    with pytest.raises(DeskError, match="No question about north:4 waits"):
        noting.answered(evening, "4", "yes")
    with pytest.raises(DeskError, match="needs its words"):
        noting.ask(evening, "4", " ")
    decide(evening, ["north:1"], "skip")
    assert [each.lot for each in unanswered(evening)] == ["north:3"], "of a skipped lot none is asked"
