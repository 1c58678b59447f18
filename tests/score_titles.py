"""Print how well titles are read, field by field.

    python tests/score_titles.py [--show] [FILE...]

Without files: all titles of tests/data. titles_world_held.jsonl is scored, never shown: its misses stay unseen.
Fields are compared by meaning: short codes of United States pieces equal their names, finer problem words their
canonical one, a variety its words. `--show` prints every field that is read wrong; `--odd` and `--even` take half of
the titles.
"""

from __future__ import annotations

import json
import re
import sys
from collections import Counter
from collections.abc import Callable, Iterable, Iterator
from pathlib import Path
from typing import Any

ROOT = Path(__file__).resolve().parent.parent
sys.path.insert(0, str(ROOT))

from tests.meaning import denomination, f1, land, problems, reader  # noqa: E402
from watchlist.core.reading.reader import Reader  # noqa: E402
from watchlist.core.reading.record import Reading  # noqa: E402

DATA = ROOT / "tests" / "data"
DEFAULTS = ("titles.jsonl", "own_titles.jsonl", "held_titles.jsonl", "titles_world.jsonl", "titles_world_held.jsonl")
UNSEEN = "titles_world_held.jsonl"
"""Kept to measure by: no miss of it is ever shown."""
FIELDS = (
    "country", "denomination", "year", "years", "mint", "variety", "grade_low", "grade_high", "grade_text", "certified",
    "service", "cert_number", "designations", "problems", "multiple", "quantity", "replica",
)  # fmt: skip
WHOLE = tuple(name for name in FIELDS if name not in ("country", "variety", "grade_text", "quantity", "years"))
"""Fields that make a title right as a whole: those that decide what a piece is and what it is worth."""
WRITTEN = {"service": "service_as_written", "designations": "designation"}
"""Other names of fields in the lines."""


def words(text: str | None, leave: Iterable[str] = ("proof", "set", "medal", "token")) -> set[str]:
    found = set(re.findall(r"[a-z0-9]+", (text or "").lower()))
    return found - set(leave) - {"mint", "mark", "date", "edge", "stops", "copy", "layered"}


def same_variety(want: str | None, got: str | None) -> bool:
    """By meaning: most words of the expected variety are there, and nothing is read where nothing is."""
    wanted, read = words(want), words(got)
    if not wanted:
        return not read or want in ("medal", "token")
    return len(wanted & read) >= 0.5 * len(wanted)


def same_text(want: str | None, got: str | None) -> bool:
    strip = re.compile(r"[^a-z0-9+äöüé]+")
    one, two = strip.sub("", (want or "").lower()), strip.sub("", (got or "").lower())
    return one == two or bool(one and two and (one in two or two in one))


SAME: dict[str, Callable[[Any, Any], bool]] = {
    "country": lambda one, two: land(one) == land(two),
    "variety": same_variety,
    "grade_text": same_text,
    "problems": lambda one, two: problems(one) == problems(two),
    "designations": lambda one, two: {name.strip("?") for name in one or ()} == set(two),
    "years": lambda one, two: list(one or ()) == list(two),
    "service": lambda one, two: (one or "").lower() == (two or "").lower(),
}
"""Fields that are compared otherwise than letter by letter."""


def compare(row: dict[str, Any], read: Reading) -> Iterator[tuple[str, bool, Any, Any]]:
    """Each field that a line states or denies: name, whether right, expected, read."""
    for name in FIELDS:
        key = WRITTEN[name] if WRITTEN.get(name) in row else name
        one, two = row.get(key), getattr(read, name)
        if name in row.get("open", ()) or key not in row or (one is None and name in ("quantity", "country", "years")):
            continue
        if name == "denomination":
            right = denomination(one, row.get("country")) == denomination(two, row.get("country"))
        elif name in ("grade_low", "grade_high") and one is None and two in (60, 70) and "PROOF" in read.designations:
            right = True
        else:
            right = SAME[name](one, two) if name in SAME else one == two
        yield name, right, one, two


def score(path: Path, reader: Reader, show: bool, part: str = "") -> None:
    right: Counter[str] = Counter()
    count: Counter[str] = Counter()
    whole = titles = found = missed = invented = 0
    for line in path.read_text("utf-8").splitlines():
        if not line.strip():
            continue
        row = json.loads(line)
        if part and (int(row["id"][1:]) % 2 == 1) != (part == "odd"):
            continue
        reading, good = reader.read(row["title"]), True
        for name, ok, want, got in compare(row, reading):
            count[name] += 1
            right[name] += ok
            good &= ok or name not in WHOLE
            if name != "variety":
                found += ok and bool(want)
                missed += not ok and bool(want)
                invented += not ok and bool(got)
            if show and not ok:
                print(f"{row.get('id', '')} {name}: wanted {want!r}, read {got!r}   | {row['title']}")
        titles += 1
        whole += good
    print(f"\n{path.name}: {titles} titles")
    for name in FIELDS:
        if count[name]:
            print(f"  {name:14} {right[name]:4}/{count[name]:<4} {100 * right[name] / count[name]:6.1f} %")
    total, of = sum(right.values()), sum(count.values())
    print(f"  {'all fields':14} {total:4}/{of:<4} {100 * total / of:6.1f} %")
    print(f"  {'whole titles':14} {whole:4}/{titles:<4} {100 * whole / titles:6.1f} %")
    print(f"  F1 {f1(found, missed, invented):.4f}, of all fields but the variety")


def main(arguments: list[str]) -> None:
    show = "--show" in arguments and "--unseen" not in arguments
    part = "odd" if "--odd" in arguments else "even" if "--even" in arguments else ""
    files = [Path(a) for a in arguments if not a.startswith("-")]
    for path in files or [p for p in (DATA / name for name in DEFAULTS) if p.exists()]:
        score(path, reader(), show and path.name != UNSEEN, part)


if __name__ == "__main__":
    main(sys.argv[1:])
