"""Sources: where lots come from, how they stand, what could not be read."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from datetime import datetime
from typing import Any

from watchlist.core.fees.terms import Terms
from watchlist.core.lots.address import shown
from watchlist.core.lots.source import Source, is_web
from watchlist.desk.desk import Desk
from watchlist.desk.morning.morning import source_troubles
from watchlist.desk.typed.sources import drop_source
from watchlist.page.columns import wrap
from watchlist.page.lists import Column, fit
from watchlist.page.terms import describe
from watchlist.page.wording import count, local
from watchlist.screens.looks import Paint, ink
from watchlist.screens.parts.dispatch import Doing, Has
from watchlist.screens.source_trial import try_out
from watchlist.screens.table_screen import TableScreen

COLUMNS = (
    Column("name", 16),
    Column("venue", 20, rank=3),
    Column("kind", 5, rank=4),
    Column("last fetched", 16, rank=2),
    Column("lots", 6, right=True),
    Column("problem", 40, rank=1),
)


class SourceRows:
    """The sources in rows, with what is known of each."""

    none = "No sources yet. Press v to add a venue with its terms, a to add a source. Try the samples: `watchlist try`."

    def __init__(self, desk: Callable[[], Desk]) -> None:
        self._desk = desk
        self._states: dict[str, dict[str, Any]] = {}

    def items(self) -> Sequence[Source]:
        """All sources with their states."""
        desk = self._desk()
        self._states = {name: dict(desk.shelf.store.feeds.state(name)) for name in desk.sources}
        for each in source_troubles(desk):
            self._states[each.name]["told"] = each.what
        return list(desk.sources.values())

    def state(self, source: Source) -> dict[str, Any]:
        """What the last readings left; `told` is its trouble in words."""
        return self._states.get(source.name, {})

    @property
    def troubled(self) -> int:
        """How many are in trouble."""
        return sum("told" in state for state in self._states.values())

    def last(self, source: Source) -> str:
        """When it was last read without trouble."""
        last = self.state(source).get("last_ok")
        return local(datetime.fromisoformat(last), self._desk().settings.home.time_zone) if last else "never"

    def text_of(self, item: Source) -> str:
        """What a sift looks in."""
        return f"{item.name} {item.venue} {shown(item.address)}"

    def head(self, width: int) -> str:
        """The columns."""
        return fit(_columns(width), width, flexible=0, least=12).head()

    def row(self, item: Source, width: int) -> Paint:
        """One source."""
        state = self.state(item)
        lonely = "" if item.venue in self._desk().terms else "no terms for its venue"
        cells = (
            item.name,
            item.venue or "-",
            item.kind or state.get("kind") or "-",
            self.last(item),
            str(state.get("lots", "-")),
            str(state.get("told") or lonely),
        )
        return [("ink!" if state.get("told") else "ink", fit(_columns(width), width, flexible=0, least=12).row(cells))]


class Sources(TableScreen[SourceRows, Source]):
    """Where lots come from."""

    ID = "sources"
    TITLE = "Sources"
    ROWS = SourceRows

    def doing(self) -> Doing:
        """What is done to sources and their venues."""
        windows, on_source = self.program.windows, self.table.on_item
        return {
            "copy": on_source(lambda _: self.program.outside.copy(self.why(0, 0))),
            "open": on_source(lambda _: windows.open("detail", self.TITLE, lambda width: self.pane(width, 0))),
            "add": lambda: windows.open("source form", None),
            "edit": on_source(lambda source: windows.open("source form", source)),
            "map": on_source(self._map),
            "venue": lambda: windows.open("venue form", self._terms()),
            "add-venue": lambda: windows.open("venue form", None),
            "drop": on_source(self._drop),
            "try": on_source(lambda source: try_out(self.program, source)),
        }

    def has(self) -> Has:
        """A source, and for Esc a sift or work."""
        return {
            "source": lambda: self.table.item,
        }

    # --- how it reads ---

    def head(self) -> Paint:
        """How many are well."""
        late, number = self.rows.troubled, len(self.table.all)
        parts = (
            count(number, "source"),
            f"{number - late} ok {late} to check" if late else "",
            count(len(self.program.access.desk.terms), "venue"),
        )
        return self.table.title(self.TITLE, parts, self.app.size.width)

    def why(self, width: int, lines: int) -> str:
        """How the source stands."""
        source = self.table.item
        if source is None:
            return ""
        state = self.rows.state(source)
        lots = f"{state.get('lots', 'no')} lots, {self.rows.last(source)}"
        text = f"{source.name}: {state.get('told') or lots}"
        rows = state.get("troubles") or ()
        unread = f" {count(len(rows), 'problem')}: press Enter." if rows else ""
        return f"{text.rstrip('.')}. {shown(source.address)}.{unread}"

    def pane(self, width: int, height: int) -> Sequence[Paint]:
        """The last error, the first unread rows, the columns, the terms."""
        source = self.table.item
        if source is None:
            return ()
        state = self.rows.state(source)
        where = "web" if is_web(source.address) else "file"
        venue = source.venue or "none, so fees are not included"
        text = [f"{source.name}, {where}: {shown(source.address)}", f"Venue: {venue}."]
        if state.get("told"):
            text.append(f"Problem: {state['told']}")
        text += [f"- {row}" for row in list(state.get("troubles") or ())[:10]]
        if state.get("columns"):
            text.append("Columns: " + "; ".join(f"{name}={heading}" for name, heading in state["columns"].items()))
        if state.get("unknown_columns"):
            text.append(f"Columns not known and unused: {', '.join(state['unknown_columns'])}")
        if state.get("learned"):
            learnt = (f"{name.replace('_', ' ')} {what}" for name, what in state["learned"].items())
            text.append(f"Learnt: {', '.join(learnt)}")
        text += ["", *self._described(source)]
        return ink(part for line in text for part in (wrap(line, width, indent="  ") if line else [""]))

    def _described(self, source: Source) -> Sequence[str]:
        terms = self._terms()
        if terms is None:
            return [f"{source.venue or 'It'} has no terms yet: press v to add them."]
        return [f"Terms of {terms.venue}:", *describe(terms)]

    # --- what is done to sources ---

    def _terms(self) -> Terms | None:
        """The terms of the venue of the highlighted source."""
        return self.program.access.desk.terms.get(self.table.item.venue) if self.table.item else None

    def _map(self, source: Source) -> None:
        """Say which heading holds which column."""
        state = self.rows.state(source)
        cures = dict(pair.partition("=")[::2] for pair in state.get("held") or () if not pair.endswith("=HEADING"))
        learnt = {**(state.get("columns") or {}), **source.columns, **cures}
        self.program.windows.open("source form", source, "columns", learnt)

    def _drop(self, source: Source) -> None:
        """Drop the source; its lots and the decisions stay."""
        lots = self.program.access.shelf.store.listing.count_by("source").get(source.name, 0)

        def job(desk: Desk) -> str:
            drop_source(desk, source.name)
            return f"Removed {source.name}; its {lots} lots and your decisions stay."

        work = self.program.work
        self.dialogue.confirm(
            f"Remove {source.name}? Its {lots} lots and your decisions stay.",
            lambda: work.write(f"Removing {source.name}", job),
        )


def _columns(width: int) -> tuple[Column, ...]:
    spare = width - 16 - 22 - 7 - 18 - 8 - 2
    return (*COLUMNS[:-1], Column("problem", min(max(spare, 30), 60), rank=1))
