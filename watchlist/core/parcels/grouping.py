"""Which lots share a parcel."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date

from watchlist.core.fees.terms import Terms

PAUSE = 60
"""Days without a lot after which the name of a sale is that of another one, as with sales held every season."""


@dataclass(frozen=True, slots=True)
class Travelling:
    """A lot with what decides which parcel it goes into."""

    key: str
    venue: str
    currency: str
    """Of its bid or price."""
    day: date | None
    """The day on which it closes, where it is sold; None goes alone."""
    sale: str = ""
    seller: str = ""
    won: bool = False
    joins: str = ""
    """Key of a lot whose parcel it was put into by hand."""
    parted: bool = False
    """Taken out of its parcel by hand: it goes alone."""
    closed: str = ""
    """The parcel that was invoiced or sent with it: nothing joins that any more but by hand."""


@dataclass(frozen=True, slots=True)
class Parcel:
    """Lots that go together, first closing first."""

    lots: tuple[Travelling, ...]
    assumed: bool = False
    """The venue did not say that they do: shown, and counted one by one."""
    closed: str = ""

    @property
    def venue(self) -> str:
        """Where they are bought."""
        return self.lots[0].venue

    @property
    def won(self) -> bool:
        """A piece of it is won: its fixed cost is spent, and further lots travel at their shared cost."""
        return any(lot.won for lot in self.lots)


def parcels_of(lots: Iterable[Travelling], terms: Mapping[str, Terms]) -> tuple[Parcel, ...]:
    """The parcels of these lots, in the order of their first lots; each lot is in just one."""
    told = sorted(lots, key=_order)
    groups = _piles(lot for lot in told if not lot.closed and not lot.joins)
    made = [part for pile in groups for part in _parts(pile, terms.get(pile[0].venue))]
    closed: dict[str, list[Travelling]] = {}
    for lot in told:
        if lot.closed:
            closed.setdefault(lot.closed, []).append(lot)
    made += closed.values()
    _join([lot for lot in told if lot.joins and not lot.closed], made)
    parcels = [_parcel(group, terms.get(group[0].venue)) for group in made]
    return tuple(sorted(parcels, key=lambda parcel: _order(parcel.lots[0])))


def came_too_late(lots: Iterable[Travelling], terms: Mapping[str, Terms]) -> dict[str, str]:
    """By lot the closed parcel that it would travel in, had that been neither invoiced nor sent."""
    told = list(lots)
    closed = {lot.key: lot.closed for lot in told if lot.closed}
    late: dict[str, str] = {}
    for parcel in parcels_of((replace(lot, closed="") for lot in told), terms) if closed else ():
        names = [closed[lot.key] for lot in parcel.lots if lot.key in closed]
        late |= {lot.key: names[-1] for lot in parcel.lots if names and lot.key not in closed}
    return late


def may_join(lot: Travelling, other: Travelling) -> bool:
    """Whether two lots can be put into one parcel by hand: one venue, one currency."""
    return (lot.venue, lot.currency) == (other.venue, other.currency)


def _order(lot: Travelling) -> tuple[date, str]:
    return lot.day or date.max, lot.key


def _piles(lots: Iterable[Travelling]) -> list[list[Travelling]]:
    """Lots by venue; what was taken out by hand stands for itself."""
    piles: dict[str, list[Travelling]] = {}
    parted = []
    for lot in lots:
        if lot.parted:
            parted.append([lot])
        else:
            piles.setdefault(lot.venue, []).append(lot)
    return [*piles.values(), *parted]


def _parts(pile: Sequence[Travelling], terms: Terms | None) -> list[list[Travelling]]:
    """The parcels of one venue's lots."""
    if terms is None or len(pile) == 1:
        return [[lot] for lot in pile]
    alone: list[list[Travelling]] = []
    groups: dict[tuple[str, str], list[Travelling]] = {}
    for lot in pile:
        if _can_share(lot, terms):
            groups.setdefault(_meeting(lot, terms), []).append(lot)
        else:
            alone.append([lot])
    parts = _by_days if terms.together.rule == "days" else _by_sale
    return [*alone, *(part for group in groups.values() for part in parts(group, terms))]


def _can_share(lot: Travelling, terms: Terms) -> bool:
    return lot.day is not None and lot.currency == terms.currency and terms.together.rule != "no"


def _meeting(lot: Travelling, terms: Terms) -> tuple[str, str]:
    """What lots that may meet have in common: on a marketplace the seller, and the sale where that is the rule."""
    seller = lot.seller.casefold() if terms.kind == "marketplace" else ""
    return seller, (lot.sale.casefold() or str(lot.day)) if terms.together.rule == "sale" else ""


def _by_days(pile: Sequence[Travelling], terms: Terms) -> list[list[Travelling]]:
    """The first lot opens a parcel, and those of so many days after it go along; what is won comes first."""
    groups: list[list[Travelling]] = []
    for lot in sorted(pile, key=lambda lot: (not lot.won, *_order(lot))):
        group = next((group for group in groups if 0 <= _days(group[0], lot) <= terms.together.days), None)
        if group is None:
            groups.append([lot])
        else:
            group.append(lot)
    return groups


def _by_sale(pile: Sequence[Travelling], _: Terms) -> list[list[Travelling]]:
    """Lots under one name of a sale; after a long pause it is another sale that goes by the same name."""
    groups: list[list[Travelling]] = []
    for lot in sorted(pile, key=_order):
        if groups and _days(groups[-1][-1], lot) <= PAUSE:
            groups[-1].append(lot)
        else:
            groups.append([lot])
    return groups


def _days(first: Travelling, lot: Travelling) -> int:
    return (lot.day - first.day).days if first.day and lot.day else -1


def _join(joining: Sequence[Travelling], groups: list[list[Travelling]]) -> None:
    """Put lots where they were put by hand; one whose parcel is gone, or of another venue, goes alone."""
    waiting = list(joining)
    while waiting:  # a lot may join one that itself joins another
        lot = next((lot for lot in waiting if _joined(lot, groups)), None)
        if lot is None:
            groups += [[each] for each in waiting]
            return
        waiting.remove(lot)


def _joined(lot: Travelling, groups: list[list[Travelling]]) -> bool:
    """Whether the parcel that the lot was put into is there; then the lot is in it."""
    group = next((group for group in groups if any(each.key == lot.joins for each in group)), None)
    if group is None or not may_join(lot, group[0]):
        return False
    group.append(lot)
    return True


def _parcel(group: Sequence[Travelling], terms: Terms | None) -> Parcel:
    by_hand = any(lot.joins or lot.closed for lot in group)
    assumed = terms is not None and terms.together.assumed and len(group) > 1 and not by_hand
    return Parcel(tuple(sorted(group, key=_order)), assumed, group[0].closed)
