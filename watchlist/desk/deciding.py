"""Decisions, undo and redo, the bid list, and results."""

from __future__ import annotations

import uuid
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from decimal import Decimal

from watchlist.core.decisions import plan, review
from watchlist.core.decisions.plan import BidList, BidRow
from watchlist.core.decisions.review import Review, Verb
from watchlist.core.money.amount import Money
from watchlist.desk import dismissing, following, outcomes, pricing
from watchlist.desk.desk import Desk
from watchlist.desk.errors import DeskError, TooMuch
from watchlist.desk.outcomes import Settled
from watchlist.shelf.store.rows import LotRow

BINDS: frozenset[Verb] = frozenset({"bid", "buy", "offer", "placed"})
PAYS: frozenset[Verb] = BINDS | {"outbid"}
"""Decisions that may name an amount."""


@dataclass(frozen=True, slots=True)
class Decided:
    """What a decision did, and what to look out for."""

    keys: tuple[str, ...]
    said: str
    warnings: tuple[str, ...] = ()
    due: frozenset[str] = frozenset()
    """Issues whose bands and marks are still to follow, where that was put off."""


def folded(desk: Desk) -> Review:
    """Where every lot stands."""
    return review.fold(desk.shelf.store.decisions())


def decide(
    desk: Desk, keys: Sequence[str], verb: Verb, amount: str = "", *, anyway: bool = False, later: bool = False
) -> Decided:
    """Write down one decision for each of the lots, undone together. `later` puts off what bands and marks have to do.

    Raises DeskError for a lot that is not there, and TooMuch for a bid over its ceiling or over the budget unless
    `anyway`.
    """
    rows = [_row(desk, key) for key in keys]
    if amount and verb not in PAYS:
        raise DeskError(f"`{verb}` takes no amount; bid, buy, offer, placed and outbid do. Nothing was written.")
    paid = _amount(desk, rows[0], amount, "bid") if amount else None
    warnings: list[str] = []
    if verb in BINDS:
        listed = bids(desk).rows
        warnings = [warning for row in rows for warning in _too_much(desk, row, paid, listed)]
        if warnings and not anyway:
            raise TooMuch(f"{'; '.join(warnings)}. Nothing was written; --anyway writes it all the same.")
    made = review.decide(verb, [row.lot.key for row in rows], batch=_batch(), at=desk.now, amount=paid)
    _write(desk, made, review.fold(made).lots, [each.lot for each in made])
    settled = _settle(desk, [row.lot.key for row in rows] if verb in outcomes.SETTLES else [], later=later)
    what = f"{verb} {paid}" if paid else verb
    names = ", ".join(row.lot.key for row in rows[:3]) + (f" and {len(rows) - 3} more" if len(rows) > 3 else "")
    return Decided(tuple(row.lot.key for row in rows), f"{names}: {what}", tuple(warnings), settled.issues)


def _settle(desk: Desk, keys: Sequence[str], *, later: bool, weighed: bool = False) -> Settled:
    """Results follow the decisions; bands and marks too, now or `later`."""
    settled = outcomes.settle(desk, keys)
    if weighed:
        settled = replace(settled, issues=settled.issues | {following.ALL})
    if settled.issues and not later:
        following.follow_issues(desk, settled.issues)
        return replace(settled, issues=frozenset())
    return settled


def undo(desk: Desk, *, later: bool = False) -> Decided:
    """Turn back the last decision, also one of another day. Raises DeskError when there is none."""
    return _turn(desk, back=True, later=later)


def redo(desk: Desk, *, later: bool = False) -> Decided:
    """Restore what the last undo turned back. Raises DeskError when there is nothing."""
    return _turn(desk, back=False, later=later)


def _turn(desk: Desk, *, back: bool, later: bool) -> Decided:
    told = desk.shelf.store.decisions()
    before = review.batches(told)
    turn = (review.undo if back else review.redo)(before, batch=_batch(), at=desk.now)
    if turn is None:
        raise DeskError("There is nothing to undo." if back else "There is nothing to redo.")
    decisions = [each for each in told if each.batch == turn.target]
    lots = [each for each in decisions if each.lot]
    touched, in_force = {each.lot for each in lots}, {*before.done} ^ {turn.target}
    after = review.fold(each for each in told if each.lot in touched and each.batch in in_force)
    _write(desk, (turn,), after.lots, [each.lot for each in lots])
    weighed = [each for each in decisions if each.verb == "weigh"]
    for each in decisions:
        if each.verb in ("dismiss", "restore"):
            dismissing.turn_back(desk, each, back=back)
    said = [f"{each.lot} {each.verb}" for each in lots[:3]]
    said += [pricing.weigh_back(desk, each, back=back) for each in weighed]
    settling = [each.lot for each in lots if each.verb in outcomes.SETTLES]
    settled = _settle(desk, settling, later=later, weighed=bool(weighed))
    rest = f" and {len(lots) - 3} more" if len(lots) > 3 else ""
    what = f"{'undone' if back else 'restored'}: {', '.join(said)}{rest}"
    return Decided(tuple(each.lot for each in lots), what, due=settled.issues)


def _write(
    desk: Desk, decisions: Sequence[review.Decision], standing: Mapping[str, review.Standing], touched: Sequence[str]
) -> None:
    """Append decisions and set the states of the lots they touch to where these stand then: both, or neither."""
    store = desk.shelf.store
    lines = {key: store.line(key) for key in dict.fromkeys(touched)}
    closes = {key: line.closes if line else None for key, line in lines.items()}
    with store.together():
        store.add_decisions(decisions)
        store.set_states([
            (key, review.state_of(standing.get(key), seen=True, closes=closes[key], now=desk.now)) for key in lines
        ])


def _row(desk: Desk, key: str) -> LotRow:
    row = desk.shelf.store.lot(desk.lot_key(key))
    if row is None:
        raise DeskError(f"There is no lot `{key}`; `watchlist lots` lists them with their keys.")
    return row


def _amount(desk: Desk, row: LotRow, text: str, what: str) -> Money:
    terms = desk.terms.get(row.lot.venue)
    sale = (terms.currency if terms else None) or (row.lot.price.currency if row.lot.price else desk.home)
    paid = Money.parse(text, default=sale, codes=desk.currencies)
    if paid.amount <= 0:
        raise DeskError(f"A {what} is above zero, not {paid}. Nothing was written.")
    return paid


def _too_much(desk: Desk, row: LotRow, amount: Money | None, listed: Sequence[BidRow]) -> list[str]:
    """Why this bid costs more than the ceiling or the budget allow; what binds already is not asked again."""
    judgement = row.judgement
    stands = next((each for each in listed if each.lot == row.lot.key), None)
    bid = amount or (stands.bid if stands else judgement.bid_limit if judgement else None) or row.lot.price
    worst = plan.worst_case(bid, row.lot.venue, desk.terms.get(row.lot.venue), desk.rates, desk.now.date())
    if worst is None or (stands and stands.binding and stands.worst and worst.amount <= stands.worst.amount):
        return []
    found: list[str] = []
    ceiling = judgement.ceiling if judgement else None
    if ceiling is not None and worst.amount > ceiling.amount:
        found.append(f"{row.lot.key} can cost {worst}, above your ceiling of {ceiling}")
    others = [each for each in listed if each.binding and each.lot != row.lot.key and each.worst]
    total = sum((each.worst.amount for each in others if each.worst), worst.amount)
    budget = desk.settings.bids.budget
    if total > budget:
        found.append(f"all bids together can cost {Money(total, desk.home)}, above the budget of "
                     f"{Money(budget, desk.home)}")
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


def result(desk: Desk, key: str, price: str, *, won: bool, later: bool = False) -> Decided:
    """Write down what a lot fetched: a price realised from now on, and a purchase when it was won.

    A second result of the same lot takes the place of the first; undo brings the first one back."""
    row = _row(desk, key)
    paid = _amount(desk, row, price, "price")
    verb: Verb = "won" if won else "lost"
    made = review.decide(verb, [row.lot.key], batch=_batch(), at=desk.now, amount=paid)
    _write(desk, made, review.fold(made).lots, [row.lot.key])
    settled = _settle(desk, [row.lot.key], later=later)
    bought = settled.bought.get(row.lot.key)
    kept = desk.shelf.store.results(row.lot.key)
    counts = "" if kept and kept[0].price.issue else "; its issue is not known, so it counts for no band"
    cost = f", {bought.all_in} all in" if bought and bought.all_in else ""
    return Decided((row.lot.key,), f"{row.lot.key}: {verb} at {paid}{cost}{counts}", due=settled.issues)


def _batch() -> str:
    return uuid.uuid4().hex[:12]
