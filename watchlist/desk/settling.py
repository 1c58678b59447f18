"""What is due is carried out, in the order in which one thing rests on another: ended lots, fit, titles, marks."""

from __future__ import annotations

from watchlist.core.decisions.review import State, state_of
from watchlist.core.sift.filter import Filter
from watchlist.desk.desk import Desk
from watchlist.desk.due import Due
from watchlist.desk.judging import judging
from watchlist.desk.prices import fitting
from watchlist.desk.prices.fitting import Fit
from watchlist.desk.titles import rereading
from watchlist.shelf.errors import ShelfRefused

AFTER_GATHER = Due(closing=True, ended=True)
"""What every gather makes due, whatever came."""


def outstanding(desk: Desk) -> Due:
    """All that is due: what was left undone, and what follows from other settings or from another market."""
    due = desk.owed.all()
    due |= Due(market=fitting.is_due(desk), titles=rereading.is_due(desk), marks=judging.is_due(desk))
    due |= Due(marks=due.market or due.titles)
    desk.owed.add(due)
    return due


def settle(desk: Desk, due: Due) -> Fit | None:
    """Carry out what is due, so far as nobody has done it meanwhile; the fit, when there was one.

    Raises Stopped between two steps, with one sentence on what is left: that stays due; ShelfRefused when the disk
    takes no more: what it follows from is kept already."""
    try:
        return _settle(desk, due)
    except ShelfRefused as error:
        raise ShelfRefused(
            f"{str(error).partition('. ')[0]}. What was done before is kept: do not do it again. What follows from it, "
            "prices and marks, comes at the next gather, once there is room."
        ) from error


def _settle(desk: Desk, due: Due) -> Fit | None:
    due &= desk.owed.all()
    if due.ended:
        end_lots(desk)
    fit = _fit(desk, due) if due.market or due.scales else None
    if due.titles or due.titles_of:
        _read(desk, due)
    if due.marks:
        _judge_all(desk)
    elif due.marks_of or due.issues or due.closing:
        _judge(desk, due)
    return fit


def _fit(desk: Desk, due: Due) -> Fit | None:
    if desk.shelf.store.prices.count():
        return fitting.refit(desk, search=due.scales)
    with desk.owed.under_way(Due(market=True, scales=True)):
        return None  # there is nothing to fit; the first prices make it due again


def _read(desk: Desk, due: Due) -> None:
    with desk.owed.under_way(Due(titles=due.titles, titles_of=due.titles_of)):
        if due.titles:
            rereading.read_all_again(desk)
        rereading.read_again(desk, list(desk.shelf.store.lots.by_key(due.titles_of).values()))


def _judge_all(desk: Desk) -> None:
    """All open lots, and with them the single ones that are due."""
    due = desk.owed.all()
    with desk.owed.under_way(Due(marks=True, marks_of=due.marks_of, issues=due.issues, closing=True)):
        judging.judge_again(desk, list(desk.shelf.store.lots.by_key(sorted(due.marks_of)).values()))
        judging.judge_all(desk)


def _judge(desk: Desk, due: Due) -> None:
    store, keys = desk.shelf.store, set(due.marks_of)
    with desk.owed.under_way(Due(marks_of=due.marks_of, issues=due.issues, closing=due.closing)):
        for issue in due.issues:
            keys |= {line.key for line in store.listing.each(Filter(issues=(issue,), open_at=desk.now))}
        found = store.lots.by_key(sorted(keys))
        if due.closing:
            found |= {row.lot.key: row for row in judging.closing_soon(desk)}
        judging.judge_again(desk, list(found.values()))


def end_lots(desk: Desk) -> None:
    """Lots whose closing has passed have ended; those that only a clock set wrong had ended are open again."""
    store = desk.shelf.store
    past = Filter(closes_before=desk.now, states=frozenset({"new", "seen", "followed"}))
    with desk.owed.under_way(Due(ended=True)):
        store.lots.set_states([(line.key, "ended") for line in store.listing.each(past)])
        store.lots.set_states(_ended_too_early(desk))


def _ended_too_early(desk: Desk) -> list[tuple[str, State]]:
    """Lots that close later than now and were not said to be sold, each with the state that it had."""
    store = desk.shelf.store
    ahead = Filter(closes_after=desk.now, states=frozenset({"ended"}))
    lines = [line for line in store.listing.each(ahead) if line.kind != "ended"]
    standing = store.decisions.review().lots if lines else {}
    return [(line.key, state_of(standing.get(line.key), seen=True, closes=line.closes, now=desk.now)) for line in lines]
