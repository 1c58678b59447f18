"""The person's own data as tables that leave the program, a kind each; wants and prices can be imported again."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass

from watchlist.core.marks.record import Want
from watchlist.core.prices.realised import PriceRealised
from watchlist.core.sift.line import parse
from watchlist.desk.desk import Desk
from watchlist.desk.held import held_lists
from watchlist.desk.held.held import held
from watchlist.desk.lists import listing
from watchlist.page.export import Row
from watchlist.page.records import told

LOTS = {
    "key": "lot.key",
    "mark": "judgement.mark",
    "state": "state",
    "closes": "lot.closes",
    "title": "lot.title",
    "venue": "lot.venue",
    "grade_low": "reading.grade_low",
    "grade_high": "reading.grade_high",
    "price": "lot.price.amount",
    "price_currency": "lot.price.currency",
    "price_kind": "lot.price_kind",
    "all_in": "judgement.all_in.amount",
    "home_currency": "judgement.all_in.currency",
    "value_low": "judgement.value.low",
    "value_mid": "judgement.value.mid",
    "value_high": "judgement.value.high",
    "band_low": "judgement.band.low",
    "band_mid": "judgement.band.mid",
    "band_high": "judgement.band.high",
    "gap": "judgement.gap",
    "issue": "judgement.issue",
    "link": "lot.link",
}
"""Columns, and where each stands in a lot's record; empty where something on the way is not known."""
DECISIONS = {
    "number": "seq",
    "at": "at",
    "batch": "batch",
    "verb": "verb",
    "lot": "lot",
    "amount": "amount.amount",
    "currency": "amount.currency",
    "target": "target",
    "day": "day",
    "weight": "weight",
    "note": "note",
}
"""The same for a line of the list of decisions."""
COIN = ("country", "denomination", "year", "mint", "variety")
WANTS = (
    "want_id", *COIN, "min_grade", "max_grade", "certified", "ceiling",
    "ceiling_currency", "low", "high", "quantity", "filled", "upgrade", "priority", "problem", "traits", "note",
)  # fmt: skip
PRICES = (
    "sale_date", "issue", *COIN, "grade", "certified", "cert_number",
    "problem", "hammer", "all_in", "currency", "source", "status", "lot_id", "title", "quantity", "weight", "note",
)  # fmt: skip
"""Columns as an import takes them; of prices their weight beside them."""
PIECES = ("key", "issue", *held_lists.PURCHASES, "value_today", "valued_on")


@dataclass(frozen=True, slots=True)
class Kind:
    """One kind of table."""

    columns: tuple[str, ...]
    rows: Callable[[Desk], Iterator[Row]]


def lots(desk: Desk) -> Iterator[Row]:
    """All lots, those that can be had first."""
    return (told(row, LOTS) for row in listing.whole(desk, listing.lines(desk, parse(""))))


def wants(desk: Desk) -> Iterator[Row]:
    """The want-list."""
    return map(_want, desk.wants.by_id.values())


def _want(want: Want) -> Row:
    first = next(filter(None, (want.ceiling, want.low, want.high)), None)
    amounts = {"ceiling": want.ceiling, "low": want.low, "high": want.high}
    return {
        "want_id": want.id,
        "country": want.country,
        "denomination": want.denomination,
        "year": want.year,
        "mint": "any" if want.mint is None else want.mint,
        "variety": {None: "any", "": "plain"}.get(want.variety, want.variety),
        "min_grade": want.min_grade,
        "max_grade": want.max_grade,
        "certified": want.certified,
        "ceiling_currency": first.currency if first else None,
        **{name: amount.amount if amount else None for name, amount in amounts.items()},
        "quantity": want.quantity,
        "filled": want.filled,
        "upgrade": want.upgrade,
        "priority": want.priority,
        "problem": want.problems,
        "traits": [f"not {name[1:]}" if name.startswith("-") else name for name in want.traits],
        "note": want.note,
    }


def prices(desk: Desk) -> Iterator[Row]:
    """The prices realised, in the order in which they came."""
    for price in desk.shelf.store.prices.each():
        yield _price(desk, price)


def _price(desk: Desk, price: PriceRealised) -> Row:
    issue = desk.catalogue.by_key.get(price.issue)
    low, high = price.grade_low, price.grade_high
    figures = str(low) if low == high else f"{low}-{high}"
    return {
        "sale_date": price.sale_date,
        "issue": price.issue,
        **{name: getattr(issue, name, None) for name in COIN},
        "grade": price.grade_text or (figures if low is not None else ""),
        "certified": price.service or price.certified,
        "cert_number": price.cert_number,
        "problem": price.problems,
        "hammer" if price.kind == "hammer" else "all_in": price.price.amount,
        "currency": price.price.currency,
        "source": price.venue,
        "status": price.status,
        "lot_id": price.lot,
        "title": price.title,
        "quantity": price.quantity,
        "weight": price.weight,
        "note": price.note,
    }  # fmt: skip


def decisions(desk: Desk) -> Iterator[Row]:
    """The whole list, with what was turned back and the lines that turned it."""
    store = desk.shelf.store
    in_force = frozenset(store.decisions.batches().done)
    for line in store.decisions.all():
        yield {**told(line, DECISIONS), "in_force": line.batch in in_force}


def pieces(desk: Desk) -> Iterator[Row]:
    """The pieces, those that went back or were sold too, with cost and value today in home currency."""
    found = held(desk)
    _, bought = held_lists.purchases(desk, found)
    today = desk.local_today()
    for each, row in zip(found, bought, strict=True):
        yield {"key": each.key, "issue": each.issue, **row, "value_today": each.today, "valued_on": today}


KINDS: Mapping[str, Kind] = {
    "lots": Kind(tuple(LOTS), lots),
    "wants": Kind(WANTS, wants),
    "prices": Kind(PRICES, prices),
    "decisions": Kind((*DECISIONS, "in_force"), decisions),
    "pieces": Kind(PIECES, pieces),
}
"""By the name that the command line knows it by."""
