"""The person's own table of signs: what it changes of the program's, checked before it is used."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping
from typing import Any

from watchlist.core.coins.issue import bare_words
from watchlist.core.marks.signs import sentences_of, signs_from

MOST = 20.0
"""Odds of e to this power are as good as certain: a weight beyond it is a slip."""
PLAIN = (
    "a nice coin from an old collection see the photos",
    "silver coin good condition sent with tracking",
    "schoene alte muenze aus sammlung siehe bild",
)
"""Sentences that say nothing: a phrase that is found in one of them says nothing either."""


class TableError(ValueError):
    """A table of signs that cannot be used; the text is one sentence."""


def changed(table: Mapping[str, Any], own: Mapping[str, Any]) -> dict[str, Any]:
    """The program's table with the person's figures and phrases put over it.

    `own` has the same sections; rows of `talk` and `stock` are met by their id, `[phrases]` adds to what is looked for.
    Raises TableError for what no table can hold."""
    made = dict(table)
    for name, rows in own.items():
        if name in ("talk", "stock"):
            made[name] = _rows(name, table[name], rows)
        elif name == "phrases":
            made[name] = _phrases(table[name], rows)
        elif name in table and isinstance(table[name], Mapping) and isinstance(rows, Mapping):
            made[name] = {**table[name], **dict(_figures(name, table[name], rows))}
        else:
            raise TableError(f"`{name}` is not a section of the table of signs")
    levels = made["levels"]
    if not levels["query"] < levels["caution"] < levels["strong"]:
        raise TableError("the levels do not rise from query over caution to strong")
    signs_from(made)
    return made


def _figures(name: str, table: Mapping[str, Any], rows: Mapping[str, Any]) -> Iterator[tuple[str, Any]]:
    for key, value in rows.items():
        if key not in table:
            raise TableError(f"[{name}] `{key}` is not a sign; known are {', '.join(table)}")
        if isinstance(table[key], int | float):
            yield key, _weight(f"[{name}] {key}", value, bound=MOST if table[key] < MOST else 1e6)
        else:
            yield key, table[key] if value is None else value


def _weight(where: str, value: Any, *, bound: float = MOST) -> float:
    number = isinstance(value, int | float) and not isinstance(value, bool)
    if not number or not math.isfinite(value) or abs(value) > bound:
        raise TableError(f"{where} is {value}; a weight is a number from -{bound:g} to {bound:g}")
    return float(value)


def _rows(name: str, table: list[dict[str, Any]], rows: Any) -> list[dict[str, Any]]:
    if not isinstance(rows, list) or not all(isinstance(row, Mapping) for row in rows):
        raise TableError(f"`{name}` is written [[{name}]], a table for each family of phrases")
    by_id = {row["id"]: row for row in table}
    for row in rows:
        if row.get("id") not in by_id:
            raise TableError(f"[[{name}]] `{row.get('id')}` is not a family of phrases; known are {', '.join(by_id)}")
        weight = {"weight": _weight(f"[[{name}]] {row['id']}", row["weight"])} if "weight" in row else {}
        by_id[row["id"]] = {**by_id[row["id"]], **row, **weight}
    return list(by_id.values())


def _phrases(table: Mapping[str, Any], rows: Any) -> dict[str, Any]:
    made = dict(table)
    for family, phrases in rows.items() if isinstance(rows, Mapping) else ():
        if family not in table:
            raise TableError(f"[phrases] `{family}` is not a family; known are {', '.join(table)}")
        if not isinstance(phrases, list) or not all(isinstance(phrase, str) for phrase in phrases):
            raise TableError(f"[phrases] {family} is a list of phrases in quotes")
        for phrase in phrases:
            _check_phrase(family, phrase)
        made[family] = [*table[family], *(phrase for phrase in phrases if phrase not in table[family])]
    return made


def _check_phrase(family: str, phrase: str) -> None:
    words = [each for word in phrase.split() if word != ".." for each in word.split("/")]
    if not words or not all(bare_words(word) for word in words) or len(phrase) > 200:
        raise TableError(f"[phrases] {family}: {phrase!r} has no words to look for")
    said = {word for line in PLAIN for word in sentences_of(line).split()}
    if all(bare_words(word) in said for word in words):
        raise TableError(f"[phrases] {family}: {phrase!r} would be found in nearly every lot")
