"""How the sources stand, at a glance."""

from __future__ import annotations

from datetime import datetime, timedelta
from pathlib import Path

from watchlist.shelf.notebook import Notebook
from watchlist.shelf.shelf import NOTEBOOK
from watchlist.shelf.store import Store

LATE = timedelta(days=2)


def standing(shelf: Path, store: Store, now: datetime) -> tuple[int, int, int]:
    """Sources that are well, those late, quiet or in trouble, and all of them."""
    notebook = Notebook(shelf / NOTEBOOK, write=False)
    try:
        names = [source.name for source in notebook.sources.list() if not source.disabled]
    finally:
        notebook.close()
    late = sum(_late(store.feeds.state(name), now) for name in names)
    return len(names) - late, late, len(names)


def _late(state: dict[str, object], now: datetime) -> bool:
    last = state.get("last_ok")
    return bool(
        state.get("trouble")
        or state.get("quiet")
        or (isinstance(last, str) and last and now - datetime.fromisoformat(last) > LATE)
    )
