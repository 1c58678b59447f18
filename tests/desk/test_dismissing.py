"""A sign of doubt set aside is a decision: the lot is marked again, and undo brings the sign back."""

from __future__ import annotations

from typing import Any

import pytest

from tests.desk.pieces import come, lot, row
from watchlist.core.marks.record import Sign
from watchlist.core.marks.signnames import signs_of
from watchlist.desk import undoing
from watchlist.desk.decisions.dismissing import dismiss
from watchlist.desk.desk import Desk
from watchlist.desk.errors import DeskError
from watchlist.desk.judging import judging
from watchlist.desk.settling import outstanding, settle
from watchlist.shelf.store.rows import LotRow

CERT: dict[str, Any] = {"cert_number": "1234567", "service": "QCG"}


@pytest.fixture
def doubted(desk: Desk) -> Desk:
    """A lot whose certificate number is seen on another lot too."""
    come(desk, row("1", **CERT), row("2", "Orvany 1 tor 1889 XF-40", **CERT))
    return desk


def sign(desk: Desk) -> Sign:
    (found,) = signs_of(lot(desk, "north:1").judgement)
    return found


def test_a_sign_is_dismissed_and_restored(doubted: Desk) -> None:
    there = sign(doubted)
    done = dismiss(doubted, "north:1", there.text, "I know the seller")
    assert (done.sign, done.dismissed) == (there.text, True)
    assert done.judgement == lot(doubted, "north:1").judgement
    assert sign(doubted).dismissed == "I know the seller"
    assert done.judgement.doubt.signs == ()
    done = dismiss(doubted, "north:1", there.text, "")
    assert not done.dismissed
    assert sign(doubted) == there
    assert not doubted.owed.all()


def test_undo_and_redo_turn_it_round(doubted: Desk) -> None:
    there = sign(doubted)
    dismiss(doubted, "north:1", there.text, "known")
    assert undoing.judges_anew(doubted, back=True)
    assert not undoing.judges_anew(doubted, back=False)
    settle(doubted, undoing.undo(doubted).due)
    assert sign(doubted) == there
    assert undoing.judges_anew(doubted, back=False)
    settle(doubted, undoing.redo(doubted).due)
    assert sign(doubted).dismissed == "known"
    dismiss(doubted, "north:1", there.text, "")
    settle(doubted, undoing.undo(doubted).due)
    assert sign(doubted).dismissed == "known", "an undone restoring dismisses again"


def test_a_sign_that_is_not_there_is_refused(doubted: Desk) -> None:
    with pytest.raises(DeskError, match=r"Lot north:1 has no sign `none` any more\. Nothing was changed\."):
        dismiss(doubted, "north:1", "none", "")
    with pytest.raises(DeskError):
        dismiss(doubted, "north:9", "none", "")
    assert doubted.shelf.store.decisions.all() == []


def test_a_lot_that_was_not_judged_has_no_signs(doubted: Desk) -> None:
    here = lot(doubted, "north:1")
    assert signs_of(LotRow(here.lot, here.reading).judgement) == ()


def test_a_dismissal_that_is_killed_before_the_judging_is_judged_later(
    doubted: Desk, monkeypatch: pytest.MonkeyPatch
) -> None:
    there = sign(doubted)

    def killed(*_: object) -> None:
        raise KeyboardInterrupt

    with monkeypatch.context() as patch:
        patch.setattr(judging, "judge_again", killed)
        with pytest.raises(KeyboardInterrupt):
            dismiss(doubted, "north:1", there.text, "known")
    assert sign(doubted) == there
    again = Desk(doubted.shelf, doubted.now)
    settle(again, outstanding(again))
    assert sign(again).dismissed == "known"


def test_an_older_restoring_of_a_sign_never_dismissed_harms_nothing(doubted: Desk) -> None:
    doubted.shelf.store.findings.add(judging.DISMISSED, "north:1", doubted.now, {"sign": "x", "restored": True})
    assert judging.dismissed(doubted.shelf.store) == {"north:1": {}}
