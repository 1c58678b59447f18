"""Word lists and weights as data: the title lexicon, one file a language, and what other rooms keep in TOML."""

from __future__ import annotations

import tomllib
from functools import cache
from importlib import resources
from typing import Any


@cache
def load(name: str = "") -> dict[str, Any]:
    """The table `name` (a file's stem), or every table by its stem. Read once; treat what comes back as read-only.

    Raises FileNotFoundError for a table that does not exist.
    """
    folder = resources.files(__name__)
    if name:
        return tomllib.loads(folder.joinpath(f"{name}.toml").read_text("utf-8"))
    stems = sorted(entry.name[:-5] for entry in folder.iterdir() if entry.name.endswith(".toml"))
    return {stem: load(stem) for stem in stems}
