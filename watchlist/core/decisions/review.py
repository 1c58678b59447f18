"""Decisions as a list that only grows; its fold; undo and redo."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import UTC, date, datetime
from decimal import Decimal
from typing import Literal, get_args

from watchlist.core.money.amount import Money

LotVerb = Literal["follow", "skip", "won", "lost", "unsold", "withdrawn", "clear"]
BidVerb = Literal["bid", "buy", "offer", "placed", "acknowledged", "outbid", "cancelled"]
AsideVerb = Literal["weigh", "dismiss", "restore", "bench", "ask", "answered", "remind", "change"]
ParcelVerb = Literal["invoiced", "paid", "parcel refunded", "dispatched", "arrived", "split"]
PieceVerb = Literal[
    "checked", "kept", "returned", "refunded", "disputed", "settled", "sold",
    "graded out", "graded back", "consigned", "consigned back", "noted", "pictured", "came from", "stored",
]  # fmt: skip
Verb = Literal[LotVerb, BidVerb, AsideVerb, ParcelVerb, PieceVerb, "undo", "redo"]
State = Literal["new", "seen", "followed", "skipped", "bid", "won", "lost", "ended"]


@dataclass(frozen=True, slots=True)
class Decision:
    """One line of the list. `undo` and `redo` name the batch they turn back or restore."""

    seq: int
    """Order in the list; 0 before it is stored."""
    batch: str
    """Decisions made in one stroke share a batch and are undone together."""
    at: datetime
    verb: Verb
    lot: str
    """Key of the lot; empty for weigh, change, undo and redo."""
    amount: Money | None = None
    target: str = ""
    """For undo and redo: the batch. For weigh: the number of the sale. For dismiss and restore: the sign's name. For
    bench: the number of what was found. For remind: the day, and the hour where one was given. For won: `provisional`
    where the seller may still refuse, `own` for a piece from before."""
    note: str = ""
    """For change: what was done, such as `want w04 added`."""
    weight: Decimal | None = None
    """For weigh: what the sale counts from now on, 0 to 1."""
    weight_before: Decimal | None = None
    """For weigh: what it counted until then; undo sets it again."""
    day: date | None = None
    """The day on which it happened, where it is told later."""
    facts: Mapping[str, str] = field(default_factory=dict)
    """What else was said of a parcel or a piece: the number of an invoice, its lots, what a payment settles, ..."""
    who: str = ""
    """Who took it, on a shelf where several do."""


PROVISIONAL: Literal["provisional"] = "provisional"
OWN: Literal["own"] = "own"
"""Target of `won` for a piece that the person has from before: no result of a sale, and no purchase of the budget."""
Stage = Literal[
    "", "planned", "buy", "offer", "placed", "acknowledged", "outbid", "cancelled",
    "unsold", "withdrawn", "provisional", "own", "undecided", "not placed",
]  # fmt: skip

STATES: Mapping[Verb, State] = {
    "follow": "followed", "skip": "skipped", "won": "won", "lost": "lost",
    "bid": "bid", "buy": "bid", "offer": "bid", "placed": "bid", "acknowledged": "bid", "outbid": "bid",
    "cancelled": "bid", "unsold": "ended", "withdrawn": "ended",
}  # fmt: skip
"""The state that a decision gives; `clear` gives none."""

ASIDE: frozenset[Verb] = frozenset(get_args(AsideVerb) + get_args(ParcelVerb) + get_args(PieceVerb))
"""They concern a sale, a sign, a piece or one's own data; where a lot stands they leave as it is."""

STAGES: Mapping[Verb, Stage] = {
    "bid": "planned", "buy": "buy", "offer": "offer", "placed": "placed", "acknowledged": "acknowledged",
    "outbid": "outbid", "cancelled": "cancelled", "unsold": "unsold", "withdrawn": "withdrawn",
}  # fmt: skip
"""How far a bid is: planned, placed, acknowledged, outbid, let go by the venue; for a fixed price buy or offer made; or
how the lot left the sale without a buyer. `undecided` and `not placed` follow from the end of the sale."""
WON_AS: Mapping[str, Stage] = {PROVISIONAL: PROVISIONAL, OWN: OWN}
GOES_ON: frozenset[Verb] = frozenset({"placed", "acknowledged", "outbid", "cancelled"})
"""Without an amount of their own they mean the bid that stands."""
ANSWERS: frozenset[Verb] = frozenset({"acknowledged", "outbid", "cancelled"})
"""What the venue says of a bid."""
PLANS: frozenset[Verb] = frozenset({"bid", "buy", "offer"})


@dataclass(frozen=True, slots=True)
class Standing:
    """Where a lot stands by the decisions in force."""

    state: State
    stage: Stage
    amount: Money | None
    """Of the bid, the offer or the price it fell for."""
    at: datetime
    note: str = ""
    placed: Money | None = None
    """The bid that was placed and binds, also while another amount is planned over or under it."""
    planned: Money | None = None
    """What was planned before it was placed; it binds too where it is the larger one."""
    acknowledged: Money | None = None
    """What the venue said it has."""
    day: date | None = None
    """The day on which it happened, where it was told later."""
    after_sale: bool = False
    """Offered or bought after the lot went unsold: the end of the sale decides nothing."""
    who: str = ""
    """Who bid, where several write on one shelf; what the venue answers changes nothing in it."""


@dataclass(frozen=True, slots=True)
class Review:
    """The list of decisions folded."""

    lots: Mapping[str, Standing] = field(default_factory=dict)
    """By the key of the lot; a lot without a decision in force is not here."""
    done: tuple[str, ...] = ()
    """Batches in force, oldest first; undo takes the last."""
    undone: tuple[str, ...] = ()
    """Batches turned back that redo can still restore; redo takes the last."""


class Ledger:
    """The list of decisions as it grows, with where every lot stands kept up."""

    def __init__(self) -> None:
        self.clear()

    def clear(self) -> None:
        """Begin anew."""
        self.told: list[Decision] = []
        """All of them, in order."""
        self._batches: dict[str, list[Decision]] = {}
        self._done: Names = {}
        self._undone: Names = {}
        self._lots: dict[str, Standing] | None = {}
        """None when it is to be told from the batches anew: one of them was turned back or restored."""

    def add(self, decisions: Iterable[Decision]) -> None:
        """The list goes on. An undo or redo that names no possible batch is passed over."""
        for decision in decisions:
            self.told.append(decision)
            if decision.verb == "undo":
                self._turn(self._done, self._undone, decision.target)
            elif decision.verb == "redo":
                self._turn(self._undone, self._done, decision.target)
            else:
                self._enter(decision)

    def _turn(self, source: Names, target: Names, batch: str) -> None:
        _move(source, target, batch)
        self._lots = None

    def _enter(self, decision: Decision) -> None:
        if decision.batch not in self._done:
            self._done[decision.batch] = None
            self._undone.clear()
            self._batches[decision.batch] = []
        elif decision.batch != next(reversed(self._done)):
            self._lots = None  # it joins an earlier stroke
        self._batches[decision.batch].append(decision)
        if self._lots is not None:
            _apply(self._lots, decision)

    def batch(self, name: str) -> list[Decision]:
        """The decisions of one stroke, in force or turned back; empty for an unknown name."""
        return list(self._batches.get(name, ()))

    def in_force(self, *verbs: Verb) -> list[Decision]:
        """The decisions with these verbs that are not turned back, in order."""
        return [each for each in self.told if each.verb in verbs and each.batch in self._done]

    def review(self) -> Review:
        """Where every lot stands now."""
        if self._lots is None:
            self._lots = {}
            for batch in self._done:
                for decision in self._batches[batch]:
                    _apply(self._lots, decision)
        return Review(dict(self._lots), tuple(self._done), tuple(self._undone))

    def batches(self) -> Review:
        """The same without the lots: only which batches are in force and which are turned back."""
        return Review({}, tuple(self._done), tuple(self._undone))


def fold(decisions: Iterable[Decision]) -> Review:
    """Where every lot stands. Any list folds.

    Undo turns back the last batch in force, redo restores the last one turned back; a new decision ends redo."""
    ledger = Ledger()
    ledger.add(decisions)
    return ledger.review()


Names = dict[str, None]
"""Names of batches in an order; a dict finds each at once, however many there are."""


def _move(source: Names, target: Names, batch: str) -> None:
    if source and next(reversed(source)) == batch:
        del source[batch]
        target[batch] = None


def _apply(lots: dict[str, Standing], decision: Decision) -> None:
    if decision.verb in ASIDE:
        return
    state = STATES.get(decision.verb)
    if state is None:
        lots.pop(decision.lot, None)
        return
    lots[decision.lot] = _after(decision, state, lots.get(decision.lot))


NOTHING_BEFORE = Standing("new", "", None, datetime.min.replace(tzinfo=UTC))


def _after(decision: Decision, state: State, stood: Standing | None) -> Standing:
    verb, before = decision.verb, stood or NOTHING_BEFORE
    amount = before.amount if decision.amount is None and verb in GOES_ON else decision.amount
    placed = _placed(verb, amount, before)
    kept = verb == "placed" or (verb == "bid" and placed is not None)
    return Standing(
        state,
        WON_AS.get(decision.target, "") if verb == "won" else STAGES.get(verb, ""),
        amount,
        decision.at,
        decision.note,
        placed,
        planned=amount if verb in PLANS else before.planned if verb in ("placed", "acknowledged") else None,
        acknowledged=amount if verb == "acknowledged" else before.acknowledged if kept else None,
        day=decision.day,
        after_sale=(before.stage == "unsold" or before.after_sale) and verb in ("buy", "offer"),
        who=before.who if verb in ANSWERS and before.who else decision.who,
    )


def _placed(verb: Verb, amount: Money | None, before: Standing) -> Money | None:
    """The same amount planned again says that it was not placed; another one leaves the placed bid where it is."""
    if verb == "placed":
        return amount
    if verb == "acknowledged":
        return before.placed or amount
    return None if verb != "bid" or before.placed == amount else before.placed


def undo(review: Review, *, batch: str, at: datetime) -> Decision | None:
    """The line that turns back the last batch in force; None when there is none. `batch` is the new line's own."""
    return Decision(0, batch, at, "undo", "", target=review.done[-1]) if review.done else None


def redo(review: Review, *, batch: str, at: datetime) -> Decision | None:
    """The line that restores the last batch turned back; None when there is none."""
    return Decision(0, batch, at, "redo", "", target=review.undone[-1]) if review.undone else None


def decide(
    verb: Verb,
    lots: Sequence[str],
    *,
    batch: str,
    at: datetime,
    amount: Money | None = None,
    target: str = "",
    day: date | None = None,
) -> tuple[Decision, ...]:
    """One decision for each of several lots, made in one stroke and undone together."""
    return tuple(Decision(0, batch, at, verb, lot, amount, target, day=day) for lot in lots)


def state_of(standing: Standing | None, *, seen: bool, closes: datetime | None, now: datetime) -> State:
    """The state shown: the decision in force; else ended, seen or new."""
    if standing is not None:
        return standing.state
    if closes is not None and closes <= now:
        return "ended"
    return "seen" if seen else "new"
