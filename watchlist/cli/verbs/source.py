"""watchlist source add, test, list, remove."""

from __future__ import annotations

from argparse import Namespace
from collections.abc import Iterator, Mapping
from dataclasses import fields, replace
from datetime import datetime
from pathlib import Path

from watchlist.cli import out, session
from watchlist.cli.parser import Parser, acts, replace_option
from watchlist.core.lots.address import shown
from watchlist.core.lots.source import Source, is_web, source_to_json
from watchlist.core.reading.asjson import to_json
from watchlist.desk import naming
from watchlist.desk.desk import Desk
from watchlist.desk.errors import DeskError
from watchlist.desk.files import write_file
from watchlist.desk.gather.intake import try_source
from watchlist.desk.own_files.importing import bytes_of
from watchlist.desk.titles.rereading import read_lot
from watchlist.desk.typed import source_lists
from watchlist.desk.typed.sources import drop_source, map_columns, put_source, typed_source
from watchlist.page.columns import table, wrap
from watchlist.page.lists import columns_read
from watchlist.page.lot import offered
from watchlist.page.records import told
from watchlist.page.troubles import trouble_line
from watchlist.page.wording import count

FIELDS = (
    "key",
    "id",
    "source",
    "venue",
    "title",
    "link",
    "seller",
    "price",
    "price_kind",
    "price_note",
    "closes",
    "closes_note",
)
"""What JSON tells of a lot that is only tried."""
PRICE_KINDS = ["", "fixed", "so far", "estimate", "ended"]
SHOWN = 20
HIDDEN = "..."
"""Stands for the value of a header of the person's own, which may be a key."""
ACTS = {
    "add": "a new source",
    "edit": "change what you name of a source",
    "test": "read it once, save nothing",
    "list": "all sources",
    "map": "say which heading holds which field; all rows are read again",
    "find": "the feeds that a web page links to",
    "export": "the sources as a list (OPML) for other readers of feeds",
    "import": "add the feeds of such a list",
    "drop": "remove a source; its lots stay",
}
"""The acts, each with its line of help."""


def options(parser: Parser) -> None:
    """What it takes."""
    made = acts(parser, ACTS)
    made["add"].add_argument("name", metavar="NAME", help="a short name of your own")
    made["add"].add_argument("address", metavar="ADDRESS-OR-FILE", help="of a feed, or a file of lots")
    made["add"].add_argument("--replace", action="store_true", help="change what is named of a source that is there")
    made["edit"].add_argument("name", metavar="NAME", help="the source, as `source list` names it")
    made["edit"].add_argument("--address", metavar="ADDRESS-OR-FILE", help="where it is now")
    made["test"].add_argument("name", metavar="NAME-OR-ADDRESS-OR-FILE", help="one you have, or one to try")
    made["drop"].add_argument("name", metavar="NAME", help="the source, as `source list` names it")
    made["map"].add_argument("name", metavar="NAME", help="the source, as `source list` names it")
    made["map"].add_argument("pairs", nargs="*", metavar="FIELD=HEADING", help="without one: what is read now")
    made["map"].add_argument("--as-it-is", action="store_true", help="take the changed layout as it stands")
    made["find"].add_argument("address", metavar="ADDRESS", help="of the page")
    made["export"].add_argument("file", metavar="FILE.opml", help="the file to write")
    replace_option(made["export"])
    made["import"].add_argument("file", metavar="FILE.opml", help="the list to read")
    made["import"].add_argument("--venue", default="", metavar="V", help="the venue of all of them")
    for act in ("add", "edit", "test"):
        add = made[act].add_argument
        add("--venue", metavar="V", help="the venue whose terms and zone count")
        add(
            "--kind",
            choices=["", "rss", "json", "csv"],
            metavar="KIND",
            help="rss, json or csv, when the content does not tell",
        )
        add("--encoding", help="when it is not UTF-8, UTF-16 or cp1252")
        add("--decimal-mark", choices=["", ".", ","], metavar="MARK", help="of its prices: . or ,")
        add("--date-order", choices=["", "dmy", "mdy"], metavar="ORDER", help="of its dates: dmy (day first) or mdy")
        add("--time-zone", metavar="ZONE", help="of its times, when not the venue's")
        add("--currency", metavar="CODE", help="of prices that name none")
        add(
            "--price-kind",
            choices=PRICE_KINDS,
            metavar="KIND",
            help="of plain prices: fixed, so far (a current bid), estimate, ended",
        )
        add("--column", action="append", default=[], metavar="FIELD=HEADING", help="map a column of its own")


def run(args: Namespace) -> int:
    """One act on the sources."""
    acts = {"add": _add, "edit": _edit, "test": _test, "list": _list, "map": _map, "drop": _drop}
    return {**acts, "find": _find, "export": _export, "import": _import}[args.act](args)


def _add(args: Namespace) -> int:
    with session.desk(args, write=True) as desk:
        if (before := desk.sources.get(args.name)) is not None and not args.replace:
            raise DeskError(
                f"There is a source {args.name} already, of {before.venue or 'no venue'}: "
                f"{shown(before.address)}. Nothing was changed; --replace changes what you name of it and "
                "keeps the rest, or give another name."
            )
        _put(desk, args, _typed(desk, args, args.name, args.address, before), changed=before is not None)
    return out.DONE


def _edit(args: Namespace) -> int:
    with session.desk(args, write=True) as desk:
        before = naming.source(desk.sources, args.name)
        made = _typed(desk, args, before.name, args.address or before.address, before)
        _put(desk, args, made, changed=True)
    return out.DONE


def _put(desk: Desk, args: Namespace, made: Source, *, changed: bool) -> None:
    put_source(desk, made, over=made.name)
    done = f"changed{_kept(made, args)}" if changed else "added"
    out.talk(f"{made.name}: {done}. `watchlist source test {made.name}` reads it once.")
    if not is_web(made.address) and not Path(made.address).exists():
        out.talk(f"There is no file {made.address} yet.")
    if not made.venue:
        out.talk("It has no venue, so fees are not included; --venue names one.")
    elif made.venue not in desk.terms:
        out.talk(f"{made.venue} has no terms yet: `watchlist venue add` or `watchlist import terms`.")


def _typed(desk: Desk, args: Namespace, name: str, address: str, before: Source | None = None) -> Source:
    typed = session.said(args) | {"name": name, "address": address}
    return typed_source(desk, typed, before, args.column or None)


def _kept(made: Source, args: Namespace) -> str:
    """What a source keeps because it was not named now, in words."""
    kept: list[str] = []
    for part in fields(made):
        value, name = getattr(made, part.name), part.name.replace("_", " ")
        said = part.name in ("name", "address") or (args.column if part.name == "columns" else None)
        if value and not said and not getattr(args, part.name, None):
            kept.append(f"{name} {value}" if isinstance(value, str) else name)
    return f"; kept: {', '.join(kept)}" if kept else ""


def _test(args: Namespace) -> int:
    with session.desk(args, write=False) as desk:
        source = desk.sources.get(args.name) or _unnamed(desk, args)
        try:
            read, lots, troubles = try_source(desk, source)
        except DeskError as failed:
            out.talk(f"{source.name}: {failed}")
            return out.SOURCES_FAILED
        for trouble in (*read.troubles, *troubles):
            out.talk(trouble_line(trouble))
        taken = {entry.place for entry in read.entries}
        aside = {trouble.place for trouble in read.troubles if trouble.place} - taken
        for lot in lots if args.json else lots[:SHOWN]:
            if args.json:
                reading = to_json(read_lot(desk, lot))
                out.record({**told(lot, {name: name for name in FIELDS}), "reading": reading})
            else:
                out.data(offered(lot, desk.settings.home.time_zone))
        for line in columns_read(read.columns, read.unknown_columns):
            out.talk(line)
        out.talk(f"{source.name}: {len(lots)} lots, {len(aside)} rejected")
        return out.SOURCES_FAILED if read.failed else out.DONE


def _unnamed(desk: Desk, args: Namespace) -> Source:
    """A source of this address or file alone. Raises DeskError when it is neither."""
    if is_web(args.name):
        name = shown(args.name)
    elif Path(args.name).expanduser().exists():
        name = Path(args.name).name
    elif "/" in args.name or "." in args.name:
        raise DeskError(f"There is no file {shown(args.name)}, and no source of that name.")
    else:
        return naming.source(desk.sources, args.name)  # it names the nearest
    return replace(_typed(desk, args, "unnamed", args.name), name=name)


def _list(args: Namespace) -> int:
    with session.desk(args, write=False) as desk:
        if args.json:
            for source in desk.sources.values():
                out.record(_json(desk, source))
        elif desk.sources:
            for line in _lines(desk, session.width()):
                out.data(line)
        else:
            out.talk("No sources yet: `watchlist source add NAME ADDRESS-OR-FILE --venue V`.")
    return out.DONE


def _json(desk: Desk, source: Source) -> dict[str, object]:
    state = desk.shelf.store.feeds.state(source.name)
    told = source_to_json(source)
    if source.headers:
        told["headers"] = dict.fromkeys(source.headers, HIDDEN)
    return {
        **told,
        "address": shown(source.address),
        "last_ok": state.get("last_ok"),
        "lots": state.get("lots", 0),
        "trouble": state.get("trouble", ""),
        "learned": state.get("learned", {}),
    }


def _lines(desk: Desk, wide: int) -> Iterator[str]:
    """A table of the sources; below it what is wrong with some."""
    rows: list[tuple[str, ...]] = [("name", "venue", "kind", "last fetched", "lots", "format")]
    rows += [_row(desk, source) for source in desk.sources.values()]
    yield from table(rows, right=frozenset({4}), width=wide, give=(5, 1))
    for name, source in desk.sources.items():
        if trouble := _trouble(desk, source):
            yield from wrap(f"  {name}: {trouble}.", wide, indent="    ")


def _row(desk: Desk, source: Source) -> tuple[str, ...]:
    state = desk.shelf.store.feeds.state(source.name)
    last = state.get("last_ok")
    here = datetime.fromisoformat(last).astimezone(desk.settings.home.zone) if last else None
    return (
        source.name,
        source.venue,
        source.kind or state.get("kind", ""),
        f"{here:%Y-%m-%d %H:%M}" if here else "",
        str(state.get("lots", "")),
        _format(source, state.get("learned", {})),
    )


def _trouble(desk: Desk, source: Source) -> str:
    state = desk.shelf.store.feeds.state(source.name)
    quiet = "no lots now, some before: check the link" if state.get("quiet") else ""
    return str(source.disabled or state.get("trouble") or quiet)


def _format(source: Source, learned: dict[str, str]) -> str:
    """Decimal mark and order of dates: set by the person, or learnt."""
    parts = []
    for name in ("decimal_mark", "date_order"):
        own = getattr(source, name)
        if own or learned.get(name):
            parts.append(own or f"{learned[name]} (learnt)")
    return " ".join([*parts, source.time_zone]).strip()


def _map(args: Namespace) -> int:
    if not args.pairs and not args.as_it_is:
        return _mapped(args)
    with session.desk(args, write=True) as desk:
        made = map_columns(desk, args.name, args.pairs, as_it_is=args.as_it_is)
        out.talk(f"{made.name}: {_columns(made.columns)}. `watchlist gather {made.name}` reads all its rows again.")
    return out.DONE


def _mapped(args: Namespace) -> int:
    """How the headings of a source are read, and what may be wrong with it."""
    with session.desk(args, write=False) as desk:
        source = naming.source(desk.sources, args.name)
        state = desk.shelf.store.feeds.state(source.name)
        found = {**(state.get("layout") or {}).get("columns", {}), **source.columns}
        out.data(f"{source.name}: {_columns(found)}.")
        for line in columns_read(state.get("columns") or {}, state.get("unknown_columns") or ())[1:]:
            out.data(line)
        if trouble := _trouble(desk, source):
            out.data(f"{trouble}.")
    return out.DONE


def _columns(columns: Mapping[str, str]) -> str:
    said = "; ".join(f"{name}={heading}" for name, heading in columns.items())
    return f"columns {said}" if said else "columns as its headings say"


def _drop(args: Namespace) -> int:
    with session.desk(args, write=True) as desk:
        source = naming.source(desk.sources, args.name)
        drop_source(desk, source.name)
        out.talk(f"{source.name}: removed; its lots and your decisions stay. Adding it again reads all its lots again.")
    return out.DONE


def _find(args: Namespace) -> int:
    if not is_web(args.address):
        raise DeskError(f"`{shown(args.address)}` is not a web address: it begins with http:// or https://.")
    with session.desk(args, write=False) as desk:
        for feed in source_lists.feeds_on(desk, args.address):
            if args.json:
                out.record({"address": feed.address, "title": feed.title})
            else:
                out.data(f"{feed.address}  {feed.title}".rstrip())
    return out.DONE


def _export(args: Namespace) -> int:
    with session.desk(args, write=False) as desk:
        text, left = source_lists.as_list(desk)
    path = write_file(args.file, text, replace=args.replace)
    out.talk(f"{path}: the sources as a list.")
    if left:
        out.talk(f"Left out, as files or for a name, password or query in the address: {', '.join(left)}.")
    return out.DONE


def _import(args: Namespace) -> int:
    path = Path(args.file).expanduser()
    with session.desk(args, write=True) as desk:
        venue = naming.venue(desk.terms, args.venue) if args.venue else ""
        found = source_lists.add_listed(desk, bytes_of(path), path.name, venue)
    for source in found.added:
        out.talk(f"{source.name}: added, {shown(source.address)}")
    rest = [count(found.there, "duplicate")] * bool(found.there) + [
        f"{found.strange} rejected: not a web address"
    ] * bool(found.strange)
    back = " `watchlist undo` takes it back." if found.added else ""
    added = f"{count(len(found.added), 'source')} added"
    out.talk(f"{path.name}: {', '.join([added, *rest])}.{back}")
    return out.DONE
