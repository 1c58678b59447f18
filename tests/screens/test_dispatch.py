"""The table of actions meets the parts of a screen: what is needed, what is said, what the footer shows. No window."""

from __future__ import annotations

from typing import get_args

import pytest

from watchlist.desk.errors import DeskError
from watchlist.screens import actions
from watchlist.screens.actions import LACKING, Need
from watchlist.screens.keys import Keys
from watchlist.screens.palette import ActionRows
from watchlist.screens.parts.dispatch import Dispatch


class Desk:
    """A screen with one action done, and a lot or none."""

    def __init__(self, *, lot: bool = True, keys: Keys | None = None) -> None:
        self.done: list[str] = []
        self.said: list[str] = []
        doing = {action.id: lambda id=action.id: self.done.append(id) for action in actions.on("tray")}
        self.dispatch = Dispatch(
            "tray", keys or Keys(), {**doing, "sort": self.fail}, {"lot": lambda: lot}, self.said.append
        )

    def fail(self) -> None:
        raise DeskError("Nothing to order.")


def test_a_key_is_its_action_and_the_action_is_done() -> None:
    desk = Desk()
    assert desk.dispatch.of("f") == "follow"
    assert desk.dispatch.of("slash") == "sift"
    assert desk.dispatch.of("F12") is None
    desk.dispatch.do("follow")
    assert (desk.done, desk.said) == (["follow"], [])


def test_what_lacks_its_lot_is_said_and_not_done() -> None:
    desk = Desk(lot=False)
    for id in ("follow", "won", "dismiss", "address"):
        desk.dispatch.do(id)
    assert desk.done == []
    assert set(desk.said) == {"There is no lot here."}
    desk.dispatch.do("gather")
    assert desk.done == ["gather"]


def test_a_plain_failure_is_said_and_a_fault_is_not_hidden() -> None:
    desk = Desk()
    desk.dispatch.do("sort")
    assert desk.said == ["Nothing to order."]
    fault = Dispatch("tray", Keys(), {"sort": lambda: 1 / 0}, {}, desk.said.append)
    with pytest.raises(ZeroDivisionError):
        fault.do("sort")


def test_the_footer_shows_what_can_be_done_and_always_help_and_quit() -> None:
    assert "f Follow" in Desk().dispatch.foot(200)
    assert "Follow" not in Desk(lot=False).dispatch.foot(200)
    for width in (20, 40, 80):
        foot = Desk().dispatch.foot(width)
        assert len(foot) <= width
        assert foot.endswith("? Help  q Quit")
    assert "F2 Follow" in Desk(keys=Keys({"follow": "F2"})).dispatch.foot(200).replace("f2", "F2")


def test_every_need_has_a_word_for_what_is_lacking() -> None:
    assert set(LACKING) == set(get_args(Need)) - {""}
    assert {action.needs for action in actions.ACTIONS} - {""} == set(LACKING)


def test_the_palette_sifts_by_any_words_of_an_action() -> None:
    rows = ActionRows("tray", Keys())
    assert rows.sift("").high == len(actions.on("tray"))
    rows.sift("plain line")
    assert [action.id for action in rows.found] == ["copy"]
    assert rows.words(0) == "Copy: copy the row as one plain line."
    assert rows.sift("no such").high == 0
    assert rows.words(0) == ""
