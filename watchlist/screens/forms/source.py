"""The form of a source; what it gives is read once to show what comes."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace

from watchlist.core.clean import clean
from watchlist.core.lots.address import shown
from watchlist.core.lots.source import Source
from watchlist.core.typed.source import words_of
from watchlist.desk.desk import Desk
from watchlist.desk.typed.sources import put_source, typed_source
from watchlist.screens.forms.form import LONGEST, Form, fields
from watchlist.screens.source_trial import try_out

HINTS = {
    "name": "a short word of your own",
    "address": "https://... of a feed, or a file",
    "venue": "as in your list of venues",
    "kind": "empty: told by what comes; else rss, json, csv",
    "columns": "price=Ausruf; title=Los: only where a heading is not known",
    "currency": "of prices without one",
    "price_kind": "fixed, so far, estimate or ended, where all are alike",
    "time_zone": "of times without one",
    "date_order": "dmy or mdy; empty: learnt",
    "decimal_mark": ", or .; empty: learnt",
    "encoding": "empty: told by what comes",
}


class SourceForm(Form):
    """A source: Enter saves it, then it is read once. `learned` are the columns it was read by."""

    TITLE = "Source"

    def __init__(self, source: Source | None, at: str = "", learned: Mapping[str, str] | None = None) -> None:
        self._was = source
        known = words_of(replace(source, columns=learned or source.columns)) if source else {}
        super().__init__(fields(HINTS, known), at=at, about=source.name if source else "")

    def keep(self, typed: Mapping[str, str]) -> None:
        """Keep it, under a new name too where it has no lots."""
        before, columns = self._was, typed.get("columns", "").split(";")

        def job(desk: Desk) -> Source:
            over = before.name if before else ""
            source = typed_source(desk, _whole(typed, before), desk.sources.get(over), columns)
            put_source(desk, source, over)
            return source

        def done(source: Source) -> None:
            self.program.changes.happened(all=True)
            self.close_form()
            gather = self.program.keys.first("gather")
            self.program.messages.say(f"{source.name}: saved. Press {gather} to gather; first it is read once:")
            try_out(self.program, source)

        self.program.writer.write(f"Source {typed.get('name', '')}", job, done)


def _whole(typed: Mapping[str, str], before: Source | None) -> Mapping[str, str]:
    """What was typed; an address that was left as it is shown keeps the secrets it has."""
    left = before is not None and typed.get("address") == clean(shown(before.address), LONGEST)
    return {**typed, "address": before.address} if before and left else typed
