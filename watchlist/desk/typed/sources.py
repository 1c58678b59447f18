"""Sources: kept as typed, renamed, dropped."""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping
from pathlib import Path
from typing import Any

from watchlist.core.lots.address import shown
from watchlist.core.lots.source import Source, is_web
from watchlist.core.typed.source import column_map, source_from
from watchlist.desk import naming
from watchlist.desk.changes import entry
from watchlist.desk.desk import DELETED_LOTS, Desk
from watchlist.desk.errors import DeskError, refusing
from watchlist.desk.gather.layouts import no_heading, read_differently

FILE_ENDINGS = ("atom", "csv", "json", "rdf", "rss", "tsv", "txt", "xml")
SHOWN = 24
"""Headings that are named."""
HOST = re.compile(r"(?:(?:[\w-]+\.)+[a-z]{2,}|\d+(?:\.\d+){3}|localhost)(?=[:/]|$)|[\w.-]+:\d+(?=/|$)", re.IGNORECASE)
"""How an address begins whose http:// was left out."""


def typed_source(
    desk: Desk, typed: Mapping[str, str], before: Source | None = None, columns: Iterable[str] | None = None
) -> Source:
    """A source as typed, new or put over `before`; nothing is kept yet. Raises DeskError for a wrong word."""
    said = dict(typed)
    if said.get("address"):
        said["address"] = address_of(said["address"])
    if said.get("venue") and desk.terms:
        said["venue"] = naming.venue(desk.terms, said["venue"])
    with refusing():
        return source_from(said, before, tables=desk.words, columns=columns)


def address_of(text: str) -> str:
    """An address as typed, or the whole path of a file, which may still have to come. Raises DeskError for neither."""
    if is_web(text):
        return text
    place = Path(text).expanduser()
    host = HOST.match(text)
    alone = host and host.end() == len(text) and text.rpartition(".")[2].casefold() in FILE_ENDINGS
    if "://" in text or (host and not alone and not place.exists()):
        raise DeskError(
            f"`{shown(text)}` is not a file on this disk, and an address begins with http:// or https://. "
            "Nothing was changed."
        )
    return str(place.resolve())


def put_source(desk: Desk, source: Source, over: str = "") -> None:
    """Keep a source, new or in the place of the one named `over`. Raises DeskError when it would push out another.

    Lots are kept under the name of their source: one that gave lots keeps its name."""
    if source.name != over and source.name in desk.sources:
        raise DeskError(f"There is a source {source.name} already; edit it, or give another name. Nothing was changed.")
    _refuse_unknown_headings(desk, source, desk.sources.get(over))
    renamed = over in desk.sources and source.name != over
    if renamed and (lots := desk.shelf.store.listing.count_by("source").get(over, 0)):
        raise DeskError(
            f"{over} keeps its name, for its {lots} lots and what you decided stand under it; to have "
            f"{source.name} instead, drop {over} and add {source.name}, which reads all lots as new ones. "
            "Nothing was changed."
        )
    before = desk.sources.get(over)
    words = f"{over} renamed {source.name}" if renamed else f"{source.name} {'changed' if before else 'added'}"
    kept = sorted(key for key in desk.deleted_lots if before or not key.startswith(f"{source.name}:"))
    with entry(desk, f"source {words}") as change:
        change.put("source", source)
        if len(kept) < len(desk.deleted_lots):  # a new source of this name may bring them again
            change.touch("fact", [DELETED_LOTS])
            desk.shelf.store.facts.put(DELETED_LOTS, kept)
        if renamed:
            change.drop("source", over)
            change.put("correction", *_taught_under(desk, over, source.name))
            desk.shelf.store.feeds.forget(over)
        elif before and read_differently(before, source):
            desk.shelf.store.feeds.read_anew(source.name)


def _refuse_unknown_headings(desk: Desk, source: Source, before: Source | None) -> None:
    """Raises DeskError for a column newly mapped to a heading that the source did not have when it was read last."""
    if before is None or before.address != source.address:
        return
    new = [heading for name, heading in source.columns.items() if before.columns.get(name) != heading]
    if found := no_heading(desk.shelf.store.feeds.state(before.name), new):
        wrong, names = found
        more = ", .." if len(names) > SHOWN else ""
        raise DeskError(
            f"{source.name} has no heading `{wrong}`; it has {', '.join(names[:SHOWN])}{more}. Nothing was changed."
        )


def map_columns(desk: Desk, name: str, pairs: Iterable[str], *, as_it_is: bool = False) -> Source:
    """Say which headings of a source hold which fields; all its rows are read again at the next gather.

    `as_it_is`: its changed layout is taken as it stands. Raises DeskError."""
    source = naming.source(desk.sources, name)
    with refusing():
        columns = {**source.columns, **column_map(pairs)}
    made = typed_source(desk, {}, source, [f"{field}={heading}" for field, heading in columns.items()])
    put_source(desk, made, source.name)
    if as_it_is or made == source:
        desk.shelf.store.feeds.read_anew(source.name)
    return made


def _taught_under(desk: Desk, before: str, name: str) -> list[dict[str, Any]]:
    """Words taught for a source follow its new name."""
    return [{**row, "source": name} for row in desk.corrections if row.get("source") == before]


def drop_source(desk: Desk, name: str) -> None:
    """Drop a source; its lots and the decisions stay. Added again, it is read anew."""
    with entry(desk, f"source {name} removed") as change:
        change.drop("source", name)
        desk.shelf.store.feeds.forget(name)
