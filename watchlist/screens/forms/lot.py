"""The form of a lot by hand: from a fair, a paper catalogue, a mail."""

from __future__ import annotations

from collections.abc import Mapping

from watchlist.desk.typed.lots_by_hand import add_lot
from watchlist.page.wording import mark_words
from watchlist.screens.forms.form import Form, fields
from watchlist.screens.sentences import named
from watchlist.shelf.store.rows import LotRow

HINTS = {
    "title": "as it is offered, with coin, year and grade",
    "venue": "as in your list of venues",
    "id": "lot number; empty: made up",
    "price": "120 EUR",
    "price_kind": "fixed, so far, estimate",
    "closes": "27 Nov 2026 19:00",
    "sale": "its name, such as Sale 41: lots of one sale may share a parcel",
    "seller": "",
    "ratings": "how many the seller has",
    "link": "https://...",
    "description": "",
}


class LotForm(Form):
    """A lot by hand: Enter reads, judges and keeps it; the Tray then stands on it."""

    TITLE = "Lot"

    def __init__(self) -> None:
        super().__init__(fields(HINTS))

    def keep(self, typed: Mapping[str, str]) -> None:
        """Keep it, and say how it is marked."""

        def done(row: LotRow) -> None:
            self.close_form()
            self.program.changes.happened()
            self.program.windows.stand_on(row.lot.key)
            mark = f" {mark_words(row.judgement)}." if row.judgement else ""
            self.program.messages.say(f"Saved: {named(row.lot.title)}.{mark}")

        self.program.writer.write(f"Lot {typed.get('title', '')}", lambda desk: add_lot(desk, typed), done)
