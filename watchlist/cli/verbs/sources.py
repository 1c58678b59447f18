"""watchlist source add, test, list, drop."""

from __future__ import annotations

from argparse import Namespace
from dataclasses import fields, replace
from pathlib import Path
from typing import Any

from watchlist.cli import out, session
from watchlist.core.lots.record import Lot
from watchlist.core.lots.source import Source, is_web, source_to_json
from watchlist.desk import naming
from watchlist.desk.desk import Desk
from watchlist.desk.errors import DeskError
from watchlist.desk.intake import try_source
from watchlist.desk.wanting import address_of, check_source, drop_source
from watchlist.feeds.failures import FetchError
from watchlist.page.columns import table, wrap
from watchlist.page.lists import columns_read
from watchlist.page.wording import local, money

SHOWN = 20


def run(args: Namespace) -> int:
    """One act on the sources."""
    return {"add": _add, "test": _test, "list": _list, "drop": _drop}[args.act](args)


def _add(args: Namespace) -> int:
    with session.desk(args, write=True) as desk:
        made, kept = _source(desk, args, args.name, args.address), ""
        check_source(desk, made)
        if (before := desk.sources.get(args.name)) is not None:
            if not args.replace:
                raise DeskError(
                    f"There is a source {args.name} already, of {before.venue or 'no venue'}: "
                    f"{before.address}. Nothing was changed; --replace changes what you name of it and "
                    "keeps the rest, or give another name."
                )
            made, kept = _over(before, made)
        desk.shelf.notebook.sources.put(made)
        out.talk(
            f"{args.name}: {f'changed{kept}' if before else 'added'}. "
            f"`watchlist source test {args.name}` reads it once."
        )
        if not is_web(made.address) and not Path(made.address).exists():
            out.talk(f"There is no file {made.address} yet.")
        if not made.venue:
            out.talk("It has no venue, so its prices count without fees; --venue names one.")
        elif made.venue not in desk.terms:
            out.talk(f"{made.venue} has no terms yet: `watchlist venue add` or `watchlist import terms`.")
    return out.DONE


def _over(before: Source, made: Source) -> tuple[Source, str]:
    """The source as it was with what is named now put over it, and what was kept, in words."""
    silent = {
        part.name: old
        for part in fields(Source)
        if (old := getattr(before, part.name)) and not getattr(made, part.name) and part.name != "disabled"
    }
    kept = ", ".join(
        f"{name.replace('_', ' ')} {old}" if isinstance(old, str) else name.replace("_", " ")
        for name, old in silent.items()
    )
    changes: dict[str, Any] = silent
    return replace(made, **changes), f"; kept: {kept}" if kept else ""


def _source(desk: Desk, args: Namespace, name: str, address: str) -> Source:
    columns = dict(pair.split("=", 1) for pair in args.column if "=" in pair)
    if len(columns) < len(args.column):
        raise DeskError("--column takes FIELD=HEADING, such as --column price=Ausruf. Nothing was changed.")
    venue = naming.venue(desk.terms, args.venue) if args.venue and desk.terms else args.venue
    return Source(
        name,
        address_of(address),
        venue=venue,
        kind=args.kind,
        encoding=args.encoding,
        decimal_mark=args.decimal_mark,
        date_order=args.date_order,
        time_zone=args.time_zone,
        currency=args.currency.upper(),
        price_kind=args.price_kind,
        columns=columns,
    )


def _test(args: Namespace) -> int:
    with session.desk(args, write=False) as desk:
        source = desk.sources.get(args.name)
        if source is None:
            if not is_web(args.name) and not Path(args.name).expanduser().exists():
                if "/" in args.name or "." in args.name:
                    raise DeskError(f"There is no file {args.name}, and no source of that name.")
                naming.source(desk.sources, args.name)
            source = _source(desk, args, args.name if is_web(args.name) else Path(args.name).name, args.name)
        try:
            read, lots, troubles = try_source(desk, source)
        except FetchError as failed:
            out.talk(f"{source.name}: {failed}")
            return out.SOURCES_FAILED
        for trouble in (*read.troubles, *troubles):
            out.talk(str(trouble))
        taken = {entry.place for entry in read.entries}
        aside = {trouble.place for trouble in read.troubles if trouble.place} - taken
        for lot in lots if args.json else lots[:SHOWN]:
            _show(desk, lot, as_json=bool(args.json))
        for line in columns_read(read.columns, read.unknown_columns):
            out.talk(line)
        out.talk(f"{source.name}: {len(lots)} lots, {len(aside)} set aside")
        return out.SOURCES_FAILED if read.failed else out.DONE


def _show(desk: Desk, lot: Lot, *, as_json: bool) -> None:
    if as_json:
        out.record(
            {
                "key": lot.key,
                "id": lot.id,
                "source": lot.source,
                "venue": lot.venue,
                "title": lot.title,
                "link": lot.link,
                "seller": lot.seller,
                "price": lot.price.json() if lot.price else None,
                "price_kind": lot.price_kind,
                "price_note": lot.price_note,
                "closes": lot.closes.isoformat() if lot.closes else None,
                "closes_note": lot.closes_note,
            }
        )
        return
    price = f"{lot.price_kind or ''} {money(lot.price)}".strip() if lot.price else lot.price_note or "no price"
    zone = desk.settings.home.time_zone
    closes = f"closes {local(lot.closes, zone)}" if lot.closes else lot.closes_note or "no closing time"
    out.data(f"{lot.id}: {lot.title}; {price}; {closes}")


def _list(args: Namespace) -> int:
    with session.desk(args, write=False) as desk:
        if args.json:
            for source in desk.sources.values():
                state = desk.shelf.store.feeds.state(source.name)
                learned = state.get("learned", {})
                out.record(
                    {
                        **source_to_json(source),
                        "last_ok": state.get("last_ok"),
                        "lots": state.get("lots", 0),
                        "trouble": state.get("trouble", ""),
                        "learned": learned,
                    }
                )
        elif desk.sources:
            rows: list[tuple[str, ...]] = [("name", "venue", "kind", "last ok", "lots", "format")]
            rows += [_row(desk, source) for source in desk.sources.values()]
            for line in table(rows, right=frozenset({4}), width=session.width(), give=(5, 1)):
                out.data(line)
            for name, source in desk.sources.items():
                if trouble := _trouble(desk, source):
                    for line in wrap(f"  {name}: {trouble}.", session.width(), indent="    "):
                        out.data(line)
        else:
            out.talk("No sources yet: `watchlist source add NAME ADDRESS-OR-FILE --venue V`.")
    return out.DONE


def _row(desk: Desk, source: Source) -> tuple[str, ...]:
    state = desk.shelf.store.feeds.state(source.name)
    last = state.get("last_ok", "")[:16].replace("T", " ")
    return (
        source.name,
        source.venue,
        source.kind or state.get("kind", ""),
        last,
        str(state.get("lots", "")),
        _format(source, state.get("learned", {})),
    )


def _trouble(desk: Desk, source: Source) -> str:
    state = desk.shelf.store.feeds.state(source.name)
    quiet = "quiet: it gave lots before and gave none now" if state.get("quiet") else ""
    return str(source.disabled or state.get("trouble") or quiet)


def _format(source: Source, learned: dict[str, str]) -> str:
    """Decimal mark and order of dates: set by the person, or learnt."""
    parts = []
    for name in ("decimal_mark", "date_order"):
        own = getattr(source, name)
        if own or learned.get(name):
            parts.append(own or f"{learned[name]} (learnt)")
    return " ".join([*parts, source.time_zone]).strip()


def _drop(args: Namespace) -> int:
    with session.desk(args, write=True) as desk:
        source = naming.source(desk.sources, args.name)
        drop_source(desk, source.name)
        out.talk(f"{source.name}: dropped; its lots and your decisions stay. Adding it again reads all its lots anew.")
    return out.DONE
