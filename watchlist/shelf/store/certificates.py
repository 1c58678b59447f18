"""Certificate numbers, as they were met among the lots and the prices realised."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from typing import Literal

from watchlist.shelf.store.connection import Connection, plain


@dataclass(frozen=True, slots=True)
class CertSeen:
    """A certificate number met before."""

    where: Literal["lot", "price"]
    key: str
    """The lot's key, or the number of the price realised."""
    service: str
    issue: str
    grade_low: int | None
    grade_high: int | None
    when: date
    """Last seen, or sold."""


class Certificates:
    """Certificate numbers on lots and prices."""

    def __init__(self, db: Connection) -> None:
        self._db = db

    def seen(self, number: str, service: str = "") -> list[CertSeen]:
        """Where a certificate number was met, among lots and prices; of one service, or of any.

        At most 20 of each: more tell nothing new, and a feed may repeat one number thousands of times."""
        wanted = (plain(number), plain(service))
        lots = """SELECT 'lot', key, service, issue, grade_low, grade_high, date(last_seen, 'unixepoch') FROM lots
            WHERE cert = ?1 AND cert <> '' AND (?2 = '' OR service = ?2) LIMIT 20"""
        sold = """SELECT 'price', CAST(id AS TEXT), service, issue, grade_low, grade_high, sale_date FROM prices
            WHERE cert = ?1 AND cert <> '' AND (?2 = '' OR service = ?2) LIMIT 20"""
        rows = self._db.rows(f"SELECT * FROM ({lots}) UNION ALL SELECT * FROM ({sold})", wanted)
        return [
            CertSeen(where, key, service, issue, low, high, date.fromisoformat(day))
            for where, key, service, issue, low, high, day in rows
        ]
