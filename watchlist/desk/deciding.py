"""Decisions, undo and redo, the bid list, and results."""

from __future__ import annotations

import uuid
from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal

from watchlist.core import plan, results, review
from watchlist.core.money import Money
from watchlist.core.plan import BidList
from watchlist.core.review import Review, Verb
from watchlist.desk import judging, pricing
from watchlist.desk.desk import Desk
from watchlist.desk.errors import DeskError
from watchlist.shelf.store.decisions import Purchase
from watchlist.shelf.store.filters import Filter
from watchlist.shelf.store.rows import LotRow

BINDS: frozenset[Verb] = frozenset({"bid", "buy", "offer", "placed"})


@dataclass(frozen=True, slots=True)
class Decided:
    """What a decision did, and what to look out for."""

    keys: tuple[str, ...]
    said: str
    warnings: tuple[str, ...] = ()


def folded(desk: Desk) -> Review:
    """Where every lot stands."""
    return review.fold(desk.shelf.store.decisions())


def decide(desk: Desk, keys: Sequence[str], verb: Verb, amount: str = "", *, anyway: bool = False) -> Decided:
    """Write down one decision for each of the lots, undone together.

    Raises DeskError for a lot that is not there, and for a bid over its ceiling or over the budget unless `anyway`.
    """
    rows = [_row(desk, key) for key in keys]
    paid = _amount(desk, rows[0], amount) if amount else None
    warnings: list[str] = []
    if verb in BINDS:
        warnings = [warning for row in rows for warning in _too_much(desk, row, paid)]
        if warnings and not anyway:
            raise DeskError(f"{'; '.join(warnings)}. Nothing was written; --anyway writes it all the same.")
    _write(desk, review.decide(verb, [row.lot.key for row in rows], batch=_batch(), at=desk.now, amount=paid))
    what = f"{verb} {paid}" if paid else verb
    names = ", ".join(row.lot.key for row in rows[:3]) + (f" and {len(rows) - 3} more" if len(rows) > 3 else "")
    return Decided(tuple(row.lot.key for row in rows), f"{names}: {what}", tuple(warnings))


def undo(desk: Desk) -> Decided:
    """Turn back the last decision, also one of another day. Raises DeskError when there is none."""
    return _turn(desk, back=True)


def redo(desk: Desk) -> Decided:
    """Restore what the last undo turned back. Raises DeskError when there is nothing."""
    return _turn(desk, back=False)


def _turn(desk: Desk, *, back: bool) -> Decided:
    before = folded(desk)
    turn = (review.undo if back else review.redo)(before, batch=_batch(), at=desk.now)
    if turn is None:
        raise DeskError("There is nothing to undo." if back else "There is nothing to redo.")
    decisions = [each for each in desk.shelf.store.decisions() if each.batch == turn.target]
    _write(desk, (turn,), touched=[each.lot for each in decisions])
    for each in decisions:
        if each.verb in ("won", "lost"):
            _turn_result(desk, each, back=back)
    what = ", ".join(f"{each.lot} {each.verb}" for each in decisions[:3])
    return Decided(tuple(each.lot for each in decisions), f"{'undone' if back else 'restored'}: {what}")


def _write(desk: Desk, decisions: Sequence[review.Decision], touched: Sequence[str] = ()) -> None:
    """Append decisions and set the states that follow from them."""
    store = desk.shelf.store
    store.add_decisions(decisions)
    standing = folded(desk).lots
    states: list[tuple[str, review.State]] = []
    for key in dict.fromkeys([*touched, *(each.lot for each in decisions if each.lot)]):
        row = store.lot(key)
        closes = row.lot.closes if row else None
        states.append((key, review.state_of(standing.get(key), seen=True, closes=closes, now=desk.now)))
    store.set_states(states)


def _row(desk: Desk, key: str) -> LotRow:
    row = desk.shelf.store.lot(desk.lot_key(key))
    if row is None:
        raise DeskError(f"There is no lot `{key}`; `watchlist lots` lists them with their keys.")
    return row


def _amount(desk: Desk, row: LotRow, text: str) -> Money:
    terms = desk.terms.get(row.lot.venue)
    sale = (terms.currency if terms else None) or (row.lot.price.currency if row.lot.price else desk.home)
    paid = Money.parse(text, default=sale, codes=desk.currencies)
    if paid.amount <= 0:
        raise DeskError(f"A bid is above zero, not {paid}. Nothing was written.")
    return paid


def _too_much(desk: Desk, row: LotRow, amount: Money | None) -> list[str]:
    """Why this bid costs more than the ceiling or the budget allow."""
    judgement = row.judgement
    bid = amount or (judgement.bid_limit if judgement else None) or row.lot.price
    worst = plan.worst_case(bid, row.lot.venue, desk.terms.get(row.lot.venue), desk.rates, desk.now.date())
    if worst is None:
        return []
    found: list[str] = []
    ceiling = judgement.ceiling if judgement else None
    if ceiling is not None and worst.amount > ceiling.amount:
        found.append(f"{row.lot.key} can cost {worst}, above your ceiling of {ceiling}")
    others = [each for each in bids(desk).rows if each.binding and each.lot != row.lot.key and each.worst]
    total = sum((each.worst.amount for each in others if each.worst), worst.amount)
    budget = desk.settings.bids.budget
    if total > budget:
        found.append(f"all bids together can cost {Money(total, desk.home)}, above the budget of {budget} {desk.home}")
    return found


def bids(desk: Desk, budget: Decimal | None = None) -> BidList:
    """The bid list: all lots with a bid planned, placed or outbid, and fixed-price pieces to buy."""
    standing = folded(desk).lots
    rows = []
    for key, stands in standing.items():
        row = desk.shelf.store.lot(key) if stands.state == "bid" else None
        if row is not None and row.judgement is not None:
            terms = desk.terms.get(row.lot.venue)
            rows.append(plan.bid_row(row.lot, row.judgement, stands, terms, desk.rates, desk.now))
    limit = desk.settings.bids.budget if budget is None else budget
    return plan.bid_list(rows, home=desk.home, budget=Money(limit, desk.home))


def unplaced(desk: Desk) -> list[plan.BidRow]:
    """Bids of the list that were planned and never placed, and whose lot has not closed."""
    rows = (row for row in bids(desk).rows if row.stage == "planned")
    return [row for row in rows if row.closes is None or row.closes > desk.now]


def result(desk: Desk, key: str, price: str, *, won: bool) -> Decided:
    """Write down what a lot fetched: a price realised from now on, and a purchase when it was won."""
    row = _row(desk, key)
    judgement = row.judgement or judging.Judge(desk).judge(row).judgement
    assert judgement is not None
    paid = _amount(desk, row, price)
    day = min((row.lot.closes or desk.now).astimezone(desk.settings.home.zone).date(), desk.local_today())
    terms = desk.terms.get(row.lot.venue)
    made, bought = results.record(
        row.lot, row.reading, judgement, paid, day, won=won, terms=terms, rates=desk.rates
    )
    store = desk.shelf.store
    store.put_result(row.lot.key, made, won=won, at=desk.now)
    verb: Verb = "won" if won else "lost"
    _write(desk, review.decide(verb, [row.lot.key], batch=_batch(), at=desk.now, amount=paid))
    if bought is not None and bought.all_in is not None:
        _keep_purchase(desk, row, bought, bought.all_in)
    pricing.mark_dirty(desk)
    pricing.refit(desk, search=False)
    _judge_issue(desk, judgement.issue)
    counts = "" if judgement.issue else "; its issue is not known, so it counts for no band"
    cost = f", {bought.all_in} all in" if bought and bought.all_in else ""
    return Decided((row.lot.key,), f"{row.lot.key}: {verb} at {paid}{cost}{counts}")


def _keep_purchase(desk: Desk, row: LotRow, bought: results.Purchase, paid: Money) -> None:
    desk.shelf.store.put_purchase(Purchase(
        row.lot.key, bought.issue or "", paid, desk.now, bought.grade_low, bought.grade_high, bought.want, bought.note
    ))
    want = desk.wants.by_id.get(bought.want)
    if want is not None:
        desk.shelf.notebook.wants.put(results.fill(want))
        desk.forget()


def _turn_result(desk: Desk, decision: review.Decision, *, back: bool) -> None:
    """Take a result and its purchase back, or restore them."""
    store = desk.shelf.store
    if not back:
        if decision.amount is not None:
            _restore_result(desk, decision)
        return
    store.drop_result(decision.lot)
    purchase = next((each for each in store.purchases() if each.lot == decision.lot), None)
    if purchase is not None:
        store.drop_purchase(decision.lot)
        want = desk.wants.by_id.get(purchase.want)
        if want is not None:
            desk.shelf.notebook.wants.put(results.fill(want, -1))
    desk.forget()
    pricing.mark_dirty(desk)
    pricing.refit(desk, search=False)


def _restore_result(desk: Desk, decision: review.Decision) -> None:
    row = _row(desk, decision.lot)
    assert row.judgement is not None
    assert decision.amount is not None
    day = min((row.lot.closes or desk.now).astimezone(desk.settings.home.zone).date(), desk.local_today())
    made, bought = results.record(
        row.lot, row.reading, row.judgement, decision.amount, day, won=decision.verb == "won",
        terms=desk.terms.get(row.lot.venue), rates=desk.rates,
    )
    desk.shelf.store.put_result(row.lot.key, made, won=decision.verb == "won", at=decision.at)
    if bought is not None and bought.all_in is not None:
        _keep_purchase(desk, row, bought, bought.all_in)
    pricing.mark_dirty(desk)
    pricing.refit(desk, search=False)


def _judge_issue(desk: Desk, issue: str | None) -> None:
    if issue is not None:
        store = desk.shelf.store
        keys = [line.key for line in store.each_line(Filter(issue=issue, open_at=desk.now))]
        judging.judge_again(desk, store.lots_by_key(keys).values())


def _batch() -> str:
    return uuid.uuid4().hex[:12]
