"""From prices realised to the saved market; the band of a coin and what it rests on."""

from __future__ import annotations

import uuid
from collections.abc import Callable, Iterable
from dataclasses import dataclass, replace
from decimal import Decimal

from watchlist.core.coins.catalogue import Issue
from watchlist.core.decisions.review import Decision
from watchlist.core.marks.valuation import Piece, SavedMarket
from watchlist.core.prices.bands import Band, Explanation, MarketState, explain
from watchlist.core.prices.realised import PriceRealised, Sale, SetAside, screen, to_sale
from watchlist.desk import judging
from watchlist.desk.desk import Desk
from watchlist.desk.errors import DeskError

Progress = Callable[[str, float], bool]
MARKET_DIRTY = "market_dirty"
"""Name of the fact that prices, guides, rates, terms or the catalogue changed since the last fit."""


@dataclass(frozen=True, slots=True)
class Fit:
    """What a fit used and what it set aside."""

    sales: int
    set_aside: tuple[tuple[PriceRealised, str], ...]
    flagged: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class PriceAnswer:
    """The market of one issue: its curve, the band of a grade, and the sales behind it."""

    issue: Issue
    grade: int | None
    raw: bool
    band: Band | None
    curve: tuple[tuple[int, Band], ...]
    """Band at each number of the scale where the curve has a node."""
    sales: tuple[PriceRealised, ...]
    explanation: Explanation | None
    basis_note: str = ""


def mark_dirty(desk: Desk) -> None:
    """The market state no longer fits what is on the shelf."""
    desk.shelf.store.put_fact(MARKET_DIRTY, True)


def is_dirty(desk: Desk) -> bool:
    """A fit is due: something changed, or the saved state has another meaning or version."""
    store = desk.shelf.store
    return bool(store.fact(MARKET_DIRTY)) or (not isinstance(desk.market, SavedMarket) and store.prices_kept() > 0)


def sales_of(desk: Desk, prices: Iterable[PriceRealised]) -> tuple[list[Sale], list[SetAside]]:
    """Prices realised made ready for the model, and those set aside with their reasons."""
    kept, aside = screen(prices)
    sales: list[Sale] = []
    for price in kept:
        made = to_sale(
            price, desk.terms.get(price.venue), desk.rates, home=desk.home, kind=desk.settings.prices.kind,
            today=desk.local_today(),
        )
        if isinstance(made, SetAside):
            aside.append(made)
        else:
            sales.append(made)
    return sales, aside


def refit(desk: Desk, progress: Progress | None = None, *, search: bool = True) -> Fit:
    """Fit the market to all prices realised and keep its state in place of the old one.

    `search` False keeps the scales of the last fit: quicker, for a few new prices. Stopping keeps the old state."""
    from watchlist import market

    store = desk.shelf.store
    sales, aside = sales_of(desk, store.prices())
    header = store.market_header()
    fitted = market.fit(
        list(desk.catalogue.by_key.values()), sales, store.guides(), today=desk.local_today(),
        kind=desk.settings.prices.kind, currency=desk.home, years=desk.settings.prices.years,
        scales=header.get("scales") if header and not search else None, progress=progress,
    )
    store.put_market(fitted.header, fitted.rows.items())
    store.put_fact(MARKET_DIRTY, False)
    desk.__dict__.pop("market", None)
    unused = tuple((each.price, each.reason) for each in aside)
    return Fit(len(sales), unused, tuple(str(flag) for flag in fitted.flagged))


def price(desk: Desk, coin: str, grade: tuple[int, int] | None, *, raw: bool) -> PriceAnswer:
    """The band and curve of a coin; with a grade also what each sale contributes."""
    issue = desk.coin(coin)
    market = desk.market
    sales = tuple(sorted(desk.shelf.store.prices(issue.key), key=lambda sale: sale.sale_date, reverse=True))
    if not isinstance(market, SavedMarket):
        none = _no_market(desk)
        return PriceAnswer(issue, grade[0] if grade else None, raw, None, (), sales, None, none)
    band = market.band(Piece(issue, *grade, raw)) if grade else None
    middle = round(sum(grade) / 2) if grade else None
    return PriceAnswer(
        issue, middle, raw, band, _curve(market, issue, raw, grade), sales, _explained(market.state, issue, middle, raw)
    )


def _no_market(desk: Desk) -> str:
    """Why there is no band: nothing to fit, or a fit that meant something else."""
    header = desk.shelf.store.market_header()
    if header is None:
        kept = desk.shelf.store.prices_kept()
        return "no market was fitted yet; `watchlist price --refit` fits it" if kept else "no prices were imported yet"
    meant = f"{header.get('kind', '')} in {header.get('currency', '')}"
    now = f"{desk.settings.prices.kind} in {desk.home}"
    if meant != now:
        return f"the market was fitted {meant}, the settings now say {now}; `watchlist price --refit` fits it again"
    return "the market was fitted by another version; `watchlist price --refit` fits it again"


def _curve(
    market: SavedMarket, issue: Issue, raw: bool, asked: tuple[int, int] | None
) -> tuple[tuple[int, Band], ...]:
    """Bands at the model's grades, and at the one asked for."""
    nodes = {round(node) for node in market.state.header["nodes"]}
    if asked and asked[0] == asked[1]:
        nodes.add(asked[0])
    found = ((grade, market.band(Piece(issue, grade, grade, raw))) for grade in sorted(nodes))
    return tuple((grade, band) for grade, band in found if band is not None)


def _explained(state: MarketState, issue: Issue, grade: int | None, raw: bool) -> Explanation | None:
    row = state.row(issue)
    if row is None:
        return None
    return explain(state.header, row, grade=grade if grade is not None else 40, raw=raw)


def weigh(desk: Desk, sale: int, weight: Decimal, note: str) -> PriceRealised:
    """Count one sale less, or set it aside with weight 0; bands and marks follow at once. A decision: undo turns it
    back. The sale as it counts now."""
    store = desk.shelf.store
    kept = store.price(sale) if 0 < sale < 1 << 63 else None
    if kept is None:
        raise DeskError(f"There is no sale {sale}; `watchlist price COIN` lists the sales with their numbers.")
    if not weight.is_finite() or not 0 <= weight <= 1:
        raise DeskError(f"A weight lies between 0 and 1, not {weight}; 0 sets the sale aside. Nothing was changed.")
    line = Decision(
        0, uuid.uuid4().hex[:12], desk.now, "weigh", "", target=str(sale), note=note, weight=weight,
        weight_before=Decimal(str(kept.weight)),
    )
    with store.db.writing(durable=True):
        store.add_decisions([line])
        store.set_price_weight(sale, float(weight))
    _reweighed(desk)
    return replace(kept, weight=float(weight))


def weigh_back(desk: Desk, line: Decision, *, back: bool) -> str:
    """Undo or redo a weight; what became of it, in words."""
    weight = line.weight_before if back else line.weight
    if weight is None or not desk.shelf.store.set_price_weight(int(line.target), float(weight)):
        return f"sale {line.target} is kept no more"
    _reweighed(desk)
    return f"sale {line.target} counts {weight.normalize():f}"


def _reweighed(desk: Desk) -> None:
    mark_dirty(desk)
    refit(desk, search=False)
    judging.judge_all(desk)
