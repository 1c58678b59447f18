"""A parcel ready to be shown: what is in it, what it costs and what each of its lots costs."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime

from watchlist.core.held.course import ParcelCourse
from watchlist.core.money.amount import Money


@dataclass(frozen=True, slots=True)
class ParcelLot:
    """One lot of a parcel. What it costs is in home currency; None without a rate."""

    key: str
    number: str
    """At its venue."""
    title: str
    """The coin as it was read."""
    stage: str
    price: Money
    """The bid, or the price it was won at; sale currency."""
    alone: Money | None
    shared: Money | None
    before: Money | None


@dataclass(frozen=True, slots=True)
class ParcelShown:
    """One parcel, ready to be shown."""

    id: str
    venue: str
    sale: str
    """Its name, or the day on which it closes there."""
    currency: str
    lots: tuple[ParcelLot, ...]
    state: str
    """`planned`: no piece of it is won; `open`: it will come."""
    lines: tuple[tuple[str, Money], ...]
    """What it costs when all its bids win, line by line."""
    calculated: Money | None
    saved: Money | None
    """Against as many parcels of one lot."""
    closes: datetime | None
    """The soonest of its lots still to come."""
    assumed: bool
    """Its venue does not say that lots travel together: shown, and counted one by one."""
    notes: tuple[str, ...]
    course: ParcelCourse | None = None
    """What was said of it since the hammer."""
    waits: bool = True
    """A piece of it may still go back."""
    refund: bool = False
    """A piece of it went back, and no refund was told."""
    told: Money | None = None
    """What it cost as paid, or by its invoice; home currency. None where neither was told."""

    @property
    def cost(self) -> Money | None:
        """What it cost as far as that was told, else as calculated."""
        return self.told or self.calculated

    @property
    def done(self) -> bool:
        """It is there and paid, and every piece of it is decided on: nothing of it is left to do."""
        there = self.course is not None and self.course.state == "arrived" and self.course.owed is None
        return there and not self.waits and not self.refund
