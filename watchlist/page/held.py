"""One piece in words: what it cost line by line, what it is worth, where it came from."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from datetime import date
from decimal import Decimal

from watchlist.core.held.piece import Beside, Piece
from watchlist.page.columns import cut, wrap
from watchlist.page.dates import in_full
from watchlist.page.lot import cost_word
from watchlist.page.wording import count, money

RESTS: Mapping[str, str] = {
    "paid": "as paid",
    "invoiced": "by its invoice",
    "calculated": "calculated: no invoice yet",
    "stated": "as you stated",
}
"""What a cost rests on, in words."""


def owed_still(wins: int, before: date) -> str:
    """Wins of before a day that no invoice names and of which nothing was said, and what says it of all of them."""
    verb, them = ("counts", "it is") if wins == 1 else ("count", "they are")
    return (
        f"{count(wins, 'win')} of before {in_full(before)} still {verb} as owed, for nothing was said since: "
        f"`watchlist piece all kept --before {before}` says that {them} paid and kept"
    )


def told(each: Piece) -> str:
    """A piece in one sentence without its end."""
    day = f" on {each.bought.isoformat()}" if each.bought else ""
    if each.own:
        place = f" from {each.won.lot.venue}" if each.won.lot.venue else ""
        return f"{each.coin}, had{place}{day or (not place) * ' from before'}, {each.state}"
    parcel = f", parcel {each.parcel.id}" if each.parcel else ""
    bought = f"won at {money(each.hammer)} hammer" if each.hammer else "won"
    return f"{each.coin}, {bought}{day}{parcel}, {each.state}"


def cells(each: Piece, coin: int = 200) -> tuple[str, ...]:
    """Number, coin cut to so many cells with its duplicates, day, cost (`~`: calculated), today, gain, state."""
    cost = f"{each.cost:,.2f}" if each.cost is not None else "-"
    return (
        each.stock_no,
        cut(each.coin, coin) + (f" (+{each.duplicates})" if each.duplicates and not each.course.gone else ""),
        each.bought.isoformat() if each.bought else "-",
        f"{'~' if each.cost_basis == 'calculated' else ''}{cost}",
        f"{each.today:,.0f}" if each.today is not None else "-",
        _gain(each.gain) if each.gain is not None else "-",
        each.state,
    )


def _gain(gain: Decimal) -> str:
    """With its sign, in whole units; `0` where it comes to none."""
    return f"{gain:+,.0f}" if round(gain) else "0"


def worth(each: Piece, home: str) -> str:
    """`Worth 99 EUR today, gain +8. `; empty for a piece that is gone or has no value."""
    if each.today is None:
        return ""
    gain = f", gain {_gain(each.gain)}" if each.gain is not None else ""
    return f"Worth {each.today:,.0f} {home} today{gain}. "


def whole(each: Piece, beside: Beside, home: str, width: int) -> Iterator[str]:
    """All of it, sentences and the lines of its cost."""
    for line in _whole(each, beside, home):
        yield from [line] if line.startswith("  ") else wrap(line, width)


def _whole(each: Piece, beside: Beside, home: str) -> Iterator[str]:
    yield f"{each.stock_no}: {told(each)}."
    reading = each.reading
    if reading.certified:
        number = f", number {reading.cert_number}" if reading.cert_number else ""
        yield f"Certified (as stated): {reading.service or 'a service'}{number}."
    if each.course.state == "consigned" and each.course.reserve:
        yield f"Consigned with a reserve of {each.course.reserve}."
    yield from _cost(each, beside.lines, home)
    yield from _worth(each, beside.alike, home)
    yield from _chain(each)
    if each.course.note:
        yield f"Note: {each.course.note}."
    if each.course.place:
        yield f"Stored in: {each.course.place}."
    for path in each.course.pictures:
        yield f"Picture: {path}{' (not there)' if path in beside.missing else ''}"


def _cost(each: Piece, lines: Mapping[str, Decimal], home: str) -> Iterator[str]:
    if each.cost is None:
        yield "Its cost is not known."
        return
    if each.course.returned is not None:
        yield f"Went back on {each.course.returned}; lost so far: {each.lost:,.2f} {home}, what it cost:"
    else:
        yield f"Cost {each.cost:,.2f} {home}, {RESTS[each.cost_basis]}"
    for name, amount in lines.items():
        if amount:
            yield f"  {cost_word(name):<30}{amount:>10,.2f}"
    for name, amount in (("spent since", each.course.spent), ("refunded", -each.course.refunded)):
        if amount and lines:
            yield f"  {name:<30}{amount:>10,.2f}"


def _worth(each: Piece, alike: Sequence[Piece], home: str) -> Iterator[str]:
    if each.value is not None and not each.course.gone:
        low, high, mid = each.value.low, each.value.high, each.value.mid
        gain = f"; gain {_gain(each.gain)}" if each.gain is not None else ""
        yield f"Worth {low:,.0f} to {high:,.0f} {home} today, median {mid:,.0f} ({each.value.sales} sales){gain}."
    if each.course.sold is not None:
        gain = f"; gain {each.gain:+,.2f}" if each.gain is not None else ""
        yield f"Sold for {each.course.sold}, fees {each.course.fees:,.2f}{gain}."
    yield from _alike(each, alike)


def _alike(each: Piece, alike: Sequence[Piece]) -> Iterator[str]:
    """The other pieces of its issue: those that it is an upgrade of first."""
    own = 0 if each.course.gone else each.reading.grade_low or 0
    below = [other for other in alike if (other.reading.grade_low or 0) < own]
    for said, some in (("An upgrade of", below), ("Also held of its issue:", [o for o in alike if o not in below])):
        if some:
            yield f"{said} {', '.join(f'{other.stock_no} ({other.coin})' for other in some)}."


def _chain(each: Piece) -> Iterator[str]:
    """The provenance, the oldest link first where days are told; one's own purchase is the last."""
    if each.course.chain:
        links = sorted(each.course.chain, key=lambda link: link.when or "0")
        said = "; ".join(f"{link.what}{f', {link.when}' if link.when else ''}" for link in links)
        yield f"Provenance: {said}."
