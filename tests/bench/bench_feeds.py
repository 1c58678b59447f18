"""Seconds to read 20 feeds of 250 lots, beside a bare expat pass over the same bytes.

Run: `python tests/bench/bench_feeds.py`. Prints a table; nothing is asserted.
"""

from __future__ import annotations

import sys
from collections.abc import Callable
from pathlib import Path
from time import perf_counter
from xml.parsers import expat

sys.path.insert(0, str(Path(__file__).resolve().parents[2]))

from watchlist.core.lots.source import Source
from watchlist.feeds.read import read_entries

FEEDS, LOTS = 20, 250
DESCRIPTION = (
    "&lt;table&gt;&lt;tr&gt;&lt;td&gt;Price&lt;/td&gt;&lt;td&gt;{n} EUR&lt;/td&gt;&lt;/tr&gt;"
    "&lt;tr&gt;&lt;td&gt;Closes&lt;/td&gt;&lt;td&gt;14 Mar 2026 20:00 CET&lt;/td&gt;&lt;/tr&gt;&lt;/table&gt;"
    "&lt;p&gt;Weight 25.8 g. A pleasing piece with an old tone.&lt;/p&gt;"
)
ITEM = (
    "<item><title>Orvany 5 tor {year}-V silver, VF, lightly toned</title><guid isPermaLink='false'>LM-{n}</guid>"
    "<link>https://lindmoor.example/lot/{n}</link><pubDate>Mon, 02 Mar 2026 10:00:00 +0100</pubDate>"
    "<category>Silver</category><description>" + DESCRIPTION + "</description>"
    '<lot:price currency="EUR">{n}.50</lot:price></item>'
)


def feed(number: int) -> bytes:
    """One feed of lots that stand in no other."""
    lots = (ITEM.format(n=number * LOTS + n, year=1880 + n % 40) for n in range(LOTS))
    return f'<rss version="2.0" xmlns:lot="urn:lot"><channel><title>t</title>{"".join(lots)}</channel></rss>'.encode()


def best(run: Callable[[], object], times: int = 5) -> float:
    """Seconds of the fastest of several runs."""
    took = []
    for _ in range(times):
        started = perf_counter()
        run()
        took.append(perf_counter() - started)
    return min(took)


def main() -> None:
    """Measure and print."""
    bodies = [feed(number) for number in range(FEEDS)]
    source = Source("Lindmoor", "https://lindmoor.example/feed")
    hashes = [read_entries(source, body).unseen for body in bodies]
    all_seen = {name for names in hashes for name in names}
    few_new = {name for names in hashes for name in names[LOTS // 20 :]}
    rows = {
        "bare expat pass": lambda: [expat.ParserCreate().Parse(body, True) for body in bodies],
        "all new": lambda: [read_entries(source, body) for body in bodies],
        "one in twenty new": lambda: [read_entries(source, body, seen=few_new) for body in bodies],
        "all seen": lambda: [read_entries(source, body, seen=all_seen) for body in bodies],
    }
    print(f"{FEEDS} feeds of {LOTS} lots, {sum(map(len, bodies)):,} bytes")
    for name, run in rows.items():
        took = best(run)
        print(f"{name:18} {took:7.3f} s  {FEEDS * LOTS / took:9,.0f} lots/s")


if __name__ == "__main__":
    main()
