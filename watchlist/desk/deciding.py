"""Decisions, undo and redo, the bid list, and results."""

from __future__ import annotations

import uuid
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import datetime, timedelta
from decimal import Decimal

from watchlist.core.decisions import plan, review
from watchlist.core.decisions.plan import BidList, BidRow
from watchlist.core.decisions.review import Review, Verb
from watchlist.core.money.amount import Money
from watchlist.desk import dismissing, following, outcomes, pricing, relisting
from watchlist.desk.adding import BY_HAND
from watchlist.desk.desk import Desk
from watchlist.desk.errors import DeskError, TooMuch
from watchlist.desk.gathering import LAST_GATHER
from watchlist.desk.outcomes import Settled
from watchlist.desk.typed import above_zero
from watchlist.page.wording import local
from watchlist.shelf.store.rows import LotLine, LotRow

BINDS: frozenset[Verb] = frozenset({"bid", "buy", "offer", "placed"})
COMMITS: frozenset[Verb] = frozenset({"bid", "buy", "offer"})
"""Decisions on what is still to come; `placed` may tell of what was."""
PAYS: frozenset[Verb] = BINDS | {"outbid"}
"""Decisions that may name an amount."""
SPENT = timedelta(days=7)
"""The budget is for the sales of about a week: what was won within it is spent."""


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
    return desk.shelf.store.decisions.review()


def decide(
    desk: Desk, keys: Sequence[str], verb: Verb, amount: str = "", *, anyway: bool = False, later: bool = False
) -> Decided:
    """Write down one decision for each of the lots, undone together. `later` puts off what bands and marks have to do.

    Raises DeskError for a lot that is not there and for a bid on one that has ended, and TooMuch for a bid over its
    ceiling or over the budget unless `anyway`.
    """
    rows = [_row(desk, key) for key in keys]
    if verb in COMMITS:
        _still_open(desk, rows)
    if amount and verb not in PAYS:
        raise DeskError(f"`{verb}` takes no amount; bid, buy, offer, placed and outbid do. Nothing was written.")
    paid = _amount(desk, rows[0], amount, "bid") if amount else None
    warnings: list[str] = []
    if verb in BINDS:
        listed = bids(desk)
        warnings = [warning for row in rows for warning in _too_much(desk, row, paid, listed)]
        if warnings and not anyway:
            raise TooMuch(f"{'; '.join(warnings)}. Nothing was written; --anyway writes it all the same.")
        warnings += [warning for row in rows for warning in _odd_bid(row, verb, _bid(row, paid, listed))]
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


def judges_anew(desk: Desk, *, back: bool) -> bool:
    """The next undo or redo has a lot to judge, which takes longer than a key may."""
    standing = desk.shelf.store.decisions.batches()
    names = standing.done if back else standing.undone
    return bool(names) and any(each.verb in dismissing.VERBS for each in desk.shelf.store.decisions.batch(names[-1]))


def _turn(desk: Desk, *, back: bool, later: bool) -> Decided:
    told = desk.shelf.store.decisions.all()
    before = desk.shelf.store.decisions.batches()
    turn = (review.undo if back else review.redo)(before, batch=_batch(), at=desk.now)
    if turn is None:
        raise DeskError("There is nothing to undo." if back else "There is nothing to redo.")
    decisions = desk.shelf.store.decisions.batch(turn.target)
    lots = [each for each in decisions if each.lot]
    touched, in_force = {each.lot for each in lots}, {*before.done} ^ {turn.target}
    after = review.fold(each for each in told if each.lot in touched and each.batch in in_force)
    _write(desk, (turn,), after.lots, [each.lot for each in lots])
    weighed = [each for each in decisions if each.verb == "weigh"]
    for each in decisions:
        if each.verb in dismissing.VERBS:
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
    lines = {key: store.listing.line(key) for key in dict.fromkeys(touched)}
    closes = {key: line.closes if line else None for key, line in lines.items()}
    new = {key for key, line in lines.items() if line and _is_new(desk, line)}
    with store.together():
        store.decisions.add(decisions)
        store.lots.set_states(
            [
                (key, review.state_of(standing.get(key), seen=key not in new, closes=closes[key], now=desk.now))
                for key in lines
            ]
        )


def _is_new(desk: Desk, line: LotLine) -> bool:
    """It came with the last gather: without a decision it is new until the next one."""
    last = desk.shelf.store.facts.get(LAST_GATHER)
    if not last or line.source == BY_HAND or line.first_seen is None:
        return False
    return line.first_seen >= datetime.fromisoformat(last)


def _row(desk: Desk, key: str) -> LotRow:
    row = desk.shelf.store.lots.get(desk.lot_key(key))
    if row is None:
        raise DeskError(f"There is no lot `{key}`; `watchlist lots` lists them with their keys.")
    return row


def _amount(desk: Desk, row: LotRow, text: str, what: str) -> Money:
    return above_zero(desk, text, _currency(desk, row), what)


def _currency(desk: Desk, row: LotRow) -> str:
    """The currency of the sale: the venue's, else the lot's, else one's own."""
    terms = desk.terms.get(row.lot.venue)
    return (terms.currency if terms else None) or (row.lot.price.currency if row.lot.price else desk.home)


def first_bid(desk: Desk, row: LotRow) -> tuple[Decimal | None, str]:
    """The amount to begin from when one is asked, and its currency: the bid that stands, the limit, else one step above
    the bid so far."""
    terms, price, currency = desk.terms.get(row.lot.venue), row.lot.price, _currency(desk, row)
    standing = folded(desk).lots.get(row.lot.key)
    for stands in (standing.amount if standing else None, row.judgement.bid_limit if row.judgement else None):
        if stands is not None and stands.currency == currency:
            return stands.amount, currency
    if price is None or price.currency != currency or row.lot.price_kind != "so far" or terms is None:
        return None, currency
    return terms.ladder.next_above(price.amount), currency


def _still_open(desk: Desk, rows: Sequence[LotRow]) -> None:
    """Raises DeskError for a lot that can be had no more."""
    for row in rows:
        if row.state in ("won", "lost"):
            raise DeskError(f"{row.lot.key} is {row.state}; `clear` takes that back. Nothing was written.")
        if plan.has_ended(row.lot, desk.now):
            raise DeskError(
                f"{row.lot.key} has ended: say what it fell for, won or lost (`watchlist result`). Nothing was written."
            )


def _bid(row: LotRow, amount: Money | None, listed: BidList) -> Money | None:
    """What is bid: the amount given, else what stands, else the limit."""
    stands = _stands(row, listed)
    limit = row.judgement.bid_limit if row.judgement else None
    return amount or (stands.bid if stands else limit) or row.lot.price


def _stands(row: LotRow, listed: BidList) -> BidRow | None:
    return next((each for each in (*listed.rows, *listed.ended) if each.lot == row.lot.key), None)


def _too_much(desk: Desk, row: LotRow, amount: Money | None, listed: BidList) -> list[str]:
    """Why this bid costs more than the ceiling or the budget allow; what binds already is not asked again."""
    stands, bid = _stands(row, listed), _bid(row, amount, listed)
    worst = plan.worst_case(bid, row.lot.venue, desk.terms.get(row.lot.venue), desk.rates, desk.now.date())
    known = stands is not None and (stands.binding or stands.ended) and stands.worst
    if worst is None or (known and worst.amount <= known.amount):
        return []
    found: list[str] = []
    ceiling = row.judgement.ceiling if row.judgement else None
    if ceiling is not None and worst.amount > ceiling.amount:
        found.append(f"{row.lot.key} can cost {worst}, above your ceiling of {ceiling}")
    others = sum(
        (each.worst.amount for each in listed.rows if each.binding and each.lot != row.lot.key and each.worst),
        worst.amount,
    )
    spent = listed.spent.amount if listed.spent else Decimal(0)
    budget = desk.settings.bids.budget
    if others + spent > budget:
        won = f", with {listed.spent} spent on {listed.won} won," if spent else ""
        found.append(
            f"all bids together can cost {Money(others + spent, desk.home)}{won or ','} above the budget of "
            f"{Money(budget, desk.home)}"
        )
    return found


def _odd_bid(row: LotRow, verb: Verb, bid: Money | None) -> Iterator[str]:
    """What speaks against a bid that may be written all the same."""
    lot, key = row.lot, row.lot.key
    if verb in ("bid", "placed") and lot.price_kind == "so far" and lot.price and bid and _below(bid, lot.price):
        yield f"{key} stands at {lot.price} already, above this bid of {bid}"
    if row.judgement is not None and row.judgement.mark == "copy":
        yield f"{key} is marked Copy"


def _below(amount: Money, other: Money) -> bool:
    return amount.currency == other.currency and amount.amount < other.amount


def bids(desk: Desk, budget: Decimal | None = None) -> BidList:
    """The bid list: all lots with a bid planned, placed or outbid, and fixed-price pieces to buy."""
    standing = folded(desk).lots
    anew = relisting.to_place_anew(desk, standing)
    rows = []
    for key, stands in standing.items():
        row = desk.shelf.store.lots.get(key) if stands.state == "bid" else None
        if row is not None and row.judgement is not None:
            terms = desk.terms.get(row.lot.venue)
            stands = replace(stands, stage="planned", placed=None) if key in anew else stands
            made = plan.bid_row(row.lot, row.judgement, stands, terms, desk.rates, desk.now)
            rows.append(replace(made, warnings=(*made.warnings, PLACE_ANEW)) if key in anew else made)
    limit = desk.settings.bids.budget if budget is None else budget
    spent, won = spent_of_late(desk)
    return plan.bid_list(rows, home=desk.home, budget=Money(limit, desk.home), spent=spent, won=won)


PLACE_ANEW = "it is offered again: the bid was placed at the earlier sale"


def spent_of_late(desk: Desk) -> tuple[Money, int]:
    """What the lots won in the last days cost together, all-in, and how many they are."""
    late = [
        each.paid.amount
        for each in desk.shelf.store.purchases.all()
        if each.paid.currency == desk.home and timedelta(0) <= desk.now - each.at < SPENT
    ]
    return Money(sum(late, Decimal(0)), desk.home), len(late)


def unplaced(desk: Desk) -> list[plan.BidRow]:
    """Bids of the list that were planned and never placed, and whose lot has not closed."""
    return [row for row in bids(desk).rows if row.stage == "planned"]


def result(desk: Desk, key: str, price: str, *, won: bool, later: bool = False) -> Decided:
    """Write down what a lot fetched: a price realised from now on, and a purchase when it was won.

    A second result of the same lot takes the place of the first; undo brings the first one back."""
    row = _row(desk, key)
    paid = _amount(desk, row, price, "price")
    warnings = tuple(_odd_result(desk, row, folded(desk).lots.get(row.lot.key), paid, won=won))
    verb: Verb = "won" if won else "lost"
    made = review.decide(verb, [row.lot.key], batch=_batch(), at=desk.now, amount=paid)
    _write(desk, made, review.fold(made).lots, [row.lot.key])
    settled = _settle(desk, [row.lot.key], later=later)
    bought = settled.bought.get(row.lot.key)
    kept = desk.shelf.store.results.of(row.lot.key)
    counts = "" if kept and kept.price.issue else "; its issue is not known, so it counts for no band"
    cost = f", {bought.all_in} all in" if bought and bought.all_in else ""
    return Decided((row.lot.key,), f"{row.lot.key}: {verb} at {paid}{cost}{counts}", warnings, settled.issues)


def _odd_result(desk: Desk, row: LotRow, standing: review.Standing | None, paid: Money, *, won: bool) -> Iterator[str]:
    """What speaks against a result: the sale is still to come, the bidding stood higher, or one's own bid did."""
    lot = row.lot
    if lot.price_kind == "so far" and lot.price and _below(paid, lot.price):
        yield f"{lot.key} stood at {lot.price} already"
    if lot.price_kind == "ended" and lot.price and lot.price.currency == paid.currency and lot.price != paid:
        yield f"{lot.key} fell for {lot.price} by its source; your own word counts"
    if lot.price_kind == "so far" and lot.closes is not None and lot.closes > desk.now:
        yield f"{lot.key} closes only {local(lot.closes, desk.settings.home.time_zone)}"
    own = (standing.placed or (standing.amount if standing.stage == "outbid" else None)) if standing else None
    if own is not None and not won and _below(paid, own):
        yield f"your own bid on {lot.key} was {own}, above the price it is said to be lost at"
    if own is not None and won and _below(own, paid):
        yield f"your own bid on {lot.key} was {own}, below the price it is said to be won at"


def _batch() -> str:
    return uuid.uuid4().hex[:12]
