"""JSON Feed 1.0 and 1.1, and plain lists of objects: `[{"id": ..., "title": ..., "price": ...}]`.

Numbers keep the digits they are written with: `12.50` stays `12.50`.
"""

from __future__ import annotations

import json
from collections.abc import Iterator, Mapping, Sequence
from itertools import islice
from typing import Any

from watchlist.core.clean import clean, clean_lines
from watchlist.core.lots.entry import Entry
from watchlist.core.lots.source import Source
from watchlist.core.lots.trouble import Trouble
from watchlist.feeds.coin_cells import are_coins, coin_column
from watchlist.feeds.elements import OWN_CAP, VALUE_CAP
from watchlist.feeds.failures import Unlistable
from watchlist.feeds.fields import canonical, headed
from watchlist.feeds.links import web_link
from watchlist.feeds.listing import Item, Listing, Outcome, digest, one_by_one, stable_id
from watchlist.feeds.markup import words_of
from watchlist.feeds.names import listed
from watchlist.feeds.scan import ITEMS
from watchlist.words import load

LISTS = (
    "items",
    "lots",
    "entries",
    "results",
    "offers",
    "data",
    "listings",
    "auctions",
    "products",
    "hits",
    "records",
    "rows",
)
DEPTH = 4
LOOKED_AT = 200
"""Objects whose texts tell which name is that of the title."""
Row = Mapping[str, Any]


def list_json(source: Source, text: str) -> Listing:
    """The items of a JSON document. Raises Unlistable when it holds no list of objects."""
    try:
        return _listing(source, text)
    except RecursionError:  # the json module goes as deep as the stack allows
        raise Unlistable("deep json") from None


def _listing(source: Source, text: str) -> Listing:
    whole = True
    try:
        document = json.loads(text, parse_int=str, parse_float=str, parse_constant=str)
    except ValueError:
        document, whole = _complete_rows(text), False
    rows = _rows(document)
    if rows is None or (not whole and not rows) or (rows and not any(rows)):
        raise Unlistable("no list")
    if guessed := _title_by_cells(rows):
        rows = [{**row, "title": row.get(guessed)} for row in rows]
    items = [_item(row, number) for number, row in enumerate(rows, 1)]
    told = [] if whole else [Trouble("part json", facts={"entries": len(items)}, source=source.name)]
    told += [Trouble("title by cells", facts={"heading": guessed}, source=source.name)] if guessed else []
    return Listing("json", items, one_by_one(lambda n: _entry(source, items[n], rows[n])), tuple(told), not whole)


def _title_by_cells(rows: Sequence[Row]) -> str:
    """The name under which the objects name coins, where none has a title or names its coin in a description."""
    if any(map(_title, rows)) or are_coins([_description(row) for row in rows[:LOOKED_AT]]):
        return ""
    columns: dict[str, list[str]] = {}
    for row in rows[:LOOKED_AT]:
        for name in row:
            if name not in listed("standard", "json") and (text := _text(row, name).strip()):
                columns.setdefault(name, []).append(text)
    found = coin_column([columns[name] for name in columns])
    return "" if found is None else list(columns)[found]


def _rows(document: Any) -> list[Row] | None:
    if isinstance(document, dict):
        inner = (part for part in document.values() if isinstance(part, dict))
        document = next((found for part in (document, *inner) if (found := _list_in(part)) is not None), None)
    if not isinstance(document, list):
        return None
    return [row if isinstance(row, dict) else {} for row in document[:ITEMS]]


def _list_in(document: Row) -> list[Any] | None:
    """The list under a name that is known, else the only list of objects; an empty one only under a known name."""
    named: list[Any] | None = next((document[name] for name in LISTS if isinstance(document.get(name), list)), None)
    if named is not None:
        return named
    lists = [part for part in document.values() if isinstance(part, list) and part and _are_objects(part)]
    return lists[0] if len(lists) == 1 else None


def _are_objects(rows: list[Any]) -> bool:
    return all(isinstance(row, dict) for row in rows)


def _complete_rows(text: str) -> list[Row]:
    """The objects of the first list of a document that breaks off, as far as they are whole."""
    start = text.find("[")
    decoder = json.JSONDecoder(parse_int=str, parse_float=str, parse_constant=str)
    rows: list[Row] = []
    at = start + 1
    try:
        while 0 < at < len(text) and len(rows) < ITEMS:
            at = _next(text, at)
            row, at = decoder.raw_decode(text, at)
            rows.append(row if isinstance(row, dict) else {})
    except (ValueError, RecursionError):
        pass
    return rows


def _next(text: str, at: int) -> int:
    while at < len(text) and text[at] in " \t\r\n,":
        at += 1
    return at


def _item(row: Row, number: int) -> Item:
    raw = json.dumps(row, sort_keys=True).encode()
    own = next(filter(None, (_text(row, name) for name in load("feeds")["ids"])), "") or _headed(row, "lot_id")
    title = _title(row) or (_description(row)[:300] if row else f"no object {number}")
    return Item(stable_id(own, title, _text(row, "url")), digest(raw), f"entry {number}")


def _title(row: Row) -> str:
    return next(filter(None, (_text(row, name) for name in load("feeds")["titles"])), "") or _headed(row, "title")


def _headed(row: Row, field: str) -> str:
    """The text under a name that a table has for a heading of this field: `Titel`, `Los-Nr.`."""
    return next((text for name in row if field in headed(name)[:1] and (text := _text(row, name))), "")


def _text(row: Row, name: str) -> str:
    value = row.get(name)
    return value if isinstance(value, str) else ""


def _entry(source: Source, item: Item, row: Row) -> Outcome:
    description = _description(row)
    if not row:
        return "no object"
    title = clean(words_of(_title(row))) or clean(description.partition("\n")[0], 200)
    if not title:
        return "untitled object"
    others = ((clean(name, 80), value) for name, value in row.items() if name not in listed("standard", "json"))
    own = dict(islice((pair for name, value in others for pair in _flat(name, value)), OWN_CAP))
    link = web_link(_text(row, "url") or _text(row, "external_url") or _text(row, "link"), source)
    fields = {**_standard_fields(row), **canonical(own, source.columns, headings=True)}
    if published := clean(_text(row, "date_published"), 100):
        own["published"] = published
    return Entry(source.name, item.place, item.id, title, description, link, fields, own)


def _description(row: Row) -> str:
    full = words_of(_text(row, "content_html")) or clean_lines(_text(row, "content_text"))
    other = [words_of(_text(row, name)) for name in ("summary", "description")]
    if not full and not any(other):
        full = words_of(_headed(row, "description"))
    return clean_lines("\n".join([*(text for text in dict.fromkeys(other) if text and text not in full), full]))


def _flat(name: str, value: Any, depth: int = 1) -> Iterator[tuple[str, str]]:
    """`{"_lot": {"price": "12.50"}}` as `_lot/price`."""
    while isinstance(value, list) and len(value) == 1:  # "offers": [{...}]; no call for each: it may be nested deep
        value, depth = value[0], depth + 1
    if isinstance(value, dict) and depth < DEPTH:
        for key, inner in list(value.items())[:OWN_CAP]:
            yield from _flat(f"{name}/{clean(key, 80)}", inner, depth + 1)
    elif isinstance(value, bool):
        yield name, "yes" if value else "no"
    elif isinstance(value, str) and (text := clean(words_of(value), VALUE_CAP)):
        yield name, text


def _standard_fields(row: Row) -> dict[str, str]:
    authors = row.get("authors") if isinstance(row.get("authors"), list) else [row.get("author")]
    names = [clean(_text(author, "name"), 200) for author in authors or [] if isinstance(author, dict)]
    tags = row.get("tags")
    terms = [clean(tag, 100) for tag in tags[:10] if isinstance(tag, str)] if isinstance(tags, list) else []
    picture = clean(_text(row, "image"), 2_000)
    found = {"seller": next(filter(None, names), ""), "category": ", ".join(filter(None, terms)), "image": picture}
    return {name: text for name, text in found.items() if text}
