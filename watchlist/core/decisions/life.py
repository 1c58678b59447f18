"""A bid's life: which word may follow which, what a stage is called once the sale is over, what the budget holds."""

from __future__ import annotations

from collections.abc import Iterator

from watchlist.core.decisions.review import Stage, Standing, Verb
from watchlist.core.money.amount import Money

BINDING: frozenset[Stage] = frozenset({"planned", "buy", "offer", "placed", "acknowledged", "undecided", "provisional"})
"""Stages that bind money of the budget; `undecided` does so unless the bid was outbid."""
OVER: dict[Stage, Stage] = {
    "placed": "undecided", "acknowledged": "undecided", "offer": "undecided", "outbid": "undecided",
    "planned": "not placed", "buy": "not placed",
}  # fmt: skip
"""What a stage reads as once the sale is over and nobody said what came of it."""
WITH_THE_VENUE: frozenset[Stage] = frozenset({"placed", "acknowledged", "outbid", "cancelled", "offer"})


def stage_now(standing: Standing | None, *, over: bool) -> Stage:
    """The stage of a bid as it is to be read now. `over`: its sale has ended."""
    if standing is None:
        return "planned"
    if not over or standing.after_sale:
        return standing.stage
    if standing.stage == "planned" and standing.placed is not None:
        return "undecided"  # the raise was only planned, and the venue still has the bid before it
    return OVER.get(standing.stage, standing.stage)


def binds(standing: Standing | None, *, over: bool) -> bool:
    """The budget holds money for it: an outbid bid frees it, and so does one that was planned and never placed."""
    outbid = standing is not None and standing.stage == "outbid"
    return not outbid and stage_now(standing, over=over) in BINDING


def promised(standing: Standing | None, bid: Money | None, *, over: bool = False) -> tuple[Money, ...]:
    """Every amount that a bid may come to cost, sale currency: as planned, placed and acknowledged. The budget holds
    the dearest. `bid` stands for a plan without an amount; a raise that was not placed before the end costs nothing."""
    if standing is None:
        return (bid,) if bid else ()
    raised = over and standing.stage == "planned" and standing.placed is not None
    planned = () if raised else (bid, standing.planned)
    said = (*planned, standing.placed, standing.acknowledged)
    return tuple(dict.fromkeys(filter(None, said)))


def out_of_turn(verb: Verb, lot: str, standing: Standing | None, amount: Money | None) -> Iterator[str]:
    """What is odd about a word on a bid, coming after what was said before. It may be written all the same."""
    stage: Stage = standing.stage if standing else ""
    if verb in ("acknowledged", "outbid", "cancelled") and stage not in WITH_THE_VENUE:
        yield f"no bid on {lot} was said to be placed"
    placed = standing.placed if standing else None
    if verb == "acknowledged" and amount is not None and placed is not None and amount != placed:
        yield f"the venue acknowledges {amount} on {lot}, and {placed} was placed: ask it which one stands"
