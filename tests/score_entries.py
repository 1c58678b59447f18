"""Print how well whole entries are read: title, description and columns, with price and closing time.

    python tests/score_entries.py [--show] [--unseen] [FILE...]

Without files: tests/data/own_entries.jsonl. A line is `{"id", "lang", "columns" or "title", "expect"}`: one row of a
table by heading and cell, or a title alone; price and closing time may stand beside `expect`. What is left out is not
judged; null: nothing must be read.
`--show` prints every field that is read wrong; `--unseen` prints totals alone.
"""

from __future__ import annotations

import csv
import io
import json
import sys
from collections import Counter
from collections.abc import Iterator
from datetime import datetime
from fractions import Fraction
from functools import cache
from pathlib import Path
from typing import Any

ROOT = Path(__file__).resolve().parent.parent
sys.path.insert(0, str(ROOT))

from tests.meaning import denomination, f1, land, problems, reader  # noqa: E402
from watchlist.core.lots.lot import make_lot  # noqa: E402
from watchlist.core.lots.record import Lot  # noqa: E402
from watchlist.core.lots.source import Source  # noqa: E402
from watchlist.core.reading.record import Reading  # noqa: E402
from watchlist.feeds.read import read_entries  # noqa: E402
from watchlist.words import load  # noqa: E402

DEFAULT = ROOT / "tests" / "data" / "own_entries.jsonl"
TABLES = ("money", "times", "columns", "lots")
NOW = datetime.fromisoformat("2026-03-03T07:30:00+01:00")
HOME, ZONE = "EUR", "Europe/Berlin"


def _fields(row: dict[str, Any], reading: Reading, lot: Lot | None) -> Iterator[tuple[str, bool, Any, Any]]:
    """Each field judged: name, whether right, expected, read."""
    want = row["expect"] | {name: row[name] for name in ("price", "closes") if name in row}
    low = (reading.grade_low, reading.grade_high)
    for name, one in want.items():
        two: Any = getattr(reading, name, None)
        if name in ("grade_low", "grade_high"):
            allowed = [(want["grade_low"], want["grade_high"])]
            allowed += [tuple(row["or_grade"])] if row.get("or_grade") else []
            proof = "PROOF" in reading.designations and want["grade_low"] is None and low in ((60, 70), (None, None))
            right, two = low in allowed or proof, low
        elif name == "denomination":
            country = want.get("country")
            right = denomination(one, country) == denomination(two, country)
        elif name == "problems":
            right = problems(one) == problems(two)
        elif name in ("designations", "years"):
            right = set(one) == set(two)
        elif name == "country":
            right = land(one) == land(two)
        elif name in ("mint", "service", "cert_number"):
            right = (one or "").casefold() == (two or "").casefold()
        elif name == "price":
            two = (
                lot
                and lot.price
                and {"amount": str(lot.price.amount), "currency": lot.price.currency, "kind": lot.price_kind}
            )
            right = _priced(one) == _priced(two)
        elif name == "closes":
            two = lot.closes if lot else None
            right = two == (datetime.fromisoformat(one) if one else None)
        else:
            right = one == two
        yield name, right, one, two


def _priced(price: Any) -> Any:
    return price and (Fraction(price["amount"]), price["currency"], price["kind"])


@cache
def _words() -> dict[str, Any]:
    return {name: load(name) for name in TABLES}


def read_row(row: dict[str, Any]) -> tuple[Reading, Lot | None, list[str]]:
    """The reading and the lot of one line, and the troubles that were told."""
    if "title" in row:
        return reader().read(row["title"]), None, []
    written = io.StringIO()
    csv.writer(written).writerows([list(row["columns"]), list(row["columns"].values())])
    source = Source("entries", "entries.csv", kind="csv")
    read = read_entries(source, written.getvalue().encode())
    troubles = [f"{each.kind} {dict(each.facts)}" for each in read.troubles]
    if not read.entries:
        return Reading(""), None, troubles
    lot, more = make_lot(read.entries[0], source, words=_words(), now=NOW, home_currency=HOME, home_zone=ZONE)
    reading = reader().read(lot.title, lot.description, dict(lot.fields))
    return reading, lot, [*troubles, *(f"{each.kind} {dict(each.facts)}" for each in more)]


class Score:
    """What was read right and wrong of the lines of one file."""

    def __init__(self) -> None:
        self.right: Counter[str] = Counter()
        self.count: Counter[str] = Counter()
        self.whole: Counter[str] = Counter()
        self.rows: Counter[str] = Counter()
        self.found = self.missed = self.invented = 0

    def add(self, row: dict[str, Any]) -> list[str]:
        """Read one line and count it; a line for each field that is wrong."""
        reading, lot, troubles = read_row(row)
        wrong = []
        for name, ok, want, got in _fields(row, reading, lot):
            self.count[name] += 1
            self.right[name] += ok
            said, taken = want not in (None, [], False), got not in (None, (), False, (None, None))
            self.found += ok and said
            self.missed += not ok and said
            self.invented += not ok and taken
            if not ok:
                wrong.append(f"    {name}: wanted {want!r}, read {got!r}")
        self.rows[row["lang"]] += 1
        self.whole[row["lang"]] += not wrong
        return wrong and [*wrong, *(f"    trouble: {each}" for each in troubles), *_notes(lot)]

    @property
    def f1(self) -> float:
        """Of the fields that a line states."""
        return f1(self.found, self.missed, self.invented)


def _notes(lot: Lot | None) -> list[str]:
    notes = (lot.price_note, lot.closes_note) if lot else ()
    return [f"    note: {note}" for note in notes if note]


def score(path: Path, *, show: bool = False) -> Score:
    """Read a file and score it; `show` prints every line that is read wrong."""
    out = Score()
    for line in path.read_text("utf-8").splitlines():
        row = json.loads(line)
        wrong = out.add(row)
        if wrong and show:
            print(f"\n{row['id']} {json.dumps(row.get('columns') or row['title'], ensure_ascii=False)}")
            print("\n".join(wrong))
    return out


def tell(path: Path, out: Score) -> None:
    """Print a score."""
    print(f"\n{path.name}: {out.rows.total()} rows")
    for name, number in out.count.items():
        print(f"  {name:14} {out.right[name]:4}/{number:<4}")
    print("  " + ", ".join(f"{name} {out.whole[name]}/{number}" for name, number in out.rows.items()))
    print(f"  F1 {out.f1:.4f}; whole {out.whole.total()}/{out.rows.total()}")


def main(arguments: list[str]) -> None:
    files = [Path(a) for a in arguments if not a.startswith("-")] or [DEFAULT]
    for path in files:
        tell(path, score(path, show="--show" in arguments and "--unseen" not in arguments))


if __name__ == "__main__":
    main(sys.argv[1:])
