"""One list for every change: a stop at any boundary of the disk leaves all of an entry or nothing of it."""

from __future__ import annotations

import errno
import os
import sys
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import replace
from pathlib import Path
from shutil import copytree
from typing import Any

import pytest

from tests.desk.pieces import COIN, NORTH, NOW, come, eur, furnish, row, sale, sales
from watchlist.core.coins.issue import Issue
from watchlist.core.prices.realised import GuideRow
from watchlist.desk import undoing
from watchlist.desk.changes import entry
from watchlist.desk.checking import check
from watchlist.desk.decisions.deciding import decide
from watchlist.desk.desk import Desk
from watchlist.desk.due import MARKET
from watchlist.desk.gather_times import gather_begins
from watchlist.desk.plan.bid_list import held_for
from watchlist.desk.prices.weighing import weigh
from watchlist.desk.results import results
from watchlist.desk.results.results import result
from watchlist.desk.typed.lots_by_hand import add_lot
from watchlist.desk.typed.sources import drop_source
from watchlist.desk.typed.venues import put_venue
from watchlist.desk.typed.wants import drop_want, put_want
from watchlist.shelf.disk import RealDisk
from watchlist.shelf.errors import ShelfRefused
from watchlist.shelf.shelf import Shelf
from watchlist.shelf.store.connection import Connection

STOPPED = 77
STEPS = ("create", "write", "fsync", "replace", "fsync_folder")
Act = Callable[[Desk], Any]
ACTS: dict[str, Act] = {
    "bid": lambda desk: decide(desk, ["north:2"], "bid", "200"),
    "won": lambda desk: result(desk, "north:2", "250", won=True),
    "undo of won": undoing.undo,
    "redo": undoing.redo,
    "lost instead": lambda desk: result(desk, "north:1", "260", won=False),
    "clear": lambda desk: decide(desk, ["north:1"], "clear"),
    "weigh": lambda desk: weigh(desk, 1, eur("0.5").amount, "worn"),
    "want dropped": lambda desk: drop_want(desk, "w1"),
    "venue changed": lambda desk: put_venue(desk, {"premium_pct": "25"}, over="Lindmoor Sales"),
    "source dropped": lambda desk: drop_source(desk, "north"),
}


def open_desk(path: Path, *, write: bool = True) -> Desk:
    return Desk(Shelf.open(path, write=write, today=NOW.date), NOW)


@pytest.fixture(scope="module")
def first(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A shelf on the disk: a lot that was won, one more, sales, a want; the last word was undone."""
    path = tmp_path_factory.mktemp("one") / "shelf"
    desk = open_desk(path)
    furnish(desk.shelf)
    desk.shelf.store.prices.add(sales())
    come(desk, row("1"), row("2"))
    result(desk, "north:1", "250", won=True)
    desk.shelf.close()
    return path


def figures(path: Path) -> dict[str, object]:
    """All that an entry may change, as it stands after the next opening; it must agree with itself."""
    desk = open_desk(path, write=False)
    with desk.shelf:
        assert [found.text for found in check(desk) if found.what == "list"] == []
        store, review = desk.shelf.store, desk.shelf.store.decisions.review()
        return {
            "lots": {key: (stands.state, stands.stage, stands.amount) for key, stands in review.lots.items()},
            "states": {key: store.listing.line(key).state for key in ("north:1", "north:2")},  # type: ignore[union-attr]
            "list": (len(review.done), len(review.undone)),
            "results": {key: str(kept.price.price) for key in review.lots if (kept := store.results.of(key))},
            "prices": [(price.price.amount, price.weight) for price in store.prices.each()],
            "bought": [(each.lot, each.paid) for each in store.purchases.all()],
            "wants": [(want.id, want.filled) for want in desk.wants.by_id.values()],
            "terms": {name: str(terms.premium.pct) for name, terms in desk.terms.items()},
            "sources": list(desk.sources),
            "held": held_for(desk, ("north:1", "north:2")),
        }


@contextmanager
def at_boundary(number: int, stop: Callable[[], None]) -> Iterator[None]:
    """Call `stop` at this boundary: before and after each commit, before each step that replaces the notebook."""
    met, patch = iter(range(1, 1_000)), pytest.MonkeyPatch()

    def boundary() -> None:
        if next(met) == number:
            stop()

    def around(real: Callable[..., Any]) -> Callable[..., Any]:
        def run(self: Connection, sql: str, values: Any = ()) -> int:
            if sql == "COMMIT":
                boundary()
            found: int = real(self, sql, values)
            if sql == "COMMIT":
                boundary()
            return found

        return run

    def before(real: Callable[..., Any]) -> Callable[..., Any]:
        def step(*given: Any) -> Any:
            boundary()
            return real(*given)

        return step

    patch.setattr(Connection, "run", around(Connection.run))
    for step in STEPS:
        patch.setattr(RealDisk, step, before(getattr(RealDisk, step)))
    try:
        yield
    finally:
        patch.undo()


def killed(path: Path, act: Act, number: int) -> bool:
    """Carry it out in a process of its own that ends at this boundary; False when it met no such boundary."""
    child = os.fork()
    if child == 0:  # pragma: no cover - another process
        try:
            with at_boundary(number, lambda: os._exit(STOPPED)):
                act(open_desk(path))
        finally:
            os._exit(0)
    return os.waitstatus_to_exitcode(os.waitpid(child, 0)[1]) == STOPPED


@pytest.mark.skipif(sys.platform == "win32", reason="needs fork")
@pytest.mark.parametrize("name", ACTS)
def test_a_kill_at_any_boundary_leaves_all_or_nothing(first: Path, tmp_path: Path, name: str) -> None:
    base = tmp_path / "base"
    copytree(first, base)
    if name == "redo":
        desk = open_desk(base)
        undoing.undo(desk)
        desk.shelf.close()
    before, met = figures(base), set()
    whole = tmp_path / "whole"
    copytree(base, whole)
    assert not killed(whole, ACTS[name], 0)
    after = figures(whole)
    assert before != after
    for number in range(1, 100):
        path = tmp_path / f"cut{number}"
        copytree(base, path)
        stopped = killed(path, ACTS[name], number)
        found = figures(path)
        assert found in (before, after), f"boundary {number}"
        met.add(found == after)
        if not stopped:
            break
    assert met == {True, False}


def refuse() -> None:
    raise OSError(errno.ENOSPC, "No space left on device")


@pytest.mark.parametrize("number", range(1, 12))
def test_a_write_that_fails_is_said_and_doing_it_again_changes_nothing_twice(
    first: Path, tmp_path: Path, number: int
) -> None:
    path = tmp_path / "shelf"
    copytree(first, path)
    before, typed = figures(path), {"coin": "Orvany 1 tor 1889", "ceiling": "60"}
    desk = open_desk(path)
    desk.__dict__["reader"] = desk.reader  # made before the disk is full
    said = ""
    with desk.shelf:
        try:
            with at_boundary(number, refuse):
                put_want(desk, typed)
        except (ShelfRefused, OSError) as error:
            said = str(error)
    between = figures(path)
    done = [("w1", 1), ("w2", 0)]
    assert between["wants"] in (before["wants"], done)
    if "On the list" in said:
        assert between["wants"] == done, "what was said to be due is done by the next opening"
    desk = open_desk(path)
    with desk.shelf:
        put_want(desk, typed)
    after = figures(path)
    assert after["wants"] == done
    assert after["list"] == (2, 0), "one entry, however often it was tried"


def test_forms_imports_and_decisions_are_undone_in_order(desk: Desk) -> None:
    """Each is an entry of the same list: undo takes the last, whatever it was, and redo brings it back."""
    store = desk.shelf.store
    gather_begins(store, NOW)
    come(desk, row("1"))
    store.prices.add([sale(50)])

    def look() -> tuple[object, ...]:
        return (
            list(desk.wants.by_id.values()), dict(desk.terms), dict(desk.sources), store.catalogue.issues(),
            [(p.issue, p.price, p.weight) for p in store.prices.each()],
            store.catalogue.guides(), store.catalogue.rates(),
            [(line.key, line.state, line.price) for line in store.listing.lines(limit=99)],
            store.decisions.review().lots, desk.corrections,
        )  # fmt: skip

    def bring(desk: Desk) -> None:
        """As an import does: new rows by their numbers, replaced ones by their images."""
        new = Issue("orvany-2t-1890", "Orvany", "2 tor", 1890)
        with entry(desk, "imported prices old.csv: 41 sales", due=MARKET) as change:
            change.touch("issue", [new.key, COIN.key])
            change.touch("rate", ["USD 2026-01"])
            change.touch("guides", [""])
            store.catalogue.merge([new, replace(COIN, type="Shield")])
            store.catalogue.put_rates({("USD", "2026-01"): eur("1.1").amount})
            store.catalogue.put_guides([GuideRow(COIN.key, 20, 30, 1.0, 2.0, NOW.date())])
            newest = store.prices.newest()
            store.prices.add(sale(number, 300 + number) for number in range(41))
            change.added("price", newest + 1, store.prices.newest())
            change.touch("price", ["1"])
            store.prices.set_weight(1, 0.25)

    steps: list[Act] = [
        lambda desk: decide(desk, ["north:1"], "follow"),
        lambda desk: put_want(desk, {"coin": "Orvany 1 tor 1889", "ceiling": "60"}),
        lambda desk: add_lot(desk, by_hand),
        bring,
        lambda desk: result(desk, "hand:7", "110", won=True),
        lambda desk: put_venue(desk, {"premium_pct": "25"}, over="Lindmoor Sales"),
        lambda desk: drop_source(desk, NORTH.name),
        lambda desk: drop_want(desk, "w1"),
    ]
    by_hand = {"title": "Orvany 5 tor 1893-V VF", "venue": "Lindmoor Sales", "price": "120", "id": "7"}
    seen = [look()]
    for step in steps:
        step(desk)
        seen.append(look())
    for _ in range(2):
        for stood in reversed(seen[:-1]):
            undoing.undo(desk)
            assert look() == stood
        for stood in seen[1:]:
            undoing.redo(desk)
            assert look() == stood
    undoing.undo(desk)
    decide(desk, ["north:1"], "skip")
    kept = store.db.number("SELECT count(*) FROM entries")
    assert kept == 5, "what can be done again no more is forgotten: the want that was dropped"


def test_undo_says_what_it_did_and_what_turned_with_it(desk: Desk) -> None:
    come(desk, row("1"))
    decide(desk, ["north:1"], "bid", "240")
    result(desk, "north:1", "250", won=True)
    said, on = "said Wed 25 Nov 10:00", "on 1 (5 tor 1893-V, VF-30)"
    assert undoing.undo(desk).said.split(". ") == [
        f"Undone: won 250 EUR {on}, {said}",
        "Now planned at 240 EUR; the budget holds 288 EUR for it, before 300 EUR",
        "Its price is out of the archive",
        "w1 matches again",
    ]
    assert undoing.redo(desk).said.endswith("Its price is in the archive. w1 is filled")
    undoing.undo(desk)
    assert undoing.undo(desk).said.split(". ") == [
        f"Undone: bid 240 EUR {on}, {said}",
        "Now seen; the budget holds 0 EUR for it, before 288 EUR",
    ]


def test_check_names_a_result_that_is_not_what_the_list_says_and_a_gather_mends_it(desk: Desk) -> None:
    store = desk.shelf.store
    come(desk, row("1"), row("2"), row("3"))
    result(desk, "north:1", "250", won=True)
    result(desk, "north:2", "260", won=False)
    good = (store.results.of("north:1"), store.purchases.all())
    assert results.mismatches(desk) == {}
    store.purchases.put(replace(store.purchases.all()[0], lot="north:3"))
    store.results.drop("north:1")
    store.db.run("UPDATE results SET won = 1 WHERE lot = 'north:2'")
    named = [found.text for found in check(desk) if found.what == "list"]
    assert [text.partition(";")[0] for text in named] == [
        "north:1: won by the list, and no result is kept",
        "north:2: lost at 260 EUR by the list, and 260 EUR is kept",
        "north:3: bought by no decision",
    ]
    assert results.heal(desk).market
    assert results.mismatches(desk) == {}
    kept = store.results.of("north:1")
    assert kept is not None
    assert good[0] is not None
    assert (replace(kept, price=replace(kept.price, id=good[0].price.id)), store.purchases.all()) == good
    assert not results.heal(desk)
