"""What is kept: the notebook, the store, settings and their lock."""

from __future__ import annotations

from watchlist.shelf.errors import (
    RecordError,
    SettingsError,
    ShelfError,
    ShelfLocked,
    ShelfNewer,
    ShelfNotEmpty,
    ShelfReading,
    ShelfRefused,
    ShelfTorn,
)
from watchlist.shelf.settings import Settings, default_shelf
from watchlist.shelf.shelf import Shelf
from watchlist.shelf.store import (
    CertSeen,
    Finding,
    LotLine,
    LotRow,
    Order,
    Place,
    Purchase,
    Result,
    Snapshot,
    Store,
)

__all__ = [
    "CertSeen",
    "Finding",
    "LotLine",
    "LotRow",
    "Order",
    "Place",
    "Purchase",
    "RecordError",
    "Result",
    "Settings",
    "SettingsError",
    "Shelf",
    "ShelfError",
    "ShelfLocked",
    "ShelfNewer",
    "ShelfNotEmpty",
    "ShelfReading",
    "ShelfRefused",
    "ShelfTorn",
    "Snapshot",
    "Store",
    "default_shelf",
]
