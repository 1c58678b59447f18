"""Where words go: stdout is data, stderr is talk; the exit codes."""

from __future__ import annotations

import json
import sys
from collections.abc import Mapping
from typing import Any

DONE = 0
FAULT = 1
WRONG_USE = 2
SOURCES_FAILED = 3
SHELF_IN_USE = 4
NOTHING_MATCHED = 5
CTRL_C = 130
TERMINATED = 143


def data(text: str) -> None:
    """One line, or several, of what was asked for."""
    print(text)


def record(row: Mapping[str, Any]) -> None:
    """One JSON object on one line, with the schema number first."""
    print(json.dumps({"schema": 1, **row}, ensure_ascii=False, sort_keys=False))


def talk(text: str) -> None:
    """A sentence to the person, never part of the data."""
    print(text, file=sys.stderr)
