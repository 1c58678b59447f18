"""What has changed of a lot since the last gather, in words."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import datetime, timedelta
from decimal import Decimal

from watchlist.core.decisions.bids import AGAINST, against
from watchlist.core.decisions.review import Standing
from watchlist.core.lots.record import Lot
from watchlist.core.marks.reasons import figure
from watchlist.core.marks.record import Judgement
from watchlist.core.money.amount import Money
from watchlist.page.wording import local

MOVED = Decimal("0.1")
"""A band's median that moves by less is not told."""


@dataclass(frozen=True, slots=True)
class Turn:
    """A lot as it was and as it is."""

    lot: Lot
    judgement: Judgement | None
    standing: Standing | None
    was_price: Money | None
    was_closes: datetime | None
    was_mid: Decimal | None
    was_signs: frozenset[str]
    gone: bool
    """Its source lists it no more."""


DRAWN_OUT = timedelta(hours=2)
"""A closing that has passed by less was put off by late bids; a lot that is open after that is offered again."""
PRICE = ("current bid ", "price ", "estimate ")
"""How a sentence begins that only tells a price."""


def only_price(said: Iterable[str]) -> bool:
    """Nothing but a price has moved."""
    return all(each.startswith(PRICE) for each in said)


def changes(turn: Turn, now: datetime, zone: str) -> list[str]:
    """What has changed, the weightiest first; empty where nothing is worth a word."""
    risen = [*_outbid(turn), *_past_limit(turn)]
    if _ended(turn, now):
        return [*risen, *_end(turn)]
    again = turn.was_closes is not None and turn.was_closes <= now - DRAWN_OUT
    price = [] if risen or again else _price(turn)
    return [*risen, *_there(turn, zone, again=again), *_signs(turn), *price, *_band(turn)]


def _outbid(turn: Turn) -> Iterable[str]:
    """The current bid is above one's own, or as high."""
    stands = against(turn.lot, turn.standing)
    if stands is not None:
        yield AGAINST[stands.how].format(price=turn.lot.price, bid=stands.bid)


def _past_limit(turn: Turn) -> Iterable[str]:
    """It has passed a planned bid, or the bid limit."""
    lot, stands = turn.lot, turn.standing
    planned = stands.amount if stands and stands.stage == "planned" else None
    limit = turn.judgement.bid_limit if turn.judgement else None
    if lot.price_kind != "so far":
        return
    if planned is not None and _above(lot.price, planned):
        yield f"at {lot.price}, past your planned bid of {planned}"
    elif limit is not None and _above(lot.price, limit) and not _above(turn.was_price, limit):
        yield f"at {lot.price}, past your bid limit of {limit}"


def _above(price: Money | None, other: Money) -> bool:
    return price is not None and price.currency == other.currency and price.amount > other.amount


def _ended(turn: Turn, now: datetime) -> bool:
    return turn.lot.price_kind == "ended" or (turn.lot.closes is not None and turn.lot.closes <= now)


def _end(turn: Turn) -> Iterable[str]:
    known = turn.lot.price_kind == "ended" and turn.lot.price is not None
    other = "ended, not sold" if turn.lot.unsold else "ended, no hammer price given yet"
    yield f"ended, hammer {turn.lot.price}" if known else other


def _there(turn: Turn, zone: str, *, again: bool) -> Iterable[str]:
    """Whether and when it can be had."""
    lot, was = turn.lot, turn.was_closes
    if turn.gone:
        yield "not listed any more; withdrawn only if the venue says so"
    if again:
        yield f"offered again{f', earlier {turn.was_price}' if turn.was_price else ''}"
    elif lot.closes != was and lot.closes is not None:
        before = f", before {local(was, zone)}" if was else ""
        yield f"closes {local(lot.closes, zone)}{before}"
    elif lot.closes != was:
        yield "its closing time is no longer given"


def _signs(turn: Turn) -> Iterable[str]:
    """Signs of doubt that were not there."""
    signs = turn.judgement.doubt.signs if turn.judgement else ()
    new = [sign.text for sign in signs if sign.id not in turn.was_signs and sign.weight > 0]
    if new:
        yield f"new sign{'s' if len(new) > 1 else ''}: {'; '.join(new)}"


def _price(turn: Turn) -> Iterable[str]:
    price, was = turn.lot.price, turn.was_price
    if price == was:
        return
    kind = {"so far": "current bid", "estimate": "estimate"}.get(turn.lot.price_kind or "", "price")
    yield f"{kind} {price}{f', before {was}' if was else ''}" if price else "its price is no longer given"


def _band(turn: Turn) -> Iterable[str]:
    band = turn.judgement.band if turn.judgement else None
    if band is None or not turn.was_mid:
        return
    share = band.mid / turn.was_mid - 1
    if abs(share) >= MOVED:
        higher = "higher" if share > 0 else "lower"
        now, was = f"{figure(band.mid)} {band.currency}", figure(turn.was_mid)
        yield f"band median {now}, before {was} ({abs(share):.0%} {higher})"
