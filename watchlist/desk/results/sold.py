"""What lots were sold for, when their readings are corrected: the same sale counts once, for the coin it is now."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace

from watchlist.core.decisions.results import to_price
from watchlist.core.marks.record import Judgement
from watchlist.core.prices.realised import PriceRealised
from watchlist.desk.changes import Change
from watchlist.desk.desk import Desk
from watchlist.desk.judging.judging import Judge
from watchlist.desk.prices import known_sales
from watchlist.shelf.store.rows import LotRow


def follow_sales(desk: Desk, change: Change, before: Sequence[LotRow], after: Sequence[LotRow]) -> None:
    """Put the sales of corrected lots right, with what was bought; the market has to follow where there are any."""
    for old, new in zip(before, after, strict=True):
        if sold := sales_of(desk, old):
            judgement = Judge(desk).judge(new).judgement
            made = [_as_read(sale, new, judgement) for sale in sold]
            known_sales.put(desk, change, made)
            _follow_purchase(desk, change, made[0])


def sales_of(desk: Desk, row: LotRow) -> list[PriceRealised]:
    """The sales that this lot gave: the person's own result, and what its source said."""
    issue, typed = (row.judgement.issue or "" if row.judgement else ""), desk.shelf.store.results.of(row.lot.key)
    found = {sale.id: sale for sale in _told(desk, row, issue)}
    return list((found | ({typed.price.id: typed.price} if typed else {})).values())


def _told(desk: Desk, row: LotRow, issue: str) -> Iterator[PriceRealised]:
    return (sale for sale in desk.shelf.store.prices.of(issue) if issue and sale.origin == row.lot.key)


def _as_read(sale: PriceRealised, row: LotRow, judgement: Judgement | None) -> PriceRealised:
    """The sale with what the lot is read as now; its day, its price and the person's weight stay."""
    made = to_price(row.lot, row.reading, judgement.issue if judgement else None, sale.price, sale.sale_date)
    return replace(made, id=sale.id, kind=sale.kind, weight=sale.weight, note=sale.note)


def _follow_purchase(desk: Desk, change: Change, sale: PriceRealised) -> None:
    bought = next((each for each in desk.shelf.store.purchases.all() if each.lot == sale.origin), None)
    if bought is None:
        return
    change.touch("purchase", [bought.lot])
    kept = replace(bought, issue=sale.issue, grade_low=sale.grade_low, grade_high=sale.grade_high)
    desk.shelf.store.purchases.put(kept)
