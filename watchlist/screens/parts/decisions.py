"""Decisions on lots, alike in the Tray, on a Ticket and on the bid list: follow, skip, bid, and what came of it."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from typing import Protocol

from watchlist.core.decisions.review import STATES, State, Verb
from watchlist.desk.amounts import above_zero
from watchlist.desk.decisions import deciding
from watchlist.desk.desk import Desk
from watchlist.desk.errors import TooMuch
from watchlist.desk.in_hand.bidding import first_bid
from watchlist.desk.recording import Decided
from watchlist.desk.results import results
from watchlist.screens.background.follow_ups import FollowUps
from watchlist.screens.background.messages import Messages
from watchlist.screens.background.writer import Writer
from watchlist.screens.parts.dialogue import Dialogue
from watchlist.screens.parts.dispatch import Doing
from watchlist.screens.sentences import named
from watchlist.shelf.store.rows import LotRow

Chosen = Sequence[tuple[str, str]]
"""Key and state of lots."""
SET: Mapping[str, str] = {"follow": "followed", "skip": "skipped", "bid": "bid", "buy": "bid"}
"""The state that each decision gives."""
SAID = {
    "follow": "Following",
    "skip": "Skipped",
    "bid": "On the bid list",
    "buy": "On the bid list to buy",
    "clear": "Cleared",
}
LABELS: Mapping[str, str] = {"offer": "Offer", "placed": "Placed at"}
"""What is asked for, where it is no planned bid."""


class OnLots(Protocol):
    """The lots that decisions are for, and who shows what comes of them."""

    def current(self) -> LotRow | None:
        """The lot that the keys act on."""

    def decided(self, keys: Sequence[str], *, all: bool = False) -> None:
        """Show what a decision has changed; `all` where bands and the budget follow."""

    def put_off(self, keys: Sequence[str]) -> None:
        """Show that a decision waits to be written."""


class Decisions:
    """Writes down what a person decides on the lots under the highlight."""

    def __init__(
        self,
        lots: OnLots,
        ticked: Callable[[], Chosen],
        dialogue: Dialogue,
        writer: Writer,
        follow_ups: FollowUps,
        messages: Messages,
        desk: Callable[[], Desk],
    ) -> None:
        self._lots, self._ticked, self._dialogue = lots, ticked, dialogue
        self._writer, self._follow_ups, self._messages, self._desk = writer, follow_ups, messages, desk

    def doing(self) -> Doing:
        """By the ids of the actions."""
        return {
            "follow": lambda: self._decide("follow"),
            "skip": lambda: self._decide("skip"),
            "bid": self._bid,
            "amount": self.ask_amount,
            "won": lambda: self._ask_result(won=True),
            "lost": lambda: self._ask_result(won=False),
        }

    def _chosen(self) -> Chosen:
        """The lots that a decision is for: those ticked, else the current one, as it will stand."""
        row = self._lots.current()
        return self._ticked() or ([(row.lot.key, self._writer.pending(row.lot.key) or row.state)] if row else [])

    # --- follow, skip, bid ---

    def _bid(self) -> None:
        """Plan a bid, or take the lot off."""
        row = self._lots.current()
        if row is not None and self._needs_amount(row):
            self.ask_amount()
            return
        fixed = row is not None and row.lot.price_kind == "fixed"
        self._decide("buy" if fixed else "bid")

    def _needs_amount(self, row: LotRow) -> bool:
        """No ceiling gives a limit: only the person can say how much."""
        chosen = self._chosen()
        alone = [key for key, _ in chosen] == [row.lot.key]
        limited = row.judgement is not None and row.judgement.bid_limit is not None
        on_sale = row.lot.price_kind not in ("fixed", "ended")
        return alone and on_sale and not limited and chosen[0][1] not in ("bid", "won", "lost")

    def _decide(self, verb: Verb) -> None:
        chosen = self._chosen()
        if all(state == SET[verb] for _, state in chosen):
            verb = "clear"
        row = self._lots.current()
        what = named(row.lot.title) if row and len(chosen) == 1 else f"{len(chosen)} lots"
        self.put([key for key, _ in chosen], verb, f"{SAID.get(verb, verb)}: {what}")

    def ask_amount(self, verb: Verb | None = None) -> None:
        """Ask how much to bid or to offer, and write it down; what stands, or the next step, is there to be changed."""
        row = self._lots.current()
        if row is None:
            return
        what: Verb = verb or ("offer" if row.lot.price_kind == "fixed" else "bid")
        value, currency = first_bid(self._desk(), row)

        def done(amount: str) -> None:
            if not amount:
                self._messages.say("No amount, nothing written.")
                return
            bare = amount.replace(".", "").replace(",", "").isdecimal()
            said = f"{named(row.lot.title)}: {what} {amount}{f' {currency}' if bare else ''}"
            self.put([row.lot.key], what, said, amount)

        shown = f"{value:f}" if value is not None else ""
        check = self._check(currency, what)
        self._dialogue.ask(f"{LABELS.get(what, 'Bid')}, {currency}", done, value=shown, check=check)

    def _check(self, currency: str, what: str) -> Callable[[str], object]:
        """Whether an amount can be written, before the line closes; nothing at all may be typed."""
        return lambda text: text and above_zero(self._desk(), text, currency, what)

    def put(self, keys: Sequence[str], verb: Verb, said: str, amount: str = "", *, anyway: bool = False) -> None:
        """Write a decision; `said` is said when it is on the disk. A bid over its ceiling asks first."""

        def job(desk: Desk) -> Decided:
            return deciding.decide(desk, keys, verb, amount, anyway=anyway)

        def done(decided: Decided) -> None:
            self._lots.decided(decided.keys)
            self._written(decided, said)

        def failed(error: Exception) -> None:
            self._refused(error, said, lambda: self.put(keys, verb, said, amount, anyway=True))

        state: State = STATES.get(verb, "seen")
        if not self._writer.write(said, job, done, failed, lots=dict.fromkeys(keys, state)):
            self._lots.put_off(keys)

    def _refused(self, error: Exception, said: str, again: Callable[[], None]) -> None:
        """What is asked twice is asked, and done `again` on a yes; anything else is told."""
        why = str(error).partition(". Nothing was written")[0]
        if isinstance(error, TooMuch) and self._dialogue.can_ask:
            self._dialogue.confirm(f"{why}. Record it anyway?", again)
        else:
            self._messages.say(f"{why}. Not written: {said}.")

    def _written(self, decided: Decided, said: str) -> None:
        warn = f"{'; '.join(decided.warnings)}. " if decided.warnings else ""
        self._messages.say_undoable(f"{warn}{said}")
        self._follow_ups.bands(decided.due)

    # --- results ---

    def _ask_result(self, *, won: bool) -> None:
        """Ask what was paid, or what it fell for."""
        row = self._lots.current()
        if row is None:
            return
        key, title = row.lot.key, named(row.lot.title)
        word: State = "won" if won else "lost"

        def done(price: str) -> None:
            if not price and not told:
                self._messages.say("No price, nothing written.")
                return
            write(price or told)

        def write(price: str, *, anyway: bool = False) -> None:
            said = f"{title}: {word} at {price}"
            self._writer.write(
                said,
                lambda desk: results.result(desk, key, price, won=won, anyway=anyway),
                written,
                lambda error: self._refused(error, said, lambda: write(price, anyway=True)),
                lots={key: word},
            )

        def written(decided: Decided) -> None:
            self._lots.decided((), all=True)
            self._written(decided, f"{title}: {decided.said.partition(': ')[2]}")

        hammer = results.hammer_of(row)
        told = f"{hammer.amount:f} {hammer.currency}" if hammer else ""
        enter = f" (Enter: {told}, as its source says)" if told else ""
        check = self._check(first_bid(self._desk(), row)[1], "price")
        self._dialogue.ask(f"{'Won at' if won else 'Hammer price (not yours)'}{enter}", done, value="", check=check)
