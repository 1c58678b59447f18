"""The lots a person has in hand, bids and wins, with what decides which of them travel together and what they cost."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date, datetime, time, timedelta
from decimal import Decimal

from watchlist.core.decisions import life
from watchlist.core.decisions.bids import has_ended
from watchlist.core.decisions.review import OWN, Standing
from watchlist.core.fees.terms import Terms
from watchlist.core.fees.working import Hammered
from watchlist.core.held.course import Courses, ParcelCourse, PieceCourse
from watchlist.core.lots.record import Lot
from watchlist.core.money.amount import Money, cents
from watchlist.core.parcels.costs import Exchange, parcel_amount
from watchlist.core.parcels.grouping import Parcel, Travelling, parcels_of
from watchlist.core.parcels.outcomes import Sent
from watchlist.core.plan.budgets import Joined, Stand
from watchlist.core.times.zones import source_zone
from watchlist.desk.desk import Desk
from watchlist.desk.in_hand import courses
from watchlist.desk.judging import relisting
from watchlist.shelf.store.rows import LotRow

KEPT_DAYS = 60
"""A piece of which something was said since, but no invoice, is looked for among parcels for so many days."""
NAMES = frozenset({"bid", "buy", "offer", "placed", "acknowledged", "outbid", "cancelled", "won"})
"""Decisions of which the first on any of its lots gives a parcel its number."""
PLANNED = frozenset({"planned", "buy", "offer"})


@dataclass(frozen=True, slots=True)
class InHand:
    """One lot with a bid that counts, or a win."""

    lot: Lot
    stage: str
    """planned, buy, offer, placed, ...; `won`."""
    stands: Stand
    price: Money
    """The bid, or the price it was won at; sale currency."""
    day: date | None
    """Of the sale, where it is held."""

    @property
    def key(self) -> str:
        """The lot's key."""
        return self.lot.key


@dataclass(frozen=True, slots=True)
class Hands:
    """All lots in hand, in their parcels."""

    lots: Mapping[str, InHand]
    parcels: Mapping[str, Parcel]
    """By the parcel's id."""
    sent: Mapping[str, Sent]
    """How each parcel is costed; a parcel without a rate is not here."""
    of: Mapping[str, str]
    """Lot to the parcel it is costed in: where a venue did not say that lots travel together, each in its own."""
    known: Courses
    """What was said of the parcels since the hammer."""

    def beside(self, lot: str) -> list[str]:
        """The other lots in hand that are costed in the parcel of this one."""
        return [key for key, name in self.of.items() if name == self.of[lot] and key != lot and key in self.lots]


def hands(desk: Desk, more: Iterable[LotRow] = ()) -> Hands:
    """The lots in hand; `more` are lots that are thought about, at no price yet."""
    known = courses.told(desk)
    closed = courses.closed(known)
    lots = {each.key: each for each in _in_hand(desk, known, closed)}
    rows = {row.lot.key: row for row in more if row.lot.key not in lots}
    joins = {each.id: each for each in desk.shelf.notebook.joins.list()}
    travelling = [_travelling(desk, each.lot, each, each.price.currency) for each in lots.values()]
    travelling += [_travelling(desk, row.lot, None, _currency(desk, row.lot)) for row in rows.values()]
    placed = [_by_hand(each, joins.get(each.key), closed.get(each.key)) for each in travelling]
    named = _named(desk, parcels_of(placed, desk.terms))
    of = {lot.key: _counted(name, parcel, lot) for name, parcel in named.items() for lot in parcel.lots}
    return Hands(lots, named, _sent(desk, named.values(), of), of, known)


def _by_hand(each: Travelling, joined: Joined | None, course: ParcelCourse | None) -> Travelling:
    """A lot in the parcel its invoice names, else where the person put it, else as it travels."""
    if course is not None:
        return replace(each, closed=course.id, joins="", parted=False)
    return each if joined is None else replace(each, joins=joined.to, parted=not joined.to)


def _sent(desk: Desk, parcels: Iterable[Parcel], of: Mapping[str, str]) -> dict[str, Sent]:
    """How each parcel is costed, where there is a rate."""
    sent = {}
    for parcel in parcels:
        for lot in parcel.lots:
            found = sent_by(desk, lot.venue, lot.currency)
            if found is not None:
                sent[of[lot.key]] = replace(found, open=parcel.won and not parcel.assumed)
    return sent


def _counted(name: str, parcel: Parcel, lot: Travelling) -> str:
    return f"{name} {lot.key}" if parcel.assumed else name


def sale_day(desk: Desk, lot: Lot) -> date | None:
    """The day on which a lot closes, by the clock where it is sold."""
    if lot.closes is None:
        return None
    terms = desk.terms.get(lot.venue)
    zone = source_zone(terms.time_zone) if terms and terms.time_zone else None
    return lot.closes.astimezone(zone.tz if zone else desk.settings.home.zone).date()


def sale_of(desk: Desk, lot: Lot) -> tuple[str, str]:
    """The sale that a lot is in: its venue, and the sale's name, else the day there."""
    day = sale_day(desk, lot)
    return lot.venue, lot.sale or (str(day) if day else "")


def sent_by(desk: Desk, venue: str, currency: str) -> Sent | None:
    """How a lot of a venue is costed; without terms as written, without a rate not at all."""
    terms = desk.terms.get(venue) or Terms(venue or "no venue", currency)
    fx = desk.rates.to_home_factor(terms.currency, desk.now.date())
    return None if fx is None else Sent(terms, Exchange(desk.home, fx))


def hammered(desk: Desk, lot: Lot, price: Money) -> Hammered:
    """A price as its venue works with it: in the sale's currency, with the lot's tax sign and weight."""
    terms, amount = desk.terms.get(lot.venue), price.amount
    if terms is not None and terms.currency != price.currency:
        theirs, own = (desk.rates.to_home_factor(code, desk.now.date()) for code in (terms.currency, price.currency))
        amount = cents(amount * own / theirs) if theirs and own else amount
    return Hammered(amount, lot.tax, Decimal(str(lot.weight_g or 0)))


def cost_of(desk: Desk, found: Hands, parcel: str) -> Decimal | None:
    """What a parcel costs when all its bids win, home currency; None without a rate."""
    sent = found.sent.get(parcel)
    lots = [each for key, each in found.lots.items() if found.of[key] == parcel]
    return parcel_amount(sent.terms, [hammered(desk, e.lot, e.price) for e in lots], sent.money) if sent else None


def _in_hand(desk: Desk, known: Courses, closed: Mapping[str, ParcelCourse]) -> Sequence[InHand]:
    store, found, since = desk.shelf.store, [], _since(desk)
    standing = store.decisions.review().lots
    anew = relisting.to_place_anew(store, standing)
    for key, stands in standing.items():
        late = stands.at < since and key not in closed and known.piece(key).state != "won"
        lot = store.lots.lot(key) if stands.state in ("bid", "won") and not late and stands.stage != OWN else None
        if lot is None:
            continue
        if stands.state == "won":
            told = _won_stands(known.piece(key), closed.get(key), stands)
        else:
            told = _bid_stands(desk, lot, stands, anew=key in anew)
        if told is not None:
            found.append(InHand(lot, *told, sale_day(desk, lot)))
    return found


def _since(desk: Desk) -> datetime:
    """What was won before and is paid is in no parcel and no budget any more."""
    today = desk.local_today()
    firsts = (each.first for each in desk.shelf.notebook.budgets.list() if each.last >= today)
    day = min([today - timedelta(days=KEPT_DAYS), *firsts])
    return datetime.combine(day, time.min, desk.settings.home.zone)


def _won_stands(piece: PieceCourse, course: ParcelCourse | None, standing: Standing) -> tuple[str, Stand, Money] | None:
    """A win is owed until something is said of it that comes after its payment; None where its price is not known."""
    sent = course is not None and course.state in ("dispatched", "arrived")
    paid = sent or piece.state != "won"
    return (standing.stage or "won", "paid" if paid else "owed", standing.amount) if standing.amount else None


def _bid_stands(desk: Desk, lot: Lot, standing: Standing, *, anew: bool) -> tuple[str, Stand, Money] | None:
    """The same of a bid; `anew`: it has to be placed again."""
    stands = relisting.placed_before(standing) if anew else standing
    over = has_ended(lot, desk.now)
    bid = standing.amount or _limit(desk, lot) or lot.price
    if bid is None or not life.binds(stands, over=over):
        return None
    price = max(each for each in life.promised(stands, bid, over=over) if each.currency == bid.currency)
    if over and not stands.after_sale:
        return stands.stage, "undecided", price
    return stands.stage, "planned" if stands.stage in PLANNED and stands.placed is None else "placed", price


def _limit(desk: Desk, lot: Lot) -> Money | None:
    """The bid limit that stands for a bid without an amount."""
    row = desk.shelf.store.lots.get(lot.key)
    return row.judgement.bid_limit if row and row.judgement else None


def _travelling(desk: Desk, lot: Lot, each: InHand | None, currency: str) -> Travelling:
    won = each is not None and each.stage == "won"
    return Travelling(lot.key, lot.venue, currency, sale_day(desk, lot), lot.sale, lot.seller, won)


def _currency(desk: Desk, lot: Lot) -> str:
    terms = desk.terms.get(lot.venue)
    return lot.price.currency if lot.price else terms.currency if terms else desk.home


def _named(desk: Desk, parcels: Iterable[Parcel]) -> dict[str, Parcel]:
    """Parcels by number: that of the first decision on any of their lots, so that a later bid does not change it."""
    first: dict[str, int] = {}
    for line in desk.shelf.store.decisions.all():
        if line.verb in NAMES:
            first.setdefault(line.lot, line.seq)
    made = {}
    for parcel in parcels:
        numbers = [first[lot.key] for lot in parcel.lots if lot.key in first]
        made[parcel.closed or (f"P{min(numbers)}" if numbers else f"new {parcel.lots[0].key}")] = parcel
    return made
