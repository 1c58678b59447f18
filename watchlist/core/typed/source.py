"""A source from what is typed, new or put over one that is there. Address and venue are looked up before."""

from __future__ import annotations

import codecs
import difflib
import re
from collections.abc import Callable, Iterable, Mapping
from dataclasses import replace
from typing import Any

from watchlist.core.clean import clean
from watchlist.core.fees.terms import known_zone
from watchlist.core.lots.address import shown
from watchlist.core.lots.price import KINDS as PRICE_KINDS
from watchlist.core.lots.source import KINDS, Source
from watchlist.core.money.codes import known_codes, wrong_code
from watchlist.core.typed.lot import BY_HAND
from watchlist.core.typed.words import TypedError, one_of

FIELDS = (
    "name", "address", "venue", "kind", "encoding", "decimal_mark", "date_order", "time_zone", "currency", "price_kind",
)  # fmt: skip
MORE_COLUMNS = re.compile(r",\s*\w+\s*=")
"""Another column behind a comma."""


def source_from(
    said: Mapping[str, str],
    before: Source | None = None,
    *,
    tables: Mapping[str, Any],
    columns: Iterable[str] | None = None,
) -> Source:
    """The source as said; a field that is not named stays as `before` has it, and so do its `columns`, pairs such as
    `price=Ausruf`. It is fetched again although it was disabled. Raises TypedError for a word that means nothing."""
    base = before or Source("", "")
    texts: dict[str, Any] = {name: said.get(name, getattr(base, name)) for name in FIELDS}
    if not texts["name"] or not texts["address"]:
        raise TypedError(f"A source needs {'an address or a file' if texts['name'] else 'a name'}")
    texts["kind"] = one_of("kind", texts["kind"], KINDS[1:])
    texts |= {name: texts[name].casefold() for name in ("date_order", "price_kind")}
    texts["currency"] = texts["currency"].upper()
    made = replace(
        base,
        **texts,
        columns=base.columns if columns is None else column_map(columns),
        headers=base.headers if base.address == texts["address"] else {},  # they may hold a secret of the old host
        disabled="",
    )
    check_source(made, tables)
    return made


def words_of(source: Source) -> dict[str, str]:
    """The source as a person types it; its address as it may be shown."""
    columns = "; ".join(f"{name}={heading}" for name, heading in source.columns.items())
    return {
        **{name: getattr(source, name) for name in FIELDS},
        "address": shown(source.address),
        "columns": columns,
    }


def _is_encoding(name: str) -> bool:
    try:
        codecs.lookup(name)
    except (LookupError, ValueError):
        return False
    return True


CHECKS: tuple[tuple[str, Callable[[str], bool], str], ...] = (
    ("time_zone", known_zone, "time zone is a name such as Europe/Berlin"),
    ("decimal_mark", (".", ",").__contains__, "decimal mark is `,` or `.` itself"),
    ("date_order", ("dmy", "mdy").__contains__, "date order is dmy (day first) or mdy (month first)"),
    ("encoding", _is_encoding, "encoding is a name such as utf-8 or cp1252"),
)
"""Fields that hold a word of some kind, its test, and what to say of any other."""


def check_source(source: Source, tables: Mapping[str, Any]) -> None:
    """Raises TypedError for the first word of a source that means nothing: currency, zone, mark, order, column, ..."""
    name = source.name
    if name != clean(name) or ":" in name or name == BY_HAND:
        raise TypedError(f"`{shown(name)}` cannot name a source: it needs letters, no colon, and `{BY_HAND}` is taken")
    codes = known_codes(tables["money"])
    if source.currency and source.currency not in codes:
        raise TypedError(f"Currency: {wrong_code(source.currency, codes)}")
    for field, is_one, says in CHECKS:
        text = getattr(source, field)
        if text and not is_one(text):
            raise TypedError(f"The {says}, not `{text}`")
    one_of("price kind", source.price_kind, PRICE_KINDS)
    for field, heading in source.columns.items():
        _check_column(field, heading, tables)


def _check_column(field: str, heading: str, tables: Mapping[str, Any]) -> None:
    """Raises TypedError for a field we do not have, and for two columns with a comma between them."""
    known = {*tables["columns"]["kinds"]["lots"]["columns"], *tables["feeds"]["elements"]}
    if field not in known:
        near = difflib.get_close_matches(field.casefold(), sorted(known), 1, 0.5)
        hint = f" (did you mean `{near[0]}`?)" if near else "; such are title, price, ends_at, seller"
        raise TypedError(f"Columns: `{field}` is not a field of Watchlist{hint}")
    if MORE_COLUMNS.search(heading):
        raise TypedError(
            f"Columns are parted by `;`, not by a comma as in `{field}={heading}`: write price=Ausruf; title=Los"
        )


def column_map(pairs: Iterable[str]) -> dict[str, str]:
    """`price=Ausruf`, `title=Los` as a map of column to heading; blank ones are passed over. Raises TypedError."""
    found: dict[str, str] = {}
    for pair in filter(str.strip, pairs):
        name, _, heading = (part.strip() for part in pair.partition("="))
        if not name or not heading:
            raise TypedError(
                "Columns are written price=Ausruf; title=Los: the name here, then the heading in the file; not "
                f"`{pair.strip()}`"
            )
        found[name] = heading
    return found
