"""A piece that was won, or was had from before: what it is, what it cost, what it is worth, where it came from."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date
from decimal import Decimal

from watchlist.core.decisions.review import OWN, Decision
from watchlist.core.held.course import ParcelCourse, PieceCourse
from watchlist.core.lots.record import Lot
from watchlist.core.marks.record import Judgement
from watchlist.core.money.amount import Money
from watchlist.core.prices.record import Band
from watchlist.core.reading.record import Reading

Basis = str
"""What a cost rests on: `paid`, `invoiced`, `calculated`, `stated` (of a piece from before), `not known`."""


@dataclass(frozen=True, slots=True)
class Won:
    """A piece that was won, with what was known of it then."""

    line: Decision
    """The decision that says so."""
    lot: Lot
    reading: Reading
    """Its lot as it is read now; nothing but its title where its source is gone with all its lots."""
    judged: Judgement | None
    day: date
    """Of the sale."""
    number: int
    """Of the decision that first said so: another result later does not change it."""

    @property
    def key(self) -> str:
        """The lot's key."""
        return self.line.lot

    @property
    def stock_no(self) -> str:
        """What the piece is called once it is in the house: `S-014`."""
        return stock_number(self.line, self.number)


def stock_number(line: Decision, first: int) -> str:
    """That of the piece which a decision says was won. `first`: the number of the decision that first said so."""
    return line.facts.get("stock") or f"S-{first:03}"


@dataclass(frozen=True, slots=True)
class Piece:
    """One piece. Amounts are in home currency."""

    won: Won
    stock_no: str
    coin: str
    """As it was read, with its grade."""
    issue: str
    course: PieceCourse
    parcel: ParcelCourse | None
    share: Decimal
    """Of what was paid for its parcel, or of what it is calculated to cost."""
    basis: Decimal
    """What it cost, with what was spent on it since."""
    lost: Decimal
    """On a piece that went back."""
    cost_basis: Basis
    value: Band | None
    """What such a piece is worth today."""
    duplicates: int
    """How many more pieces of its issue are held."""
    reading: Reading
    """What it is, as a grading service gave it back where it was sent to one."""

    @property
    def key(self) -> str:
        """The lot it was bought as."""
        return self.won.key

    @property
    def own(self) -> bool:
        """The person has it from before."""
        return self.won.line.target == OWN

    @property
    def bought(self) -> date | None:
        """The day; None where it is not known."""
        return self.won.line.day if self.own else self.won.day

    @property
    def hammer(self) -> Money | None:
        """The price it was won at, sale currency; None for a piece from before."""
        return None if self.own else self.won.line.amount

    @property
    def state(self) -> str:
        """What became of it, or how far its parcel is."""
        if self.own and self.course.state == "won":
            return "kept"
        if self.course.state != "won" or self.parcel is None:
            return self.course.state
        return self.parcel.state if self.parcel.state != "open" else "won"

    @property
    def doubtful(self) -> bool:
        """It was bought in spite of a doubt."""
        return self.won.judged is not None and self.won.judged.mark == "doubt"

    @property
    def cost(self) -> Decimal | None:
        """What it cost, with what was spent on it since; None where that is not known."""
        return None if self.cost_basis == "not known" else self.basis

    @property
    def today(self) -> Decimal | None:
        """The median of its value; None for one that is gone."""
        return self.value.mid if self.value and not self.course.gone else None

    @property
    def gain(self) -> Decimal | None:
        """Over its cost: of what it sold for less fees, else of its value today."""
        if self.cost is None:
            return None
        if self.course.sold is not None:
            return self.course.sold.amount - self.course.fees - self.cost
        if self.course.returned is not None:
            return -self.lost
        return None if self.today is None else self.today - self.cost


@dataclass(frozen=True, slots=True)
class Beside:
    """What is told beside one piece."""

    lines: Mapping[str, Decimal]
    """Its cost line by line, home currency."""
    alike: tuple[Piece, ...]
    """The other pieces of its issue that are held."""
    missing: frozenset[str]
    """Of its pictures those that are not where they were."""
