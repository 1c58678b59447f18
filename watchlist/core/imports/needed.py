"""The columns without which a file is not what it was said to be."""

from __future__ import annotations

from collections.abc import Mapping

from watchlist.core.imports.record import ImportRefused, Table

Choice = tuple[str, ...]
"""Columns of which one will do."""
COIN: tuple[Choice, ...] = (("denomination", "title", "issue"), ("year", "title", "issue"))
NEEDED: Mapping[str, tuple[Choice, ...]] = {
    "catalogue": (("issue",), ("country",), ("denomination",), ("year",)),
    "prices": (("sale_date",), *COIN, ("grade", "title"), ("hammer", "all_in")),
    "wants": (*COIN, ("min_grade", "title"), ("ceiling",)),
    "guide": (*COIN, ("low", "value"), ("high", "value")),
    "terms": (("venue",),),
}
"""Rates say themselves what they lack, with their home currency."""
CALLED = {"wants": "a want-list", "prices": "a list of prices", "guide": "a price guide", "terms": "a list of terms"}


def check_needed(table: Table, file: str) -> None:
    """Raises ImportRefused, one sentence that names what is missing, when the file lacks a column it cannot do without.

    A cell may be empty where a column may not be missing: the wrong file is told by its headings."""
    missing = [choice for choice in NEEDED.get(table.kind, ()) if not any(name in table.columns for name in choice)]
    if not table.rows or not missing:
        return
    named = ", ".join(dict.fromkeys(" or ".join(f"`{name}`" for name in choice) for choice in missing))
    called = CALLED.get(table.kind, f"a {table.kind}")
    columns = "column" if len(missing) == 1 else "columns"
    raise ImportRefused(
        f"{file} is no {called.removeprefix('a ')}: it lacks the {columns} {named}; nothing was taken; "
        "name another file or kind, or head the columns so."
    )
