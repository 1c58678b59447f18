"""What a person decides, written in order: at once where the pen is free, else as soon as its holder gives way."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from types import MappingProxyType
from typing import TYPE_CHECKING, Any

from watchlist.core.decisions.review import STATES
from watchlist.desk.due import NOTHING
from watchlist.desk.errors import DeskError
from watchlist.screens.keys import Keys
from watchlist.screens.pen import Errand
from watchlist.screens.session import Session
from watchlist.screens.told import named, refusal, waiting_words
from watchlist.screens.working import Working

if TYPE_CHECKING:
    from watchlist.core.decisions.review import State, Verb
    from watchlist.desk.desk import Desk
    from watchlist.desk.recording import Decided
    from watchlist.screens.frame import Frame

NO_LOTS: Mapping[str, State] = MappingProxyType({})


class Writing(Working, inherit_bindings=False):
    """A program in which a person decides."""

    keys: Keys

    def __init__(self, session: Session, *, ansi_color: bool | None) -> None:
        self._pending: dict[str, tuple[Errand, State]] = {}
        self._back: tuple[str, Callable[[Desk], object], Callable[[Desk], object] | None] | None = None
        """What undo takes back first: the last thing done was no decision."""
        self._due = NOTHING
        """What bands and marks have to do after results."""
        session.pen.post = self.soon
        super().__init__(session, ansi_color=ansi_color)

    @property
    def frame(self) -> Frame | None:
        """The screen on top, when it is one of ours."""
        raise NotImplementedError

    @property
    def waiting_line(self) -> str:
        """What waits to be written, and for whom; empty when nothing does."""
        work = "the work going on" if self.tasks.line else "another watchlist that writes"
        return waiting_words(self.session.pen.waiting, "the gather" if self.gathering else work)

    def write(
        self,
        words: str,
        job: Callable[[Desk], Any],
        done: Callable[[Any], None],
        failed: Callable[[Exception], None] | None = None,
        *,
        lots: Mapping[str, State] = NO_LOTS,
        long: bool = False,
    ) -> bool:
        """Write something that a person decided; `done` follows when it is on the disk, `failed` when it was refused.

        False: it waits until the gather or another writer gives way, and `lots` show the states they will have.
        What is `long` is always written beside the screens."""
        self._back = None

        def over(follow: Callable[[], None]) -> None:
            for key in [key for key, (of, _) in self._pending.items() if of is errand]:
                del self._pending[key]
            follow()
            self.show_status()

        def refused(error: Exception) -> None:
            if failed is not None and isinstance(error, DeskError):
                failed(error)
            else:
                self.say(refusal(words, error), trouble=True)

        errand = Errand(
            words, job, lambda found: over(lambda: done(found)), lambda error: over(lambda: refused(error)), long
        )
        if self.session.pen.write(errand):
            return True
        self._pending |= {key: (errand, state) for key, state in lots.items()}
        self.show_status()
        return False

    def pending(self, key: str) -> State | None:
        """The state that a decision gives this lot once it is written; None when none waits."""
        found = self._pending.get(key)
        return found[1] if found else None

    def decide(
        self,
        lots: Sequence[str],
        verb: Verb,
        done: Callable[[Decided], None],
        failed: Callable[[Exception], None],
        *,
        words: str,
        amount: str = "",
        anyway: bool = False,
    ) -> bool:
        """Write down a decision; False when it waits."""
        from watchlist.desk import deciding

        def written(decided: Decided) -> None:
            done(decided)
            self.follow_up(decided)

        state: State = STATES.get(verb, "seen")
        return self.write(
            words,
            lambda desk: deciding.decide(desk, lots, verb, amount, anyway=anyway),
            written,
            failed,
            lots=dict.fromkeys(lots, state),
        )

    def follow_up(self, decided: Decided) -> None:
        """Bands and marks follow a result in the background; a gather that is running fits at its end."""
        self._due |= decided.due
        if not self.gathering:
            self._follow()

    def gathered(self, *, stopped: bool) -> None:
        """A gather is over."""
        if not stopped:
            self._follow()

    def _follow(self) -> None:
        from watchlist.desk.settling import settle

        due, self._due = self._due, NOTHING
        if due:
            self.work("Fitting the market", lambda desk: settle(desk, due), stoppable=True)

    def can_take_back(
        self, words: str, job: Callable[[Desk], object], follow: Callable[[Desk], object] | None = None
    ) -> None:
        """Let undo take back what was just done and is no decision: a correction, a want, a venue's terms.

        `follow` is for the marks of all lots, work of its own that Esc stops."""
        self._back = words, job, follow

    def _take_back(self, words: str, job: Callable[[Desk], object], follow: Callable[[Desk], object] | None) -> None:
        def done(_: object) -> None:
            self.changed(all=True)
            self.say(f"Taken back: {words}.")
            if follow is not None:
                self.work("Prices and marks follow", follow, stoppable=True)

        self.write(f"Take back: {words}", job, done, long=True)

    def turn(self, *, back: bool) -> None:
        """Undo or redo."""
        from watchlist.desk import undoing

        if back and self._back is not None:
            self._take_back(*self._back)
            return

        def job(desk: Desk) -> tuple[Decided, str]:
            decided = (undoing.undo if back else undoing.redo)(desk)
            row = desk.shelf.store.lots.get(decided.keys[0]) if decided.keys else None
            return decided, named(row.lot.title) if row else decided.said.partition(": ")[2]

        def done(found: tuple[Decided, str]) -> None:
            self._turned(*found, back=back)

        long = undoing.judges_anew(self.session.desk, back=back)
        self.write("Undo" if back else "Redo", job, done, long=long)

    def _turned(self, decided: Decided, what: str, *, back: bool) -> None:
        frame = self.frame
        if frame is not None:
            frame.turned_back(decided.keys)
        else:
            self.changed(all=True)
        more = f" and {len(decided.keys) - 1} more" if len(decided.keys) > 1 else ""
        other = self.keys.first("redo" if back else "undo")
        self.say(f"{'Undone' if back else 'Restored'}: {what}{more}. {other} turns that round.")
        self.follow_up(decided)
