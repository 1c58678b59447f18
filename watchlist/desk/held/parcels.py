"""Parcels as they stand: what is in each, what it costs, and what each lot costs alone, shared and before postage."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from datetime import datetime

from watchlist.core.held.course import ParcelCourse
from watchlist.core.held.deadlines import UNDECIDED
from watchlist.core.held.parcel import ParcelLot, ParcelShown
from watchlist.core.money.amount import Money
from watchlist.core.parcels.costs import LotCosts, lot_costs, parcel_cost
from watchlist.core.parcels.grouping import Parcel, came_too_late, may_join
from watchlist.core.parcels.outcomes import Sent
from watchlist.core.plan.budgets import Joined
from watchlist.desk.changes import entry
from watchlist.desk.desk import Desk
from watchlist.desk.errors import DeskError
from watchlist.desk.in_hand import courses
from watchlist.desk.in_hand.hands import Hands, InHand, hammered, hands, sale_day, sent_by
from watchlist.desk.naming import lot_key, piece_of, short_key
from watchlist.page.wording import all_of
from watchlist.shelf.store.rows import LotRow


def parcels(desk: Desk) -> tuple[ParcelShown, ...]:
    """All parcels with a bid or a win that counts, soonest first; behind them those with nothing left to do."""
    found = hands(desk)
    late = _too_late(desk, found)
    shown = [_shown(desk, found, name, parcel, late) for name, parcel in found.parcels.items()]
    return (*(each for each in shown if not each.done), *(each for each in reversed(shown) if each.done))


def parcel(desk: Desk, name: str) -> ParcelShown:
    """The parcel with this id. Raises DeskError."""
    found = hands(desk)
    id = next((each for each in found.parcels if each.casefold() == name.casefold()), None)
    if id is None:
        raise DeskError(f"There is no parcel {name}. `watchlist parcel` lists them. Nothing was changed.")
    return _shown(desk, found, id, found.parcels[id], _too_late(desk, found))


def _too_late(desk: Desk, found: Hands) -> Mapping[str, str]:
    """Lots that would travel in a parcel that was closed before them, with its id."""
    return came_too_late((lot for parcel in found.parcels.values() for lot in parcel.lots), desk.terms)


def costs(desk: Desk, row: LotRow, price: Money) -> LotCosts | None:
    """The three costs of a lot at a price, home currency; None without a rate."""
    sent = sent_by(desk, row.lot.venue, price.currency)
    return None if sent is None else lot_costs(sent.terms, hammered(desk, row.lot, price), sent.money)


def join(desk: Desk, name: str, lot: str) -> str:
    """Put a lot into a parcel whatever the venue's rule; a sentence on it. Raises DeskError."""
    key, shown = lot_key(desk.shelf.store, lot), parcel(desk, name)
    found = hands(desk)
    anchor = found.parcels[shown.id].lots[0]
    here = next((each for parcel in found.parcels.values() for each in parcel.lots if each.key == key), None)
    short = short_key(desk.shelf.store, key)
    if here is None:
        raise DeskError(f"{short} has no bid and is not won, so it is in no parcel. Nothing was changed.")
    if here in found.parcels[shown.id].lots:
        raise DeskError(f"{short} is in {shown.id} already. Nothing was changed.")
    if not may_join(here, anchor):
        raise DeskError("Lots of two venues share no parcel. Nothing was changed.")
    if (course := courses.closed(found.known).get(key)) is not None:
        raise DeskError(
            f"{course.id} is {course.state}: undo that before {short} is parted from it. Nothing was changed."
        )
    return _keep(desk, Joined(key, anchor.key), f"{short} goes with {shown.id}")


def part(desk: Desk, lot: str, name: str = "") -> str:
    """Take a lot out of its parcel: it travels alone; a sentence on it. Raises DeskError.

    `name`: the parcel that it must be in."""
    key = lot_key(desk.shelf.store, lot)
    short = short_key(desk.shelf.store, key)
    if name and not any(each.key == key for each in parcel(desk, name).lots):
        raise DeskError(f"{short} is not in {name}. Nothing was changed.")
    if (course := courses.told(desk).parcel_of(key)) is not None:
        raise DeskError(
            f"{course.id} is {course.state}: undo that before {short} is parted from it. Nothing was changed."
        )
    if Joined(key) in desk.shelf.notebook.joins.list():
        raise DeskError(f"{short} travels alone already. Nothing was changed.")
    return _keep(desk, Joined(key), f"{short} travels alone")


def _keep(desk: Desk, joined: Joined, said: str) -> str:
    with entry(desk, said) as change:
        change.put("join", joined)
    return said


def _shown(desk: Desk, found: Hands, name: str, parcel: Parcel, late: Mapping[str, str]) -> ParcelShown:
    held = [found.lots[lot.key] for lot in parcel.lots]
    first = parcel.lots[0]
    sent = sent_by(desk, first.venue, first.currency)
    told = [hammered(desk, each.lot, each.price) for each in held]
    whole = parcel_cost(sent.terms, told, sent.money) if sent else None
    lots = tuple(_lot(desk, each, sent) for each in held)
    alone = [each.alone.amount for each in lots if each.alone]
    day, course = sale_day(desk, held[0].lot), found.known.parcels.get(name)
    states = {found.known.piece(each.key).state for each in lots}
    return ParcelShown(
        name,
        first.venue,
        first.sale or (str(day) if day else ""),
        sent.terms.currency if sent else first.currency,
        lots,
        _state(parcel, course),
        whole.lines if whole else (),
        whole.all_in if whole else None,
        Money(sum(alone) - whole.all_in.amount, desk.home) if whole and alone else None,
        _next_closing(desk, held),
        parcel.assumed,
        (*_notes(desk, parcel, held, sent), *_late(desk, found, name, parcel, late)),
        course,
        bool(states & UNDECIDED),
        "returned" in states,
        _told(desk, course),
    )


def _told(desk: Desk, course: ParcelCourse | None) -> Money | None:
    """What a parcel cost as paid, or by its invoice."""
    told = courses.cost(desk, course) if course else None
    return Money(told[0], desk.home) if told else None


def _next_closing(desk: Desk, held: Iterable[InHand]) -> datetime | None:
    known = (each.lot.closes for each in held)
    return min((closes for closes in known if closes and closes > desk.now), default=None)


def _state(parcel: Parcel, course: ParcelCourse | None) -> str:
    """`planned` while nothing of it is won, then as far as its course goes."""
    return course.state if course is not None else "open" if parcel.won else "planned"


def _lot(desk: Desk, each: InHand, sent: Sent | None) -> ParcelLot:
    found = lot_costs(sent.terms, hammered(desk, each.lot, each.price), sent.money) if sent else None
    three = [Money(amount, desk.home) for amount in (found.alone, found.shared, found.before)] if found else [None] * 3
    row = desk.shelf.store.lots.get(each.key)
    coin = piece_of(desk.catalogue, row) if row else each.lot.title
    return ParcelLot(each.key, each.lot.id, coin, each.stage, each.price, *three)


def _late(desk: Desk, found: Hands, name: str, parcel: Parcel, late: Mapping[str, str]) -> Iterator[str]:
    """Why lots travel by themselves though others of their sale were sent together: those are invoiced already."""
    for lot in parcel.lots:
        closed = late.get(lot.key, "")
        if closed and not lot.parted and not lot.joins:
            short, state = short_key(desk.shelf.store, lot.key), found.known.parcels[closed].state
            yield f"{closed} is {state}: {short} opens {name}, unless `parcel {closed} join {short}`"


def _notes(desk: Desk, parcel: Parcel, held: list[InHand], sent: Sent | None) -> Iterator[str]:
    """What is assumed, what is missing and what was left out of a sum."""
    terms = desk.terms.get(parcel.venue)
    if sent is None:
        names = all_of([short_key(desk.shelf.store, each.key) for each in held])
        near = f"{desk.now.day} {desk.now:%b}"
        yield f"{names}: no rate {parcel.lots[0].currency} to {desk.home} near {near}, so in no sum: import rates"
    if terms is None:
        yield f"fees not included: no terms for {parcel.venue or 'its venue'}"
    if parcel.assumed:
        yield f"{parcel.venue} does not state that lots travel together: each is counted alone"
    for each in held:
        short = short_key(desk.shelf.store, each.key)
        if each.day is None and each.lot.price_kind != "fixed":
            yield f"{short} has no closing day: costed alone, in no calendar"
        if terms is not None and each.price.currency != terms.currency:
            yield f"{short} is in {each.price.currency}, its venue in {terms.currency}: costed alone"
        if terms is not None and terms.post_steps and terms.post_steps.by == "weight" and not each.lot.weight_g:
            yield f"{short} states no weight: its postage counts the lowest step"
