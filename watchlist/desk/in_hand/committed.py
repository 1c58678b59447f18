"""Money committed: what bids and wins hold of each budget, and what is left."""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Container, Iterable, Iterator, Mapping, Sequence
from datetime import date
from decimal import Decimal

from watchlist.core.held.course import ParcelCourse
from watchlist.core.money.amount import cents
from watchlist.core.parcels.outcomes import Exposed, worst_case
from watchlist.core.plan.budgets import Bound, Held, Stand, held, running
from watchlist.desk.desk import Desk
from watchlist.desk.in_hand import bidding
from watchlist.desk.in_hand.hands import Hands, InHand, hammered, hands, sale_of

ORDER: tuple[Stand, ...] = ("paid", "owed", "undecided", "placed", "planned")
"""What a parcel costs once is borne by what is surest."""


def season(
    desk: Desk,
    amount: Decimal | None = None,
    *,
    without: Container[str] = frozenset(),
    found: Hands | None = None,
) -> tuple[Held, ...]:
    """Each budget with what it holds, the soonest first; the running one where none has dates.

    `amount`: in place of that of the running budget. `without`: lots of which the planned bids do not count. `found`:
    the lots in hand, where they are known or thought of otherwise."""
    found = found or hands(desk)
    sums = list(bound(desk, found, without=without))
    asides, today = desk.shelf.notebook.asides.list(), desk.local_today()
    budgets = sorted(desk.shelf.notebook.budgets.list(), key=lambda each: (each.first, each.last))
    if amount is not None or not budgets:
        limit = desk.settings.bids.budget if amount is None else amount
        return (running(limit, sums, asides, today),)
    return tuple(held(each, sums, asides, today) for each in budgets if each.last >= today)


def bound(desk: Desk, found: Hands, *, without: Container[str] = frozenset()) -> Iterator[Bound]:
    """Every sum that is committed. Bids count at their worst, of an either-or group its dearest outcome."""
    yield from _invoiced(desk, found)
    days = list(_by_day(each for each in costed(found) if not (each.stands == "planned" and each.key in without)))
    for (stands, day, _), amount in zip(days, added(desk, found, [lots for _, _, lots in days]), strict=True):
        yield Bound(stands, amount, day)


def costed(found: Hands) -> Iterator[InHand]:
    """The lots that count at what they may cost by their terms: no invoice and no payment says it, and there is a
    rate."""
    told = frozenset(lot for course in found.known.parcels.values() for lot in course.lots if _is_told(course))
    return (each for key, each in found.lots.items() if key not in told and found.of[key] in found.sent)


def added(desk: Desk, found: Hands, lots: Iterable[Sequence[InHand]]) -> Iterator[Decimal]:
    """What some lots add to the worst case of those before them, some after some. Parcels that an either-or group
    links are costed as one; any other parcel stands for itself."""
    takes = needs(desk, found)
    groups = either_or(desk)
    linked = {found.of[lot] for lot in groups if lot in found.of}
    piles: dict[str, list[Exposed]] = defaultdict(list)
    costs: dict[str, Decimal] = defaultdict(Decimal)
    for some in lots:
        before, touched = sum(costs.values(), Decimal(0)), set()
        for each in some:
            group = groups.get(each.key, "") if each.stands == "planned" or _one_sheet(desk, each) else ""
            parcel = found.of[each.key]
            touched.add(pile := "" if parcel in linked else parcel)
            piles[pile].append(Exposed(each.key, parcel, hammered(desk, each.lot, each.price), group))
        for pile in touched:
            costs[pile] = worst_case(piles[pile], found.sent, takes)
        yield sum(costs.values(), Decimal(0)) - before


def either_or(desk: Desk) -> Mapping[str, str]:
    """By lot the either-or group that it is in."""
    return {lot: group.id for group in desk.shelf.notebook.groups.list() for lot in group.lots}


def _is_told(course: ParcelCourse) -> bool:
    """Its invoice or its payments say what it costs."""
    return course.invoiced is not None or bool(course.payments)


def _invoiced(desk: Desk, found: Hands) -> Iterator[Bound]:
    """Parcels by their invoice: what is owed, at today's rate, and what was paid, less refunds."""
    for course in filter(_is_told, found.known.parcels.values()):
        owed = course.owed
        fx = desk.rates.to_home_factor(owed.currency, desk.now.date()) if owed else None
        if owed is not None and fx is not None:
            yield Bound("owed", cents(owed.amount * fx), course.invoiced_on)
        back = sum((found.known.piece(lot).refunded for lot in course.lots), Decimal(0))
        if course.payments:
            yield Bound("paid", max(course.paid - back, Decimal(0)), course.paid_on)


def needs(desk: Desk, found: Hands) -> Mapping[str, int]:
    """How many lots of each either-or group are still to be had: what is won, and bids placed, are taken off."""
    groups = desk.shelf.notebook.groups.list()
    taken = Counter(
        group.id
        for group in groups
        for lot in group.lots
        if (each := found.lots.get(lot)) is not None and each.stands != "planned" and not _one_sheet(desk, each)
    )
    return {group.id: max(group.need - taken[group.id], 0) for group in groups}


def waits(desk: Desk) -> frozenset[str]:
    """Lots with a planned bid that waits for a loss: it is not to be placed yet."""
    groups = either_or(desk)
    if not groups:
        return frozenset()
    found = hands(desk)
    listed, counted = sorted(bidding.rows(desk), key=lambda row: not row.ended), {each.key for each in costed(found)}
    keys = [row.lot for row in listed if row.binding and row.lot in counted]
    return frozenset(waiting(desk, found, keys, groups))


def waiting(desk: Desk, found: Hands, keys: Iterable[str], groups: Mapping[str, str]) -> set[str]:
    """Planned bids on lots of a group that has all the bids it needs: they wait for a loss. On a sheet that takes
    either-or bids none waits."""
    room = dict(needs(desk, found))
    waits, full = set(), {}
    for key in keys:
        each, group = found.lots[key], groups.get(key, "")
        terms = desk.terms.get(each.lot.venue)
        sheet = terms is not None and terms.or_bids and each.stands in ("planned", "placed")
        if not group or not (sheet or each.stands == "planned"):
            continue
        place = (group, *sale_of(desk, each.lot)) if sheet else (group, key)
        if place not in full:
            room[group] -= 1
            full[place] = room[group] < 0
        if full[place] and each.stands == "planned":
            waits.add(key)
    return waits


def _one_sheet(desk: Desk, each: InHand) -> bool:
    """A placed bid that may stand on a sheet of either-or bids: the venue lets only so many of them win."""
    terms = desk.terms.get(each.lot.venue)
    return each.stands == "placed" and terms is not None and terms.or_bids


def _by_day(lots: Iterable[InHand]) -> Iterator[tuple[Stand, date | None, list[InHand]]]:
    """Lots that are bound alike on one day, the surest first."""
    days: dict[tuple[int, date], list[InHand]] = {}
    for each in lots:
        days.setdefault((ORDER.index(each.stands), each.day or date.max), []).append(each)
    for (order, day), some in sorted(days.items(), key=lambda pair: pair[0]):
        yield ORDER[order], None if day == date.max else day, some
