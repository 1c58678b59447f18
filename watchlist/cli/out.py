"""Where words go: stdout is data, stderr is talk; the exit codes."""

from __future__ import annotations

import contextlib
import io
import json
import os
import re
import sys
from collections.abc import Mapping
from typing import Any

from watchlist.core.clean import clean, without_controls
from watchlist.core.lots.address import without_secrets

DONE = 0
FAULT = 1
WRONG_USE = 2
SOURCES_FAILED = 3
SHELF_IN_USE = 4
NOTHING_MATCHED = 5
HUNG_UP = 129
"""The screens end with it when their window is closed."""
CTRL_C = 130
TERMINATED = 143


def prepare() -> None:
    """Make the three streams safe to use: a closed one leads nowhere, and a letter the terminal lacks prints as `?`."""
    for name, mode in (("stdin", "r"), ("stdout", "w"), ("stderr", "w")):  # in the order of their numbers
        if getattr(sys, name) is None:
            setattr(sys, name, open(os.devnull, mode, encoding="utf-8"))  # noqa: SIM115 - it stays until the end
    if isinstance(sys.stdout, io.TextIOWrapper) and sys.stdout.errors in ("strict", "surrogateescape"):
        sys.stdout.reconfigure(errors="replace")


def drop() -> None:
    """Nobody takes stdout any more: point it at nothing, so that the last flush stays quiet."""
    with contextlib.suppress(OSError, ValueError):  # a stdout that is not a file of the system
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())


def data(text: str) -> None:
    """One line, or several, of what was asked for. What an old shelf holds may be anything: no control passes."""
    print(without_controls(text))


def record(row: Mapping[str, Any]) -> None:
    """One JSON object on one line, with the schema number first."""
    plain = (getattr(sys.stdout, "encoding", None) or "utf-8").lower().replace("-", "") != "utf8"
    print(json.dumps(_safe({"schema": 1, **row}), ensure_ascii=plain))


def _safe(value: Any) -> Any:
    """The same with every text in it on one line and without controls."""
    if isinstance(value, str):
        return value if value.isascii() and value.isprintable() else clean(value, len(value) + 1)
    if isinstance(value, Mapping):
        return {name: _safe(each) for name, each in value.items()}
    return [_safe(each) for each in value] if isinstance(value, list | tuple) else value


LONG = re.compile(r"(\S{80})\S{400,}")
"""A word longer than any path or address: its beginning says enough."""


def talk(text: str) -> None:
    """A sentence to the person, never part of the data. Words it repeats may hold anything: no control passes,
    and no address with a password or a key."""
    print(LONG.sub(r"\1..", without_controls(without_secrets(text))), file=sys.stderr)
