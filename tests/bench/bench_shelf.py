"""How the shelf bears weight: a million lots, and kill -9 in a loop. Not part of the suite; run by hand.

python tests/bench/bench_shelf.py lots [N]     insert, open, pages, counts, words; beside a bare sqlite3 insert
python tests/bench/bench_shelf.py kill [N]     N kills of a writing process, each followed by a full check
"""

from __future__ import annotations

import random
import sqlite3
import sys
import tempfile
import time
from collections.abc import Callable, Iterator
from dataclasses import replace
from datetime import UTC, datetime, timedelta
from decimal import Decimal
from pathlib import Path
from typing import TypeVar

sys.path.insert(0, str(Path(__file__).resolve().parents[2]))

from tests.bench.filling import filling
from tests.shelf.killing import kill_loop
from watchlist.core.lots.record import Lot
from watchlist.core.marks.record import Doubt, Judgement, Reason
from watchlist.core.money.amount import Money
from watchlist.core.prices.record import Band
from watchlist.core.reading.record import Reading, Span
from watchlist.core.sift.filter import Filter
from watchlist.shelf.shelf import Shelf
from watchlist.shelf.store.filters import MARKS
from watchlist.shelf.store.rows import LotRow

T = TypeVar("T")
NOW = datetime(2026, 6, 1, 12, tzinfo=UTC)
WORDS = ("toned", "bronze", "silver", "light", "scratches", "nice", "rare", "bold", "clear", "dark", "old", "edge")
SHARES = (1, 1, 15, 5, 2, 3, 40, 17, 16)  # per cent of each of MARKS


def made_up(number: int, *, archive: bool = True) -> Iterator[LotRow]:
    """Lots of an invented country; nine of ten closed long ago, unless all are to be open."""
    chance = random.Random(number)
    for i in range(number):
        yield one(i, chance, archive)


def one(i: int, chance: random.Random, archive: bool) -> LotRow:
    year, mint = chance.randint(1880, 1920), chance.choice(("", "M", "V", "S"))
    title = f"5 tor {year} {mint} VF {' '.join(chance.sample(WORDS, 3))} {i}"
    ago = -chance.random() * 900 if archive and chance.random() < 0.9 else chance.random() * 10
    first = NOW + timedelta(days=min(ago, 0) - 10 + chance.random())
    fixed = chance.random() < 0.2
    price = Money(Decimal(chance.randint(100, 90000)) / 100, "EUR")
    lot = Lot(
        f"north{i % 9}:{i}",
        f"north{i % 9}",
        str(i),
        f"Venue {i % 7}",
        title,
        description=title * 3,
        link=f"https://sale.invalid/{i}",
        seller=f"seller{chance.randint(0, 5000)}",
        price=price,
        price_kind="fixed" if fixed else "so far",
        closes=None if fixed else NOW + timedelta(days=ago),
        first_seen=first,
        last_seen=first,
    )
    reading = Reading(
        title,
        "Orvany",
        "5 tor",
        year,
        mint=mint or None,
        grade_low=20,
        grade_high=35,
        grade_text="VF",
        confidence=0.9,
        spans=(Span("denomination", 0, 5, "5 tor", 0.9), Span("year", 6, 10, str(year), 0.9)),
    )
    return LotRow(lot, reading, judged(f"orvany-5t-{year}{mint}", price, chance))


def judged(issue: str, price: Money, chance: random.Random) -> Judgement:
    """A judgement of usual size."""
    band = Band(Decimal(200), Decimal(250), Decimal(310), "EUR", "all-in", 14, None)
    mark = chance.choices(MARKS, SHARES)[0]
    return Judgement(
        issue=issue,
        candidates=(),
        wants=(),
        near_wants=(),
        grade_low=20,
        grade_high=35,
        band=band,
        all_in=price,
        cost_lines=(("hammer", "200.00 EUR"), ("premium", "40.00 EUR")),
        gap=price.amount / 250 - 1,
        ceiling=None,
        ceiling_want=None,
        bid_limit=None,
        doubt=Doubt(),
        mark=mark,
        also=(),
        so_far=False,
        reasons=(Reason("310 EUR all in. VF-30 has sold for 200 to 310, middle 250, 14 sales."),),
    )


def timed(what: str, work: Callable[[], T]) -> T:
    """Run and print the seconds."""
    start = time.perf_counter()
    value = work()
    print(f"{time.perf_counter() - start:9.4f} s  {what}", flush=True)
    return value


def bare(path: Path, number: int) -> None:
    """The same number of rows of the same texts into one table without an index: what the machine can do."""
    db = sqlite3.connect(path)
    db.execute("PRAGMA journal_mode=WAL")
    db.execute("CREATE TABLE lots(id INTEGER PRIMARY KEY, title TEXT, data TEXT)")
    rows = ((f"5 tor {i}", "x" * 1200) for i in range(number))
    with db:
        db.executemany("INSERT INTO lots(title, data) VALUES (?, ?)", rows)
    db.close()


def lots(number: int, folder: Path) -> None:
    """A shelf with that many lots."""
    timed(f"bare sqlite3 insert of {number:,} rows", lambda: bare(folder / "bare.db", number))
    timed(f"making {number:,} records (no shelf)", lambda: sum(1 for _ in made_up(number)))
    path = folder / "shelf"

    def fill() -> None:
        with Shelf.open(path, write=True) as shelf, filling(shelf.store):
            shelf.store.lots.save(made_up(number))

    timed(f"making and keeping {number:,} lots, indexes and words built after", fill)
    print(f"{(path / 'shelf.db').stat().st_size / 1e6:9.0f} MB shelf.db")
    shelf = timed("open", lambda: Shelf.open(path, write=False))
    reads(shelf)
    shelf.close()
    writes(path)


def reads(shelf: Shelf) -> None:
    """Pages and counts."""
    store, live = shelf.store, Filter(open_at=NOW)
    timed("first page", store.listing.lines)
    timed("first page of open lots", lambda: store.listing.lines(live))
    timed("count of all", store.listing.count)
    timed("count by mark", store.listing.census)
    timed("count by mark of open lots", lambda: store.listing.census(live))
    deep = store.listing.lines(order="title", limit=200_000)[-1].place
    for order in ("closing", "title", "gap", "all_in", "mark"):
        timed(f"deep page by {order}", lambda order=order: store.listing.lines(order=order, after=deep))  # type: ignore[misc]
        timed(f"last page by {order}", lambda order=order: store.listing.lines(order=order, down=True))  # type: ignore[misc]
    for words in (("toned",), ("silver", "1893", "M"), ("77777",), ("zzz",), ("-x",)):
        timed(f"page of {words}", lambda words=words: store.listing.lines(Filter(words=words)))  # type: ignore[misc]
        timed(f"count of {words}", lambda words=words: store.listing.count(Filter(words=words)))  # type: ignore[misc]
    for name, wanted in {
        "bargains": Filter(marks=frozenset({"bargain"})),
        "open bargains and doubts": Filter(marks=frozenset({"bargain", "doubt"}), open_at=NOW),
        "gap<-10 all-in<300 not toned, open": Filter(
            gap_max=Decimal("-0.1"), all_in_max=Decimal(300), not_words=("toned",), open_at=NOW
        ),
        "venue 3, seller": Filter(venues=("venue 3",), sellers=("seller77",)),
        "issue": Filter(issues=("orvany-5t-1893M",)),
        "a wide filter that nothing meets": Filter(
            marks=frozenset({"over"}), all_in_max=Decimal(300), gap_min=Decimal("0.5"), not_words=("rare",)
        ),
    }.items():
        timed(f"page of {name}", lambda wanted=wanted: store.listing.lines(wanted))  # type: ignore[misc]
        timed(f"count of {name}", lambda wanted=wanted: store.listing.count(wanted))  # type: ignore[misc]
    timed("64 whole records", lambda: store.lots.by_key(line.key for line in store.listing.lines()))
    timed("lot by the end of its key", lambda: store.lots.find("th3:77772"))


def writes(path: Path) -> None:
    """A morning's writes into the full shelf."""
    with Shelf.open(path, write=True) as shelf:
        chance = random.Random(1)
        new = [(f"north{i % 9}:{i}", judged("orvany-5t-1893M", Money(Decimal(i), "EUR"), chance)) for i in range(5000)]
        timed("5,000 new judgements", lambda: shelf.store.lots.judge(new))
        timed("the same 5,000 again, unchanged", lambda: shelf.store.lots.judge(new))
        found = shelf.store.lots.by_key(line.key for line in shelf.store.listing.lines(limit=5000))
        later = [replace(row, lot=replace(row.lot, last_seen=NOW)) for row in found.values()]
        timed("5,000 lots seen again", lambda: shelf.store.lots.save(later))
        fresh = [replace(row, lot=replace(row.lot, key=f"new:{row.lot.id}", source="new")) for row in later]
        timed("5,000 new lots", lambda: shelf.store.lots.save(fresh))


def main() -> None:
    """The two benches."""
    what, count = sys.argv[1] if len(sys.argv) > 1 else "lots", int(sys.argv[2]) if len(sys.argv) > 2 else 1_000_000
    with tempfile.TemporaryDirectory() as folder:
        if what == "kill":
            print(timed(f"{count} kills", lambda: kill_loop(Path(folder), count)))
        else:
            lots(count, Path(folder))


if __name__ == "__main__":
    main()
