"""What traits do to prices: a column for each, and one of its own in a series with enough of it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np

from watchlist import words
from watchlist.core.prices.traits import SERVICE, Traits, kind_of, traits_from
from watchlist.market.exact import Posterior
from watchlist.market.rows import Evidence, Floats, Ints

OWN, OWN_SPREAD, MOST = 8, 0.1, 60
"""Sales with a trait that a series needs for a figure of its own, how far that may differ, and how many are kept."""


@dataclass(frozen=True, slots=True)
class Moves:
    """The traits of an archive with their places among the columns of the observations."""

    names: Sequence[str]
    usual: Floats
    """Usual effects, a line a trait, against a piece of which nothing is said; the last line is no trait."""
    spread: Floats
    first: int
    """Column of the first trait."""
    pairs: Sequence[tuple[int, int]]
    """(series, trait) of those with a column of their own, behind the others."""

    @property
    def end(self) -> int:
        """Column behind the last."""
        return self.first + len(self.names) + len(self.pairs)

    @property
    def penalty(self) -> list[float]:
        """Prior precision of each column."""
        return [*(1 / np.square(self.spread)).tolist(), *[1 / OWN_SPREAD**2] * len(self.pairs)]

    def expected(self, traits: Ints) -> Floats:
        """What is expected of each observation's traits."""
        found: Floats = self.usual[traits].sum(axis=1)
        return found

    def of(self, traits: Ints, series: Ints) -> tuple[Ints, Floats]:
        """Columns and values of each observation: two for each of its traits."""
        own = np.full((int(series.max(initial=-1)) + 1, len(self.names) + 1), -1, dtype=np.int64)
        for number, (where, trait) in enumerate(self.pairs):
            own[where, trait] = self.first + len(self.names) + number
        theirs = own[series[:, None], traits] if traits.size else traits
        place = np.concatenate([np.where(traits >= 0, self.first + traits, 0), np.maximum(theirs, 0)], axis=1)
        value = np.concatenate([traits >= 0, theirs >= 0], axis=1).astype(np.float64)
        return place, value

    def learned(self, post: Posterior) -> dict[str, list[float]]:
        """Effect and its uncertainty of every trait, in a series without figures of its own; the usual ones of those
        that no sale names."""
        usual = {
            name: [effect, round(float(np.hypot(spread, OWN_SPREAD)), 5)]
            for name, (effect, spread) in traits_from(words.load("traits")).effects.items()
        }
        return usual | {
            name: _told(self.usual[number], [self.first + number], post, OWN_SPREAD)
            for number, name in enumerate(self.names)
        }

    def by_series(self, post: Posterior, evidence: Evidence) -> dict[str, dict[str, Any]]:
        """By the series' name: the effects of its own, and by kind the spread that saying nothing leaves."""
        found: dict[str, dict[str, Any]] = {}
        for number, (series, trait) in enumerate(self.pairs):
            columns = [self.first + trait, self.first + len(self.names) + number]
            its = found.setdefault(evidence.series[series], {"traits": {}, "unsaid": {}})
            its["traits"][self.names[trait]] = _told(self.usual[trait], columns, post)
        general = self.learned(post)
        met, whole = _met(evidence, len(self.names))
        for series, counts in enumerate(met):
            if counts.any():
                its = found.setdefault(evidence.series[series], {"traits": {}, "unsaid": {}})
                effects = [(its["traits"].get(name) or general[name])[0] for name in self.names]
                its["unsaid"] = _unsaid(self.names, np.array(effects), counts / max(whole[series], 1))
        return found


def _told(usual: float, columns: Sequence[int], post: Posterior, more: float = 0.0) -> list[float]:
    variance = post.beta_cov[np.ix_(columns, columns)].sum() + more**2
    return [round(float(usual + post.beta[columns].sum()), 5), round(float(np.sqrt(max(variance, 0.0))), 5)]


def _unsaid(names: Sequence[str], effects: Floats, shares: Floats) -> dict[str, float]:
    """By kind the spread of the mixture of what the archive holds, those of which nothing is said among them."""
    found: dict[str, float] = {}
    for kind in sorted({kind_of(name) for name in names} - {SERVICE}):  # a certified piece names its service
        mine = np.array([kind_of(name) == kind for name in names])
        mean = float(shares[mine] @ effects[mine])
        spread = float(np.sqrt(max(shares[mine] @ np.square(effects[mine]) - mean**2, 0.0)))
        if spread > 0.005:
            found[kind] = round(spread, 4)
    return found


def _met(evidence: Evidence, count: int) -> tuple[Ints, Ints]:
    """Sales of each trait in each series, and all sales of each series."""
    rows = evidence.rows
    sale = (rows.sale >= 0) & (rows.step == 0)
    series, traits = evidence.active_series[rows.issue[sale]], rows.traits[sale]
    met = np.zeros((len(evidence.series), count + 1), dtype=np.int64)
    for column in range(traits.shape[1]):
        np.add.at(met, (series, traits[:, column]), 1)
    return met[:, :count], np.bincount(series, minlength=len(evidence.series))


def effects_of(evidence: Evidence, first: int) -> Moves:
    """The columns of an archive's traits, from this one on.

    The usual effects are against a piece of which nothing is said. Where an archive says a kind of nearly every piece,
    such a piece is the mixture of what it says: then they are taken against that mixture instead."""
    known: Traits = traits_from(words.load("traits"))
    names = evidence.traits
    usual = np.array([*(known.usual(name) for name in names), (0.0, 1.0)])
    met, whole = _met(evidence, len(names))
    for kind in {kind_of(name) for name in names}:
        mine = np.array([kind_of(name) == kind for name in names])
        counts = met[:, mine].sum(axis=0)
        among = whole[met[:, mine].any(axis=1)].sum()
        usual[:-1, 0][mine] -= float(counts @ usual[:-1, 0][mine]) / max(int(among), 1)
    pairs = [(int(met[s, t]), int(s), int(t)) for s, t in zip(*np.nonzero(met >= OWN), strict=True)]
    own = [(s, t) for _, s, t in sorted(pairs, reverse=True)[:MOST]]
    return Moves(names, usual[:, 0], usual[:-1, 1], first, own)
