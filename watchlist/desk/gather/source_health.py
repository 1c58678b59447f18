"""How the sources stand: well, in trouble, quiet or late."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import datetime, timedelta
from pathlib import Path
from typing import Any

from watchlist.core.lots.source import Source
from watchlist.shelf.folder import NOTEBOOK
from watchlist.shelf.notebook import Notebook
from watchlist.shelf.store import Store

LATE = timedelta(days=2)


def trouble(source: Source, state: Mapping[str, Any], now: datetime) -> str:
    """What is the matter with a source, by what was noted of it; empty when it is well.

    Times are told by the clock of `now`."""
    last = state.get("last_ok") or ""
    since = f"{datetime.fromisoformat(last).astimezone(now.tzinfo):%Y-%m-%d %H:%M}" if last else ""
    if source.disabled:
        return f"is no longer fetched: {source.disabled}"
    if state.get("trouble"):
        return f"{state['trouble']}{f'; its lots are as of {since}' if since else ''}"
    if state.get("quiet"):
        return "gave no lots now, some before: check the link"
    if last and now - datetime.fromisoformat(last) > LATE:
        return f"not fetched since {since}"
    return ""


def standing(shelf: Path, store: Store, now: datetime) -> tuple[int, int, int]:
    """Sources that are well, those late, quiet or in trouble, and all of them; on connections of one's own."""
    sources = Notebook(shelf / NOTEBOOK, write=False).sources
    asked = [source for source in sources.list() if not source.disabled]
    ill = sum(bool(trouble(source, store.feeds.state(source.name), now)) for source in asked)
    return len(asked) - ill, ill, len(asked)
