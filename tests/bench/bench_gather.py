"""Gather 20 local feeds with 5,000 new lots against 2,000 wants and 100,000 fitted prices; aim 4 seconds.

Run: python tests/bench/bench_gather.py [prices]. Prints seconds beside a bare expat pass over the same bytes.
"""

from __future__ import annotations

import random
import sys
import tempfile
import time
from datetime import UTC, date, datetime, timedelta
from decimal import Decimal
from pathlib import Path
from xml.parsers import expat

sys.path.insert(0, str(Path(__file__).resolve().parents[2]))

from tests.bench.filling import hammered
from watchlist.core.coins.issue import Issue
from watchlist.core.fees.terms import Terms
from watchlist.core.lots.source import Source
from watchlist.core.marks.record import Want
from watchlist.core.money.amount import Money
from watchlist.core.prices.realised import PriceRealised
from watchlist.desk.desk import Desk
from watchlist.desk.gather.gathering import gather
from watchlist.desk.prices import fitting
from watchlist.shelf.shelf import Shelf

FEEDS, EACH, WANTS = 20, 250, 2_000
NOW = datetime(2026, 3, 3, 7, 30, tzinfo=UTC)
GRADES = (4, 8, 12, 20, 30, 40, 45, 50, 55, 58, 60, 62, 63, 64, 65)
WORDS = {
    4: "G-4",
    8: "VG-8",
    12: "F-12",
    20: "VF-20",
    30: "VF-30",
    40: "XF-40",
    45: "XF-45",
    50: "AU-50",
    55: "AU-55",
    58: "AU-58",
    60: "MS-60",
    62: "MS-62",
    63: "MS-63",
    64: "MS-64",
    65: "MS-65",
}


def issues() -> list[Issue]:
    return [
        Issue(f"{denomination}-{year}{mint}", "Orvany", denomination, year, mint, mintage=10_000 * (1 + year % 97))
        for denomination in ("10 lind", "1 tor", "5 tor")
        for year in range(1830, 1930)
        for mint in ("", "M", "V", "S")
    ]


def value(issue: Issue, grade: int) -> float:
    base = {"10 lind": 3.0, "1 tor": 12.0, "5 tor": 60.0}[issue.denomination]
    return float(base * (2_000_000 / (issue.mintage or 1)) ** 0.4 * 1.045**grade)


def fill(shelf: Path, prices: int, rng: random.Random) -> list[Issue]:
    known = issues()
    with Shelf.open(shelf, write=True) as opened:
        store = opened.store
        store.catalogue.merge(known)
        opened.notebook.venues.put(Terms("Lindmoor Sales", "EUR"))
        rows = []
        for number in range(prices):
            issue, grade = rng.choice(known), rng.choice(GRADES)
            amount = Decimal(hammered(value(issue, grade) * rng.lognormvariate(0, 0.2)))
            day = date(2026, 3, 1) - timedelta(days=rng.randrange(2_000))
            rows.append(
                PriceRealised(
                    0,
                    issue.key,
                    day,
                    Money(amount, "EUR"),
                    "hammer",
                    grade,
                    grade,
                    venue="Lindmoor Sales",
                    title=f"{issue.name} {number}",
                )
            )
        store.prices.add(rows)
        opened.notebook.wants.put(
            *(
                Want(
                    f"w{number}",
                    issue.country,
                    issue.denomination,
                    issue.year,
                    issue.mint,
                    min_grade=20,
                    ceiling=Money(Decimal(500), "EUR"),
                )
                for number, issue in enumerate(rng.choices(known, k=WANTS))
            )
        )
        start = time.perf_counter()
        fitting.refit(Desk(opened, NOW))
        taken = time.perf_counter() - start
        print(f"fit of {prices:,} prices with the scale search, reading them included: {taken:.2f} s")
    return known


def feed(number: int, known: list[Issue], rng: random.Random) -> bytes:
    items = []
    for place in range(EACH):
        issue, grade = rng.choice(known), rng.choice(GRADES)
        price = value(issue, grade) * rng.uniform(0.4, 1.5)
        tail = rng.choice(("", ", toned", " cleaned", " QCG", ", nice", " light scratches"))
        closes = NOW + timedelta(hours=rng.randrange(1, 200))
        items.append(
            f"<item><title>{issue.country} {issue.denomination} {issue.date} {WORDS[grade]}{tail}</title>"
            f"<link>https://lindmoor.example/{number}/{place}</link><guid>{number}-{place}</guid><description>"
            f"Current bid: {price:.2f} EUR. Closes {closes:%Y-%m-%d %H:%M} UTC. Seller: anna{place % 40}"
            "</description></item>"
        )
    return f'<?xml version="1.0"?><rss version="2.0"><channel><title>n</title>{"".join(items)}</channel></rss>'.encode()


def bare(bodies: list[bytes]) -> float:
    start = time.perf_counter()
    for body in bodies:
        expat.ParserCreate().Parse(body, True)
    return time.perf_counter() - start


def run(shelf: Path) -> tuple[float, int]:
    start = time.perf_counter()
    with Shelf.open(shelf, write=True) as opened:
        new = sum(report.new for report in gather(Desk(opened, NOW)))
    return time.perf_counter() - start, new


def main() -> None:
    rng = random.Random(7)
    with tempfile.TemporaryDirectory() as folder:
        shelf = Path(folder) / "shelf"
        known = fill(shelf, int(sys.argv[1]) if len(sys.argv) > 1 else 100_000, rng)
        bodies = [feed(number, known, rng) for number in range(FEEDS)]
        with Shelf.open(shelf, write=True) as opened:
            for number, body in enumerate(bodies):
                path = Path(folder) / f"{number}.rss"
                path.write_bytes(body)
                opened.notebook.sources.put(Source(f"s{number}", str(path), venue="Lindmoor Sales"))
        reference = bare(bodies)
        seconds, new = run(shelf)
        again, _ = run(shelf)
        print(f"bare expat pass over {sum(map(len, bodies)):,} bytes: {reference:.4f} s")
        print(f"gather of {new:,} new lots: {seconds:.2f} s, {seconds / reference:,.0f} times the bare pass (aim 4 s)")
        print(f"gather again, nothing new: {again:.2f} s")


if __name__ == "__main__":
    main()
