"""Makes a small shelf by commands alone and packs it, so that later versions can be held to it: one file a schema.

Run once for each schema: `python -m tests.data.freeze_shelf tests/data/shelf_schema_1.zip`."""

from __future__ import annotations

import sys
import tempfile
from pathlib import Path

from watchlist.cli import main

CATALOGUE = """issue,country,denomination,year,mint,variety,weight_g
OR-5T-1891M,Orvany,5 tor,1891,M,,25.00
OR-5T-1893V,Orvany,5 tor,1893,V,,25.00
OR-1T-1889,Orvany,1 tor,1889,,,5.00
"""
SALES = "sale_date,country,denomination,year,mint,grade,hammer,currency,source\n" + "".join(
    f"2025-{month:02},Orvany,5 tor,{year},{mint},VF-30,{200 + 7 * month},EUR,Fen Sales\n".replace(
        f"2025-{month:02},", f"2025-{month:02}-11,"
    )
    for month in range(1, 12)
    for year, mint in (("1891", "M"), ("1893", "V"))
)
WANTS = """want_id,country,denomination,year,mint,min_grade,max_grade,ceiling,ceiling_currency,quantity
w01,Orvany,5 tor,1891,M,20,45,400,EUR,3
w02,Orvany,5 tor,1893,V,20,45,300,EUR,1
"""
TERMS = "venue,kind,currency,premium_pct,shipping,time_zone\nFen Sales,auction,EUR,20,9,Europe/Berlin\n"
RATES = "month,currency,units_per_EUR\n2026-02,GBP,0.86\n"
LOTS = "id,title,price,currency,ends_at,seller\n" + "".join(
    f"{number},Orvany 5 tor 1891-M VF-30,{180 + number},EUR,2026-03-{number:02}T18:00:00+01:00,ash\n"
    for number in range(1, 9)
)
EVENING = "2026-03-05T20:00:00+01:00"
STEPS = (
    ("want add --coin", "Orvany 1 tor 1889", "--grade", "20-40", "--ceiling", "60EUR"),
    ("want edit w01 --filled 1",),
    ("decide 6 follow",),
    ("decide 7 bid 210",),
    ("decide 7 placed",),
    ("decide 8 bid 190",),
    ("result 1 190 --won",),
    ("result 2 200 --won",),
    ("result 3 230",),
    ("result 4 240 --won",),
    ("undo",),
    ("price --weight 3 0.5",),
    ("read --correct 5 grade=40",),
    ("read --correct schnieke grade=40",),
)


def run(shelf: Path, *words: str, now: str = EVENING) -> None:
    """One command that must succeed; a first word of several is taken apart."""
    code = main([*words[0].split(), *words[1:], "--shelf", str(shelf), "--now", now])
    if code:
        raise SystemExit(f"{words} ended with {code}")


def freeze(target: Path) -> None:
    """Lay the shelf out and pack it."""
    with tempfile.TemporaryDirectory() as folder:
        shelf, files = Path(folder) / "shelf", Path(folder)
        for kind, text in (
            ("catalogue", CATALOGUE), ("terms", TERMS), ("rates", RATES), ("prices", SALES), ("wants", WANTS),
        ):  # fmt: skip
            (files / f"{kind}.csv").write_text(text, "utf-8")
            run(shelf, "import", kind, str(files / f"{kind}.csv"))
        (files / "lots.csv").write_text(LOTS, "utf-8")
        run(shelf, "source", "add", "fen", str(files / "lots.csv"), "--venue", "Fen Sales")
        run(shelf, "gather", now="2026-02-27T08:00:00+01:00")
        run(shelf, "source", "add", "fen", "https://fen.example/lots.csv", "--replace")
        for words in STEPS:
            run(shelf, *words)
        run(shelf, "backup", str(target))


if __name__ == "__main__":
    freeze(Path(sys.argv[1]).resolve())
