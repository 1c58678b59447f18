"""How the screens were left: sift, order, look. Worth keeping, never worth a failure."""

from __future__ import annotations

import json
import os
from pathlib import Path
from typing import Any

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
    path = shelf / FILE
    new = path.with_name(FILE + ".new")
    try:
        new.write_text(json.dumps(values, ensure_ascii=False), "utf-8")
        os.replace(new, path)
    except OSError:
        new.unlink(missing_ok=True)
