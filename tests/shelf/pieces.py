"""Small lots, judgements and a disk that fails, for the tests of the shelf. All names invented."""

from __future__ import annotations

import os
from datetime import UTC, date, datetime, timedelta
from decimal import Decimal
from pathlib import Path
from typing import Any

from watchlist.core.lots.record import Lot
from watchlist.core.marks.record import Doubt, Judgement
from watchlist.core.money.amount import Money
from watchlist.core.prices.realised import PriceRealised
from watchlist.core.reading.record import Reading
from watchlist.shelf.disk import RealDisk
from watchlist.shelf.store.rows import LotRow

NOW = datetime(2026, 6, 1, 12, tzinfo=UTC)
TODAY = date(2026, 6, 1)


def euro(amount: str) -> Money:
    return Money(Decimal(amount), "EUR")


def judged(mark: Any = "in range", **fields: Any) -> Judgement:
    given: dict[str, Any] = {
        "issue": "orvany-5t-1893",
        "candidates": (),
        "wants": (),
        "near_wants": (),
        "grade_low": 20,
        "grade_high": 30,
        "band": None,
        "all_in": euro("100"),
        "cost_lines": (),
        "gap": Decimal("0.1"),
        "ceiling": None,
        "ceiling_want": None,
        "bid_limit": None,
        "doubt": Doubt(),
        "mark": mark,
        "also": (),
        "so_far": False,
        "reasons": (),
    }
    return Judgement(**given | fields)


def row(number: int, *, judgement: Judgement | None = None, hours: float | None = 0, **fields: Any) -> LotRow:
    """A lot that closes `hours` after NOW plus its number; None: a fixed price."""
    closes = None if hours is None else NOW + timedelta(hours=hours + number)
    given: dict[str, Any] = {
        "key": f"north:{number}",
        "source": "north",
        "id": str(number),
        "venue": "Lindmoor Sales",
        "title": f"5 tor 1893 {number}",
        "closes": closes,
        "price": euro("80"),
        "first_seen": NOW - timedelta(days=1) + timedelta(minutes=number),
        "last_seen": NOW,
    }
    extra = {name: fields.pop(name) for name in ("state", "fingerprint") if name in fields}
    reading = fields.pop("reading", None)
    lot = Lot(**given | fields)
    return LotRow(lot, reading or Reading(lot.title), judgement, **extra)


def sold(**fields: Any) -> PriceRealised:
    given: dict[str, Any] = {
        "id": 0,
        "issue": "orvany-5t-1893",
        "sale_date": date(2026, 3, 1),
        "price": euro("410"),
        "kind": "hammer",
        "grade_low": 30,
        "grade_high": 30,
        "origin": "prices.csv:2",
    }
    return PriceRealised(**given | fields)


def is_a_sentence(error: Exception, part: str = "") -> None:
    """What a person is told: words with a full stop, the part among them."""
    assert str(error).endswith(".")
    assert " " in str(error)
    assert part in str(error)


class FailingDisk(RealDisk):
    """A disk on which the Nth step fails, half done where it is a write; and every step after it."""

    def __init__(self, fails_at: int) -> None:
        self.steps, self.fails_at = 0, fails_at

    def _step(self) -> None:
        self.steps += 1
        if self.steps >= self.fails_at:
            raise OSError(28, "No space left on device")

    def create(self, path: Path) -> int:
        self._step()
        return super().create(path)

    def write(self, handle: int, data: bytes) -> int:
        self.steps += 1
        if self.steps >= self.fails_at:
            os.write(handle, data[: len(data) // 2])
            raise OSError(28, "No space left on device")
        return super().write(handle, data)

    def fsync(self, handle: int) -> None:
        self._step()
        super().fsync(handle)

    def replace(self, source: Path, target: Path) -> None:
        self._step()
        super().replace(source, target)

    def fsync_folder(self, folder: Path) -> None:
        self._step()
        super().fsync_folder(folder)
