"""From records to a market state, with progress and a way to stop."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date
from typing import Any

from watchlist.core.coins.issue import Issue
from watchlist.core.prices.realised import GuideRow, Sale
from watchlist.market import metal as metals
from watchlist.market import rows as evidence_rows
from watchlist.market import state, sweeps, worded
from watchlist.market.calibration import calibrate
from watchlist.market.model import Model, Tell
from watchlist.market.prior import Scales
from watchlist.market.rows import Evidence, Unused
from watchlist.market.search import find_scales

Progress = Callable[[str, float], bool]
FEW = 20
"""Under so many sales the usual scales stand."""


@dataclass(frozen=True, slots=True)
class Measure:
    """What the prices are measured in, and from when they count."""

    today: date
    kind: str
    """What a price holds: `hammer`, `all-in` or `before postage`."""
    currency: str
    years: float
    """How far back a sale counts in full."""


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
    measure: Measure,
    *,
    scales: Mapping[str, float] | None = None,
    metal: Mapping[str, float] | None = None,
    progress: Progress | None = None,
) -> Fitted:
    """Fit the market. Raises Stopped when progress returns False; it is asked several times a second.

    `scales` of an earlier state spare the search; `metal` gives the metal value of issues in home currency.
    """

    def tell(what: str, share: float) -> None:
        if progress and not progress(what, share):
            raise Stopped("Stopped: the last bands stay in use.")

    def at(what: str, share: float) -> Tell:
        tell(what, share)
        return lambda: tell(what, share)

    def build(part: Evidence) -> Model:
        tell("looking for the metal in the prices", 0.05)
        return Model(part, known)

    with sweeps.paused():
        evidence = evidence_rows.gather(
            issues, sales, guides, measure.today, measure.years, at("sorting the sales", 0.0)
        )
        evidence = replace(evidence, metal=metals.metal_of(evidence, metal))
        given = dict(scales or {})
        share = given.pop("metal", None)
        known = Scales(**given)
        evidence, share = metals.with_metal(evidence, build, share)
        if scales is None and len(evidence.sales) >= FEW:
            known = find_scales(evidence, known, tell)
        model = Model(evidence, known)
        model.settle(tell=at("fitting the curves", 0.5))
        checked = calibrate(model, at("checking the bands against later sales", 0.75))
        writing = at("writing the state", 0.9)
        header = state.header(model, checked, share) | {
            "kind": measure.kind,
            "currency": measure.currency,
            "years": measure.years,
        }
        header["lower"] = worded.lower_shares(model, header)
        lines = state.issue_rows(model, checked, writing)
        tell("done", 1.0)
        return Fitted(header, lines, tuple(evidence.aside), tuple(state.flagged(model)))
