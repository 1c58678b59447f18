"""Titles read a second on one core, beside one plain regular expression over the same titles in the same run.

python tests/bench/bench_reading.py
"""

from __future__ import annotations

import json
import re
import sys
import time
from collections.abc import Callable
from pathlib import Path

ROOT = Path(__file__).resolve().parent.parent.parent
sys.path.insert(0, str(ROOT))

from watchlist.core.reading import Reader  # noqa: E402
from watchlist.words import load  # noqa: E402

PLAIN = re.compile(
    r"\b(1[5-9]\d\d|20\d\d)\b|\b(MS|AU|XF|VF|F|VG|G|PR)-?(\d\d?)\b|\b(\d+) ?(c|mark|tor|lind)\b", re.IGNORECASE
)
ROUNDS = 5


def rate(titles: list[str], work: Callable[[str], object]) -> float:
    """Best of several rounds, in titles a second."""
    best = 0.0
    for _ in range(ROUNDS):
        start = time.perf_counter()
        for title in titles:
            work(title)
        best = max(best, len(titles) / (time.perf_counter() - start))
    return best


def main() -> None:
    lines = (ROOT / "tests" / "data" / "titles.jsonl").read_text("utf-8").splitlines()
    titles = [json.loads(line)["title"] for line in lines] * 5
    tables = load()
    start = time.perf_counter()
    reader = Reader(tables, ["QCG", "HNS"])
    print(f"building a reader: {1000 * (time.perf_counter() - start):.0f} ms")
    print(f"reader:            {rate(titles, reader.read):,.0f} titles a second")
    print(f"one plain pattern: {rate(titles, PLAIN.findall):,.0f} titles a second")


if __name__ == "__main__":
    main()
