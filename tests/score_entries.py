"""Print how well whole entries are read: title, description and columns together, by field and by entry.

    python tests/score_entries.py [--show] [--field NAME] [--odd | --even] [FILE...]

Without files: all entries_*.jsonl of tests/data. An entry goes the whole road of a lot: it is written as a row of a CSV
file under its own headings, gathered and read. A row holds `title`, `description`, `columns` (by heading) and either
`want`, the fields of a reading that are not empty (one that is left out must be empty, save those named in `open`), or
`expect`, the fields that are judged. F1 is over all values of all fields: one of a set counts for itself, the two ends
of a grade are one value.
"""

from __future__ import annotations

import csv
import io
import json
import re
import sys
from collections import Counter
from collections.abc import Iterator, Mapping
from datetime import UTC, datetime
from pathlib import Path
from typing import Any

ROOT = Path(__file__).resolve().parent.parent
sys.path.insert(0, str(ROOT))

from tests.score_titles import CODES  # noqa: E402
from watchlist.core.lots.lot import make_lot  # noqa: E402
from watchlist.core.lots.source import Source  # noqa: E402
from watchlist.core.reading.reader import Reader  # noqa: E402
from watchlist.core.reading.record import Reading  # noqa: E402
from watchlist.core.reading.vocabulary.catalogued import Catalogued  # noqa: E402
from watchlist.core.reading.vocabulary.spellings import same_denomination  # noqa: E402
from watchlist.core.reading.vocabulary.vocabulary import Vocabulary  # noqa: E402
from watchlist.feeds.read import read_entries  # noqa: E402
from watchlist.words import load  # noqa: E402

DATA = ROOT / "tests" / "data"
NOW = datetime(2026, 3, 1, 9, 0, tzinfo=UTC)
FIELDS = (
    "country", "denomination", "year", "mint", "grade", "certified", "service", "cert_number", "designations", "problems",
    "multiple", "replica", "strike", "date_state",
)  # fmt: skip
"""Fields that are scored, one after the other."""
SETS = frozenset(("designations", "problems"))
KNOWN = Catalogued(denominations=["10 lind", "1 tor", "5 tor"], countries=["Orvany"], mints=["M", "V", "S"])


COUNTRIES = Vocabulary(load(), ["QCG", "HNS", "ORN"], catalogued=KNOWN)
SPELT = {
    "thaler": "taler", "rouble": "ruble", "rubel": "ruble", "frank": "franc", "franken": "franc", "lire": "lira",
    "dukat": "ducat", "dukaat": "ducat", "denar": "denarius", "halfpenny": "half penny", "grosze": "grosz",
    "groszy": "grosz", "zlotych": "zloty", "zlote": "zloty", "deutsche mark": "mark", "dm": "mark",
}  # fmt: skip


def reader() -> Reader:
    """A reader that knows the invented country and its services."""
    return Reader(COUNTRIES)


def read_whole(row: Mapping[str, Any], with_reader: Reader) -> Reading:
    """The reading of an entry, as a lot of a CSV file with its own headings."""
    columns = row.get("columns", {})
    if "title" in row:
        columns = {"Lot": "1", "Title": row["title"], "Description": row.get("description", ""), **columns}
    out = io.StringIO()
    csv.writer(out).writerows([list(columns), list(columns.values())])
    source = Source("test", "test.csv")
    taken = read_entries(source, out.getvalue().encode())
    if not taken.entries:
        return Reading(f"not taken: {taken.troubles}")
    entry = taken.entries[0]
    lot, _ = make_lot(entry, source, words=load(), now=NOW, home_currency="EUR")
    return with_reader.read(lot.title, lot.description, dict(lot.fields))


def values(row: Mapping[str, Any], field: str) -> set[Any]:
    """What a field holds, as a set of values; empty for none."""
    if field == "grade":
        ends = (row.get("grade_low"), row.get("grade_high"))
        return set() if ends == (None, None) else {ends}
    value = row.get(field)
    if field in SETS:
        return set(value or ()) - {"details"}
    if field == "denomination" and value:
        return {_denomination(value)}
    if field == "country" and value:
        return {COUNTRIES.country_code(value)}
    if field == "mint" and value:
        return {value.upper()}
    return {value} - {None, False, ""}


def _denomination(text: str) -> str:
    """Spelt alike: `1 mark` is `mark`, `taler` is `thaler`."""
    plain = same_denomination(CODES.get(text, text)) or ""
    for word, same in SPELT.items():
        plain = re.sub(rf"\b{word}\b", same, plain)
    return plain.removeprefix("1 ")


def judged(row: Mapping[str, Any], field: str) -> bool:
    """Whether a row says what a field should hold."""
    if field in row.get("open", ()):
        return False
    if "expect" in row:
        return field in row["expect"] or (field == "grade" and "grade_low" in row["expect"])
    return field != "country"


def wanted(row: Mapping[str, Any], field: str, read: Reading) -> set[Any]:
    """What a field should hold; a proof without a number may have its band or none, a pair of grades either reading."""
    want = values(row.get("want") or row.get("expect") or {}, field)
    got = values({"grade_low": read.grade_low, "grade_high": read.grade_high}, "grade")
    if field == "grade" and not want and "PROOF" in read.designations and read.grade_low in (60, 65, None):
        return got
    return got if field == "grade" and got == {tuple(row.get("or_grade", ()))} else want


def compared(row: Mapping[str, Any], read: Reading) -> Iterator[tuple[str, set[Any], set[Any]]]:
    """Each field: its name, what it should hold and what it holds."""
    got = {name: getattr(read, name, None) for name in (*FIELDS, "grade_low", "grade_high")}
    for field in FIELDS:
        if judged(row, field):
            yield field, wanted(row, field, read), values(got, field)


def f1(hit: int, wrong: int, missed: int) -> float:
    """The harmonic mean of precision and recall."""
    return 2 * hit / (2 * hit + wrong + missed) if hit + wrong + missed else 1.0


def score(path: Path, with_reader: Reader, show: bool, only: str, part: str) -> None:
    """Print the scores of a file."""
    hit, wrong, missed = Counter[str](), Counter[str](), Counter[str]()
    whole = entries = 0
    for number, line in enumerate(path.read_text("utf-8").splitlines()):
        row = json.loads(line)
        if part and (number % 2 == 0) != (part == "--odd"):
            continue
        good = True
        read = read_whole(row, with_reader)
        for field, want, got in compared(row, read):
            hit[field] += len(want & got)
            wrong[field] += len(got - want)
            missed[field] += len(want - got)
            good &= want == got
            if show and want != got and only in ("", field):
                told = " | ".join((row.get("title", ""), row.get("description", ""), str(row.get("columns", ""))))
                print(f"{row['id']} {field}: wanted {sorted(want)}, read {sorted(got)}   | {told or read.title}")
        entries += 1
        whole += good
    print(f"\n{path.name}: {entries} entries")
    for field in FIELDS:
        counts = (hit[field], wrong[field], missed[field])
        print(f"  {field:14} F1 {f1(*counts):.3f}   right {counts[0]}, wrong {counts[1]}, missed {counts[2]}")
    print(f"  all fields     F1 {f1(hit.total(), wrong.total(), missed.total()):.3f}")
    print(f"  whole entries  {whole}/{entries}")


def main(arguments: list[str]) -> None:
    """Score the files named, or all."""
    only = arguments[arguments.index("--field") + 1] if "--field" in arguments else ""
    part = next((word for word in arguments if word in ("--odd", "--even")), "")
    files = [Path(word) for word in arguments if word.endswith(".jsonl")] or sorted(DATA.glob("entries_*.jsonl"))
    with_reader = reader()
    for path in files:
        score(path, with_reader, "--show" in arguments, only, part)


if __name__ == "__main__":
    main(sys.argv[1:])
