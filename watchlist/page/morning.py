"""The morning in print: short, one readable line a lot with its reason."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime
from zoneinfo import ZoneInfo

from watchlist.core.clean import without_controls
from watchlist.core.lots.record import Lot
from watchlist.core.marks.reasons import figure
from watchlist.core.marks.record import SIGNS, Judgement
from watchlist.core.reading.record import Reading
from watchlist.page import wording
from watchlist.page.columns import cells, pad, wrap
from watchlist.page.lot import plain_line

MOST = 12
"""Lots named one by one under one heading; the rest is counted."""


@dataclass(frozen=True, slots=True)
class Seen:
    """What a printed line needs of a lot."""

    lot: Lot
    judgement: Judgement
    name: str
    """What the piece is: the issue in words, else its title."""
    key: str
    """The shortest end of its key that means this lot alone."""
    reading: Reading
    since: datetime
    """When it was first seen, or its price last moved."""

    @property
    def piece(self) -> str:
        """What it is, with its grade: `Orvany 5 tor 1891-M, MS-60`."""
        grade = wording.grades(self.judgement.grade_low, self.judgement.grade_high, details=self.reading.details)
        return f"{self.name}{', ' + grade if grade else ''}"


@dataclass(frozen=True, slots=True)
class Said:
    """One line that is not about what a lot costs: a bid to place, a day, a source."""

    about: str
    """What it is about, the same as long as that is the same: `source:north`."""
    text: str


@dataclass(frozen=True, slots=True)
class Part:
    """A heading with the lots or the lines under it."""

    title: str
    seen: Sequence[Seen] = ()
    said: Sequence[Said] = ()
    more: str = ""
    """What is left out, with the command that lists it, or what to do."""


@dataclass(frozen=True, slots=True)
class Paper:
    """The whole morning in words, to be laid out for a terminal, a page, a feed, a letter."""

    title: str
    """`Watchlist, Tue 3 Mar: 2 to do, 10 bargains, 5 doubts`."""
    made: datetime
    zone: str
    """The person's own clock."""
    head: str
    parts: Sequence[Part]
    legend: str
    """What the letters of marks mean; empty without lots."""
    cautions: Sequence[str]


NAME, COST, HEAD = 34, 14, 11
"""Cells of the two columns in the middle of a line at least, and of sign and time left before them."""


def lot_lines(seen: Sequence[Seen], now: datetime, width: int) -> list[str]:
    """Lots under one heading: sign, time left, what it is, cost, why, key; all on a line each where that fits, else on
    two, with the costs under each other."""
    still = max((cells(SO_FAR) for each in seen if each.judgement.so_far), default=0)
    costs, whys = [_cost(each.judgement, still) for each in seen], [short_reason(each.judgement) for each in seen]
    widest = [max(map(cells, column), default=0) for column in ([each.piece for each in seen], costs, whys)]
    name, paid, keys = max(widest[0], NAME), max(widest[1], COST), max((cells(each.key) for each in seen), default=0)
    single = HEAD + name + 2 + paid + 2 + widest[2] + 2 + keys <= width
    name = max(min(name, width - HEAD - paid - keys - 4), 12)
    lines = []
    for each, cost, why in zip(seen, costs, whys, strict=True):
        left = wording.time_left(each.lot.closes, now) or ("fixed" if each.lot.price_kind == "fixed" else "")
        sign = SIGNS[each.judgement.mark]
        first = f"{sign} {pad(left, 7, right=True)}  {pad(each.piece, name)}  {pad(cost, paid, right=True)}  "
        lines.append(f"{first}{pad(why, widest[2])}  {each.key}" if single else f"{first}{each.key}")
        if why and not single:
            lines += wrap(f"{' ' * HEAD}{why}", width, indent=" " * HEAD)
    return lines


SO_FAR = " so far"


def _cost(judged: Judgement, room: int) -> str:
    """The cost, and in so much room whether it may still rise: amounts stand under each other."""
    cost = wording.about(judged.all_in) if judged.all_in else "no price"
    return cost + pad(SO_FAR if judged.so_far else "", room)


def short_reason(judged: Judgement) -> str:
    """Why, in a few words: `26% below median 420 (14 sales)`, or the strongest signs of a doubt."""
    parts: list[str] = []
    if judged.gap is not None and judged.value is not None:
        gap = int(abs(judged.gap * 100).to_integral_value())
        middle = figure(judged.value.mid) + (" before postage" if judged.value.kind == "before postage" else "")
        parts.append(
            f"{gap}% {'below' if judged.gap < 0 else 'above'} median {middle}" if gap else f"at the median, {middle}"
        )
    if judged.mark == "doubt":
        parts += [sign.text for sign in sorted(judged.doubt.signs, key=lambda s: -s.weight)[:2] if sign.weight > 0]
    elif judged.value is not None:
        parts[-1:] = [f"{parts[-1]} ({wording.count(judged.value.sales, 'sale')})"] if parts else []
    return "; ".join(parts)


def text(paper: Paper, width: int) -> list[str]:
    """The morning for a terminal."""
    lines = wrap(paper.head, width)
    for part in paper.parts:
        lines += ["", *part_lines(part, paper.made, width)]
    notes = filter(None, (paper.legend, *paper.cautions))
    return [*lines, *(line for note in notes for line in ["", *wrap(note, width)])]


def plain(paper: Paper, width: int) -> str:
    """The morning for a file: nothing in it steers a terminal or a reader."""
    return without_controls("\n".join(text(paper, width)) + "\n")


def sentences(seen: Seen, paper: Paper) -> str:
    """A lot in whole sentences, for where there is no legend."""
    today = paper.made.astimezone(ZoneInfo(paper.zone)).date()
    return plain_line(seen.lot, seen.judgement, paper.made, paper.zone, today, raw=not seen.reading.certified)


def part_lines(part: Part, now: datetime, width: int) -> list[str]:
    """A heading, its lots or lines, and what is left out."""
    lines = [part.title] if part.title else []
    lines += lot_lines(part.seen, now, width)
    lines += [line for said in part.said for line in wrap(f"- {said.text}", width, indent="  ")]
    indent = "  " if part.title else ""
    return [*lines, *wrap(f"{indent}{part.more}", width, indent=indent)] if part.more else lines


ENDED = "Ended: record the result"
HOW_ENDED = (
    "`watchlist result KEY PRICE [--won]`; one that nobody bought: `watchlist decide KEY unsold`; one that was never "
    "placed: `watchlist decide KEY clear`."
)


def ended_bid(key: str, title: str, bid: object, stage: str, fell: object, *, unsold: bool = False) -> str:
    """One bid whose sale is over: `H9: 5 kron 1890, placed 180 GBP, sold for 190 GBP`."""
    told = f", sold for {fell}" if fell else ", not sold" if unsold else ""
    return f"{key}: {title}, {stage or 'planned'} {bid or 'without an amount'}{told}"
