"""Write the sample shelf again: `python sample_feeds/generate.py [FOLDER [TRUTH-FILE]]`. The same bytes every time.

Everything is invented: the country, its coins, the venues, the services, the sellers, the prices and the rates.
"""

from __future__ import annotations

import csv
import io
import json
import random
import sys
import tomllib
from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path
from typing import Any

HERE = Path(__file__).resolve().parent
sys.path.insert(0, str(HERE))

from scenario import coins, feeds, filling, lots, prices, story, venues  # noqa: E402

Rows = Sequence[dict[str, str]]
FIRST_NUMBER = {
    "lindmoor": "{:d}",
    "lindmoor-evening": "{:d}",
    "wexby": "{:d}",
    "ostrell": "TS-{:d}",
    "brannental": "{:d}",
}
START = {"lindmoor": 101, "lindmoor-evening": 801, "wexby": 330146211, "ostrell": 5120, "brannental": 2001}
WRITERS = {
    "lindmoor": feeds.rss,
    "lindmoor-evening": feeds.rss,
    "wexby": feeds.atom,
    "ostrell": feeds.json_feed,
    "brannental": feeds.german_csv,
}
ENCODING = {"brannental": "cp1252"}


def rng(part: str) -> random.Random:
    """Each part draws from its own stream, so that a change in one leaves the others as they were."""
    return random.Random(f"orvany 1.0 {part}")


@dataclass(frozen=True, slots=True)
class World:
    """All of the scenario, drawn once."""

    coins: list[coins.Coin]
    rates: venues.Rates
    sold: list[prices.Sold]
    wants: list[prices.Want]
    lots: list[lots.Lot]


def world() -> World:
    """Draw coins, market, wants and lots."""
    issues = coins.catalogue(rng("coins"))
    rates = venues.Rates(rng("rates"))
    sold = prices.sales(rng("sales"), issues, rates)
    wants = prices.wants(rng("wants"), issues, Counter(s.coin.key for s in sold))
    cast = story.Cast(issues, wants, sold)
    told = story.story(cast)
    plans = [*told, *filling.fill(rng("filling"), cast, told)]
    return World(issues, rates, sold, wants, _numbered(plans, rates))


def _numbered(plans: list[lots.Plan], rates: venues.Rates) -> list[lots.Lot]:
    """Lots in the order of their feeds, so that a number tells nothing about what a lot is."""
    draw, out = rng("lots"), []
    for source in WRITERS:
        own = [p for p in plans if p.source == source]
        draw.shuffle(own)
        if source != "wexby" and source != "ostrell":
            own.sort(key=lambda p: p.closes.timestamp() if p.closes else 0)
        for n, plan in enumerate(own):
            number = START[source] + (n * 37 if source == "wexby" else n)
            out.append(lots.make(draw, plan, FIRST_NUMBER[source].format(number), rates))
    return out


def table(rows: Rows) -> bytes:
    """Rows as a CSV file."""
    out = io.StringIO()
    writer = csv.DictWriter(out, list(rows[0]), lineterminator="\n")
    writer.writeheader()
    writer.writerows(rows)
    return out.getvalue().encode()


def snapshot(
    all_lots: Sequence[lots.Lot], sources: Sequence[dict[str, Any]], day: str, now: datetime
) -> dict[str, bytes]:
    """The feeds of one day, under their file names."""
    out = {}
    for source in sources:
        name = str(source["name"])
        seen = [lot for lot in all_lots if lot.plan.source == name and lot.plan.listed in ("both", day)]
        text = (
            feeds.SIGN_IN
            if not seen
            else WRITERS[name](seen, (lambda lot: lot.price) if day == "today" else (lambda lot: lot.earlier), now)
        )
        out[str(source["file"])] = text.encode(ENCODING.get(name, "utf-8"))
    return out


def truth(drawn: World) -> bytes:
    """What each lot truly is, by its key, for the tests alone."""
    wanted: dict[str, list[str]] = {}
    for want in drawn.wants:
        wanted.setdefault(want.coin.key, []).append(want.id)
    out = {}
    for lot in drawn.lots:
        key = f"{lot.plan.source}:{_feed_id(lot)}"
        out[key] = {**lot.truth, "wanted": wanted.get(str(lot.truth["issue"]), []), "title": lot.title}
    lines = ",\n".join(f"{json.dumps(key)}: {json.dumps(value)}" for key, value in sorted(out.items()))
    return f"{{\n{lines}\n}}\n".encode()


def _feed_id(lot: lots.Lot) -> str:
    return {"lindmoor": "LM-", "lindmoor-evening": "LM-", "wexby": "tag:wexby.example,2026:"}.get(
        lot.plan.source, ""
    ) + lot.id


def files(plan: dict[str, Any]) -> dict[str, bytes]:
    """Every file of the sample shelf but sample.toml, by name, and `truth`."""
    drawn = world()
    out = {
        "catalogue.csv": table(coins.catalogue_rows(drawn.coins)),
        "rates.csv": table(drawn.rates.table()),
        "terms.csv": table(venues.terms_rows()),
        "prices.csv": table(prices.price_rows(rng("rows"), drawn.sold)),
        "guide.csv": table(prices.guide_rows(rng("guide"), drawn.coins)),
        "wants.csv": table([want.row for want in drawn.wants]),
        "truth": truth(drawn),
    }
    sample, sources = plan["sample"], plan["sources"]
    out |= snapshot(drawn.lots, sources, "today", sample["morning"])
    earlier = snapshot(drawn.lots, sources, "yesterday", sample["yesterday"])
    return out | {f"{sample['previous']}/{name}": body for name, body in earlier.items()}


def main(arguments: Sequence[str]) -> None:
    """Write the files where they belong, or under the folder given."""
    folder = Path(arguments[0]) if arguments else HERE
    truth_file = Path(arguments[1]) if len(arguments) > 1 else HERE.parent / "tests" / "data" / "sample_truth.json"
    plan = tomllib.loads((HERE / "sample.toml").read_text("utf-8"))
    for name, body in files(plan).items():
        path = truth_file if name == "truth" else folder / name
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_bytes(body)


if __name__ == "__main__":
    main(sys.argv[1:])
