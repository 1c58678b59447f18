"""What undo and redo say: the word that was turned round, when it was said, and what turned with it."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from watchlist.core.decisions.review import Decision, Stage, Standing, Verb
from watchlist.core.money.amount import Money
from watchlist.page.wording import local

Lot = tuple[str, str]
"""Its key and its coin."""
NAMED = 3
"""Lots that are named one by one."""
WORDS: Mapping[Verb, str] = {
    "placed": "bid placed", "acknowledged": "bid acknowledged", "cancelled": "bid cancelled by the venue",
    "bench": "check", "dismiss": "sign dismissed", "restore": "sign restored", "ask": "question", "answered": "answer",
    "remind": "date", "noted": "note", "pictured": "picture", "came from": "provenance",
    "stored": "place", "graded out": "sent to a service", "graded back": "back from its service",
    "consigned back": "not sold",
}  # fmt: skip
"""What an entry of the list is called, where that is not the verb."""


PARCEL_WORDS: Mapping[Verb, str] = {
    "invoiced": "invoice", "paid": "payment", "parcel refunded": "refund", "dispatched": "dispatch",
    "arrived": "arrival", "split": "split of the cost",
}  # fmt: skip
"""Of a parcel, which `target` names."""


@dataclass(frozen=True, slots=True)
class Stood:
    """How the lots of an entry, and what rests on them, stood at one moment."""

    state: str
    """Of a single lot, in a word."""
    standing: Standing | None
    """Of a single lot; None for none, and for several."""
    holds: Money
    """What the budget holds for these lots, home currency."""
    prices: int
    """How many of them have a price in the archive."""
    wants: frozenset[str]
    """Wants on the list."""
    asking: frozenset[str]
    """Those that ask."""


def entry(
    line: Decision,
    lots: Sequence[Lot],
    sale: str,
    zone: str,
    others: Mapping[Verb, Sequence[Lot]] | None = None,
) -> str:
    """`bid 240 GBP on LM-105 (5 tor 1891-M), said Tue 3 Mar 07:30`. `lots`: key and coin; `sale`: of a weight;
    `others`: other words of the same stroke, each with its lots."""
    said = f"said {f'by {line.who} ' if line.who else ''}{local(line.at, zone)}"
    if line.verb == "change":
        return f"{line.note}, {said}"
    if line.verb == "weigh":
        return f"weight {line.weight.normalize():f} of {sale}, {said}" if line.weight is not None else said
    word = WORDS.get(line.verb, line.verb)
    more = "".join(f", {WORDS.get(verb, verb)} on {_named(some)}" for verb, some in (others or {}).items())
    if line.target and not lots and line.verb in PARCEL_WORDS:
        return f"{PARCEL_WORDS[line.verb]}{f' {line.amount}' if line.amount else ''} of {line.target}{more}, {said}"
    if not lots:
        note = line.note.partition("\n")[0]
        return f"{word}{f' {note}' if note else ' of a piece'}, {said}"
    amount = f" {line.amount}" if line.amount else ""
    note = f" ({line.target.replace('_', ' ')})" if line.verb in ("dismiss", "restore") else ""
    return f"{word}{amount}{note} on {_named(lots)}{more}, {said}"


def paid(line: Decision, *, back: bool) -> str:
    """Of a piece given in part exchange: what became of the payment that it was."""
    return f"The payment of {line.amount} for {line.target} is {'taken back' if back else 'there again'}"


def _named(lots: Sequence[Lot]) -> str:
    if len(lots) == 1:
        ((key, coin),) = lots
        return f"{key} ({coin})" if coin else key
    keys = ", ".join(key for key, _ in lots[:NAMED])
    return f"{len(lots)} lots ({keys}{f' and {len(lots) - NAMED} more' if len(lots) > NAMED else ''})"


def stands(state: str, standing: Standing | None) -> str:
    """Where a lot stands, in words: `planned at 240 GBP`, `won at 310 EUR`, `seen`."""
    if standing is None:
        return state
    stage: Stage | str = standing.stage or standing.state
    word = "won, if the seller agrees," if stage == "provisional" else stage
    return f"{word} at {standing.amount}" if standing.amount else word


def follows(lots: int, now: Stood, before: Stood) -> list[str]:
    """What turned with it, a sentence each."""
    said = []
    moved = now.holds != before.holds
    money = f"the budget holds {now.holds}{' for it' if lots == 1 else ' for them'}, before {before.holds}"
    if lots == 1:
        said.append(f"Now {stands(now.state, now.standing)}{f'; {money}' if moved else ''}")
    elif moved:
        said.append(f"{money[:1].upper()}{money[1:]}")
    if now.prices != before.prices:
        its = "Its price is" if lots == 1 else "Their prices are"
        said.append(f"{its} {'out of' if now.prices < before.prices else 'in'} the archive")
    kept = now.wants & before.wants  # one that came or went with the entry is not filled, and does not ask again
    said += [f"{want} matches again" for want in sorted(kept & (now.asking - before.asking))]
    said += [f"{want} is filled" for want in sorted(kept & (before.asking - now.asking))]
    return said
