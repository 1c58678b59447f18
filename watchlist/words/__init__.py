"""Words and weights as data, in TOML: a file a language, a file a country's coinage, and tables that no language owns.

A table is asked for by its name and put together from whatever holds a part of it:

1. `<name>.toml` beside this file: what no language owns;
2. the files of the folder `<name>/`, `shared` first and the others in the order of their names;
3. the section `[<name>]` of each language, English first and the others in the order of their codes: of its own file in
   `languages/`, then of the names that `from_cldr` wrote for it into `cldr/`.

Lists under one key are joined, each word once; of two figures or texts the first one stands. Only `titles` is not
joined: there a word also speaks for its language, so it holds each language's section under the language's code.
A language, or the coinage of a country, is added by adding its file.
"""

from __future__ import annotations

import re
import tomllib
from collections.abc import Iterator
from functools import cache
from importlib import resources
from importlib.resources.abc import Traversable
from typing import Any

FIRST = frozenset(("en", "shared"))
"""Files that come before the others of their folder, for the order of words counts where one means two things."""
APART = "titles"
"""The table that keeps its languages apart."""
_HEADER = re.compile(r"^\[+(\w+)", re.MULTILINE)

Table = dict[str, Any]


@cache
def load(name: str = "") -> Table:
    """The table of a name, or every table by its name. Read once; treat what comes back as read-only.

    Raises FileNotFoundError for a table that does not exist.
    """
    return _HERE.table(name) if name else {each: load(each) for each in _HERE.names()}


@cache
def spoken(name: str) -> dict[str, Table]:
    """Each language's own section of a table, by the language's code. Treat what comes back as read-only."""
    return _HERE.spoken(name)


class Words:
    """The word tables of one folder. Of a language's file only the sections that are asked for are parsed."""

    def __init__(self, folder: Traversable) -> None:
        self._folder = folder
        self._sections: list[tuple[str, dict[str, str]]] = []

    def table(self, name: str) -> Table:
        """The table of a name, made anew. Raises FileNotFoundError where nothing holds a part of it."""
        if name == APART:
            return dict(self._spoken(name))
        table: Table = {}
        for part in (*self._shared(name), *(section for _, section in self._spoken(name))):
            _join(table, part)
        if not table:
            raise FileNotFoundError(f"There is no word table {name}.")
        return table

    def spoken(self, name: str) -> dict[str, Table]:
        """Each language's own section of a table, made anew."""
        sections: dict[str, Table] = {}
        for code, section in self._spoken(name):
            _join(sections.setdefault(code, {}), section)
        return sections

    def _spoken(self, name: str) -> Iterator[tuple[str, Table]]:
        return ((code, tomllib.loads(parts[name])[name]) for code, parts in self._languages() if name in parts)

    def names(self) -> list[str]:
        """The names of all tables."""
        here = {entry.name.removesuffix(".toml") for entry in self._folder.iterdir() if entry.name.endswith(".toml")}
        return sorted(here.union(FOLDERS, *(parts for _, parts in self._languages())))

    def _languages(self) -> list[tuple[str, dict[str, str]]]:
        """The text of each section by the codes of the languages, a language's own file before CLDR's names."""
        if not self._sections:
            texts = [each for folder in ("languages", "cldr") for each in _texts(self._folder / folder)]
            self._sections = [(code, _parted(text)) for code, text in sorted(texts, key=_turn)]
        return self._sections

    def _shared(self, name: str) -> Iterator[Table]:
        """What no language owns."""
        single = self._folder / f"{name}.toml"
        if single.is_file():
            yield tomllib.loads(single.read_text("utf-8"))
        if name in FOLDERS:
            for _, text in _texts(self._folder / name):
                yield tomllib.loads(text)


FOLDERS = frozenset(("coinages",))
"""Tables with a folder of files."""
_HERE = Words(resources.files(__name__))


def _texts(folder: Traversable) -> list[tuple[str, str]]:
    """The TOML files of a folder by their stems, in the order of a table's parts."""
    files = [entry for entry in folder.iterdir() if entry.name.endswith(".toml")]
    return sorted(((file.name.removesuffix(".toml"), file.read_text("utf-8")) for file in files), key=_turn)


def _turn(named: tuple[str, str]) -> tuple[bool, str]:
    return named[0] not in FIRST, named[0]


def _parted(text: str) -> dict[str, str]:
    """The text of a language's file by its sections: all tables whose names begin with the section's."""
    heads = list(_HEADER.finditer(text))
    ends = [head.start() for head in heads[1:]] + [len(text)]
    parts: dict[str, str] = {}
    for head, end in zip(heads, ends, strict=True):
        parts[head[1]] = parts.get(head[1], "") + text[head.start() : end]
    return parts


def _join(table: Table, more: Table) -> None:
    """Add one part of a table to another, in place."""
    for key, value in more.items():
        if isinstance(value, dict):
            _join(table.setdefault(key, {}), value)
        elif isinstance(value, list) and key in table:
            table[key] += [each for each in value if each not in table[key]]
        else:
            table.setdefault(key, value)
