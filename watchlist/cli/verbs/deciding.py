"""watchlist decide, undo, redo, bids, result."""

from __future__ import annotations

from argparse import Namespace
from decimal import Decimal, InvalidOperation

from watchlist.cli import out, session
from watchlist.cli.verbs.gathering import ended_bids
from watchlist.core.decisions.plan import BidList, BidRow
from watchlist.desk import bidding, deciding, results, undoing
from watchlist.desk.desk import Desk
from watchlist.desk.errors import DeskError
from watchlist.desk.naming import short_key
from watchlist.desk.recording import Decided
from watchlist.desk.settling import settle
from watchlist.page.columns import cut, table, wrap
from watchlist.page.wording import CAUTION_BIDS, money, time_left


def run(args: Namespace) -> int:
    """One decision, a step back or forth, the bid list, or a result."""
    if args.verb == "bids":
        return _bids(args)
    with session.desk(args, write=True) as desk:
        done = _do(desk, args)
        settle(desk, done.due)
        for warning in done.warnings:
            out.talk(f"Warning: {warning}.")
        out.talk(f"{done.said}.")
        if args.json:
            for key in done.keys:
                row = desk.shelf.store.lots.get(key)
                out.record({"key": key, "state": row.state if row else None})
    return out.DONE


def _do(desk: Desk, args: Namespace) -> Decided:
    if args.verb == "decide":
        return deciding.decide(desk, [args.key], args.what, args.amount, anyway=args.anyway)
    if args.verb == "result":
        return results.result(desk, args.key, args.price, won=args.won)
    return undoing.undo(desk) if args.verb == "undo" else undoing.redo(desk)


def _bids(args: Namespace) -> int:
    with session.desk(args, write=False) as desk:
        found = bidding.bids(desk, _budget(args.budget))
        if args.json:
            for row in (*found.rows, *found.ended):
                out.record(_json(row))
        elif found.rows or found.ended:
            for line in _listed(desk, found, session.width()):
                out.data(line)
        else:
            out.talk("No bids yet: `watchlist decide KEY bid [AMOUNT]` puts a lot on the list.")
    return out.DONE


def _listed(desk: Desk, found: BidList, wide: int) -> list[str]:
    """The bids to come, those that have ended, the sum."""
    text: list[str] = []
    if found.rows:
        heads = ("closes", "lot", "bid", "bid limit", "all-in", "left of budget" if wide >= 100 else "left", "stage")
        rows = [heads, *(_row(desk, row) for row in found.rows)]
        text += table(rows, right=frozenset({0, 2, 3, 4, 5}), width=wide, give=(1,))
    for row in found.rows:
        for warning in row.warnings:
            text += wrap(f"  {short_key(desk.shelf.store, row.lot)}: {warning}.", wide, indent="    ")
    text += ended_bids(desk, found.ended, wide)
    return [*text, "", *wrap(f"{found.foot}.", wide), *wrap(CAUTION_BIDS, wide)]


def _budget(text: str) -> Decimal | None:
    if not text:
        return None
    try:
        amount = Decimal(text)
    except InvalidOperation:
        amount = Decimal(-1)
    if not amount.is_finite() or amount < 0:
        raise DeskError(f"--budget takes an amount in home currency, such as 1500, not `{text}`.")
    return amount


def _row(desk: Desk, row: BidRow) -> tuple[str, ...]:
    return (
        time_left(row.closes, desk.now),
        f"{short_key(desk.shelf.store, row.lot)}  {cut(row.title, 44)}",
        money(row.bid) if row.bid else "",
        money(row.limit) if row.limit else "",
        money(row.worst) if row.worst else "",
        money(row.left) if row.left else "",
        row.stage,
    )


def _json(row: BidRow) -> dict[str, object]:
    return {
        "key": row.lot,
        "title": row.title,
        "venue": row.venue,
        "stage": row.stage,
        "closes": row.closes.isoformat() if row.closes else None,
        "wants": list(row.wants),
        "bid": row.bid.json() if row.bid else None,
        "bid_limit": row.limit.json() if row.limit else None,
        "all_in": row.all_in.json() if row.all_in else None,
        "worst": row.worst.json() if row.worst else None,
        "ceiling": row.ceiling.json() if row.ceiling else None,
        "left": row.left.json() if row.left else None,
        "placed": row.placed.json() if row.placed else None,
        "warnings": list(row.warnings),
        "ended": row.ended,
        "fell": row.fell.json() if row.fell else None,
    }
