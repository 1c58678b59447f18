"""Foreign words stand in the files of their languages, not in Python."""

from __future__ import annotations

import ast
import re
import tomllib
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from watchlist.words import from_cldr

PACKAGE = from_cldr.HERE.parent
WORD = re.compile(r"[^\W\d_]{3,}")
SPEECH = re.compile(r"`[^`]*`")
"""What a docstring quotes: foreign examples are welcome there."""
ALLOWED = {
    "cli/verbs/guide.py": {"erratum"},
    "core/bench/units.py": {"gramm", "grammes"},  # units as a person types them
    "core/clean.py": {"del"},  # an element of HTML
    "core/coins/grades.py": {"kval", "kvalitet"},
    "core/fees/row.py": {"nee", "nein", "oui"},
    "core/money/codes.py": {"stg"},  # sterling
    "core/marks/signtable.py": {"alte", "aus", "bild", "sammlung", "siehe"},  # texts that a phrase is tried on
    "core/money/figures.py": {"nel"},
    "core/reading/choice/assembly.py": {"centesimi"},  # units of money by their names
    "core/reading/choice/gradecells.py": {"stan"},
    "core/reading/vocabulary/spellings.py": {"centesimi", "coroa", "couronne", "franken", "kronen", "lire", "reales"},
    "core/typed/source.py": {"ausruf"},
    "desk/own_files/importing.py": {"rar"},  # a kind of file
    "page/html.py": {"rem", "sans"},  # a unit and a kind of type in style sheets
    "screens/forms/own_file.py": {"jahr"},  # an example of a heading that a person names
    "screens/forms/source.py": {"ausruf"},
    "shelf/open_form.py": {"circular"},  # a setting of the json module
    "shelf/store/steps.py": {"alter"},  # a statement of SQL
}
"""Coincidences, and what is still to be moved."""
NAMES = {"com", "fast", "voice", "lira", "gulden", "rdf", "scand", "week"}
NAMES |= {"krona", "krone", "kroner", "kronor", "riksdaler"}
"""Names of units of money as the readings give them, of scales and of formats, and words that are English as well."""


def words_of(value: Any) -> Iterator[str]:
    """All words of a table."""
    if isinstance(value, dict):
        for key, more in value.items():
            yield from WORD.findall(str(key).casefold())
            yield from words_of(more)
    elif isinstance(value, list):
        for each in value:
            yield from words_of(each)
    elif isinstance(value, str):
        yield from WORD.findall(value.casefold())


@dataclass(frozen=True)
class Source:
    """The words of one file: in its docstrings and names, and in its other texts."""

    own: frozenset[str]
    said: frozenset[str]


def read(path: Path) -> Source:
    tree = ast.parse(path.read_text("utf-8"))
    told = {id(value): SPEECH.sub("", str(value.value)) for value in docstrings(tree)}
    names = (node.id for node in ast.walk(tree) if isinstance(node, ast.Name))
    texts = (node.value for node in ast.walk(tree) if isinstance(node, ast.Constant) and id(node) not in told)
    own = {word for text in (*told.values(), *names) for word in words_of(text)}
    return Source(frozenset(own), frozenset(word for text in texts if isinstance(text, str) for word in words_of(text)))


def docstrings(tree: ast.Module) -> list[ast.Constant]:
    found = (node.value for node in ast.walk(tree) if isinstance(node, ast.Expr))
    return [value for value in found if isinstance(value, ast.Constant) and isinstance(value.value, str)]


def foreign(sources: Iterable[Source]) -> set[str]:
    """Words of the other languages that are neither of the English tables nor of our own English prose."""
    shared = [*from_cldr.HERE.glob("*.toml"), from_cldr.HERE / "languages" / "en.toml"]
    known = {word for path in shared for word in words_of(tomllib.loads(path.read_text("utf-8")))}
    known = known.union(*(source.own for source in sources))
    others = (path for path in (from_cldr.HERE / "languages").glob("*.toml") if path.name != "en.toml")
    spoken = {word for path in others for word in words_of(tomllib.loads(path.read_text("utf-8")))}
    return spoken - known - NAMES


def test_no_foreign_word_stands_in_python() -> None:
    sources = {str(path.relative_to(PACKAGE)): read(path) for path in sorted(PACKAGE.rglob("*.py"))}
    strange = foreign(sources.values())
    assert {name: found for name, source in sources.items() if (found := source.said & strange)} == ALLOWED
