"""How the screens were left: sift, order, look. Worth keeping, never worth a failure."""

from __future__ import annotations

import json
from contextlib import suppress
from pathlib import Path
from typing import Any

from watchlist.shelf.disk import RealDisk, put_file

FILE = "screens.json"


def load(shelf: Path) -> dict[str, Any]:
    """What was kept; nothing when there is no file, or none that can be read."""
    try:
        found = json.loads((shelf / FILE).read_bytes()[:65536])
    except (OSError, ValueError):
        return {}
    return found if isinstance(found, dict) else {}


def save(shelf: Path, values: dict[str, Any]) -> None:
    """Keep it, whole or not at all."""
    try:
        put_file(RealDisk(), shelf / FILE, json.dumps(values, ensure_ascii=False).encode("utf-8", "replace"))
    except OSError:
        with suppress(OSError):
            (shelf / f"{FILE}.new").unlink(missing_ok=True)
