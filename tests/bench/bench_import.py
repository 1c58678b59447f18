"""A list of prices imported, the market fitted to it, a result after it. Not part of the suite; run by hand.

python tests/bench/bench_import.py [PRICES]     100,000 unless told otherwise

Processor time, each beside the same work done bare in the same run: the file read by the csv module and its rows put
into one table of SQLite, and the rows of that table read again."""

from __future__ import annotations

import csv
import random
import resource
import sqlite3
import sys
import tempfile
import time
from collections.abc import Callable, Iterator
from datetime import UTC, datetime, timedelta
from decimal import Decimal
from pathlib import Path
from typing import TypeVar

sys.path.insert(0, str(Path(__file__).resolve().parents[2]))

from tests.bench.filling import hammered
from watchlist.core.lots.record import Lot
from watchlist.core.money.amount import Money
from watchlist.core.reading.record import Reading
from watchlist.desk.desk import Desk
from watchlist.desk.own_files.importing import import_file
from watchlist.desk.prices import fitting
from watchlist.desk.results import results
from watchlist.desk.settling import settle
from watchlist.shelf.shelf import Shelf
from watchlist.shelf.store.rows import LotRow

T = TypeVar("T")
NOW = datetime(2026, 3, 3, 7, 30, tzinfo=UTC)
GRADES = (4, 8, 12, 20, 30, 40, 45, 50, 55, 58, 60, 62, 63, 64, 65)
VENUES = ("Lindmoor Sales", "Wexby Rooms", "Vessick Auctions")
VALUES = {"10 lind": 3.0, "1 tor": 12.0, "5 tor": 60.0}
HEADINGS = "sale_date,country,denomination,year,mint,grade,hammer,currency,source,lot_id,certified,cert_number,title"


def lines(number: int) -> Iterator[str]:
    """Sales of an invented country's coins."""
    chance = random.Random(3)
    yield HEADINGS
    for i in range(number):
        coin, year = chance.choice(list(VALUES)), chance.randrange(1830, 1930)
        mint = chance.choice(("", "M", "V", "S"))
        grade, held = chance.choice(GRADES), chance.random() < 0.3
        rare = (200 / (1 + year % 97)) ** 0.4
        value = VALUES[coin] * rare * 1.045**grade * chance.lognormvariate(0, 0.2)
        day = NOW.date() - timedelta(days=chance.randrange(1, 2200))
        cert = f"QCG,Q{i // 10_000}-{i % 10_000:04}" if held else ","
        sale = f"{hammered(value)},EUR,{chance.choice(VENUES)},{i % 997}"
        yield f"{day},Orvany,{coin},{year},{mint},{grade},{sale},{cert},no {i}"


def timed(work: Callable[[], T]) -> tuple[float, T]:
    """Seconds of processor time, and what came of it."""
    start = time.process_time()
    found = work()
    return time.process_time() - start, found


def bare(body: bytes, path: Path) -> tuple[float, float]:
    """Seconds of the csv module and SQLite alone: to write, and to read again."""
    db = sqlite3.connect(path)
    names = HEADINGS.split(",")
    db.execute(f"CREATE TABLE prices(id INTEGER PRIMARY KEY, {', '.join(names)})")
    rows = csv.reader(body.decode().splitlines())
    next(rows)

    def write() -> None:
        with db:
            db.executemany(f"INSERT INTO prices({', '.join(names)}) VALUES ({', '.join('?' * len(names))})", rows)

    written, _ = timed(write)
    read = min(timed(lambda: sum(1 for _ in db.execute("SELECT * FROM prices")))[0] for _ in range(5))
    db.close()
    return written, read


def told(what: str, seconds: float, reference: float) -> None:
    """One line of the table."""
    most = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024
    print(f"{seconds:8.2f} s, {seconds / reference:6.1f} times bare, {most:5.0f} MB  {what}", flush=True)


def lot() -> LotRow:
    """A lot to be won."""
    kept = Lot("north:1", "north", "1", "Lindmoor Sales", "5 tor 1893-V VF-30", price=Money(Decimal(200), "EUR"),
               price_kind="so far", closes=NOW + timedelta(days=1), first_seen=NOW, last_seen=NOW)  # fmt: skip
    return LotRow(kept, Reading(kept.title, "Orvany", "5 tor", 1893, mint="V", grade_low=30, grade_high=30))


def main() -> None:
    """The bench."""
    number = int(sys.argv[1]) if len(sys.argv) > 1 else 100_000
    body = "\n".join(lines(number)).encode()
    print(f"{number:,} prices, {len(body) / 1e6:.0f} MB")
    with tempfile.TemporaryDirectory() as folder:
        written, read = bare(body, Path(folder) / "bare.db")
        print(f"{written:8.2f} s bare: csv and one table written; {read:.2f} s: the table read")
        with Shelf.open(Path(folder) / "shelf", write=True) as shelf:
            desk = Desk(shelf, NOW)
            seconds, _ = timed(lambda: import_file(desk, "prices", body, "prices.csv"))
            told("import, without the fit", seconds, written)
            seconds, _ = timed(lambda: fitting.all_sales(desk))
            told("all prices made ready for the fit", seconds, read)
            seconds, _ = timed(lambda: fitting.refit(desk))
            told("the market fitted anew, reading the prices included", seconds, read)
            shelf.store.lots.save([lot()])
            desk.forget()
            seconds, _ = timed(lambda: settle(desk, results.result(desk, "north:1", "210", won=True).due))
            told("a result and what follows at once", seconds, read)


if __name__ == "__main__":
    main()
