"""From prices realised to the saved market; the band of a coin and what it rests on."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass, replace
from decimal import Decimal

from watchlist.core.bands import Band, Explanation, MarketState, explain
from watchlist.core.coins import Issue
from watchlist.core.realised import PriceRealised, Sale, SetAside, screen, to_sale
from watchlist.core.valuation import Piece, SavedMarket
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
        none = "no prices were imported yet"
        return PriceAnswer(issue, grade[0] if grade else None, raw, None, (), sales, None, none)
    band = market.band(Piece(issue, *grade, raw)) if grade else None
    middle = round(sum(grade) / 2) if grade else None
    return PriceAnswer(
        issue, middle, raw, band, _curve(market, issue, raw), sales, _explained(market.state, issue, middle, raw)
    )


def _curve(market: SavedMarket, issue: Issue, raw: bool) -> tuple[tuple[int, Band], ...]:
    nodes = [round(node) for node in market.state.header["nodes"]]
    found = ((grade, market.band(Piece(issue, grade, grade, raw))) for grade in dict.fromkeys(nodes))
    return tuple((grade, band) for grade, band in found if band is not None)


def _explained(state: MarketState, issue: Issue, grade: int | None, raw: bool) -> Explanation | None:
    row = state.row(issue)
    if row is None:
        return None
    return explain(state.header, row, grade=grade if grade is not None else 40, raw=raw)


def weigh(desk: Desk, sale: int, weight: Decimal, note: str) -> PriceRealised:
    """Count one sale less, or set it aside with weight 0; the bands follow at the next fit, which is run at once."""
    store = desk.shelf.store
    kept = store.price(sale)
    if kept is None:
        raise DeskError(f"There is no sale {sale}; `watchlist price COIN` lists the sales with their numbers.")
    if not 0 <= weight <= 1:
        raise DeskError(f"A weight lies between 0 and 1, not {weight}; 0 sets the sale aside.")
    store.set_price_weight(sale, float(weight))
    if note:
        store.add_finding("price note", str(sale), desk.now, {"note": note, "weight": str(weight)})
    mark_dirty(desk)
    refit(desk, search=False)
    return replace(kept, weight=float(weight))
