"""Lots in the store: kept, seen again, filtered, ordered, paged, counted."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import timedelta
from decimal import Decimal
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tests.shelf.pieces import NOW, euro, judged, row
from watchlist.core.marks.record import SIGNS, Doubt, Judgement
from watchlist.core.reading.record import Reading
from watchlist.core.sift.filter import Filter
from watchlist.shelf.errors import ShelfReading
from watchlist.shelf.store import Store, schema, steps
from watchlist.shelf.store.filters import COLUMNS, MARKS, Order, quoted
from watchlist.shelf.store.rows import LotLine

ORDERS: tuple[Order, ...] = tuple(COLUMNS)


@pytest.fixture
def store(tmp_path: Path) -> Iterator[Store]:
    opened = Store(tmp_path / "shelf.db", write=True)
    yield opened
    opened.close()


def keys(lines: list[LotLine]) -> list[str]:
    return [line.key for line in lines]


def numbers(lines: list[LotLine]) -> list[int]:
    return [int(line.key.partition(":")[2]) for line in lines]


def test_a_lot_comes_back_whole(store: Store) -> None:
    given_row = row(1, judgement=judged("bargain", wants=("w1",)), fingerprint="f", seller="anna")
    store.lots.save([given_row])
    assert store.lots.get("north:1") == given_row
    assert store.lots.get("north:2") is None
    (line,) = store.listing.lines()
    assert (line.mark, line.price, line.all_in, line.gap) == ("bargain", euro("80"), 100.0, 0.1)
    assert (line.closes, line.first_seen, line.state) == (given_row.lot.closes, given_row.lot.first_seen, "new")


def test_a_lot_seen_again_keeps_its_state_and_first_sight(store: Store) -> None:
    store.lots.save([row(1)])
    store.lots.set_states([("north:1", "followed")])
    later = row(1, first_seen=NOW, last_seen=NOW + timedelta(days=1), price=euro("95"), title="5 tor 1893, now toned")
    store.lots.save([later])
    kept = store.lots.get("north:1")
    assert kept is not None
    assert (kept.state, kept.lot.first_seen, kept.lot.price) == ("followed", row(1).lot.first_seen, euro("95"))
    assert keys(store.listing.lines(Filter(words=("toned",)))) == ["north:1"]
    assert store.listing.count() == 1


def test_the_lots_own_prices(store: Store) -> None:
    store.lots.save([row(1)])
    assert [price for _, price in store.lots.history("north:1")] == [euro("80")]
    for day, price in ((1, "80"), (2, "95"), (3, "95"), (4, "110")):
        store.lots.save([row(1, price=euro(price), last_seen=NOW + timedelta(days=day))])
    history = store.lots.history("north:1")
    assert [price for _, price in history] == [euro("80"), euro("95"), euro("110")]
    assert [at for at, _ in history][1:] == [NOW + timedelta(days=2), NOW + timedelta(days=4)]
    assert store.lots.history("north:9") == []


def test_closing_soonest_first_then_fixed_prices_newest_first(store: Store) -> None:
    store.lots.save([row(1, hours=None), row(2, hours=5), row(3, hours=None), row(4, hours=-1)])
    assert numbers(store.listing.lines()) == [4, 2, 3, 1]
    assert numbers(store.listing.lines(down=True)) == [1, 3, 2, 4]


def test_unknown_gaps_come_last_both_ways(store: Store) -> None:
    gaps = {1: Decimal("0.2"), 2: None, 3: Decimal("-0.3"), 4: None}
    store.lots.save(row(n, judgement=judged(gap=gap)) for n, gap in gaps.items())
    assert numbers(store.listing.lines(order="gap")) == [3, 1, 2, 4]
    assert numbers(store.listing.lines(order="gap", down=True)) == [1, 3, 4, 2]


def test_marks_in_their_order(store: Store) -> None:
    store.lots.save(row(n, judgement=judged(mark)) for n, mark in enumerate(reversed(MARKS), 1))
    store.lots.save([row(len(MARKS) + 1)])
    assert [line.mark for line in store.listing.lines(order="mark")] == [*MARKS, None]
    assert store.listing.census() == (len(MARKS) + 1, len(MARKS) + 1, dict.fromkeys(MARKS, 1))


def test_marks_of_an_older_store_are_numbered_anew(store: Store) -> None:
    """Low and Above ceiling were thought of last, and stood last in the order."""
    before = ("bargain", "doubt", "in range", "few sales", "unclear", "over", "copy", "low", "above ceiling")
    store.lots.save(row(n, judgement=judged(mark)) for n, mark in enumerate(before))
    for n in range(len(before)):
        store.db.run("UPDATE lots SET mark = ? WHERE key = ?", (n, row(n).lot.key))
    schema.STEPS[4](store.db)
    assert {line.key: line.mark for line in store.listing.lines()} == {row(n).lot.key: m for n, m in enumerate(before)}
    assert "".join(SIGNS[line.mark] for line in store.listing.lines(order="mark") if line.mark) == "C!?-BLOAI"


FAULTS: dict[int, tuple[dict[str, Any], bool]] = {
    1: ({"certified": True, "problems": ("cleaned",)}, True),
    2: ({"problems": ("cleaned", "details")}, True),
    3: ({"problems": ("cleaned",)}, False),
    4: ({"certified": True}, False),
}
"""What a title says, and whether its grade is a details grade."""


def test_a_list_knows_details_grades_of_new_and_of_older_stores(store: Store) -> None:
    store.lots.save(row(n, reading=Reading("a coin", **said)) for n, (said, _) in FAULTS.items())
    expected = {row(n).lot.key: details for n, (_, details) in FAULTS.items()}
    assert {line.key: line.details for line in store.listing.lines()} == expected
    store.db.run("UPDATE lots SET details = 0")
    store.db.run(steps.DETAILS)
    assert {line.key: line.details for line in store.listing.lines()} == expected


def some_judgement(n: int, mark: str | None) -> Judgement | None:
    if mark is None:
        return None
    return judged(mark, gap=None if n % 4 == 0 else Decimal(n % 3), all_in=euro(str(n % 3)) if n % 5 else None)


@pytest.mark.parametrize("order", ORDERS)
@pytest.mark.parametrize("down", [False, True])
@pytest.mark.parametrize("wanted", [Filter(), Filter(words=("odd",)), Filter(marks=frozenset({"over", "doubt"}))])
def test_pages_join_to_the_whole(store: Store, order: Order, down: bool, wanted: Filter) -> None:
    marks = [None, *MARKS]
    store.lots.save(
        row(
            n,
            hours=None if n % 3 == 0 else n % 4,
            title=f"{'Odd' if n % 2 else 'even'} {n % 5}",
            judgement=some_judgement(n, marks[n % len(marks)]),
        )
        for n in range(60)
    )
    whole = store.listing.lines(wanted, order, down=down, limit=100)
    paged: list[LotLine] = []
    while page := store.listing.lines(wanted, order, down=down, after=paged[-1].place if paged else None, limit=7):
        paged += page
    assert keys(paged) == keys(whole)
    assert len(whole) == store.listing.count(wanted) == len(set(keys(whole)))
    assert list(store.listing.each(wanted, order, down=down)) == whole


FILTERS = {
    "marks": (Filter(marks=frozenset({"bargain", "over"})), {1, 3}),
    "states": (Filter(states=frozenset({"followed"})), {2}),
    "venue": (Filter(venues=("BRANNENTAL",)), {3}),
    "one of two venues": (Filter(venues=("west", "brannental a")), {3}),
    "no such venue": (Filter(venues=("west",)), set()),
    "seller": (Filter(sellers=("ann",)), {1}),
    "a seller's % is a letter": (Filter(sellers=("%",)), set()),
    "closes after": (Filter(closes_after=NOW + timedelta(hours=2)), {2, 3}),
    "closes before": (Filter(closes_before=NOW + timedelta(hours=3)), {1, 2}),
    "all-in": (Filter(all_in_min=Decimal(100), all_in_max=Decimal(200)), {1, 2}),
    "gap": (Filter(gap_min=Decimal("-0.3"), gap_max=Decimal("-0.1")), {1}),
    "words": (Filter(words=("1893", "tone")), {1, 2}),
    "not words": (Filter(words=("tor",), not_words=("toned",)), {3, 4}),
    "an accent": (Filter(words=("schon",)), {3}),
    "issue": (Filter(issues=("orvany-5t-1901",)), {3}),
    "want": (Filter(wants=("w7",)), {2}),
    "one of two wants": (Filter(wants=("w8", "w9")), {2}),
    "one of two issues": (Filter(issues=("orvany-5t-1901", "none")), {3}),
    "open": (Filter(open_at=NOW + timedelta(hours=1, minutes=30)), {2, 4}),
    "several": (Filter(marks=frozenset({"bargain"}), all_in_max=Decimal(150), words=("5",)), {1}),
}


@pytest.mark.parametrize("few", [0, 5_000], ids=["by the order", "by the rarest"])
@pytest.mark.parametrize(("wanted", "meant"), FILTERS.values(), ids=FILTERS.keys())
def test_each_filter(store: Store, wanted: Filter, meant: set[int], few: int, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("watchlist.shelf.store.search.FEW", few)
    store.lots.save(
        [
            row(1, judgement=judged("bargain", gap=Decimal("-0.25")), seller="Anna", title="5 tor 1893 toned"),
            row(
                2,
                judgement=judged(
                    "doubt", also=("bargain",), wants=("w7", "w8"), doubt=Doubt("caution"), all_in=euro("200")
                ),
                title="5 tor 1893 Toned",
            ),
            row(
                3,
                judgement=judged("over", issue="orvany-5t-1901", all_in=euro("900")),
                venue="Brannental Auctions",
                title="5 tor, schön",
                price_kind="ended",
            ),
            row(4, hours=None, source="south", title="1 tor 1889"),
        ]
    )
    store.lots.set_states([("north:2", "followed")])
    assert set(numbers(list(store.listing.each(wanted)))) == meant
    assert sum(store.listing.count_by("state", wanted).values()) == store.listing.count(wanted)
    if store.listing.road(wanted).exact:
        assert store.listing.count(wanted) == len(meant)


ODD_WORDS = [
    "-x",
    "1845-S",
    '"',
    "'",
    "*",
    "^",
    "(",
    "NEAR(",
    "a AND",
    "x:y",
    "\0",
    "\udc80",
    "--",
    "%",
    "_",
    "!",
    "{",
    "5 tor",
    "tor\0",
    '""',
    "+",
    " ",
]


def agree(store: Store, wanted: Filter) -> None:
    """The lines are those that pass. A count may be too high where each has to be tested besides."""
    found, every = store.listing.lines(wanted), store.listing.lines()
    assert found == [line for line in every if wanted.test(line)]
    counted = store.listing.count(wanted)
    assert counted == len(found) if store.listing.road(wanted).exact else counted >= len(found)


@pytest.mark.parametrize("word", ODD_WORDS)
def test_any_word_may_be_asked_for(store: Store, word: str) -> None:
    store.lots.save([row(1, title="5 tor 1845-S"), row(2, title="x % _ ! *")])
    for wanted in (Filter(words=(word,)), Filter(not_words=(word,)), Filter(sellers=(word,), venues=(word,))):
        agree(store, wanted)
    assert store.listing.count(Filter(words=("1845-S",))) == 1
    assert store.listing.count(Filter(words=("%",))) == 1


@settings(max_examples=80, deadline=None)
@given(st.lists(st.text(st.characters(), max_size=6), max_size=3), st.text(st.characters(), max_size=4))
def test_no_words_raise(asked: list[str], name: str) -> None:
    shared = _shared()
    wanted = Filter(words=tuple(asked), not_words=tuple(asked), sellers=(name,), venues=(name,), issues=("x",))
    agree(shared, wanted)


_KEPT: list[Store] = []


def _shared() -> Store:
    """One store in memory for all examples of a property."""
    if not _KEPT:
        import tempfile

        folder = tempfile.TemporaryDirectory()
        _KEPT.append(Store(Path(folder.name) / "shelf.db", write=True))
        _KEPT[0].lots.save([row(1, title="5 tor 1845-S")])
        _KEPT[0].folder = folder  # type: ignore[attr-defined]
    return _KEPT[0]


def test_words_are_quoted() -> None:
    assert quoted('a"b') == '"a""b"*'


def test_without_full_text_titles_are_searched_word_by_word(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(schema, "can_do_words", lambda db: False)
    store = Store(tmp_path / "plain.db", write=True)
    store.lots.save([row(1, title="5 tor 1845-S toned"), row(2)])
    assert numbers(store.listing.lines(Filter(words=("tone",)))) == [1]
    assert numbers(store.listing.lines(Filter(not_words=("tone",)))) == [2]
    store.close()


def test_update_judgements(store: Store) -> None:
    store.lots.save(row(n, judgement=judged(wants=("w1",))) for n in range(10))
    store.lots.judge([("north:3", judged("over", wants=("w2",), gap=Decimal("0.5")))])
    kept = store.lots.get("north:3")
    assert kept is not None
    assert kept.judgement == judged("over", wants=("w2",), gap=Decimal("0.5"))
    assert store.listing.census()[2] == {"in range": 9, "over": 1}
    assert store.listing.count(Filter(wants=("w1",))) == 9
    assert numbers(store.listing.lines(Filter(wants=("w2",)))) == [3]


def test_find_by_the_end_of_a_key(store: Store) -> None:
    store.lots.save([row(12), row(112), row(5, key="north:a:5", id="a:5")])
    assert store.lots.find("north:12") == store.lots.find("12") == ["north:12"]
    assert store.lots.find("th:112") == ["north:112"]
    assert sorted(store.lots.find("2")) == ["north:112", "north:12"]
    assert store.lots.find(":5") == ["north:a:5"]
    assert store.lots.find("") == store.lots.find("x") == []


def test_open_lots(store: Store) -> None:
    store.lots.save([row(1, hours=-9), row(2), row(3, hours=None), row(4, state="won"), row(5, price_kind="ended")])
    assert [r.lot.id for r in store.lots.open(NOW)] == ["2", "3"]


def test_certificates_of_lots(store: Store) -> None:
    store.lots.save([row(1, judgement=judged(), reading=Reading("x", service="QCG", cert_number="123"))])
    (seen,) = store.certificates.seen("123")
    assert (seen.where, seen.key, seen.service) == ("lot", "north:1", "QCG")
    assert (seen.issue, seen.when) == ("orvany-5t-1893", NOW.date())
    assert store.certificates.seen("123", "HNS") == store.certificates.seen("") == []


def test_hostile_titles_are_kept(store: Store) -> None:
    hostile = row(1, title="5 tor \udc80\0[/] =1+1 '; DROP TABLE lots --", seller="\ud800")
    store.lots.save([hostile])
    kept = store.lots.get("north:1")
    assert kept is not None
    assert kept.lot.title == hostile.lot.title
    assert store.listing.count() == 1


def test_a_reader_cannot_write_and_never_blocks(store: Store, tmp_path: Path) -> None:
    store.lots.save([row(1)])
    reader = Store(tmp_path / "shelf.db", write=False)
    with store.together():
        store.lots.set_states([("north:1", "bid")])
        assert reader.listing.lines()[0].state == "new"
    assert reader.listing.lines()[0].state == "bid"
    with pytest.raises(ShelfReading):
        reader.lots.save([row(2)])
    with pytest.raises(ShelfReading):
        reader.db.run("DELETE FROM lots")
    reader.close()


def test_lots_by_pages_are_whole_records(store: Store) -> None:
    rows = [row(n, judgement=judged()) for n in range(5)]
    store.lots.save(rows)
    page = store.listing.lines(limit=3)
    assert list(store.lots.by_key(keys(page)).values()) == rows[:3]
    behind = keys(store.listing.lines(after=page[-1].place))
    assert list(store.lots.by_key([*behind, "north:none"]).values()) == rows[3:]


def test_a_lot_that_loses_its_closing_time_goes_behind_the_dated_ones(store: Store) -> None:
    store.lots.save([row(1), row(2)])
    store.lots.save([row(1, hours=None)])
    assert numbers(store.listing.lines()) == [2, 1]
    store.lots.save([row(1, hours=-5)])
    assert numbers(store.listing.lines()) == [1, 2]


def test_a_lot_seen_again_unchanged_is_noted(store: Store) -> None:
    store.lots.save([row(1)])
    store.lots.save([row(1, last_seen=NOW + timedelta(days=3))])
    kept = store.lots.get("north:1")
    assert kept is not None
    assert kept.lot.last_seen == store.listing.lines()[0].last_seen == NOW + timedelta(days=3)
    assert store.lots.history("north:1") == [(kept.lot.first_seen, euro("80"))]
