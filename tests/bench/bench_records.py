"""Records to JSON and back: ours beside cattrs, which has to be installed for it. Not part of the suite; run by hand.

python tests/bench/bench_records.py [N]    ratios over N lots with their readings, judgements and decisions; below 1
                                           cattrs is quicker. Then what a process pays before its first record.
"""

from __future__ import annotations

import dataclasses
import math
import subprocess
import sys
import time
from collections.abc import Callable
from datetime import date, datetime
from decimal import Decimal
from pathlib import Path
from typing import Any, get_args

sys.path.insert(0, str(Path(__file__).resolve().parents[2]))

START = time.process_time()
from cattrs import Converter  # noqa: E402
from cattrs.gen import make_dict_unstructure_fn, override  # noqa: E402

IMPORTED = time.process_time() - START

from tests.bench.bench_shelf import NOW, made_up  # noqa: E402
from watchlist.core.decisions.review import Decision  # noqa: E402
from watchlist.shelf import records  # noqa: E402


def only(kind: type) -> Callable[[Any, Any], Any]:
    """What our own reading asks too: the right type, not one that can be made of it."""

    def check(data: Any, _: Any) -> Any:
        if type(data) is not kind:
            raise TypeError(f"{kind.__name__} wanted, not {type(data).__name__}")
        return data

    return check


def kept(value: Any, fine: bool) -> Any:
    if not fine:
        raise ValueError(f"{value} cannot be kept")
    return value


def converter() -> Converter:
    """cattrs with the rules of our records. It writes fields with a default behind all others."""
    made = Converter(detailed_validation=False)
    for kind in (str, int, bool):
        made.register_structure_hook(kind, only(kind))
    made.register_structure_hook(float, lambda data, _: data if type(data) is float else float(only(int)(data, _)))
    made.register_structure_hook(Decimal, lambda data, _: kept(read := Decimal(data), read.is_finite()))
    made.register_structure_hook(
        datetime, lambda data, _: kept(read := datetime.fromisoformat(data), read.tzinfo is not None)
    )
    made.register_structure_hook(date, lambda data, _: date.fromisoformat(data))
    made.register_unstructure_hook(str, lambda value: kept(value, isinstance(value, str)))
    made.register_unstructure_hook(float, lambda value: float(kept(value, math.isfinite(value))))
    made.register_unstructure_hook(Decimal, lambda value: str(kept(value, value.is_finite())))
    made.register_unstructure_hook(datetime, lambda value: kept(value, value.tzinfo is not None).isoformat())
    made.register_unstructure_hook(date, date.isoformat)

    def write_record(kind: type) -> Callable[[Any], Any]:
        fields = {
            field.name: override(omit_if_default=records._empty_default(field) is not None, omit=not field.init)
            for field in dataclasses.fields(kind)
        }
        return make_dict_unstructure_fn(kind, made, **fields)  # type: ignore[arg-type]

    def write_row(kind: Any) -> Callable[[Any], Any]:
        turns = [made.get_unstructure_hook(each) for each in get_args(kind)[:1]]
        return lambda values: [turns[0](value) for value in values]

    made.register_unstructure_hook_factory(
        lambda kind: dataclasses.is_dataclass(kind) and isinstance(kind, type), write_record
    )
    made.register_unstructure_hook_factory(
        lambda kind: getattr(kind, "__origin__", None) is tuple and get_args(kind)[-1] is Ellipsis, write_row
    )
    return made


def seconds(work: Callable[[], object]) -> float:
    """The quickest of nine."""
    best = math.inf
    for _ in range(9):
        start = time.process_time()
        work()
        best = min(best, time.process_time() - start)
    return best


def first(what: str) -> None:
    """Seconds of the first lot, reading and judgement of this process, and of the library that was loaded for it."""
    row = next(iter(made_up(1)))
    parts = (row.lot, row.reading, row.judgement)
    start = time.process_time()
    theirs = converter() if what == "cattrs" else None
    for part in parts:
        if theirs:
            theirs.structure(theirs.unstructure(part), type(part))
        else:
            records.from_data(type(part), records.to_data(part))
    print(f"first records by {what}: {1000 * (time.process_time() - start):.0f} ms")


def main() -> None:
    """Ratios, then the start."""
    theirs, rows = converter(), list(made_up(int(sys.argv[1]) if len(sys.argv) > 1 else 2_000))
    decisions = [Decision(0, f"b{n}", NOW, "follow", row.lot.key) for n, row in enumerate(rows)]
    for kept_ones in (
        [row.lot for row in rows],
        [row.reading for row in rows],
        [row.judgement for row in rows],
        decisions,
    ):
        some: list[Any] = list(kept_ones)
        kind, data = type(some[0]), [records.to_data(each) for each in some]
        assert [theirs.structure(each, kind) for each in data] == some
        same = sum(list(theirs.unstructure(one)) == list(other) for one, other in zip(some, data, strict=True))
        write = seconds(lambda: [theirs.unstructure(each) for each in some]) / seconds(  # noqa: B023
            lambda: [records.to_data(each) for each in some]  # noqa: B023
        )
        read = seconds(lambda: [theirs.structure(each, kind) for each in data]) / seconds(  # noqa: B023
            lambda: [records.from_data(kind, each) for each in data]  # noqa: B023
        )
        order = f"fields in our order {same}/{len(some)}"
        print(f"{kind.__name__:10} cattrs to ours: write {write:.2f}, read {read:.2f}; {order}")
    print(f"import of cattrs: {1000 * IMPORTED:.0f} ms")
    for what in ("cattrs", "ours"):
        subprocess.run([sys.executable, __file__, "first", what], check=True)


if __name__ == "__main__":
    first(sys.argv[2]) if sys.argv[1:2] == ["first"] else main()
