"""Words of titles: what the store looks up for a sift is what testing every title gives."""

from __future__ import annotations

import sqlite3
from collections.abc import Iterator, Sequence
from contextlib import suppress
from dataclasses import replace
from datetime import UTC, datetime
from pathlib import Path

import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st

from tests.shelf.pieces import row
from watchlist.core.coins.issue import bare_words
from watchlist.core.decisions.review import Decision, decide
from watchlist.core.sift.filter import Filter, holds
from watchlist.core.sift.line import Sift
from watchlist.shelf.store import Store, search
from watchlist.shelf.store.filters import AGREED

NOW = datetime(2020, 1, 1, tzinfo=UTC)
LETTERS = "abAB1\u00e9\u00df\u00bd\ufb01\uff11\u0439\u0438/-'% .\u0301\u0130"
"""Letters that full text and a sift fold alike, and such as they do not."""
TITLES = st.text(LETTERS, min_size=1, max_size=8)


@pytest.fixture
def store(tmp_path: Path) -> Iterator[Store]:
    opened = Store(tmp_path / "shelf.db", write=True)
    yield opened
    opened.close()


def letters(pattern: str) -> list[str]:
    """All letters of the inside of a bracket."""
    found, rest = [], list(pattern)
    while rest:
        first = rest.pop(0)
        last = first
        if len(rest) > 1 and rest[0] == "-":
            rest.pop(0)
            last = rest.pop(0)
        found += [chr(code) for code in range(ord(first), ord(last) + 1)]
    return found


def test_full_text_and_a_sift_agree_on_the_letters_said_to_agree() -> None:
    """Against SQLite's own tokenizer, by its table of terms."""
    db = sqlite3.connect(":memory:")
    db.execute("CREATE VIRTUAL TABLE words USING fts5(title, tokenize='unicode61 remove_diacritics 2')")
    db.execute("CREATE VIRTUAL TABLE terms USING fts5vocab(words, instance)")
    titles = {ord(letter): f"q{letter}w {letter}z" for letter in letters(AGREED)}
    db.executemany("INSERT INTO words(rowid, title) VALUES (?, ?)", titles.items())
    terms: dict[int, list[str]] = {code: [] for code in titles}
    for term, code in db.execute("SELECT term, doc FROM terms ORDER BY doc, offset"):
        terms[code].append(term)
    db.close()
    assert terms == {code: bare_words(title).replace("/", " ").split() for code, title in titles.items()}


@settings(max_examples=60, deadline=None)
@example(titles=["/", "1/2"], words=["/"], denied=[], few=5000)
@given(
    titles=st.lists(TITLES, min_size=1, max_size=6),
    words=st.lists(TITLES, max_size=2),
    denied=st.lists(TITLES, max_size=1),
    few=st.sampled_from([0, 1, 5000]),
)
def test_the_store_finds_what_testing_every_title_finds(
    titles: list[str], words: list[str], denied: list[str], few: int, tmp_path_factory: pytest.TempPathFactory
) -> None:
    store = Store(tmp_path_factory.mktemp("words") / "shelf.db", write=True)
    before, search.FEW = search.FEW, few
    try:
        store.lots.save(row(number, title=title) for number, title in enumerate(titles))
        asked = Sift(words=tuple(words), not_words=tuple(denied))
        wanted = {
            f"north:{number}"
            for number, title in enumerate(titles)
            if all(holds(word, title) for word in words) and not any(holds(word, title) for word in denied)
        }
        assert {line.key for line in store.listing.each(asked.at(NOW))} == wanted
    finally:
        search.FEW = before
        store.close()


def test_a_store_without_the_index_of_odd_titles_still_answers(store: Store) -> None:
    store.lots.save([row(1, title="5 tor"), row(2, title="10 lind")])
    with store.together():
        store.db.run("DROP INDEX lots_odd")
    assert [line.key for line in store.listing.lines(Filter(words=("tor",)))] == ["north:1"]


def test_sellers_and_venues_by_their_whole_names(store: Store) -> None:
    store.lots.save([row(1, seller="anna b"), row(2, seller="ben"), row(3, seller="")])
    keys = [line.key for line in store.listing.lines(Filter(sellers=("ben", "anna")))]
    assert sorted(keys) == ["north:1", "north:2"]
    assert store.listing.lines(Filter(sellers=("carl",))) == []
    assert store.listing.road().names("seller") == ["anna b", "ben"]
    assert store.listing.road().names("seller", 1) == ["anna b"]


def lose(store: Store, decisions: Sequence[Decision]) -> list[Decision]:
    """Add decisions in a transaction that fails after they were read."""
    added: list[Decision] = []
    with suppress(ZeroDivisionError), store.together():
        added = store.decisions.add(decisions)
        assert store.decisions.all()[-len(added) :] == added
        raise ZeroDivisionError
    return added


def test_decisions_read_once_are_read_again_after_a_rollback(store: Store) -> None:
    store.lots.save([row(1)])
    (first,) = store.decisions.add(decide("follow", ["north:1"], batch="b1", at=NOW))
    assert store.decisions.all() == [first]
    (lost,) = lose(store, decide("skip", ["north:1"], batch="b2", at=NOW))
    assert store.decisions.all() == [first]
    (second,) = store.decisions.add(decide("bid", ["north:1"], batch="b3", at=NOW))
    assert second == replace(second, seq=lost.seq)
    assert store.decisions.all() == [first, second]
