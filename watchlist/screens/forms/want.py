"""The form of a want, new or changed."""

from __future__ import annotations

from collections.abc import Mapping

from watchlist.core.marks.record import Want
from watchlist.core.typed.want import words_of
from watchlist.desk.desk import Desk
from watchlist.desk.typed.wants import put_want
from watchlist.page.wants import coin, line
from watchlist.screens.forms.form import Form, fields
from watchlist.screens.want_changes import wants_changed

HINTS = {
    "coin": "COUNTRY DENOMINATION YEAR-MINT, or an issue key",
    "grade": "40-55, VF-30 or VF; empty: any",
    "ceiling": "the most to pay, all-in: 300 EUR",
    "certified": "yes: only certified pieces",
    "low": "your own band where sales are few",
    "high": "",
    "quantity": "how many",
    "filled": "how many you have",
    "upgrade": "yes: keep matching after it is filled",
    "problem": "any: pieces with problems too",
    "traits": "beyond the grade: RD, sharp, not weak",
    "note": "",
}


class WantForm(Form):
    """A want: Enter saves it, then all open lots are judged anew."""

    TITLE = "Want"

    def __init__(self, want: Want | None) -> None:
        known = {"coin": coin(want), **words_of(want)} if want else {"quantity": "1", "filled": "0"}
        super().__init__(fields(HINTS, known), about=want.id if want else "")
        self._was = want

    def keep(self, typed: Mapping[str, str]) -> None:
        """Keep it as work of its own: a want may need its coin kept too."""

        def job(desk: Desk) -> Want:
            return put_want(desk, typed, self._was.id if self._was else "")[0]

        def done(want: Want) -> None:
            self.close_form()
            wants_changed(self.program, f"{want.id}: {line(want)}")

        self.program.work.write("Saving the want", job, done)
