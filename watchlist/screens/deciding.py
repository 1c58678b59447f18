"""Decisions on lots, alike in the Tray, on a Ticket and on the bid list."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from typing import TYPE_CHECKING

from watchlist.desk.errors import DeskError, TooMuch
from watchlist.screens.frame import Frame
from watchlist.screens.session import over_ssh
from watchlist.screens.told import named

if TYPE_CHECKING:
    from watchlist.core.decisions.review import Verb
    from watchlist.core.marks.record import Sign
    from watchlist.desk.dismissing import Dismissal
    from watchlist.desk.recording import Decided
    from watchlist.shelf.store.rows import LotRow

SET: Mapping[str, str] = {"follow": "followed", "skip": "skipped", "bid": "bid", "buy": "bid"}
"""The state that each decision gives."""
SAID = {
    "follow": "Following",
    "skip": "Skipped",
    "bid": "On the bid list",
    "buy": "On the bid list to buy",
    "clear": "Cleared",
}


class LotFrame(Frame):
    """A screen that stands on a lot."""

    def current(self) -> LotRow | None:
        """The lot that the keys act on."""
        raise NotImplementedError

    def chosen(self) -> Sequence[tuple[str, str]]:
        """Key and state of all lots that a decision is for: those ticked, else the current one."""
        row = self.current()
        return [(row.lot.key, self.app.pending(row.lot.key) or row.state)] if row else []

    def decided(self, keys: Sequence[str]) -> None:
        """Show what a decision has changed."""
        self.app.changed()

    def put_off(self, keys: Sequence[str]) -> None:
        """Show that a decision waits to be written."""
        self.redraw()

    def can(self, id: str) -> bool:
        """Actions on a lot need a lot."""
        on_lot = {
            "follow",
            "skip",
            "bid",
            "won",
            "lost",
            "amount",
            "dismiss",
            "correct",
            "address",
            "copy",
            "copy-questions",
            "tick",
        }
        return id not in on_lot or self.current() is not None

    def do_follow(self) -> None:
        """Follow, or no longer."""
        self._decide("follow")

    def do_skip(self) -> None:
        """Skip, or take it back."""
        self._decide("skip")

    def do_bid(self) -> None:
        """Plan a bid, or take the lot off."""
        row = self.current()
        if row is not None and self._bid_needs_amount(row):
            self.ask_amount(row)
            return
        fixed = row is not None and row.lot.price_kind == "fixed"
        self._decide("buy" if fixed else "bid")

    def _bid_needs_amount(self, row: LotRow) -> bool:
        """No ceiling gives a limit: only the person can say how much."""
        chosen = self.chosen()
        limit = row.judgement.bid_limit if row.judgement else None
        return (
            [key for key, _ in chosen] == [row.lot.key]
            and chosen[0][1] not in ("bid", "won", "lost")
            and row.lot.price_kind not in ("fixed", "ended")
            and limit is None
        )

    def do_amount(self) -> None:
        """Type the amount of the bid."""
        row = self.current()
        if row is not None:
            self.ask_amount(row)

    def ask_amount(self, row: LotRow, verb: Verb | None = None) -> None:
        """Ask how much to bid or to offer, and write it down; what stands, or the next step, is there to be changed."""
        from watchlist.desk.bidding import first_bid

        what: Verb = verb or ("offer" if row.lot.price_kind == "fixed" else "bid")
        desk = self.app.session.desk
        value, currency = first_bid(desk, row)

        def done(amount: str) -> None:
            if not amount:
                self.app.say("No amount, nothing written.")
                return
            bare = amount.replace(".", "").replace(",", "").isdigit()
            said = f"{named(row.lot.title)}: {what} {amount}{f' {currency}' if bare else ''}"
            self.put([row.lot.key], what, said, amount)

        label = {"offer": "Offer", "placed": "Placed at"}.get(what, "Bid")
        self.ask(
            f"{label}, {currency}",
            done,
            value=f"{value:f}" if value is not None else "",
            check=self._paid(currency, what),
        )

    def _paid(self, currency: str, what: str) -> Callable[[str], object]:
        """Whether an amount can be written, before the line closes; nothing at all may be typed."""
        from watchlist.desk.amounts import above_zero

        return lambda text: text and above_zero(self.app.session.desk, text, currency, what)

    def _decide(self, verb: Verb) -> None:
        chosen = self.chosen()
        if not chosen:
            self.app.say("There is no lot here.")
            return
        if all(state == SET[verb] for _, state in chosen):
            verb = "clear"
        self._write(verb, chosen)

    def _write(self, verb: Verb, chosen: Sequence[tuple[str, str]]) -> None:
        row = self.current()
        what = named(row.lot.title) if row and len(chosen) == 1 else f"{len(chosen)} lots"
        self.put([key for key, _ in chosen], verb, f"{SAID.get(verb, verb)}: {what}")

    def put(self, keys: Sequence[str], verb: Verb, said: str, amount: str = "", *, anyway: bool = False) -> None:
        """Write a decision; `said` is said when it is on the disk. A bid over its ceiling asks first."""

        def done(decided: Decided) -> None:
            self.decided(decided.keys)
            warn = f"{'; '.join(decided.warnings)}. " if decided.warnings else ""
            self.app.say(f"{warn}{said}. {self.app.keys.first('undo')} undoes it.")

        def failed(error: Exception) -> None:
            why = str(error).partition(". Nothing was written")[0]
            if isinstance(error, TooMuch) and self.is_current:
                self.confirm(f"{why}. All the same?", lambda: self.put(keys, verb, said, amount, anyway=True))
            else:
                self.app.say(f"{why}. Not written: {said}.", trouble=True)

        if not self.app.decide(keys, verb, done, failed, words=said, amount=amount, anyway=anyway):
            self.put_off(keys)

    def do_won(self) -> None:
        """Ask what was paid."""
        self._ask_result(won=True)

    def do_lost(self) -> None:
        """Ask what it fell for."""
        self._ask_result(won=False)

    def _ask_result(self, *, won: bool) -> None:
        row = self.current()
        if row is None:
            return
        key, title = row.lot.key, named(row.lot.title)

        def done(price: str) -> None:
            from watchlist.desk import results

            if not price:
                self.app.say("No price, nothing written.")
                return
            word = "won" if won else "lost"
            self.app.write(
                f"{title}: {word} at {price}",
                lambda desk: results.result(desk, key, price, won=won),
                written,
                lots={key: "won" if won else "lost"},
            )

        def written(decided: Decided) -> None:
            self.app.changed(all=True)
            said = decided.said.partition(": ")[2]
            warn = f"{'; '.join(decided.warnings)}. " if decided.warnings else ""
            self.app.say(f"{warn}{title}: {said}. {self.app.keys.first('undo')} undoes it.")
            self.app.follow_up(decided)

        value = f"{row.lot.price.amount:f} {row.lot.price.currency}" if row.lot.price else ""
        from watchlist.desk.bidding import first_bid

        check = self._paid(first_bid(self.app.session.desk, row)[1], "price")
        self.ask("Won at" if won else "It fell at", done, value=value, check=check)

    def do_address(self) -> None:
        """Open the address."""
        row = self.current()
        if row is not None:
            self.app.open_address(row.lot.link)

    def do_copy(self) -> None:
        """Copy the lot as one line."""
        row = self.current()
        if row is None or row.judgement is None:
            self.app.say("There is nothing to copy here.")
            return
        from watchlist.page.lot import plain_line

        desk = self.app.session.desk
        self.app.copy_text(
            plain_line(row.lot, row.judgement, desk.now, desk.settings.home.time_zone, desk.local_today())
        )

    def do_copy_address(self) -> None:
        """Copy the address."""
        row = self.current()
        if row is None or not row.lot.link:
            self.app.say("This lot has no address.")
        else:
            self.app.copy_text(row.lot.link)
            if over_ssh():
                self.app.say(f"Copied: {row.lot.link}")

    def do_copy_questions(self) -> None:
        """Copy the questions to the seller."""
        row = self.current()
        if row is None:
            return
        from watchlist.desk.ticket import facts
        from watchlist.page.questions import letter
        from watchlist.page.wording import count

        asked = list(facts(self.app.session.desk, row).questions)
        if asked:
            text = letter(row.lot, asked)
            self.app.copy_to_clipboard(text)
            self.app.say(f"Copied {count(len(asked), 'question')}: {text}")
        else:
            self.app.say("Nothing is left to ask.")

    def do_dismiss(self) -> None:
        """Dismiss a sign, or restore it."""
        from watchlist.desk.dismissing import signs_of

        row = self.current()
        signs = signs_of(row) if row else ()
        if row is None or not signs:
            self.app.say("This lot has no sign of doubt.")
            return
        key = row.lot.key
        if len(signs) == 1:
            self._dismiss(key, signs[0])
            return
        listed = "; ".join(f"{number} {sign.text}" for number, sign in enumerate(signs, 1))
        self.app.say(f"Which sign: {listed}")

        def check(number: str) -> None:
            if number not in map(str, range(1, len(signs) + 1)):
                raise DeskError(f"There are signs 1 to {len(signs)}, not `{number}`; nothing was changed.")

        self.ask(
            f"Which sign, 1 to {len(signs)}?", lambda number: self._dismiss(key, signs[int(number) - 1]), check=check
        )

    def _dismiss(self, key: str, sign: Sign) -> None:
        from watchlist.desk import dismissing

        def noted(note: str) -> None:
            words = f"{'Dismiss' if sign.dismissed is None else 'Restore'}: {sign.text}"
            self.app.write(words, lambda desk: dismissing.dismiss(desk, key, sign.text, note), written, long=True)

        def written(found: Dismissal) -> None:
            from watchlist.page.wording import mark_words

            self.app.changed()
            said = f"{'Dismissed' if found.dismissed else 'Restored'}: {found.sign}. Now {mark_words(found.judgement)}."
            self.app.say(f"{said} {self.app.keys.first('undo')} undoes it.")

        if sign.dismissed is None:
            self.ask(f"Note, why `{sign.text[:40]}` is dismissed:", noted)
        else:
            noted("")

    def do_correct(self) -> None:
        """Correct the reading."""
        row = self.current()
        if row is not None:
            from watchlist.screens.forms.correction import CorrectForm

            self.app.push_screen(CorrectForm(row))
