"""The form of a piece in the hand: it answers as one types, and Enter saves the check with the lot or coin."""

from __future__ import annotations

from collections.abc import Mapping

from watchlist.core.bench.check import Check
from watchlist.desk.desk import Desk
from watchlist.desk.errors import DeskError
from watchlist.desk.held.bench import Bench, keep
from watchlist.desk.held.outcomes import question
from watchlist.page.columns import wrap
from watchlist.page.drawing import ASCII, Alphabet
from watchlist.screens.forms.form import Form, fields
from watchlist.screens.looks import ink
from watchlist.screens.text_screen import Lines

HINTS = {
    "weight": "grams, or 372 gr, 15.5 dwt; several readings are averaged",
    "dry": "grams in air beside the wet weighing; empty: the weight",
    "wet": "grams hung in water; no toned or mint-state piece",
    "water": "20 C or 68 F; empty: 20 C",
    "readability": "the scale's smallest step in grams; empty: 0.01",
    "diameter": "mm, or 1.5 in",
    "thickness": "mm at the rim",
    "magnet": "none, weak, strong",
    "edge": "what it shows",
    "axis": "degrees, 6h, coin or medal",
    "sound": "how it rings",
    "note": "anything else",
    "picture": "paths, parted by ;",
    "reference": "yes: a piece you know to be genuine, to compare others with",
}
YES = frozenset({"yes", "y"})


class BenchForm(Form):
    """What is measured of one piece; below it what that tells, anew with every key."""

    TITLE = "Bench"

    def __init__(self, bench: Bench) -> None:
        self._bench = bench
        piece = bench.piece
        super().__init__(fields(HINTS), about=piece.lot or piece.issue.key)

    @property
    def _draw(self) -> Alphabet:
        return self.program.access.desk.drawing or ASCII

    def intro(self, width: int) -> list[str]:
        """The coin, and its lot."""
        piece = self._bench.piece
        return [piece.issue.name, *([piece.lot] if piece.lot else [])]

    def on_mount(self) -> None:
        """Before anything is measured: what to check, in which order."""
        self._answer()

    def on_input_changed(self) -> None:
        """The answer anew."""
        self._answer()

    def _answer(self) -> None:
        if not self.stands:
            return
        width, typed = max(self.app.size.width, 20), self._measured(self._typed())
        if not any(typed.values()):
            self.show_text(self._bench.advice(width)[1:])
            return
        try:
            found = self._bench.look(typed, while_typing=True)
        except DeskError as error:
            self.show_text(wrap(str(error), width))  # half a figure is no fault yet
            return
        self.show_text(self._bench.report(found, width, self._draw))

    def keep(self, typed: Mapping[str, str]) -> None:
        """Save the check; what it says stays to be read in full."""
        bench, measured = self._bench, self._measured(typed)
        if not any(measured.values()):
            raise DeskError("Nothing was measured yet, so nothing was saved.")
        found, reference = bench.look(measured), typed.get("reference", "").casefold() in YES

        def job(desk: Desk) -> str:
            asked = question(desk, bench.piece.lot)
            keep(desk, bench, measured, found, reference=reference)
            return asked

        def done(asked: str) -> None:
            self.taken(typed)
            self.close_form()
            self.program.changes.happened()
            undo, outcome = (self.program.keys.first(id) for id in ("undo", "outcome"))
            learns = f" What did {asked} prove to be? {outcome} on Held records it; its seller learns." if asked else ""
            self.program.messages.say(f"Saved: check of {bench.piece.issue.name}. {undo} takes it back.{learns}")
            self.program.windows.open("detail", "Bench", self._report(found))

        self.program.writer.write("The check", job, done)

    def _report(self, found: Check) -> Lines:
        """The whole report, made for the window's width."""
        return lambda width: ink(self._bench.report(found, width, self._draw))

    @staticmethod
    def _measured(typed: Mapping[str, str]) -> dict[str, str]:
        """All but whether it is a reference."""
        return {name: text for name, text in typed.items() if name != "reference"}
