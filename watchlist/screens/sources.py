"""Sources: where lots come from, how they stand, what could not be read."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING, Any

from watchlist.core.lots.source import Source, is_web
from watchlist.page.columns import wrap
from watchlist.page.lists import Column, columns_read, fit
from watchlist.page.troubles import trouble_line
from watchlist.page.wording import count, local, money
from watchlist.screens.looks import Paint
from watchlist.screens.table import Table

if TYPE_CHECKING:
    from watchlist.core.lots.record import Lot
    from watchlist.core.lots.trouble import Trouble
    from watchlist.desk.desk import Desk

COLUMNS = (
    Column("name", 16),
    Column("venue", 20, rank=3),
    Column("kind", 5, rank=4),
    Column("last ok", 16, rank=2),
    Column("lots", 6, right=True),
    Column("trouble", 40, rank=1),
)
SHOWN = 20


class Sources(Table[Source]):
    """Where lots come from."""

    ID = "sources"
    TITLE = "Sources"

    def __init__(self) -> None:
        super().__init__()
        self._states: dict[str, dict[str, Any]] = {}

    def items(self) -> Sequence[Source]:
        """All sources with their states."""
        desk = self.app.session.desk
        self._states = {name: dict(desk.shelf.store.feeds.state(name)) for name in desk.sources}
        from watchlist.desk.morning import source_troubles

        for each in source_troubles(desk):
            self._states[each.name]["told"] = each.what
        return list(desk.sources.values())

    def text_of(self, item: Source) -> str:
        """What a sift looks in."""
        return f"{item.name} {item.venue} {item.address}"

    def head_parts(self) -> Sequence[str]:
        """How many are well."""
        late = sum("told" in state for state in self._states.values())
        venues = len(self.app.session.desk.terms)
        return (
            count(len(self.all), "source"),
            f"{len(self.all) - late} ok {late} with trouble" if late else "",
            count(venues, "venue"),
        )

    def list_head(self, width: int) -> str:
        """The columns."""
        return fit(self._columns(width), width, flexible=0, least=12).head()

    def _columns(self, width: int) -> tuple[Column, ...]:
        spare = width - 16 - 22 - 7 - 18 - 8 - 2
        return (*COLUMNS[:-1], Column("trouble", min(max(spare, 30), 60), rank=1))

    def list_row(self, at: int, width: int) -> Paint:
        """One source."""
        source = self.shown[at]
        state = self._states.get(source.name, {})
        lonely = "" if source.venue in self.app.session.desk.terms else "no terms for its venue"
        trouble = state.get("told") or lonely
        cells = (
            source.name,
            source.venue or "-",
            source.kind or state.get("kind") or "-",
            self._last(state),
            str(state.get("lots", "-")),
            str(trouble),
        )
        role = "ink!" if state.get("told") else "ink"
        return [(role, fit(self._columns(width), width, flexible=0, least=12).row(cells))]

    def _last(self, state: dict[str, Any]) -> str:
        from datetime import datetime

        last = state.get("last_ok")
        zone = self.app.session.shelf.settings.home.time_zone
        return local(datetime.fromisoformat(last), zone) if last else "never"

    def list_empty(self) -> str:
        """What to press."""
        if self.text:
            return f"Nothing matches `{self.text}`. esc clears it."
        return "No sources yet. v adds a venue with its terms, a a source. Try the samples: `watchlist try`."

    def why(self) -> str:
        """How the source stands."""
        source = self.item
        if source is None:
            return ""
        state = self._states.get(source.name, {})
        told = state.get("told")
        lots = f"{state.get('lots', 'no')} lots, {self._last(state)}"
        text = f"{source.name}: {told or lots}"
        rows = state.get("troubles") or ()
        unread = f" {len(rows)} rows with trouble; Enter shows them." if rows else ""
        return f"{text.rstrip('.')}. {source.address}.{unread}"

    def pane(self, width: int, height: int) -> Sequence[Paint]:
        """The last error, the first unread rows, the columns, the terms."""
        source = self.item
        if source is None:
            return ()
        state = self._states.get(source.name, {})
        where = "web" if is_web(source.address) else "file"
        venue = source.venue or "none, so prices count as written"
        text = [f"{source.name}, {where}: {source.address}", f"Venue: {venue}."]
        if state.get("told"):
            text.append(f"Trouble: {state['told']}")
        text += [f"- {row}" for row in list(state.get("troubles") or ())[:10]]
        if state.get("columns"):
            text.append("Columns: " + "; ".join(f"{name}={heading}" for name, heading in state["columns"].items()))
        if state.get("unknown_columns"):
            text.append(f"Not known and left alone: {', '.join(state['unknown_columns'])}")
        if state.get("learned"):
            learnt = (f"{name.replace('_', ' ')} {what}" for name, what in state["learned"].items())
            text.append(f"Learnt: {', '.join(learnt)}")
        text += ["", *self._terms(source)]
        return [[("ink", part)] for line in text for part in (wrap(line, width, indent="  ") if line else [""])]

    def _terms(self, source: Source) -> Sequence[str]:
        from watchlist.page.terms import describe

        terms = self.app.session.desk.terms.get(source.venue)
        if terms is None:
            return [f"{source.venue or 'It'} has no terms yet: v adds them."]
        return [f"Terms of {terms.venue}:", *describe(terms)]

    def copy_line(self) -> str:
        """How the source stands."""
        return self.why()

    def do_add(self) -> None:
        """A new source."""
        from watchlist.screens.forms.source import SourceForm

        self.app.push_screen(SourceForm(None))

    def do_edit(self) -> None:
        """Change the source."""
        from watchlist.screens.forms.source import SourceForm

        if self.item is not None:
            self.app.push_screen(SourceForm(self.item))

    def do_map(self) -> None:
        """Say which heading holds which column."""
        from watchlist.screens.forms.source import SourceForm

        if self.item is not None:
            state = self._states.get(self.item.name, {})
            self.app.push_screen(SourceForm(self.item, at="columns", learned=dict(state.get("columns") or {})))

    def do_add_venue(self) -> None:
        """A venue from a blank form."""
        from watchlist.screens.forms.venue import VenueForm

        self.app.push_screen(VenueForm(None))

    def do_venue(self) -> None:
        """The terms of the source's venue; a blank form where it has none."""
        from watchlist.screens.forms.venue import VenueForm

        terms = self.app.session.desk.terms
        self.app.push_screen(VenueForm(terms.get(self.item.venue) if self.item else None))

    def do_drop(self) -> None:
        """Drop the source; its lots and the decisions stay."""
        source = self.item
        if source is None:
            return
        lots = self.app.session.shelf.store.listing.count_by("source").get(source.name, 0)

        def job(desk: Desk) -> str:
            from watchlist.desk.sources import drop_source

            drop_source(desk, source.name)
            return f"Dropped {source.name}; its {lots} lots and your decisions stay."

        self.confirm(
            f"Drop {source.name}? Its {lots} lots and your decisions stay.",
            lambda: self.app.work(f"Dropping {source.name}", job),
        )

    def do_try(self) -> None:
        """Read it once and keep nothing."""
        if self.item is not None:
            try_out(self, self.item)


def try_out(frame: Any, source: Source) -> None:
    """Read a source once, keep nothing, and show what came."""
    app = frame.app

    def job(desk: Desk) -> tuple[Any, list[Lot], list[Trouble]]:
        from watchlist.desk.intake import try_source

        return try_source(desk, source)

    def done(found: tuple[Any, list[Lot], list[Trouble]]) -> None:
        from watchlist.screens.detail import Detail

        read, lots, troubles = found
        zone = app.session.shelf.settings.home.time_zone
        troubled = [trouble_line(trouble) for trouble in (*read.troubles, *troubles)]
        text = tried(source.name, lots, troubled, columns_read(read.columns, read.unknown_columns), zone)

        def lines(width: int) -> list[Paint]:
            return [[("ink", part)] for line in text for part in wrap(line, width, indent="  ")]

        app.push_screen(Detail(f"Tried {source.name}, nothing kept", lines))

    app.look_up(f"Reading {source.name} once", job, done)


def tried(name: str, lots: Sequence[Lot], troubles: Sequence[str], columns: Sequence[str], zone: str) -> list[str]:
    """What one reading of a source gave, in lines."""
    text = [f"{name}: {count(len(lots), 'lot')}, {len(troubles)} with trouble."]
    text += [f"! {trouble}" for trouble in troubles[:10]]
    text += columns
    for lot in lots[:SHOWN]:
        price = f"{lot.price_kind or ''} {money(lot.price)}".strip() if lot.price else lot.price_note or "no price"
        closes = f"closes {local(lot.closes, zone)}" if lot.closes else lot.closes_note or "no closing time"
        text.append(f"{lot.id}: {lot.title}; {price}; {closes}")
    if len(lots) > SHOWN:
        text.append(f"and {len(lots) - SHOWN} more")
    return text
