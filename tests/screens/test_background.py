"""Who writes beside the screens, each part made alone on a small shelf: work, writer, undo, what follows. No window."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from pathlib import Path
from queue import Queue
from typing import Any, cast

import pytest

from tests.screens import pieces
from tests.screens.pieces import NOW
from watchlist.desk.decisions import deciding
from watchlist.desk.desk import Desk
from watchlist.desk.due import NOTHING, Due
from watchlist.desk.errors import DeskError, TooMuch
from watchlist.desk.typed.wants import put_want
from watchlist.screens.background.changes import Changes
from watchlist.screens.background.follow_ups import FollowUps
from watchlist.screens.background.gathering import Gathering
from watchlist.screens.background.messages import Messages
from watchlist.screens.background.pen import Pen
from watchlist.screens.background.shelf_access import ShelfAccess
from watchlist.screens.background.undo import Undo
from watchlist.screens.background.view import View
from watchlist.screens.background.work import Threads, Work
from watchlist.screens.background.writer import Writer
from watchlist.screens.keys import Keys
from watchlist.screens.parts.decisions import Decisions
from watchlist.screens.parts.dialogue import Dialogue
from watchlist.screens.parts.ticks import Ticks
from watchlist.screens.terminal.outside import Outside
from watchlist.screens.tray_list import TrayList
from watchlist.shelf.shelf import Shelf
from watchlist.shelf.store.rows import LotRow


class House:
    """The parts of the program on one shelf; work is done at once, in this thread."""

    def __init__(self, path: Path) -> None:
        self.access = ShelfAccess(path, NOW)
        self.drawn: list[str] = []
        self.messages = Messages(lambda: self.access.now, "u", lambda: self.drawn.append("status"))
        self.changes = Changes(self.access, lambda: self.drawn.append("all"))
        self.posted: Queue[Callable[[], None]] = Queue()
        self.pen = Pen(self.access.writing, lambda desk: self.access.desk_on(desk.shelf), self.posted.put)
        at_once = Threads(lambda work: work(), lambda follow: follow(), lambda show: show())
        self.work = Work(self.pen, self.access.reading, at_once, self.messages, self.changes, lambda: None)
        self.writer = Writer(self.pen, self.messages, lambda: self.drawn.append("status"))
        self.gathers = False
        self.follow_ups = FollowUps(self.work, lambda: self.gathers)
        self.turned: list[Sequence[str]] = []
        self.undo = Undo(
            self.writer, self.follow_ups, self.messages, Keys(), lambda: self.access.desk, self.turned.append
        )

    @property
    def said(self) -> list[str]:
        return [message.partition("  ")[2] for message in self.messages.kept]

    def state(self, key: str) -> str:
        row = self.access.shelf.store.lots.get(key)
        return row.state if row else "gone"


@pytest.fixture
def house(shelf: Path) -> Iterator[House]:
    made = House(shelf)
    yield made
    made.access.close()


def skip(key: str) -> Callable[[Desk], Any]:
    return lambda desk: deciding.decide(desk, [key], "skip")


# --- work


def test_work_says_what_it_returns_and_what_it_wrote_is_drawn(house: House) -> None:
    house.work.write("Counting", lambda desk: "Counted.")
    assert house.said == ["Counted."]
    assert "all" in house.drawn
    assert house.work.tasks.line == ""


def test_work_that_breaks_off_is_told_and_nothing_follows(house: House) -> None:
    def job(desk: Desk) -> None:
        raise RuntimeError("made by a test")

    followed: list[object] = []
    house.work.write("Counting", job, followed.append)
    house.work.look_up("Looking", job, followed.append)
    assert followed == []
    assert all("An internal error (RuntimeError: made by a test)" in said for said in house.said)
    assert len(house.said) == 2


def test_esc_stops_what_can_be_stopped_and_only_that(house: House) -> None:
    seen: list[tuple[bool, str]] = []

    def job(desk: Desk) -> None:
        assert desk.go_on("halfway", 0.5)
        seen.append((house.work.stop(), house.work.tasks.line))
        assert desk.go_on("nearly", 0.9) is not seen[-1][0]

    house.work.write("Judging", job, stoppable=True)
    house.work.write("Keeping", job)
    assert seen == [(True, "Stopping: judging"), (False, "Keeping: halfway, 50%..")]


def test_a_look_up_writes_nothing_and_gives_what_it_found(house: House) -> None:
    found: list[object] = []
    house.work.look_up("Looking", lambda desk: desk.shelf.write, found.append)
    assert found == [False]
    assert "all" not in house.drawn


# --- writing and undo


def test_a_decision_is_written_at_once_and_undone_and_redone(house: House) -> None:
    assert house.writer.write("Skip", skip("north:1"), lambda _: None)
    assert house.state("north:1") == "skipped"
    house.undo.turn(back=True)
    assert house.state("north:1") == "seen"
    house.undo.turn(back=False)
    assert house.state("north:1") == "skipped"
    assert [list(keys) for keys in house.turned] == [["north:1"]] * 2
    assert house.said[0].startswith("Undone: skip on 1 (5 tor 1893 M, uncleaned), said ")
    assert house.said[0].endswith("Now seen. ctrl+r reverses that.")
    assert house.said[1].startswith("Redone: ")


def test_what_waits_shows_its_state_until_it_is_written(house: House, shelf: Path) -> None:
    with Shelf.open(shelf, write=True, today=NOW.date), house.pen._turn:
        assert not house.writer.write("Skip", skip("north:1"), lambda _: None, lots={"north:1": "skipped"})
        assert house.writer.pending("north:1") == "skipped"
        assert house.writer.waiting == 1
    house.pen.close()
    assert house.pen.flush(pieces.PATIENCE) == []
    assert house.state("north:1") == "skipped"


def test_what_is_refused_is_told_by_name(house: House) -> None:
    def refuse(desk: Desk) -> None:
        raise DeskError("No such lot. Nothing was written.")

    def fail(desk: Desk) -> None:
        raise ValueError("made by a test")

    caught: list[Exception] = []
    house.writer.write("Skip: a lot", refuse, lambda _: None)
    house.writer.write("Skip: a lot", refuse, lambda _: None, caught.append)
    house.writer.write("Skip: a lot", fail, lambda _: None)
    assert house.said[0] == "No such lot. Nothing was written."
    assert house.said[1].endswith("Not written: Skip: a lot.")
    assert len(caught) == 1


def test_a_form_is_on_the_list_of_decisions_like_all_else(house: House) -> None:
    house.writer.write("Skip", skip("north:1"), lambda _: None)
    house.writer.write(
        "Want", lambda desk: put_want(desk, {"coin": "Orvany 10 lind 1870", "ceiling": "30"}), lambda _: None
    )
    house.undo.turn(back=True)
    assert house.said[-1].startswith("Undone: want w1 added (Orvany 10 lind 1870)"), house.said
    assert house.state("north:1") == "skipped", "the decision stays"
    house.undo.turn(back=True)
    assert house.state("north:1") == "seen"


# --- what follows


def test_bands_follow_at_once_or_after_the_gather_that_is_running(house: House, monkeypatch: Any) -> None:
    fits: list[str] = []
    monkeypatch.setattr(house.work, "write", lambda label, job, stoppable: fits.append(label))
    house.follow_ups.bands(NOTHING)
    assert fits == []
    house.follow_ups.bands(Due(market=True))
    assert fits == ["Recalculating bands"]
    house.gathers = True
    house.follow_ups.bands(Due(marks=True))
    assert len(fits) == 1
    house.gathers = False
    house.follow_ups.gathered(stopped=True)
    assert len(fits) == 1, "what was stopped stays due"
    house.follow_ups.gathered(stopped=False)
    assert len(fits) == 2


def test_a_gather_without_sources_says_what_to_press(house: House) -> None:
    over: list[bool] = []
    gathering = Gathering(house.access, house.work, house.changes, house.messages, over.append)
    gathering.start()
    assert house.said == ["No sources yet. Press 5, then a, to add one."]
    assert not gathering.running


# --- changes and view


def test_what_another_program_writes_is_seen(house: House, shelf: Path) -> None:
    before = house.changes.number
    assert not house.changes.look()
    with Shelf.open(shelf, write=True, today=NOW.date) as other:
        other.store.lots.set_states([("north:3", "skipped")])
    assert not house.changes.look()
    assert (house.changes.number, house.drawn) == (before + 1, ["all"])
    house.changes.look()
    assert house.changes.number == before + 1, "once is enough"


def test_the_view_is_kept_and_a_folder_that_is_gone_is_no_failure(tmp_path: Path) -> None:
    View(tmp_path).keep(sift="tor")
    view = View(tmp_path)
    view.keep(order="gap")
    assert (View(tmp_path).get("sift"), View(tmp_path).get("order"), view.get("look")) == ("tor", "gap", None)
    View(tmp_path / "gone").keep(sift="tor")


def test_what_is_copied_is_shown_and_an_address_is_one(house: House) -> None:
    clipboard: list[str] = []
    outside = Outside(clipboard.append, house.messages)
    outside.copy("5 tor 1893")
    outside.open("javascript:alert(1)")
    assert clipboard == ["5 tor 1893"]
    assert house.said == ["Copied: 5 tor 1893", "This lot has no link."]


# --- decisions


class Asked:
    """A dialogue whose answers a test gives."""

    can_ask = True

    def __init__(self) -> None:
        self.answer: Callable[[str], None] = lambda text: None
        self.value, self.questions = "", list[str]()

    def ask(self, label: str, done: Callable[[str], None], *, value: str, check: Callable[[str], object]) -> None:
        self.answer, self.value = done, value

    def confirm(self, question: str, then: Callable[[], None]) -> None:
        self.questions.append(question)
        then()


class OnLot:
    """A screen that stands on one lot."""

    def __init__(self, house: House, key: str) -> None:
        self.house, self.key = house, key
        self.shown: list[bool] = []

    def current(self) -> LotRow | None:
        return self.house.access.shelf.store.lots.get(self.key)

    def decided(self, keys: Sequence[str], *, all: bool = False) -> None:
        self.shown.append(all)

    def put_off(self, keys: Sequence[str]) -> None:
        raise AssertionError("the pen is free")


def decisions(house: House, on: OnLot, *ticked: tuple[str, str]) -> tuple[Decisions, Asked]:
    asked = Asked()
    made = Decisions(
        on,
        lambda: ticked,
        cast("Dialogue", asked),
        house.writer,
        house.follow_ups,
        house.messages,
        lambda: house.access.desk,
    )
    return made, asked


def test_the_same_decision_twice_is_taken_back(house: House) -> None:
    on = OnLot(house, "north:0")
    made, _ = decisions(house, on)
    for state in ("followed", "seen", "followed"):
        made.doing()["follow"]()
        assert house.state("north:0") == state
    made.doing()["skip"]()
    assert house.state("north:0") == "skipped"
    assert house.said[0] == "Following: 5 tor 1893 V, toned. u undoes it."


def test_all_that_is_ticked_is_decided_at_once(house: House) -> None:
    made, _ = decisions(house, OnLot(house, "north:0"), ("north:2", "seen"), ("north:4", "seen"))
    made.doing()["skip"]()
    assert [house.state(f"north:{n}") for n in (0, 2, 4)] == ["new", "skipped", "skipped"]
    assert house.said == ["Skipped: 2 lots. u undoes it."]


def test_a_bid_without_a_limit_asks_how_much_and_a_result_what_was_paid(house: House) -> None:
    on = OnLot(house, "north:1")
    made, asked = decisions(house, on)
    made.doing()["bid"]()
    assert house.state("north:1") == "seen"
    asked.answer("")
    assert house.said == ["No amount, nothing written."]
    asked.answer("130")
    assert house.state("north:1") == "bid"
    made.doing()["lost"]()
    assert asked.value == "", "a price so far is no result"
    asked.answer("140 EUR")
    assert house.state("north:1") == "lost"
    assert on.shown[-1], "bands and the budget follow a result"


def test_a_bid_over_its_ceiling_asks_first(house: House, monkeypatch: pytest.MonkeyPatch) -> None:
    decide = deciding.decide

    def over(desk: Desk, *given: Any, anyway: bool, **how: Any) -> Any:
        if not anyway:
            raise TooMuch("It is above your ceiling. Nothing was written")
        return decide(desk, *given, anyway=anyway, **how)

    monkeypatch.setattr(deciding, "decide", over)
    made, asked = decisions(house, OnLot(house, "north:0"))
    made.doing()["bid"]()
    assert asked.questions == ["It is above your ceiling. Record it anyway?"]
    assert house.state("north:0") == "bid"


# --- the lots of the Tray


def lots(house: House) -> TrayList:
    keys, ticks = Keys(), Ticks()
    return TrayList(house.access, View(house.access.path), keys, ticks, house.writer.pending, lambda: False)


def test_the_lots_of_the_tray_are_sifted_and_ordered_and_both_are_kept(house: House) -> None:
    made = lots(house)
    assert made.restart().reach(100)
    assert made.sift("mark:b toned")
    assert not made.sift(" mark:b  toned"), "the same lots"
    made.keep_sift()
    assert made.sort() == "Ordered by title."
    assert made.turn() == "Ordered by title, reversed."
    again = lots(house)
    assert (again.text, again.order, again.turned) == ("mark:b  toned", "title", True)
    assert again.restart().reach(100)
    assert again.roll is not None
    assert again.roll.known == 6


def test_a_sift_of_another_program_is_let_go(house: House) -> None:
    View(house.access.path).keep(sift="titel:x", order="colour")
    made = lots(house)
    assert (made.text, made.order) == ("", "closing")


def test_the_next_match_is_found_both_ways(house: House) -> None:
    made = lots(house)
    made.restart().reach(100)
    with pytest.raises(DeskError, match="Filter for words first"):
        made.match(0, 1)
    made.sift("medal")
    made.asked, words = type(made.asked)(), made.asked.words
    View(house.access.path).keep(words=" ".join(words))
    again = lots(house)
    again.restart().reach(100)
    assert again.match(0, 1) == 5
    assert again.match(11, -1) == 5
    with pytest.raises(DeskError, match="No further lot with `medal`"):
        again.match(5, -1)


def test_a_row_that_waits_or_is_ticked_says_so(house: House) -> None:
    keys, ticks = Keys(), Ticks()
    waits = {"north:1": "skipped"}
    made = TrayList(house.access, View(house.access.path), keys, ticks, waits.get, lambda: True)  # type: ignore[arg-type]
    made.restart().reach(5)
    line = made.line(0)
    assert line is not None
    ticks.turn(line)
    first, second = ("".join(text for _, text in made.row(at, 80)) for at in (0, 1))
    assert (first[0], second[0], second[2]) == ("+", "~", "x")
    assert (made.head(80), made.row(99, 80)) == ("", [("ink", "")])
