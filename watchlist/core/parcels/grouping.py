"""Which lots share a parcel."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date

from watchlist.core.fees.terms import Terms


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
    groups: list[list[Travelling]] = []
    free: dict[tuple[str, ...], list[Travelling]] = {}
    closed: dict[str, list[Travelling]] = {}
    joining = []
    for lot in sorted(lots, key=_order):
        if lot.closed:
            closed.setdefault(lot.closed, []).append(lot)
        elif lot.joins:
            joining.append(lot)
        elif lot.parted or not _can_share(lot, terms.get(lot.venue)):
            groups.append([lot])
        else:
            free.setdefault(_pile(lot, terms[lot.venue]), []).append(lot)
    for pile in free.values():
        groups += _by_days(pile, terms[pile[0].venue]) if terms[pile[0].venue].together.rule == "days" else [pile]
    groups += closed.values()
    _join(joining, groups)
    made = [_parcel(group, terms.get(group[0].venue)) for group in groups]
    return tuple(sorted(made, key=lambda parcel: _order(parcel.lots[0])))


def may_join(lot: Travelling, other: Travelling) -> bool:
    """Whether two lots can be put into one parcel by hand: one venue, one currency."""
    return (lot.venue, lot.currency) == (other.venue, other.currency)


def _order(lot: Travelling) -> tuple[date, str]:
    return lot.day or date.max, lot.key


def _can_share(lot: Travelling, terms: Terms | None) -> bool:
    if terms is None or lot.day is None or lot.currency != terms.currency:
        return False
    return terms.together.rule != "no"


def _pile(lot: Travelling, terms: Terms) -> tuple[str, ...]:
    """Lots that may meet: of one venue, on a marketplace of one seller, and of one sale where that is the rule."""
    seller = lot.seller.casefold() if terms.kind == "marketplace" else ""
    sale = lot.sale.casefold() or str(lot.day)
    return (lot.venue, seller, sale if terms.together.rule == "sale" else "")


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


def _days(first: Travelling, lot: Travelling) -> int:
    return (lot.day - first.day).days if first.day and lot.day else -1


def _join(joining: Sequence[Travelling], groups: list[list[Travelling]]) -> None:
    """Put lots where they were put by hand; one whose parcel is gone, or of another venue, goes alone."""
    waiting, settled = list(joining), True
    while waiting and settled:  # a lot may join one that itself joins another
        settled = False
        for lot in tuple(waiting):
            group = next((group for group in groups if any(each.key == lot.joins for each in group)), None)
            if group is not None and may_join(lot, group[0]):
                group.append(lot)
                waiting.remove(lot)
                settled = True
    groups += [[lot] for lot in waiting]


def _parcel(group: Sequence[Travelling], terms: Terms | None) -> Parcel:
    by_hand = any(lot.joins or lot.closed for lot in group)
    assumed = terms is not None and terms.together.assumed and len(group) > 1 and not by_hand
    return Parcel(tuple(sorted(group, key=_order)), assumed, group[0].closed)
