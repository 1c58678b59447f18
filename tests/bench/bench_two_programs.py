"""Two programs on one shelf, deciding at random: how many lines, and that none is lost.

`python tests/bench/bench_two_programs.py [SECONDS [accounts]]`; an hour is 3600. With `accounts`, as root, each is an
account of its own; Python and this folder have to be readable for them."""

from __future__ import annotations

import sys
import tempfile
from pathlib import Path

sys.path.insert(0, str(Path(__file__).resolve().parents[2]))

from tests.bench.two_programs import lay_out, lost, programs

if __name__ == "__main__":
    seconds = float(sys.argv[1]) if len(sys.argv) > 1 else 60.0
    accounts = "accounts" in sys.argv
    with tempfile.TemporaryDirectory() as folder:
        Path(folder).chmod(0o755)
        shelf = Path(folder) / "shelf"
        lay_out(shelf, accounts=accounts)
        made = list(programs(shelf, seconds, accounts=accounts))
        lines = [line for _, said in made for line in said]
        wrong = lost(shelf, lines)
    print(f"{seconds:.0f} s: {' and '.join(str(tried) for tried, _ in made)} tries, {len(lines)} lines written")
    print("none lost" if not wrong else "\n".join(wrong))
    sys.exit(bool(wrong))
