"""How often a raw piece whose grade is a word lies below all of the word's numbers, by kind of venue."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

import numpy as np

from watchlist.core.prices.truegrades import WORDED_LOWER, Asked, grade_weights
from watchlist.market.model import FREEDOM, Model
from watchlist.market.rows import RAW, Floats, Ints, spots

PULL, ROUNDS = 40.0, 25
"""How many sales the usual share counts for, and rounds of finding it."""


def lower_shares(model: Model, header: Mapping[str, object]) -> dict[str, float]:
    """The share by kind of venue, from the archive's own raw sales with ranges; "" is all of them together.

    Each price is held against two mixtures, one of grades inside the range and one of the two named grades below it,
    with the same steps of over-grading (a Beta prior around the usual share, found by expectation and maximisation)."""
    rows, evidence = model.rows, model.evidence
    told = np.flatnonzero((rows.kind == RAW) & (rows.step == 0))
    told = told[[evidence.sales[number].span is not None for number in rows.sale[told]]]
    if not len(told):
        return {"": WORDED_LOWER}
    inside, below = _densities(model, header, told)
    found = {"": _share(inside, below)}
    for number, house in enumerate(evidence.houses):
        mine = rows.house[told] == number
        if house and mine.any():
            found[house] = _share(inside[mine], below[mine], found[""])
    return {house: round(share, 4) for house, share in found.items()}


def _share(inside: Floats, below: Floats, usual: float = WORDED_LOWER) -> float:
    share = usual
    for _ in range(ROUNDS):
        chance = share * below / np.maximum(share * below + (1 - share) * inside, 1e-300)
        share = float((PULL * usual + chance.sum()) / (PULL + len(chance)))
    return share


def _densities(model: Model, header: Mapping[str, object], told: Ints) -> tuple[Floats, Floats]:
    """Of each price among pieces inside its range, and among those below it."""
    spans = [model.evidence.sales[number].span or (0, 0) for number in model.rows.sale[told]]
    found = np.zeros((2, len(told)))
    for span in set(spans):
        mine = np.array([each == span for each in spans])
        for kind, lower in enumerate((0.0, 1.0)):
            asked = Asked(span[0], span[1], raw=True, worded=True)
            mixed = grade_weights({**header, "lower": {"": lower}}, asked)
            found[kind, mine] = _mixture(model, told[mine], mixed)
    return found[0], found[1]


def _mixture(model: Model, told: Ints, mixed: Sequence[tuple[float, float]]) -> Floats:
    """Student density, up to a constant, of some rows' prices if their pieces are of these grades."""
    rows, post = model.rows, model.post
    curve, effect = model.curves(), (post.beta[model.columns.place] * model.columns.value).sum(axis=1)
    noise = model.noise(model.scales)[told]
    density = np.zeros(len(told))
    for grade, weight in mixed:
        node, share = spots(model.evidence.nodes, np.array([grade]))
        at = (1 - share) * curve[rows.issue[told], node[0]] + share * curve[rows.issue[told], node[0] + 1]
        gap = model.y[told] - effect[told] - at
        density += weight * (1 + gap**2 / noise / FREEDOM) ** (-(FREEDOM + 1) / 2)
    return density
