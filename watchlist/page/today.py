"""The sentences of the morning: its title, its head, and what stands under its headings."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, datetime

from watchlist.core.money.amount import Money
from watchlist.page.columns import cut
from watchlist.page.dates import day_words
from watchlist.page.wording import count, local

LONGEST = 60
"""Letters of a title or a question that are told."""


@dataclass(frozen=True, slots=True)
class Counts:
    """What the head of a morning counts."""

    new: int
    new_wanted: int
    """New ones that match a want."""
    open: int
    wanted: int
    """Wanted lots that are listed."""
    bargains: int
    """Other ones."""
    closing: int
    """Lots that close today."""
    wants: bool
    """There is a want at all."""


def title(day: date, to_do: int, bargains: int, doubts: int) -> str:
    """`Watchlist, Tue 3 Mar: 2 to do, 10 bargains, 5 doubts`."""
    return f"Watchlist, {day_words(day)}: {to_do} to do, {count(bargains, 'bargain')}, {count(doubts, 'doubt')}"


def headline(told: Counts, since: datetime | None, zone: str) -> str:
    """How many lots are new, wanted, cheap and about to close."""
    gathered = f" since {local(since, zone)}" if since else ""
    wanted = f", {told.new_wanted} of them matching your wants" if told.new_wanted else ", none matching your wants"
    parts = [
        f"{count(told.new, 'lot')} new{gathered}{wanted if told.wants else ''}; {told.open:,} open."
        if told.new
        else f"nothing new{gathered}; {told.open:,} open.",
        f"{count(told.wanted, 'wanted lot')}, {count(told.bargains, 'other bargain')}, {told.closing} closing today.",
    ]
    if not told.wants:
        parts.append("No wants yet: `watchlist want add`.")
    return " ".join(part[:1].upper() + part[1:] for part in parts)


def to_place(key: str, coin: str, bid: Money | None, closes: datetime, by: datetime, now: datetime, zone: str) -> str:
    """`105: Orvany 1 tor 1890, bid 40 EUR hammer, closes Tue 20:15, bids by Tue 18:15`. `by`: when the venue takes bids
    no more."""
    due = f"bids were due {local(by, zone)}" if by <= now else f"bids by {local(by, zone)}"
    return f"{key}: {coin}, {f'bid {bid} hammer' if bid else 'no amount set'}, closes {local(closes, zone)}, {due}"


def question(key: str, day: date, text: str) -> str:
    """A question that a seller has not answered, and how to keep the answer."""
    return f'{key}, asked {day_words(day)}: "{cut(text, LONGEST)}"; `watchlist lot {key} --answered TEXT`'


def turned(key: str, coin: str, state: str, said: Sequence[str]) -> str:
    """What has changed of one lot overnight."""
    called = f", {state}" if state in ("bid", "followed") else ""
    return f"{key}: {coin}{called}: {'; '.join(said)}"


def above(wanted: int) -> str:
    """Wanted lots that are too dear, and how to list them."""
    return f"{wanted} wanted above the band or your ceiling: `watchlist lots wanted mark:a,o`" if wanted else ""


def to_place_later(bids: int) -> str:
    """Bids whose day is not near."""
    return f"{count(bids, 'more bid')} to place later: `watchlist bids`" if bids else ""


def rest(left: int, command: str) -> str:
    """What is not named one by one, and the command that lists it."""
    return f"and {left} more: {command}" if left > 0 else ""


def checked(line: str) -> str:
    """How the marks of the last months came out, once a month."""
    return f"Marks checked: {line} `watchlist check --marks`"
