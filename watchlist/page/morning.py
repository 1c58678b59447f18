"""The morning in print: short, one readable line a lot with its reason."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import datetime

from watchlist.core.lots.record import Lot
from watchlist.core.marks.reasons import figure
from watchlist.core.marks.record import SIGNS, Judgement
from watchlist.page import wording
from watchlist.page.columns import cells, pad, wrap

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


@dataclass(frozen=True, slots=True)
class Section:
    """A heading with its lots."""

    title: str
    lots: Sequence[Seen]
    """The first of them."""
    total: int
    more: str
    """The command that lists all of them."""


NAME, COST = 34, 14
"""Cells of the two columns in the middle of a line."""


def lot_lines(seen: Seen, now: datetime, width: int) -> list[str]:
    """One lot: sign, time left, what it is, cost, why, key; on two lines where one would have to be cut."""
    lot, judged = seen.lot, seen.judgement
    left = wording.time_left(lot.closes, now) or ("fixed" if lot.price_kind == "fixed" else "")
    grade = wording.grades(judged.grade_low, judged.grade_high)
    what = f"{seen.name}{', ' + grade if grade else ''}"
    cost = wording.about(judged.all_in) if judged.all_in else "no price"
    cost += " so far" if judged.so_far else ""
    why = short_reason(judged)
    head = f"{SIGNS[judged.mark]} {pad(left, 7, right=True)}  "
    paid = pad(cost, max(COST, cells(cost)), right=True)
    whole = f"{head}{pad(what, NAME)} {paid}{'  ' if why else ''}{why}  {seen.key}"
    if cells(what) <= NAME and cells(whole) <= width:
        return [whole]
    room = width - len(head) - cells(paid) - cells(seen.key) - 3
    first = f"{head}{pad(what, max(min(room, max(NAME, cells(what))), 12))} {paid}  {seen.key}"
    blank = " " * len(head)
    return [first, *wrap(f"{blank}{why}", width, indent=blank)] if why else [first]


def short_reason(judged: Judgement) -> str:
    """Why, in a few words: `26% below 420 (14 sales)`, or the strongest signs of a doubt."""
    parts: list[str] = []
    if judged.gap is not None and judged.value is not None:
        gap = int(abs(judged.gap * 100).to_integral_value())
        middle = figure(judged.value.mid) + (" before postage" if judged.value.kind == "before postage" else "")
        parts.append(f"{gap}% {'below' if judged.gap < 0 else 'above'} {middle}" if gap else f"at the median, {middle}")
    if judged.mark == "doubt":
        parts += [sign.text for sign in sorted(judged.doubt.signs, key=lambda s: -s.weight)[:2] if sign.weight > 0]
    elif judged.value is not None:
        parts[-1:] = [f"{parts[-1]} ({wording.count(judged.value.sales, 'sale')})"] if parts else []
    return "; ".join(parts)


def sections(groups: Iterable[Section], now: datetime, width: int) -> list[str]:
    """All headings that have lots, each with its lines."""
    text: list[str] = []
    for group in groups:
        if not group.lots:
            continue
        text += ["", group.title]
        for seen in group.lots[:MOST]:
            text += lot_lines(seen, now, width)
        if group.total > MOST:
            text.append(f"  and {group.total - MOST} more: {group.more}")
    return text


def bullets(title: str, lines: Iterable[str], width: int) -> list[str]:
    """A heading with wrapped lines under it; nothing without lines."""
    made = [part for line in lines for part in wrap(f"- {line}", width, indent="  ")]
    return ["", title, *made] if made else []


ENDED = "Ended: say won or lost"
HOW_ENDED = "`watchlist result KEY PRICE [--won]`; one that was never placed: `watchlist decide KEY clear`."


def ended_bid(key: str, title: str, bid: object, stage: str, fell: object) -> str:
    """One bid whose sale is over: `H9: 5 kron 1890, placed 180 GBP, fell for 190 GBP`."""
    told = f", fell for {fell}" if fell else ""
    return f"{key}: {title}, {stage or 'planned'} {bid or 'without an amount'}{told}"
