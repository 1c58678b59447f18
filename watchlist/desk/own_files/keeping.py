"""How the records of each kind of file are stored, and what moves when a catalogue comes after prices."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Iterable, Mapping
from typing import Any

from watchlist.core.coins.catalogue import Catalogue
from watchlist.core.coins.issue import Issue
from watchlist.core.fees.terms import Terms
from watchlist.core.imports.driver import Taking
from watchlist.core.imports.moves import like_listed, moves_of
from watchlist.core.imports.rates import RateRow
from watchlist.core.marks.record import Want
from watchlist.core.prices.realised import GuideRow, PriceRealised
from watchlist.core.prices.repeats import Pair, count_once, name
from watchlist.desk.changes import Change
from watchlist.desk.desk import DELETED_SALES, Desk
from watchlist.desk.held.own_pieces import keep_pieces
from watchlist.desk.prices.moving import move
from watchlist.desk.prices.population import keep_population
from watchlist.desk.results.result_files import keep_results
from watchlist.desk.typed.wants import as_kept
from watchlist.page.wording import count

Kept = tuple[int, list[str]]
"""How many records were there already, and what is to be said of them."""


def keep(desk: Desk, change: Change, kind: str, records: Iterable[Any], taking: Taking[Any]) -> Kept:
    """Store the records as they come, and the issues that they imply, as a part of one change."""
    kept = KEEPING[kind](desk, change, records) or (0, [])
    known = desk.catalogue.by_key
    if new := [issue for issue in taking.imported().issues if issue.key not in known]:
        change.touch("issue", (issue.key for issue in new))
        desk.shelf.store.catalogue.merge(new)  # named by a want or a price only: they push out none of the catalogue
    return kept


def _keep_catalogue(desk: Desk, change: Change, records: Iterable[Issue]) -> Kept:
    """What hangs on an implied issue, or on an issue under the key that it had before, moves to the catalogue's own."""
    before, issues = desk.catalogue, list(records)
    moves = moves_of(before, issues, desk.spellings)
    change.touch("issue", (issue.key for issue in issues))
    desk.shelf.store.catalogue.merge(issues)
    told = _moved(before, moves, move(desk, change, moves)) if moves else []
    desk.forget("catalogue")
    return 0, [*told, *_strangers(desk)]


def _moved(before: Catalogue, moves: Mapping[str, str], prices: int) -> list[str]:
    """What moved, in words."""
    renamed = [old for old in moves if not before.by_key[old].implied]
    told = []
    if found := len(moves) - len(renamed):
        told.append(f"{count(found, 'issue')} that only prices or wants had named found in the catalogue")
    if renamed:
        old = renamed[0]
        told.append(f"{count(len(renamed), 'key')} changed: {before.by_key[old].name} was {old}, now {moves[old]}")
    if prices:
        told.append(f"{count(prices, 'price')} moved to the catalogue's issues")
    return told


def _strangers(desk: Desk) -> list[str]:
    """Names that only prices or wants use, and that may be the catalogue's otherwise spelt."""
    implied = (issue for issue in desk.catalogue if issue.implied)
    found = dict.fromkeys(like for issue in implied if (like := like_listed(desk.catalogue, issue)))
    return [f"{like}; {like.command} joins them" for like in found]


def _keep_sales(desk: Desk, change: Change, prices: Iterable[PriceRealised]) -> Kept:
    """A price that stands there word for word is no second one, nor is a result of one's own that comes back from an
    export; nor counts a sale that another file told of."""
    store = desk.shelf.store
    newest, back = store.prices.newest(), _Back(desk)
    _, repeated = store.prices.add(filter(back.is_new, prices), store.facts.get(DELETED_SALES) or ())
    repeated += back.met
    change.added("price", newest + 1, store.prices.newest())
    own, told, same = store.results.prices(), list[str](), 0
    for issue in store.prices.may_repeat(newest) if newest else ():
        once = count_once(store.prices.of(issue), own)
        new = [each for each in once.same if _meets(each, newest)]
        same += len(new)
        told += [_other_price(each) for each in new if each.price.price != each.other.price]
        told += [_perhaps(each) for each in once.doubtful if _meets(each, newest)]
    more = [f"and {len(told) - TOLD_SALES} more such sales"] if len(told) > TOLD_SALES else []
    return repeated + same, [*told[:TOLD_SALES], *more]


class _Back:
    """Own results as an export tells them: each answers for one row, which is not kept beside it. A row that says
    less, or something else, stays: it is another's word on the sale, and stands once the result is undone."""

    def __init__(self, desk: Desk) -> None:
        prices, own = desk.shelf.store.prices, desk.shelf.store.results.prices()
        self._open = Counter(_as_told(price) for id in own if (price := prices.get(id)) is not None)
        self.met = 0
        """Rows that came back."""

    def is_new(self, price: PriceRealised) -> bool:
        told = _as_told(price)
        if not price.title or not self._open[told]:
            return True
        self._open[told] -= 1
        self.met += 1
        return False


def _as_told(price: PriceRealised) -> tuple[object, ...]:
    """What an export says of a sale, but for what may be read otherwise from it: its grade, problems, service."""
    title = " ".join(price.title.split())
    return (price.issue, price.sale_date, price.price, price.kind, price.venue, price.lot, price.status, title)


def _keep_wants(desk: Desk, change: Change, wants: Iterable[Want]) -> None:
    change.put("want", *(as_kept(desk, want) for want in wants))


def _keep_guide(desk: Desk, change: Change, rows: Iterable[GuideRow]) -> None:
    change.touch("guides", ["all"])
    desk.shelf.store.catalogue.put_guides(list(rows))


def _keep_terms(desk: Desk, change: Change, terms: Iterable[Terms]) -> None:
    change.put("venue", *terms)


def _keep_rates(desk: Desk, change: Change, records: Iterable[RateRow]) -> None:
    rates = list(records)
    change.touch("rate", (f"{rate.currency} {rate.month}" for rate in rates))
    desk.shelf.store.catalogue.put_rates({(rate.currency, rate.month): rate.units for rate in rates})


KEEPING: Mapping[str, Callable[[Desk, Change, Any], Kept | None]] = {
    "catalogue": _keep_catalogue,
    "prices": _keep_sales,
    "wants": _keep_wants,
    "guide": _keep_guide,
    "population": keep_population,
    "terms": _keep_terms,
    "rates": _keep_rates,
    "results": keep_results,
    "pieces": keep_pieces,
}
"""How the records of each kind are stored."""
TOLD_SALES = 20
"""Sales that were known before and are named one by one."""


def _meets(pair: Pair, newest: int) -> bool:
    """One of the two is new, the other was there."""
    return min(pair.price.id, pair.other.id) <= newest < max(pair.price.id, pair.other.id)


def _other_price(pair: Pair) -> str:
    return (
        f"{name(pair.price)} at {pair.price.price} is the same sale as {name(pair.other)} at {pair.other.price} "
        f"({pair.why}), which counts"
    )


def _perhaps(pair: Pair) -> str:
    return (
        f"{name(pair.price)} at {pair.price.price} may be the same sale as {name(pair.other)} ({pair.why}); both "
        f"count; `watchlist price --weight {pair.price.id} 0` excludes it"
    )
