"""The benchmark of the marks; prints the tables of docs/marks.md.

    python tests/bench/marks/run.py [kinds] [traits] [curve] [--seeds 1,2]

`kinds`: every kind of market, two seeds each, and the same signs in the hands of a logistic regression and of gradient
boosting (the other seed's lots teach them). `traits`: with and without each of them. `curve`: by the chance that a
Bargain needs. Needs the test extra.
"""

from __future__ import annotations

import os
import sys
import warnings
from collections.abc import Iterable, Sequence
from pathlib import Path

os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")
sys.path.insert(0, str(Path(__file__).resolve().parents[3]))
import numpy as np
from numpy.typing import NDArray

from tests.bench.marks.judged import Told, figures, judged, share
from tests.bench.marks.market import KINDS, TRAITS, market
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


def main(words: list[str]) -> None:
    """What the command line asks for."""
    seeds: tuple[int, ...] = SEEDS
    if "--seeds" in words:
        at = words.index("--seeds")
        seeds = tuple(int(word) for word in words[at + 1].split(","))
        words = words[:at] + words[at + 2 :]
    for word in words or ["kinds"]:
        {"kinds": kinds, "traits": traits, "curve": curve}[word](seeds)


if __name__ == "__main__":
    main(sys.argv[1:])
