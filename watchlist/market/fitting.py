"""From records to a market state, with progress and a way to stop."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date
from typing import Any

from watchlist.core.coins.catalogue import Issue
from watchlist.core.prices.realised import GuideRow, Sale
from watchlist.market import link, state
from watchlist.market import rows as evidence_rows
from watchlist.market.calibration import calibrate
from watchlist.market.model import Model
from watchlist.market.prior import Scales
from watchlist.market.rows import Unused
from watchlist.market.search import find_scales

Progress = Callable[[str, float], bool]
FEW = 20
"""Under so many sales the usual scales stand."""


class Stopped(Exception):
    """The person stopped the fit; nothing was changed."""


@dataclass(frozen=True, slots=True)
class Fitted:
    """The market state, ready to be kept, and what was not used."""

    header: dict[str, Any]
    rows: dict[str, dict[str, Any]]
    aside: tuple[Unused, ...] = ()
    flagged: tuple[Unused, ...] = ()
    """Sales that were used but lie some ten times off their band: for the person to look at."""


def fit(
    issues: Sequence[Issue],
    sales: Sequence[Sale],
    guides: Sequence[GuideRow],
    *,
    today: date,
    kind: str,
    currency: str,
    years: float,
    scales: Mapping[str, float] | None = None,
    metal: Mapping[str, float] | None = None,
    progress: Progress | None = None,
) -> Fitted:
    """Fit the market. Raises Stopped when progress returns False.

    `scales` of an earlier state spare the search; `metal` gives the metal value of issues in home currency.
    """

    def tell(what: str, share: float) -> None:
        if progress and not progress(what, share):
            raise Stopped("The fit was stopped; the last market state stays in use.")

    tell("sorting the sales", 0.0)
    evidence = evidence_rows.gather(issues, sales, guides, today, years)
    evidence = replace(evidence, metal=link.metal_of(evidence, metal))
    given = dict(scales or {})
    share = given.pop("metal", None)
    known = Scales(**given)
    evidence, share = link.with_metal(evidence, lambda part: Model(part, known), share)
    if scales is None and len(evidence.sales) >= FEW:
        known = find_scales(evidence, known, tell)
    tell("fitting the curves", 0.5)
    model = Model(evidence, known)
    model.settle()
    tell("checking the bands against later sales", 0.75)
    checked = calibrate(model)
    tell("writing the state", 0.9)
    header = state.header(model, checked, share, kind=kind, currency=currency, years=years)
    lines = state.issue_rows(model, checked)
    tell("done", 1.0)
    return Fitted(header, lines, tuple(evidence.aside), tuple(state.flagged(model)))
