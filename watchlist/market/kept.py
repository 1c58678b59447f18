"""What a row keeps of its issue's sales: the newest, and a prior that holds everything before them."""

from __future__ import annotations

from typing import Any

import numpy as np
from numpy.typing import NDArray

from watchlist.core.prices.realised import Sale
from watchlist.market.calibration import own_prior
from watchlist.market.exact import CHUNK
from watchlist.market.model import Model
from watchlist.market.rows import Floats, Ints

KEEP = 20
"""Newest sales kept in a row, to re-band and explain without numpy."""


def prior_of_newest(model: Model) -> tuple[Floats, Floats, Floats]:
    """Each active issue's curve before its newest sales: similar issues, a guide, and its older sales.

    Also how much of it at each node comes from similar issues alone.
    """
    post = model.post
    count = len(model.evidence.active)
    parts = [own_prior(model, np.arange(start, min(start + CHUNK, count))) for start in range(0, count, CHUNK)]
    mean, cov = (np.concatenate(each) for each in zip(*parts, strict=True))
    newest = newest_rows(model)
    if newest.all():
        return mean, cov, np.ones_like(mean)
    whole = model.trust
    model.trust = np.where(newest, 0.0, whole)
    sums = model.sums(model.scales)
    model.trust = whole
    size = model.columns.count
    b = sums.b[:, :, 0] - sums.b[:, :, 2 : 2 + size] @ post.beta[:size]
    held = np.linalg.inv(np.eye(mean.shape[1]) + cov @ sums.a)
    after = held @ cov
    gap = b - (sums.a @ mean[..., None])[..., 0]
    return mean + (after @ gap[..., None])[..., 0], (after + after.swapaxes(1, 2)) / 2, held.sum(axis=2)


def newest_rows(model: Model) -> NDArray[np.bool_]:
    """Which observations belong to the newest sales of their issue."""
    rows = model.rows
    order = _newest_first(model)
    issue = rows.issue[order]
    rank = np.arange(len(order)) - np.searchsorted(issue, issue, side="left")
    sale_kept = np.zeros(len(model.evidence.sales) + 1, dtype=bool)
    sale_kept[rows.sale[order[rank < KEEP]]] = True
    mine: NDArray[np.bool_] = (rows.sale >= 0) & sale_kept[rows.sale]
    return mine


def sales_by_issue(model: Model) -> dict[int, list[Sale]]:
    """Sales of each active issue, newest first."""
    rows = model.rows
    order = _newest_first(model)
    out: dict[int, list[Sale]] = {}
    for issue, sale in zip(rows.issue[order].tolist(), rows.sale[order].tolist(), strict=True):
        out.setdefault(issue, []).append(model.evidence.sales[sale])
    return out


def kept(sale: Sale) -> list[Any]:
    """One sale as a row keeps it: id, grade, price, day, raw, problem, weight, kind of venue, traits."""
    return [
        sale.id,
        sale.grade,
        sale.price,
        sale.day.isoformat(),
        int(sale.raw),
        sale.problem,
        sale.weight,
        sale.venue_kind,
        list(sale.traits),
    ]


def _newest_first(model: Model) -> Ints:
    """One observation of each sale, by issue, the newest first."""
    rows = model.rows
    head = np.flatnonzero((rows.sale >= 0) & (rows.step == 0))
    return head[np.lexsort((rows.sale[head], rows.age[head], rows.issue[head]))]
