"""The open data sets as issues and sales, and their splits."""

from __future__ import annotations

import csv
from collections.abc import Iterator
from pathlib import Path

import numpy as np

from tests.market.made import TODAY
from watchlist.core.coins.issue import Issue
from watchlist.core.prices.realised import Sale
from watchlist.market.rows import NODES

DATA = Path(__file__).resolve().parents[2] / "data"


def stones() -> tuple[list[Issue], list[Sale]]:
    """308 graded stones: Chu (2001), Pricing the C's of Diamond Stones, J. Statistics Education 9(2).

    An issue is a colour and clarity, a series a clarity; the grade is log size laid evenly on the nodes.
    """
    lines = list(csv.DictReader((DATA / "graded_stones_308.csv").open()))
    size = np.log([float(line["carat"]) for line in lines])
    grade = np.interp(size, np.linspace(size.min(), size.max(), len(NODES)), NODES)
    issues, sales = {}, []
    for number, line in enumerate(lines):
        key = f"{line['clarity']}-{line['colour']}"
        issues[key] = Issue(key, "stones", "stone", 2000, type=line["clarity"])
        sales.append(Sale(number + 1, key, float(grade[number]), float(line["price"]), TODAY, raw=False))
    return list(issues.values()), sales


def auctions() -> tuple[list[Issue], list[Sale]]:
    """143 online auctions of one article: OpenIntro Statistics. total_pr is price and postage.

    An issue is new or used; the grade is the extras in the box: none, one, two, three or more.
    """
    lines = list(csv.DictReader((DATA / "auctions143.csv").open()))
    issues = [Issue(key, "auctions", "article", 2009) for key in ("new", "used")]
    extras = (4.0, 20.0, 40.0, 64.0, 64.0)
    sales = [
        Sale(number + 1, line["cond"], extras[int(line["wheels"])], float(line["total_pr"]), TODAY, raw=False)
        for number, line in enumerate(lines)
    ]
    return issues, sales


def folds(sales: list[Sale], count: int = 5, seed: int = 0) -> Iterator[tuple[list[Sale], list[Sale]]]:
    """Random fifths: (kept, left out)."""
    which = np.random.default_rng(seed).permutation(len(sales)) % count
    for fold in range(count):
        pairs = list(zip(sales, which, strict=True))
        yield [s for s, w in pairs if w != fold], [s for s, w in pairs if w == fold]
