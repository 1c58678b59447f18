"""The benchmark of the marks; prints the tables of docs/marks.md.

    python tests/bench/marks/run.py [kinds] [traits] [curve] [best] [--seeds 1,2]

`kinds`: every kind of market, two seeds each, and the same signs in the hands of a logistic regression and of gradient
boosting (the other seed's lots teach them). `traits`: with and without each of them. `curve`: by the chance that a
Bargain needs. `best`: what a marker could reach at best who knows how the market works (`oracle.py`). Needs the test
extra.
"""

from __future__ import annotations

import os
import sys
import warnings
from collections.abc import Iterable, Sequence
from math import isnan, log, nan
from pathlib import Path

os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")
sys.path.insert(0, str(Path(__file__).resolve().parents[3]))
import numpy as np
from numpy.typing import NDArray

from tests.bench.marks.judged import Told, figures, judged, share, value_of
from tests.bench.marks.market import KINDS, TRAITS, Maker, market
from tests.bench.marks.oracle import Oracle, Seen
from watchlist.core.marks.record import Sign

warnings.filterwarnings("ignore")
SEEDS = (1, 2)
HEAD = "| market | value true | ratio | error | Bargain right/found | marked | Doubt right/found | alarms |"


def line(name: str, told: Sequence[Told], more: str = "") -> None:
    """One line of the table."""
    f = figures(told)
    print(
        f"| {name} | {f.held:.2f} | {f.ratio:.2f} | {f.error:.3f} | {f.bargain[0]:.2f}/{f.bargain[1]:.2f} | {f.marked} "
        f"| {f.doubt[0]:.2f}/{f.doubt[1]:.2f} | {f.alarms:.2f} |{more}",
        flush=True,
    )


def kinds(seeds: Sequence[int]) -> None:
    """Every kind of market."""
    print(HEAD + " ranks: ours | logistic | boosting |")
    print("|---|" + "---|" * 10)
    all_told: list[Told] = []
    for kind in KINDS:
        parts = [judged(market(kind, seed)) for seed in seeds]
        told = [each for part in parts for each in part]
        ours, logistic, boosted = ranks(parts)
        line(kind, told, f" {ours:.3f} | {logistic:.3f} | {boosted:.3f} |")
        all_told += told
    line("all", all_told)


def ranks(parts: Sequence[Sequence[Told]]) -> tuple[float, float, float]:
    """How surely a fake ranks above an honest lot (area under the curve): by our score, and by models that learned the
    same signs on the other parts."""
    from sklearn.ensemble import HistGradientBoostingClassifier
    from sklearn.linear_model import LogisticRegression
    from sklearn.metrics import roc_auc_score

    names = sorted({sign.name for part in parts for each in part for sign in _signs(each)} - {"number"})
    names = sorted({name.split(":")[0] if name.startswith("number") else name for name in names})
    table = [_columns(part, names) for part in parts]
    truth = [np.array([each.offer.fake for each in part]) for part in parts]
    score = [np.array([each.found.doubt.score for each in part]) for part in parts]
    found = []
    for model in (None, LogisticRegression(max_iter=500), HistGradientBoostingClassifier(max_iter=60)):
        areas = []
        for here in range(len(parts)):
            others = [n for n in range(len(parts)) if n != here]
            if model is None or not others:
                areas.append(roc_auc_score(truth[here], score[here]))
                continue
            model.fit(np.concatenate([table[n] for n in others]), np.concatenate([truth[n] for n in others]))
            areas.append(roc_auc_score(truth[here], model.predict_proba(table[here])[:, 1]))
        found.append(float(np.mean(areas)))
    return found[0], found[1], found[2]


def _signs(told: Told) -> Iterable[Sign]:
    return (*told.found.doubt.signs, *told.found.doubt.comforts)


def _columns(part: Sequence[Told], names: Sequence[str]) -> NDArray[np.float64]:
    place = {name: number for number, name in enumerate(names)}
    out = np.zeros((len(part), len(names)))
    for row, each in enumerate(part):
        for sign in _signs(each):
            name = "number" if sign.group == "number" else sign.name
            if name in place:
                out[row, place[name]] += sign.weight
    return out


def traits(seeds: Sequence[int]) -> None:
    """The market of traits, all read, none read, and each left unread in turn."""
    print(HEAD)
    print("|---|" + "---|" * 7)
    ways: dict[str, tuple[str, ...]] = {"all read": (), "none read": tuple(TRAITS)}
    ways |= {f"without {name}": (name,) for name in TRAITS}
    for name, without in ways.items():
        line(name, [each for seed in seeds for each in judged(market("traits", seed), without)])


def curve(seeds: Sequence[int]) -> None:
    """What each value of `bargain_chance` would mark on usual markets, at final prices."""
    told = [each for seed in seeds for each in judged(market("plain", seed), bargain_chance=0.01)]
    final = [each for each in told if each.final]
    true = sum(each.worth_it for each in final)
    print(f"{true} true bargains among {len(final)} lots")
    print("| chance | marked | right | found |")
    print("|---|---|---|---|")
    for least in (0.3, 0.36, 0.4, 0.5, 0.6, 0.7):
        marked = [e for e in final if e.found.mark == "bargain" and (e.found.chance_worth_it or 0) >= least]
        right = sum(each.worth_it for each in marked)
        print(f"| {least:.2f} | {len(marked)} | {share(right, len(marked)):.2f} | {share(right, true):.2f} |")


def best(seeds: Sequence[int]) -> None:
    """What could be reached at best, beside what is: one who knows every level, one who learns levels from the same
    sales but knows all else, and Watchlist."""
    print("| market | who | error | value true | ratio | found at .82 right | right at .65 found | Doubt right/found |")
    print("|---|---|---|---|---|---|---|---|")
    for kind in KINDS:
        seen: dict[str, list[Seen]] = {"levels known": [], "levels from sales": [], "Watchlist": []}
        told: list[Told] = []
        for seed in seeds:
            maker = Maker(KINDS[kind], seed)
            world = maker.world()
            lots = judged(world, bargain_chance=0.01)
            told += lots
            for who, levels in (("levels known", "known"), ("levels from sales", "archive")):
                oracle = Oracle(maker, world, levels)  # type: ignore[arg-type]
                seen[who] += [oracle.sees(each.offer) for each in lots]
            seen["Watchlist"] += [_as_seen(each) for each in lots]
        for who, what in seen.items():
            _best_line(f"{kind} | {who}", what, told)


def _as_seen(told: Told) -> Seen:
    """Watchlist's own view in the same form; logs of an absent value are nan."""
    value, doubt = value_of(told.found), told.found.doubt
    points = [log(float(point)) for point in (value.low, value.mid, value.high)] if value else [nan] * 3
    chance = (told.found.chance_worth_it or 0.0) * (told.found.mark == "bargain")
    return Seen(told.offer, points[0], points[1], points[2], chance, doubt.p_fake)


def _best_line(name: str, seen: Sequence[Seen], told: Sequence[Told]) -> None:
    valued = [e for e in seen if not e.offer.fake and e.offer.piece.told_low is not None and not isnan(e.mid)]
    worth = np.log([e.offer.piece.worth for e in valued])
    low, mid, high = np.array([(e.low, e.mid, e.high) for e in valued]).T
    bargains = ranked([(s.chance, t.worth_it) for s, t in zip(seen, told, strict=True) if t.final])
    fakes = ranked([(s.fake, s.offer.fake) for s in seen])
    honest = sum(not s.offer.fake for s in seen)
    alarms = 100 * (1 - fakes[0]) * np.arange(1, len(seen) + 1) / honest
    at = np.flatnonzero(alarms <= 0.3)[-1]
    print(
        f"| {name} | {np.median(np.abs(mid - worth)):.3f} | {np.mean((low <= worth) & (worth <= high)):.2f} "
        f"| {np.exp(np.median(high - low)):.2f} | {bargains[1][np.flatnonzero(bargains[0] >= 0.82)[-1]]:.2f} "
        f"| {bargains[0][np.flatnonzero(bargains[1] >= 0.65)[0]]:.2f} | {fakes[0][at]:.2f}/{fakes[1][at]:.2f} |",
        flush=True,
    )


def ranked(pairs: Sequence[tuple[float, bool]]) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    """Right and found for every number of lots taken from the top."""
    order = sorted(pairs, key=lambda pair: -pair[0])
    hits = np.cumsum([right for _, right in order])
    return hits / np.arange(1, len(order) + 1), hits / max(hits[-1], 1)


def main(words: list[str]) -> None:
    """What the command line asks for."""
    seeds: tuple[int, ...] = SEEDS
    if "--seeds" in words:
        at = words.index("--seeds")
        seeds = tuple(int(word) for word in words[at + 1].split(","))
        words = words[:at] + words[at + 2 :]
    for word in words or ["kinds"]:
        {"kinds": kinds, "traits": traits, "curve": curve, "best": best}[word](seeds)


if __name__ == "__main__":
    main(sys.argv[1:])
