"""A decision on one lot or on several: follow, skip, a bid's whole life, clear."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from watchlist.core.decisions import life, review
from watchlist.core.decisions.bids import has_ended
from watchlist.core.decisions.review import PLANS, Verb
from watchlist.core.money.amount import Money
from watchlist.desk.amounts import above_zero, day_of
from watchlist.desk.changes import batch_name
from watchlist.desk.decisions.dear import too_dear
from watchlist.desk.desk import Desk
from watchlist.desk.errors import DeskError, TooMuch
from watchlist.desk.in_hand import bidding, courses, limits
from watchlist.desk.in_hand.committed import needs
from watchlist.desk.in_hand.hands import hands
from watchlist.desk.in_hand.others import bids_of_others
from watchlist.desk.naming import short_key
from watchlist.desk.recording import Decided, lot_of, record
from watchlist.desk.results import results
from watchlist.page.wording import MARK_WORDS
from watchlist.shelf.store.rows import LotRow

BINDS: frozenset[Verb] = frozenset({"bid", "buy", "offer", "placed", "acknowledged"})
COMMITS: frozenset[Verb] = PLANS
"""Decisions on what is still to come; `placed` may tell of what was."""
AFTER_UNSOLD: frozenset[Verb] = frozenset({"buy", "offer"})
"""A lot that went unsold may be offered for, or bought, after the sale."""
PAYS: frozenset[Verb] = BINDS | {"outbid", "unsold"}
"""Decisions that may name an amount."""
ENDS: frozenset[Verb] = frozenset({"unsold", "withdrawn"})
ASKED_ABOUT = frozenset({"copy", "doubt"})
"""Marks of lots on which a bid is asked about twice."""
TOLD = 3
"""Lots of a decision that are named one by one."""


def decide(
    desk: Desk,
    keys: Sequence[str],
    verb: Verb,
    amount: str = "",
    *,
    anyway: bool = False,
    shared: bool = False,
    on: str = "",
) -> Decided:
    """Write down one decision for each of the lots, undone together. `on`: the day it happened, where it is told later.

    Raises DeskError for a lot that is not there and for a bid on one that has ended, and TooMuch for a bid over its
    ceiling or over the budget unless `anyway`. `shared`: a bid may count on shared postage, whether it comes or not.
    """
    rows = [lot_of(desk, key) for key in keys]
    if verb in COMMITS:
        _still_open(desk, rows, verb)
    if verb in ENDS:
        _not_won(desk, rows)
    if verb == "clear":
        courses.refuse_invoiced(desk, (row.lot.key for row in rows))
    day = day_of(desk, on)
    paid = _amount(desk, rows[0], verb, amount) if amount else None
    warnings = tuple(_out_of_turn(desk, rows, verb, paid))
    warnings += _warned(desk, rows, verb, paid, anyway=anyway, shared=shared) if verb in BINDS else ()
    lots = tuple(row.lot.key for row in rows)
    made = review.decide(verb, lots, batch=batch_name(), at=desk.now, amount=paid, day=day)
    with desk.shelf.store.together():
        record(desk, made)
        due = results.follow(desk, lots if verb in results.SETTLES else ()).due
    more = f" and {len(lots) - TOLD} more" if len(lots) > TOLD else ""
    said = f"{', '.join(lots[:TOLD])}{more}: {_told(desk, lots, verb, paid)}"
    return Decided(lots, said, warnings, due)


def _told(desk: Desk, lots: Sequence[str], verb: Verb, paid: Money | None) -> str:
    """The verb with its amount. Of a plan: the amount that stands where none was typed, and that nothing is sent."""
    if verb not in PLANS:
        return f"{verb} {paid}" if paid else verb
    if paid is None and len(lots) == 1:
        paid = next((each.bid for each in bidding.rows(desk) if each.lot == lots[0]), None)
    amount = f" {paid}{' hammer' if verb == 'bid' else ''}" if paid else ""
    row = desk.shelf.store.lots.get(lots[0]) if verb == "bid" and len(lots) == 1 else None
    now = limits.left_now(desk, row, paid).removesuffix(".") if row else ""
    return f"{verb}{amount}, planned, not sent{f'. {now}' if now else ''}"


def _out_of_turn(desk: Desk, rows: Sequence[LotRow], verb: Verb, paid: Money | None) -> Iterator[str]:
    standing = desk.shelf.store.decisions.review().lots
    for row in rows:
        yield from life.out_of_turn(verb, row.lot.key, standing.get(row.lot.key), paid)


def _not_won(desk: Desk, rows: Sequence[LotRow]) -> None:
    """Raises DeskError for a lot that was sold to oneself; a provisional win the seller may still refuse."""
    standing = desk.shelf.store.decisions.review().lots
    sold = (row.lot.key for row in rows if row.state == "won" and standing[row.lot.key].stage != review.PROVISIONAL)
    if won := next(sold, ""):
        raise DeskError(f"{won} is won; `clear` takes that back. Nothing was written.")


def _still_open(desk: Desk, rows: Sequence[LotRow], verb: Verb) -> None:
    """Raises DeskError for a lot that can be had no more."""
    standing = desk.shelf.store.decisions.review().lots
    for row in rows:
        stands = standing.get(row.lot.key)
        if verb in AFTER_UNSOLD and stands is not None and (stands.stage == "unsold" or stands.after_sale):
            continue
        if row.state in ("won", "lost"):
            raise DeskError(f"{row.lot.key} is {row.state}; `clear` takes that back. Nothing was written.")
        if has_ended(row.lot, desk.now):
            raise DeskError(
                f"{row.lot.key} has ended: record its hammer price (`watchlist result`). Nothing was written."
            )


def _amount(desk: Desk, row: LotRow, verb: Verb, text: str) -> Money:
    if verb not in PAYS:
        having = "bid, buy, offer, placed, acknowledged, outbid and unsold do"
        raise DeskError(f"`{verb}` takes no amount; {having}. Nothing was written.")
    return above_zero(desk, text, bidding.sale_currency(desk, row), "bid")


def _warned(
    desk: Desk, rows: Sequence[LotRow], verb: Verb, paid: Money | None, *, anyway: bool, shared: bool
) -> tuple[str, ...]:
    """What speaks against bids. Raises TooMuch where that is their cost, unless they are written `anyway`."""
    listed = bidding.rows(desk)
    dear = tuple(too_dear(desk, rows, paid, listed))
    terms = _doubtful_terms(desk, rows) if verb == "bid" else ()
    terms += (*bids_of_others(desk, rows), *_marked(desk, rows))
    terms += tuple(_one_too_many(desk, rows)) if verb == "placed" else ()
    asked = bool(terms) or not all(each.alone for each in dear)
    said = (*(each.why for each in dear), *terms)
    if said and not anyway and (asked or not shared):
        raise TooMuch(f"{'; '.join(said)}. Nothing was written; --{'anyway' if asked else 'shared'} writes it even so.")
    return (*said, *bidding.odd(rows, verb, paid, listed))


def _marked(desk: Desk, rows: Sequence[LotRow]) -> Iterator[str]:
    """Lots marked Copy or Doubt; one that was bid on when it was marked so is not asked about again."""
    for row in rows:
        mark = row.judgement.mark if row.judgement else ""
        if mark in ASKED_ABOUT and (row.state != "bid" or _mark_then(desk, row.lot.key) != mark):
            yield f"{row.lot.key} is marked {MARK_WORDS[mark]}"


def _mark_then(desk: Desk, lot: str) -> str:
    """How a lot was marked when the bid that stands on it was said."""
    store = desk.shelf.store
    said = [line.seq for line in store.decisions.in_force(*BINDS) if line.lot == lot]
    judged = store.decisions.snapshot(said[-1]).judgement if said else None
    return judged.mark if judged else ""


def _one_too_many(desk: Desk, rows: Sequence[LotRow]) -> Iterator[str]:
    """Lots of an either-or group that has all it needs placed or won: this one could win besides."""
    found = hands(desk)
    room = needs(desk, found)
    for row in rows:
        for group in desk.shelf.notebook.groups.list():
            each = found.lots.get(row.lot.key)
            if row.lot.key in group.lots and room[group.id] < 1 and (each is None or each.stands == "planned"):
                short = short_key(desk.shelf.store, row.lot.key)
                yield f"{short} is one too many of group {group.id}: {group.need} needed, and as many placed or won"


def _doubtful_terms(desk: Desk, rows: Sequence[LotRow]) -> tuple[str, ...]:
    """Each venue once; its increments matter where one of the lots is no fixed price."""
    rising = {row.lot.venue for row in rows if row.lot.price_kind != "fixed"}
    venues = dict.fromkeys(row.lot.venue for row in rows)
    return tuple(filter(None, (bidding.doubtful_terms(desk, name, steps=name in rising) for name in venues)))
