"""The steps that bring an older store to the next schema; `schema.STEPS` has them in order."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable
from typing import Any

from watchlist.core.prices.realised import PriceRealised
from watchlist.shelf.records import loads
from watchlist.shelf.store.connection import Connection, Row
from watchlist.shelf.store.price_columns import COLUMNS, IDENTITY, PRICES, cells_of, content_of, digest, identity_of

Step = Callable[[Connection], None]


def step_of(*statements: str) -> Step:
    """A step that only runs statements, such as those that make new tables."""

    def step(db: Connection) -> None:
        for statement in statements:
            db.run(statement)

    return step


_NEW_NUMBERS = " ".join(f"WHEN {old} THEN {new}" for old, new in enumerate((4, 1, 8, 3, 2, 6, 0, 5, 7)))
MARKS_IN_ORDER = f"UPDATE lots SET mark = CASE mark {_NEW_NUMBERS} END WHERE mark IS NOT NULL"
"""Marks were numbered as they were thought of; now as they outrank each other."""


def column(table: str, name: str, kind: str) -> Step:
    """A step that gives a table one more column, unless a step before made it with the whole table."""

    def step(db: Connection) -> None:
        if name not in {known for _, known, *_ in db.rows(f"PRAGMA table_info({table})")}:
            db.run(f"ALTER TABLE {table} ADD COLUMN {name} {kind}")

    return step


DETAILS = """UPDATE lots SET details = 1 WHERE id IN (SELECT id FROM texts
    WHERE (json_extract(reading, '$.certified') AND json_array_length(reading, '$.problems') > 0)
    OR EXISTS (SELECT 1 FROM json_each(reading, '$.problems') WHERE value = 'details'))"""
"""Which lots have a details grade, as `Reading.details` has it: lists say so."""


def into_columns(db: Connection) -> None:
    """The step from prices kept as JSON: every price keeps its number and becomes cells."""
    db.run(PRICES.replace("TABLE prices(", "TABLE prices_in_columns("))
    results = {number for (number,) in db.rows("SELECT price FROM results")}
    met: Counter[bytes] = Counter()
    blanks = ", ".join("?" * (len(COLUMNS) + 2))
    sql = f"INSERT INTO prices_in_columns(id, {', '.join(COLUMNS)}, digest) VALUES ({blanks})"

    def moved(number: int, data: str, before: bytes) -> Row:
        cells = cells_of(loads(PriceRealised, data, id=number))
        if number in results:  # a result is told by its lot, not by its content
            return number, *cells, before
        content = content_of(cells)
        met[content] += 1
        return number, *cells, digest(content, met[content])

    last = 0
    while some := db.rows("SELECT id, data, digest FROM prices WHERE id > ? ORDER BY id LIMIT 5000", (last,)):
        db.many(sql, (moved(*row) for row in some))
        last = some[-1][0]
    given = db.row("SELECT seq FROM sqlite_sequence WHERE name = 'prices'") or (0,)
    db.run("DROP TABLE prices")
    db.run("ALTER TABLE prices_in_columns RENAME TO prices")
    db.run("DELETE FROM sqlite_sequence WHERE name = 'prices'")
    db.run("INSERT INTO sqlite_sequence VALUES ('prices', ?)", given)  # a number once given is never given again
    db.run("CREATE INDEX prices_issue ON prices(issue)")
    db.run("CREATE INDEX prices_cert ON prices(cert) WHERE cert <> ''")


def with_their_issue(db: Connection) -> None:
    """The step to digests that tell the issue too: two coins may well bring the same on one day at one venue."""
    results = {number for (number,) in db.rows("SELECT price FROM results")}
    met: Counter[bytes] = Counter()

    def keyed(number: int, *cells: Any) -> Row:
        identity = identity_of(cells)
        met[identity] += 1
        return digest(identity, met[identity]), number

    last = 0
    sql = f"SELECT id, {', '.join(COLUMNS[IDENTITY])} FROM prices WHERE id > ? ORDER BY id LIMIT 5000"
    while some := db.rows(sql, (last,)):
        db.many("UPDATE prices SET digest = ? WHERE id = ?", (keyed(*row) for row in some if row[0] not in results))
        last = some[-1][0]
