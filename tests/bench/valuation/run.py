"""The benchmark of the bands; prints the tables of docs/market.md.

    python tests/bench/valuation/run.py [stones auctions sparse300 sparse1500 mintage300 made robust guide speed]

Needs the test extra (scipy, scikit-learn).
"""

from __future__ import annotations

import os
from collections.abc import Callable
from typing import Any

from watchlist.core.coins.issue import Issue
from watchlist.core.prices.realised import GuideRow, Sale
from watchlist.core.prices.record import Band
from watchlist.market import Fitted
from watchlist.market.rows import Floats

os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")
import json
import sys
import time
import warnings
from collections import Counter
from dataclasses import replace
from math import exp
from pathlib import Path
from random import Random

sys.path.insert(0, str(Path(__file__).resolve().parents[3]))
import numpy as np

from tests.bench.valuation import sets
from tests.bench.valuation.peers import PEERS, SHARES, Table
from tests.market import made
from watchlist.core.prices.bands import APPEAL, answer, fair_value, value
from watchlist.core.prices.explain import explain
from watchlist.core.prices.reband import reband
from watchlist.core.prices.truegrades import Asked
from watchlist.market import Measure, fit

warnings.filterwarnings("ignore")
CALL = Measure(made.TODAY, "all-in", "EUR", 5.0)
LONG = replace(CALL, years=10.0)
GROUPS = ("0", "1-2", "3-9", "10+")
GRADES = (12, 30, 45, 62, 65)
SEEDS = range(20, 28)


def table(issues: list[Issue], sales: list[Sale]) -> Table:
    """Sales as the columns the peers read."""
    place = {issue.key: n for n, issue in enumerate(issues)}
    series = {name: n for n, name in enumerate(sorted({i.series for i in issues}))}
    problems = {name: n for n, name in enumerate(sorted(made.FACTORS))}
    logs = np.array([np.log(i.mintage) if i.mintage else 0.0 for i in issues])
    who = [place[s.issue] for s in sales]
    return Table(
        np.log([s.price for s in sales]),
        [s.grade for s in sales],
        [(made.TODAY - s.day).days / 365.25 for s in sales],
        [s.raw for s in sales],
        [problems.get(s.problem, -1) for s in sales],
        who,
        [series[issues[w].series] for w in who],
        logs[who] - logs.mean(),
    )


def band(done: Fitted, sale: Sale) -> Band:
    problems = (sale.problem,) if sale.problem else ()
    row = done.rows[sale.issue]
    return made.told(
        done.header,
        row,
        grade_low=sale.grade,
        grade_high=sale.grade,
        raw=sale.raw,
        problems=problems,
        venue_kind=sale.venue_kind,
    )


def ours(issues: list[Issue], train: list[Sale], test: list[Sale]) -> Any:
    """Log points of our bands for the test sales, and the fit."""
    done = fit(issues, train, [], LONG)
    bands = [band(done, s) for s in test]
    return np.log([[max(float(v), 1e-9) for v in (b.low, b.mid, b.high)] for b in bands]), done


def pinball(y: Floats, points: Floats) -> Floats:
    gaps = y[:, None] - points
    return np.maximum(gaps * np.array(SHARES), gaps * (np.array(SHARES) - 1))


def group(count: int) -> str:
    return "0" if count == 0 else "1-2" if count < 3 else "3-9" if count < 10 else "10+"


def measure(name: str, splits: Any) -> None:
    """One line a method: pinball, its ratio to the best peer, coverage, falling issues, seconds."""
    counts: list[str] = []
    loss: dict[str, list[Any]] = {}
    inside: dict[str, list[Any]] = {}
    spent: dict[str, float] = {}
    falling: dict[str, float] = {}
    for number, (issues, train, test) in enumerate(splits):
        a, b = table(issues, train), table(issues, test)
        seen = np.bincount(a.issue, minlength=len(issues))
        counts += [group(seen[w]) for w in b.issue]
        for who in ("ours", *PEERS):
            start = time.perf_counter()
            points = ours(issues, train, test)[0] if who == "ours" else PEERS[who](a, b)
            spent[who] = spent.get(who, 0.0) + time.perf_counter() - start
            loss.setdefault(who, []).append(pinball(b.y, points).mean(1))
            inside.setdefault(who, []).append((b.y >= points[:, 0] - 1e-9) & (b.y <= points[:, 2] + 1e-9))
            if number == 0:
                falling[who] = falling_share(who, issues, train, a)
    best = min(np.concatenate(v).mean() for k, v in loss.items() if k != "ours")
    print(f"\n{name}: {len(counts)} sales predicted")
    print(f"| method | pinball | to best peer | cover | {' | '.join(GROUPS)} | falling | s |")
    print("|---|" + "---|" * 9)
    for who in loss:
        value, hit = np.concatenate(loss[who]).mean(), np.concatenate(inside[who])
        print(
            f"| {who} | {value:.4f} | {value / best:.3f} | {hit.mean():.3f} | {by_group(hit, counts)} "
            f"| {falling[who]:.2f} | {spent[who]:.2f} |",
            flush=True,
        )


def by_group(hit: Any, counts: Any) -> str:
    counts = np.array(counts)
    return " | ".join(f"{hit[counts == g].mean():.2f}" if (counts == g).sum() >= 20 else "-" for g in GROUPS)


def falling_share(who: Any, issues: list[Issue], train: list[Sale], a: Any) -> Any:
    """Share of issues whose median falls as the grade rises (forest and cells: of ten issues)."""
    some = issues[:: max(len(issues) // (10 if who in ("forest", "cells") else 40), 1)]
    if who == "ours":
        done = fit(issues, train, [], LONG)
        middles = [
            [
                float(made.told(done.header, done.rows[i.key], grade_low=g, grade_high=g, raw=False).mid)
                for g in range(1, 71)
            ]
            for i in issues
        ]
        return float(np.mean(np.any(np.diff(middles, axis=1) < -0.011, axis=1)))
    grades = np.unique(a.grade)[:: max(len(np.unique(a.grade)) // 25, 1)]
    asked = [
        Sale(0, issue.key, float(g), 1.0, made.TODAY, raw=False, problem="", venue_kind="auction")
        for issue in some
        for g in grades
    ]
    middle = PEERS[who](a, table(issues, asked))[:, 1].reshape(len(some), -1)
    return float(np.mean(np.any(np.diff(middle, axis=1) < -1e-4, axis=1)))


def on_made(name: str, **ways: Any) -> None:
    """Coverage, of the next price and of the value, and the error of the true value over eight made markets. Pieces of
    one grade differ there as the bands of value assume."""
    hits: list[bool] = []
    held: list[bool] = []
    appeal = Random(1)
    counts: list[str] = []
    errors: dict[str, list[float]] = {g: [] for g in GROUPS}
    for seed in SEEDS:
        m = made.market(seed, **ways)
        done = fit(m.issues, m.sales, [], CALL)
        seen = Counter(s.issue for s in m.sales)
        for s in m.later:
            b = band(done, s)
            hits.append(float(b.low) <= s.price <= float(b.high))
            counts.append(group(seen[s.issue]))
        for issue in m.issues:
            for g in GRADES:
                b = made.told(done.header, done.rows[issue.key], grade_low=g, grade_high=g, raw=False)
                truth = m.truth(issue.key, g)
                errors[group(seen[issue.key])].append(abs(np.log(float(b.mid)) - truth))
                row = done.rows[issue.key]
                worth = value(done.header, row, fair_value(done.header, row, Asked(g, g, raw=False)))
                piece = exp(truth + appeal.gauss(0, APPEAL[0]))
                held.append(worth is not None and float(worth.low) <= piece <= float(worth.high))
    off = " | ".join(f"{np.median(errors[g]):.3f}" for g in GROUPS)
    covered = f"{np.mean(hits):.3f} | {np.mean(held):.3f}"
    print(f"| {name} | {covered} | {by_group(np.array(hits), counts)} | {off} |", flush=True)


def made_markets() -> None:
    print("\nMade markets: coverage of later sales, and median log error of the true value, by sales of the issue")
    print(f"| market | cover | value | {' | '.join(GROUPS)} | {' | '.join('error ' + g for g in GROUPS)} |")
    print("|---|" + "---|" * 10)
    on_made("300 issues, 1,500 sales")
    on_made("300 issues, 600 sales", sales=600)
    on_made("1,000 issues, 3,000 sales", issues=1000, sales=3000)
    on_made("mintages unknown", mintages=False)
    on_made("series drift apart by .1 a year", apart=0.1)
    on_made("a jump of 30 per cent half a year ago", jump=0.3)
    on_made("metal worth 25", metal=25.0)


def robust() -> None:
    """How far wild prices move the middle, and a band falling."""
    moves = []
    for seed in (20, 21, 22):
        m = made.market(seed)
        calm, wild = (fit(m.issues, sales, [], CALL) for sales in (m.sales, made.spoiled(m.sales, seed=seed)))
        for i in m.issues:
            pair = [
                made.told(f.header, f.rows[i.key], grade_low=45, grade_high=45, raw=False).mid for f in (calm, wild)
            ]
            moves.append(abs(np.log(float(pair[1] / pair[0]))))
    print(
        f"\n5 per cent of prices 3 to 10 times off: the median moves by {np.median(moves):.4f} (median issue), "
        f"{np.quantile(moves, 0.9):.4f} (ninth in ten)"
    )


def guide() -> None:
    """What a price guide brings where sales are few."""
    for count in (10, 100):
        m = made.market(24, issues=100, sales=count, mintages=False)
        guides: dict[str, list[GuideRow]] = {"sales alone": [], "with a guide": made.guides(m)}
        for name, told in guides.items():
            done = fit(m.issues, m.sales, told, CALL)
            points = np.log([[float(v) for v in (b.low, b.mid, b.high)] for b in (band(done, s) for s in m.later)])
            y = np.log([s.price for s in m.later])
            print(f"{count} sales, {name}: pinball {pinball(y, points).mean():.3f}")


def speed() -> None:
    """Seconds of a large fit beside a matrix product; of one answer, one re-band, one explanation."""
    a = np.random.default_rng(0).random((2000, 2000))
    product = min(timed(lambda: a @ a) for _ in range(3))
    m = made.market(1, issues=6000, sales=86_000, series=30, later=1)
    start = time.perf_counter()
    done = fit(m.issues, m.sales, [], CALL)
    searched = time.perf_counter() - start
    again = min(timed(lambda: fit(m.issues, m.sales, [], CALL, scales=done.header["scales"])) for _ in range(2))
    size = len(json.dumps([done.header, done.rows]))
    print(f"\n2,000 x 2,000 matrix product: {product:.2f} s")
    print(f"fit of 86,000 sales, 6,000 issues: {searched:.2f} s with the search, {again:.2f} s without")
    print(f"state: {size / 1e6:.1f} MB")
    row = max(done.rows.values(), key=lambda r: r["n"])
    sale = Sale(10**7, "x", 45.0, 100.0, made.TODAY, raw=True)
    for name, work in (
        ("re-band", lambda: reband(done.header, row, sale)),
        ("explanation", lambda: explain(done.header, row, grade=45, raw=False)),
        ("answer, raw VF to EF", lambda: answer(done.header, row, Asked(grade_low=20, grade_high=45, raw=True))),
        (
            "answer, certified, one grade",
            lambda: answer(done.header, row, Asked(grade_low=45, grade_high=45, raw=False)),
        ),
    ):
        print(f"{name}: {min(timed(work) for _ in range(50)) * 1e3:.3f} ms")


def timed(work: Callable[[], object]) -> float:
    start = time.perf_counter()
    work()
    return time.perf_counter() - start


def main(names: list[str]) -> None:
    if "stones" in names:
        issues, sales = sets.stones()
        measure("308 graded stones", [(issues, *s) for seed in (0, 1) for s in sets.folds(sales, seed=seed)])
    if "auctions" in names:
        issues, sales = sets.auctions()
        measure("143 auctions", [(issues, *s) for seed in (0, 1, 2) for s in sets.folds(sales, seed=seed)])
    for name, size, mintages in (("sparse300", 300, False), ("sparse1500", 1500, False), ("mintage300", 300, True)):
        if name in names:
            seeds = (3, 4, 5) if size == 300 else (3,)
            ways = {"issues": size, "sales": size * 5, "series": 6, "mintages": mintages, "later": 1500}
            markets = [made.market(seed, **ways) for seed in seeds]
            splits = [(m.issues, m.sales, m.later) for m in markets]
            measure(f"{size} sparse issues{', mintages known' if mintages else ''}", splits)
    for name, work in (("made", made_markets), ("robust", robust), ("guide", guide), ("speed", speed)):
        if name in names:
            work()


if __name__ == "__main__":
    every = "stones auctions sparse300 sparse1500 mintage300 made robust guide speed"
    main(sys.argv[1:] or every.split())
