"""Titles read a second of processor time, alone and with a description.

Beside them one plain regular expression over the same titles in the same run:

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

from watchlist.core.reading.reader import Reader  # noqa: E402
from watchlist.core.reading.vocabulary.vocabulary import Vocabulary  # noqa: E402
from watchlist.words import load  # noqa: E402

PLAIN = re.compile(
    r"\b(1[5-9]\d\d|20\d\d)\b|\b(MS|AU|XF|VF|F|VG|G|PR)-?(\d\d?)\b|\b(\d+) ?(c|mark|tor|lind)\b", re.IGNORECASE
)
ROUNDS = 5
DESCRIPTIONS = (
    "A pleasing piece from an old collection, light grey patina, please "
    "see the photos. Weight 27.3 g, sent insured, no returns",
    "Condition as pictured, some hairlines and a small rim nick at six "
    "o'clock. Combined postage is possible, payment in 7 days",
    "Graded by QCG with certificate 4471902. Sharp details and full "
    "lustre. Closing 14 March, bids in steps of 5, tracked post.",
    "Silber, Gewicht 22.1 g, Durchmesser 36 mm, Erhaltung wie abgebildet. "
    "Versand 4,90 EUR, Abholung ist nach Absprache auch ok",
)
"""Of 120 characters, as feeds carry them."""


def rate(titles: list[str], work: Callable[[str], object]) -> float:
    """Best of several rounds, in titles a second."""
    best = 0.0
    for _ in range(ROUNDS):
        start = time.process_time()
        for title in titles:
            work(title)
        best = max(best, len(titles) / (time.process_time() - start))
    return best


def main() -> None:
    lines = (ROOT / "tests" / "data" / "titles.jsonl").read_text("utf-8").splitlines()
    titles = [json.loads(line)["title"] for line in lines] * 5
    tables = load()
    start = time.process_time()
    reader = Reader(Vocabulary(tables, ["QCG", "HNS"]))
    print(f"building a reader: {1000 * (time.process_time() - start):.0f} ms")
    print(f"reader:            {rate(titles, reader.read):,.0f} titles a second")
    both = {title: DESCRIPTIONS[at % len(DESCRIPTIONS)] for at, title in enumerate(titles)}
    print(f"and description:   {rate(titles, lambda title: reader.read(title, both[title])):,.0f} titles a second")
    print(f"one plain pattern: {rate(titles, PLAIN.findall):,.0f} titles a second")


if __name__ == "__main__":
    main()
