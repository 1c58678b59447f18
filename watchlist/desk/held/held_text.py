"""One piece in full: what it cost line by line, what it is worth, where it came from; and the course of a parcel."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from decimal import Decimal
from pathlib import Path

from watchlist.core.held.deadlines import deadlines
from watchlist.core.money.amount import Money
from watchlist.desk.desk import Desk
from watchlist.desk.held.held import Held
from watchlist.desk.held.parcels import ParcelShown
from watchlist.page.columns import cut, wrap
from watchlist.page.deadlines import last_day
from watchlist.page.lot import cost_word
from watchlist.page.wording import money

RESTS: Mapping[str, str] = {
    "paid": "as paid",
    "invoiced": "by its invoice",
    "calculated": "calculated: no invoice yet",
    "stated": "as you stated",
}
"""What a cost rests on, in words."""


def told(each: Held) -> str:
    """A piece in one sentence without its end."""
    day = f" on {each.bought.isoformat()}" if each.bought else ""
    if each.own:
        place = f" from {each.won.lot.venue}" if each.won.lot.venue else ""
        return f"{each.coin}, had{place}{day or (not place) * ' from before'}, {each.state}"
    parcel = f", parcel {each.parcel.id}" if each.parcel else ""
    bought = f"won at {money(each.hammer)} hammer" if each.hammer else "won"
    return f"{each.coin}, {bought}{day}{parcel}, {each.state}"


def cells(each: Held, coin: int = 200) -> tuple[str, ...]:
    """Number, coin cut to so many cells with its duplicates, day, cost (`~`: calculated), today, gain, state."""
    cost = f"{each.cost:,.2f}" if each.cost is not None else "-"
    return (
        each.stock_no,
        cut(each.coin, coin) + (f" (+{each.duplicates})" if each.duplicates and not each.course.gone else ""),
        each.bought.isoformat() if each.bought else "-",
        f"{'~' if each.cost_basis == 'calculated' else ''}{cost}",
        f"{each.today:,.0f}" if each.today is not None else "-",
        f"{each.gain:+,.0f}" if each.gain is not None else "-",
        each.state,
    )


def whole(desk: Desk, each: Held, lines: Mapping[str, Decimal], others: Iterable[Held], width: int) -> Iterator[str]:
    """All of it, sentences and the lines of its cost. `others`: all pieces, for those of the same issue."""
    for line in _whole(desk, each, lines, others):
        yield from [line] if line.startswith("  ") else wrap(line, width)


def _whole(desk: Desk, each: Held, lines: Mapping[str, Decimal], others: Iterable[Held]) -> Iterator[str]:
    yield f"{each.stock_no}: {told(each)}."
    reading = each.reading
    if reading.certified:
        number = f", number {reading.cert_number}" if reading.cert_number else ""
        yield f"Certified (as stated): {reading.service or 'a service'}{number}."
    yield from _cost(desk, each, lines)
    yield from _worth(desk, each, others)
    yield from _chain(each)
    if each.course.note:
        yield f"Note: {each.course.note}."
    if each.course.place:
        yield f"Stored in: {each.course.place}."
    for path in each.course.pictures:
        yield f"Picture: {path}{'' if Path(path).expanduser().is_file() else ' (not there)'}"


def _cost(desk: Desk, each: Held, lines: Mapping[str, Decimal]) -> Iterator[str]:
    if each.cost is None:
        yield "Its cost is not known."
        return
    if each.course.returned is not None:
        yield f"Went back on {each.course.returned}; lost so far: {each.lost:,.2f} {desk.home}, what it cost:"
    else:
        yield f"Cost {each.cost:,.2f} {desk.home}, {RESTS[each.cost_basis]}"
    for name, amount in lines.items():
        if amount:
            yield f"  {cost_word(name):<30}{amount:>10,.2f}"
    for name, amount in (("spent since", each.course.spent), ("refunded", -each.course.refunded)):
        if amount and lines:
            yield f"  {name:<30}{amount:>10,.2f}"


def _worth(desk: Desk, each: Held, others: Iterable[Held]) -> Iterator[str]:
    if each.value is not None and not each.course.gone:
        low, high, mid = each.value.low, each.value.high, each.value.mid
        gain = f"; gain {each.gain:+,.0f}" if each.gain is not None else ""
        yield f"Worth {low:,.0f} to {high:,.0f} {desk.home} today, median {mid:,.0f} ({each.value.sales} sales){gain}."
    if each.course.sold is not None:
        gain = f"; gain {each.gain:+,.2f}" if each.gain is not None else ""
        yield f"Sold for {each.course.sold}, fees {each.course.fees:,.2f}{gain}."
    same = (other for other in others if each.issue and other.issue == each.issue and other.key != each.key)
    if alike := [other for other in same if not other.course.gone]:
        yield f"Also held of its issue: {', '.join(f'{other.stock_no} ({other.coin})' for other in alike)}."


def _chain(each: Held) -> Iterator[str]:
    """The provenance, the oldest link first where days are told; one's own purchase is the last."""
    if each.course.chain:
        links = sorted(each.course.chain, key=lambda link: link.when or "0")
        said = "; ".join(f"{link.what}{f', {link.when}' if link.when else ''}" for link in links)
        yield f"Provenance: {said}."


def since(desk: Desk, each: ParcelShown) -> Iterator[str]:
    """What was said of it since the hammer, and what is to be done by when."""
    course = each.course
    if course is None:
        return
    if course.invoiced is not None:
        number = f" {course.number}" if course.number else ""
        yield f"Invoice{number} of {course.invoiced_on}: {course.invoiced}"
    if course.payments:
        left = f", {course.owed} owed" if course.owed else ""
        yield f"Paid {Money(course.paid, desk.home)}{left}"
    today = desk.local_today()
    for last in deadlines(course, desk.terms.get(each.venue), waits=each.waits):
        yield last_day(last, today)
