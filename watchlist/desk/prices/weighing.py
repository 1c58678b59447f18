"""The person's own weights of sales: a decision, which undo turns back. The band of the issue follows at once."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace
from decimal import Decimal

from watchlist.core.decisions.review import Decision
from watchlist.core.marks.valuation import SavedMarket
from watchlist.core.prices.realised import PriceRealised, SetAside, too_old
from watchlist.core.prices.reband import reband
from watchlist.desk.changes import append, batch_name
from watchlist.desk.desk import Desk
from watchlist.desk.due import MARKET, NOTHING, Due
from watchlist.desk.errors import DeskError
from watchlist.desk.prices.fitting import made_ready

HIGHEST_NUMBER = 1 << 63
"""SQLite's integers end here."""


@dataclass(frozen=True, slots=True)
class Weighed:
    """A sale as it counts now, and what has to follow."""

    sale: PriceRealised
    due: Due


def weigh(desk: Desk, sale: int, weight: Decimal, note: str) -> Weighed:
    """Count one sale less, or set it aside with weight 0. Raises DeskError."""
    store = desk.shelf.store
    kept = store.prices.get(sale) if 0 < sale < HIGHEST_NUMBER else None
    if kept is None:
        raise DeskError(f"There is no sale {sale}; `watchlist price COIN` lists the sales with their numbers.")
    if not weight.is_finite() or not 0 <= weight <= 1:
        raise DeskError(f"A weight lies between 0 and 1, not {weight}; 0 excludes the sale. Nothing was changed.")
    line = Decision(0, batch_name(), desk.now, "weigh", "", target=str(sale), note=note, weight=weight)
    line = replace(line, weight_before=Decimal(str(kept.weight)))
    with store.together():
        append(desk, [line])
        due = _set_weight(desk, kept, float(weight))
    return Weighed(replace(kept, weight=float(weight)), due)


def weigh_back(desk: Desk, line: Decision, *, back: bool) -> tuple[str, Due]:
    """Undo or redo a weight; how the sale counts then, in words, and what has to follow."""
    weight = line.weight_before if back else line.weight
    kept = desk.shelf.store.prices.get(int(line.target))
    if weight is None or kept is None:
        return f"Sale {line.target} is no longer stored", NOTHING
    return f"Its weight is {weight.normalize():f} again", _set_weight(desk, kept, float(weight))


def notes(desk: Desk, sales: Iterable[PriceRealised]) -> dict[int, str]:
    """The notes to the weights in force of these sales, by the number of the sale."""
    asked = {str(sale.id) for sale in sales}
    weighed = [line for line in desk.shelf.store.decisions.of("") if line.verb == "weigh" and line.target in asked]
    if not weighed:
        return {}
    done = frozenset(desk.shelf.store.decisions.batches().done)
    return {int(line.target): line.note for line in weighed if line.batch in done}


def _set_weight(desk: Desk, kept: PriceRealised, weight: float) -> Due:
    """Keep the weight; the issue's own band takes it in at once, and the fit of the whole market is due."""
    desk.owed.add(MARKET)
    desk.shelf.store.prices.set_weight(kept.id, weight)
    _reband(desk, kept, weight)
    desk.forget("market")
    return MARKET


def _reband(desk: Desk, kept: PriceRealised, weight: float) -> None:
    market, row = desk.market, desk.shelf.store.market.row(kept.issue)
    ready = made_ready(desk, replace(kept, weight=1.0), desk.local_today())
    if row is None or not isinstance(market, SavedMarket) or isinstance(ready, SetAside):
        return
    if too_old(ready.day, desk.local_today(), desk.settings.prices.years):
        return
    one_by_one = any(line[0] == kept.id for line in row["sales"])
    if one_by_one or kept.weight <= 0:  # an older sale is known to its row only together with all the others
        changed = reband(market.state.header, row, replace(ready, weight=weight))
        desk.shelf.store.market.put_row(kept.issue, changed)
