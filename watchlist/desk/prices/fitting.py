"""The market fitted to all prices realised; its state takes the place of the old one."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from datetime import date
from operator import attrgetter
from typing import TypeVar

from watchlist.core.marks.valuation import SavedMarket
from watchlist.core.prices.many import Many
from watchlist.core.prices.realised import PriceRealised, Sale, SetAside, screen, to_sale
from watchlist.core.prices.repeats import count_once
from watchlist.desk.desk import Desk
from watchlist.desk.due import Due
from watchlist.desk.errors import Stopped
from watchlist.desk.judging.judging import found_false
from watchlist.desk.naming import issue_name
from watchlist.shelf.store.price_columns import price_from

NEWEST = "newest price"
"""In the header of a market: the highest number of a price that it was fitted to."""
T = TypeVar("T")
AT_ONCE = 2000
"""Prices read or made ready between two looks whether the person wants to stop."""


OWN = "fitted_own"
"""Name of the fact that says whether the last fit counted what the person bought."""


@dataclass(frozen=True, slots=True)
class Fit:
    """What a fit used and what it set aside."""

    sales: int
    set_aside: tuple[tuple[PriceRealised, str], ...]
    flagged: tuple[str, ...] = ()


def is_due(desk: Desk) -> bool:
    """A fit is due: something changed, or the saved state has another meaning or version."""
    due, store = desk.owed.all(), desk.shelf.store
    own = store.facts.get(OWN)
    other = own is not None and own != desk.settings.prices.own
    return (
        due.market
        or due.scales
        or other
        or (not isinstance(desk.market, SavedMarket) and desk.shelf.store.prices.count() > 0)
    )


def refit(desk: Desk, *, search: bool = True) -> Fit:
    """Fit the market to all prices realised and keep its state in place of the old one.

    `search` False keeps the scales of the last fit: quicker, for a few new prices. Raises Stopped: the old state stays
    in use, and the fit stays due."""
    # numpy takes a tenth of a second to load
    from watchlist import market
    from watchlist.market import sweeps

    store = desk.shelf.store

    def tell(words: str, share: float) -> bool:
        if not desk.go_on(words, share):
            raise Stopped("Stopped: bands stay as they were; they are recalculated next gather.")
        return True

    with desk.owed.under_way(Due(market=True, scales=search)), sweeps.paused():
        newest = store.prices.newest()
        sales, aside = all_sales(desk, lambda: tell("reading the prices", 0.0))
        header = store.market.header()
        fitted = market.fit(
            list(desk.catalogue.by_key.values()),
            sales,
            store.catalogue.guides(),
            market.Measure(desk.local_today(), desk.kind, desk.home, desk.settings.prices.years),
            scales=header.get("scales") if header and not search else None,
            progress=tell,
        )
        store.market.put({**fitted.header, NEWEST: newest}, fitted.rows.items())
        store.facts.put(OWN, desk.settings.prices.own)
    desk.forget("market")
    unused = [(each.price, each.reason) for each in aside]
    unused += [(kept, each.why) for each in fitted.aside if (kept := store.prices.get(each.sale)) is not None]
    wild = [(kept, each.why) for each in fitted.flagged if (kept := store.prices.get(each.sale)) is not None]
    flagged = tuple(_to_look_at(desk, *each) for each in wild)
    return Fit(int(fitted.header["counts"]["sales"]), tuple(unused), flagged)


def _to_look_at(desk: Desk, sale: PriceRealised, why: str) -> str:
    """A sentence on a price that can hardly be right."""
    where = f" ({sale.origin})" if sale.origin else ""
    what = f"sale {sale.id} of {issue_name(desk.catalogue, sale.issue)}, {sale.sale_date}, {sale.price}{where}"
    return f"{what}: {why}; are price, coin and currency right?"


def all_sales(desk: Desk, tell: Callable[[], object] = bool) -> tuple[list[Sale], list[SetAside]]:
    """All prices of the shelf made ready for the model, and those set aside with their reasons.

    The same as `sales_of` makes of their records; but only where a sale may be told twice is a record made of it."""
    store, sales = desk.shelf.store, list[Sale]()
    bought = frozenset() if desk.settings.prices.own == 1 else store.results.prices(won=True)
    false = found_false(store)
    twice = set(store.prices.may_repeat())
    many = Many(desk.terms, desk.rates, home=desk.home, kind=desk.kind, today=desk.local_today())
    together, looked = store.prices.sold_together(), list[PriceRealised]()
    for cells in _followed(store.prices.in_cells(), tell):
        alone = cells.issue not in twice and hash((cells.issue, cells.sale_date)) not in together
        alone = alone and cells.id not in bought and cells.origin not in false
        if alone and (sale := many.sale(cells)):
            sales.append(sale)
        else:
            looked.append(price_from(cells))
    more, aside = sales_of(desk, looked, tell)
    sales += more
    return sorted(sales, key=attrgetter("day", "id")), aside


def sales_of(
    desk: Desk, prices: Iterable[PriceRealised], tell: Callable[[], object] = bool
) -> tuple[list[Sale], list[SetAside]]:
    """Prices realised made ready for the model, and those set aside with their reasons. `tell` is called often."""
    once = count_once(_followed(prices, tell), desk.shelf.store.results.prices())
    kept, aside = screen(once.kept)
    kept, own = _own_weighed(desk, kept)
    aside += [*once.aside, *own]
    sales: list[Sale] = []
    today = desk.local_today()
    for price in _followed(kept, tell):
        made = made_ready(desk, price, today)
        if isinstance(made, SetAside):
            aside.append(made)
        else:
            sales.append(made)
    return sales, aside


def _own_weighed(desk: Desk, prices: Sequence[PriceRealised]) -> tuple[list[PriceRealised], list[SetAside]]:
    """The person's own purchases at the weight of the settings; one without weight, or found false, is set aside."""
    store, own = desk.shelf.store, desk.settings.prices.own
    bought, false = store.results.prices(won=True) if own < 1 else frozenset(), found_false(store)
    kept, aside = list[PriceRealised](), list[SetAside]()
    for price in prices:
        if price.origin in false:
            aside.append(SetAside(price, "you found it not genuine"))
        elif own == 0 and price.id in bought:
            aside.append(SetAside(price, "your own purchase; [prices] own = false"))
        else:
            kept.append(replace(price, weight=price.weight * own) if price.id in bought else price)
    return kept, aside


def _followed(prices: Iterable[T], tell: Callable[[], object]) -> Iterator[T]:
    for number, price in enumerate(prices):
        if number % AT_ONCE == 0:
            tell()
        yield price


def made_ready(desk: Desk, price: PriceRealised, today: date) -> Sale | SetAside:
    """One price as the model takes it, or why it counts for nothing."""
    kind = desk.kind
    return to_sale(price, desk.terms.get(price.venue), desk.rates, home=desk.home, kind=kind, today=today)
