"""The tables of shelf.db, their indexes, and the list of steps from one schema to the next."""

from __future__ import annotations

from collections.abc import Sequence

from watchlist.shelf.store import changed
from watchlist.shelf.store.connection import Connection, torn
from watchlist.shelf.store.filters import ODD
from watchlist.shelf.store.price_columns import PRICES
from watchlist.shelf.store.steps import DETAILS, MARKS_IN_ORDER, Step, column, into_columns, step_of, with_their_issue

APPLICATION = 0x77617463
"""Marks the file as ours in the SQLite header."""

CHANGES = (
    "CREATE TABLE entries(batch TEXT PRIMARY KEY, back TEXT NOT NULL, pending TEXT)",
    """CREATE TABLE changes(id INTEGER PRIMARY KEY, batch TEXT NOT NULL, place TEXT NOT NULL, key TEXT NOT NULL,
        before TEXT, after TEXT)""",
    "CREATE INDEX changes_batch ON changes(batch)",
    "CREATE INDEX entries_pending ON entries(batch) WHERE pending IS NOT NULL",
)
"""The records that changes of a person's own data replaced."""

STEPS: tuple[Step, ...] = (
    step_of(*CHANGES), step_of(changed.TABLE), into_columns,
    column("prices", "traits", "TEXT NOT NULL DEFAULT ''"), step_of(MARKS_IN_ORDER),
    column("lots", "details", "INT NOT NULL DEFAULT 0"), step_of(DETAILS),
    with_their_issue,
)  # fmt: skip
"""Step n takes the store from schema n to n + 1. Only ever add behind the last one."""

TABLES = (
    "CREATE TABLE meta(name TEXT PRIMARY KEY, value TEXT NOT NULL) WITHOUT ROWID",
    "CREATE TABLE issues(key TEXT PRIMARY KEY, data TEXT NOT NULL)",
    "CREATE TABLE guides(id INTEGER PRIMARY KEY, issue TEXT NOT NULL, data TEXT NOT NULL)",
    "CREATE TABLE rates(currency TEXT, month TEXT, units TEXT NOT NULL, PRIMARY KEY(currency, month)) WITHOUT ROWID",
    PRICES,
    """CREATE TABLE results(lot TEXT PRIMARY KEY, price INT NOT NULL REFERENCES prices(id), won INT NOT NULL,
        at INT NOT NULL) WITHOUT ROWID""",
    "CREATE TABLE purchases(id INTEGER PRIMARY KEY AUTOINCREMENT, lot TEXT NOT NULL UNIQUE, data TEXT NOT NULL)",
    """CREATE TABLE findings(id INTEGER PRIMARY KEY AUTOINCREMENT, kind TEXT NOT NULL, lot TEXT NOT NULL,
        at INT NOT NULL, data TEXT NOT NULL)""",
    """CREATE TABLE decisions(seq INTEGER PRIMARY KEY AUTOINCREMENT, lot TEXT NOT NULL, data TEXT NOT NULL,
        lot_then TEXT, judgement_then TEXT)""",
    "CREATE INDEX decisions_lot ON decisions(lot)",
    "CREATE INDEX findings_lot ON findings(lot)",
    "CREATE TRIGGER decisions_stay BEFORE UPDATE ON decisions BEGIN SELECT RAISE(ABORT, 'decisions only grow'); END",
    "CREATE TRIGGER decisions_grow BEFORE DELETE ON decisions BEGIN SELECT RAISE(ABORT, 'decisions only grow'); END",
    "CREATE TABLE feeds(source TEXT PRIMARY KEY, data TEXT NOT NULL) WITHOUT ROWID",
    "CREATE TABLE seen(source TEXT, hash TEXT, PRIMARY KEY(source, hash)) WITHOUT ROWID",
    "CREATE TABLE market(key TEXT PRIMARY KEY, data TEXT NOT NULL) WITHOUT ROWID",
    """CREATE TABLE lots(
        id INTEGER PRIMARY KEY, key TEXT NOT NULL UNIQUE, source TEXT NOT NULL, own_id TEXT NOT NULL,
        venue TEXT NOT NULL, seller TEXT NOT NULL, title TEXT NOT NULL, closes INT, due INT NOT NULL, kind TEXT,
        price TEXT, currency TEXT, all_in REAL, gap REAL, mark INT, also TEXT NOT NULL, doubt INT NOT NULL,
        state TEXT NOT NULL, issue TEXT NOT NULL, grade_low INT, grade_high INT, first_seen INT NOT NULL,
        last_seen INT NOT NULL, fingerprint TEXT NOT NULL, service TEXT NOT NULL, cert TEXT NOT NULL,
        details INT NOT NULL DEFAULT 0)""",
    "CREATE TABLE texts(id INTEGER PRIMARY KEY, lot TEXT NOT NULL, reading TEXT NOT NULL, judgement TEXT)",
    "CREATE TABLE lot_wants(want TEXT, lot INT, PRIMARY KEY(want, lot)) WITHOUT ROWID",
    "CREATE INDEX lot_wants_lot ON lot_wants(lot)",
    changed.TABLE,
    "CREATE TABLE lot_prices(lot INT, at INT, price TEXT, currency TEXT, PRIMARY KEY(lot, at)) WITHOUT ROWID",
    """CREATE TRIGGER lot_price_moves AFTER UPDATE OF price, currency ON lots
        WHEN old.price IS NOT new.price OR old.currency IS NOT new.currency BEGIN
        INSERT INTO lot_prices VALUES (old.id, old.first_seen, old.price, old.currency) ON CONFLICT DO NOTHING;
        INSERT INTO lot_prices VALUES (new.id, new.last_seen, new.price, new.currency)
        ON CONFLICT DO UPDATE SET price = excluded.price, currency = excluded.currency; END""",
    *CHANGES,
)

INDEXES = {
    "lots_due": "lots(due, kind, state, mark, gap, all_in, first_seen, source, venue)",  # whole sifts without the table
    "lots_mark": "lots(mark, due)",
    "lots_state": "lots(state, due)",
    "lots_source": "lots(source, due)",
    "lots_venue": "lots(venue, due)",
    "lots_gap": "lots(gap)",
    "lots_all_in": "lots(all_in)",
    "lots_title": "lots(title COLLATE NOCASE)",
    "lots_first_seen": "lots(first_seen)",
    "lots_own_id": "lots(own_id)",
    "lots_issue": "lots(issue, due) WHERE issue <> ''",
    "lots_seller": "lots(seller, due) WHERE seller <> ''",
    "lots_fingerprint": "lots(fingerprint) WHERE fingerprint <> ''",
    "lots_cert": "lots(cert) WHERE cert <> ''",
    "lots_odd": f"lots(due) WHERE {ODD}",
    "prices_issue": "prices(issue)",
    "prices_cert": "prices(cert) WHERE cert <> ''",
}

WORDS = """CREATE VIRTUAL TABLE words USING fts5(
    title, content='lots', content_rowid='id', tokenize="unicode61 remove_diacritics 2")"""
WORD_TRIGGERS = {
    "words_new": """AFTER INSERT ON lots BEGIN
        INSERT INTO words(rowid, title) VALUES (new.id, new.title); END""",
    "words_gone": """AFTER DELETE ON lots BEGIN
        INSERT INTO words(words, rowid, title) VALUES ('delete', old.id, old.title); END""",
    "words_changed": """AFTER UPDATE OF title ON lots WHEN old.title IS NOT new.title BEGIN
        INSERT INTO words(words, rowid, title) VALUES ('delete', old.id, old.title);
        INSERT INTO words(rowid, title) VALUES (new.id, new.title); END""",
}


def has_words(db: Connection) -> bool:
    """This shelf keeps a full-text index over titles."""
    return bool(db.rows("SELECT 1 FROM sqlite_master WHERE name = 'words'"))


def has_odd(db: Connection) -> bool:
    """This shelf keeps an index of the titles that full text may miss."""
    return bool(db.rows("SELECT 1 FROM sqlite_master WHERE name = 'lots_odd'"))


def can_do_words(db: Connection) -> bool:
    """This SQLite has the full-text module."""
    return bool(db.rows("SELECT 1 FROM pragma_module_list WHERE name = 'fts5'"))


class Schema:
    """The schema of a store, in the header of the file."""

    def __init__(self, db: Connection) -> None:
        self._db, self.path = db, db.path

    def schema(self) -> int:
        """The schema of the file; 0 for an empty one. ShelfTorn when the file is not ours."""
        if self._db.number("PRAGMA application_id") == APPLICATION:
            return self._db.number("PRAGMA user_version")
        if self._db.number("SELECT count(*) FROM sqlite_master"):
            raise torn(self.path, "it is not a store of this program")
        return 0

    def make(self, schema: int) -> None:
        """Make the empty tables, all or none."""
        with self._db.writing(durable=True):
            for statement in TABLES:
                self._db.run(statement)
            for name, what in INDEXES.items():
                self._db.run(f"CREATE INDEX {name} ON {what}")
            if can_do_words(self._db):
                self._db.run(WORDS)
                for name, what in WORD_TRIGGERS.items():
                    self._db.run(f"CREATE TRIGGER {name} {what}")
            self._db.run(f"PRAGMA application_id = {APPLICATION}")
            self._db.run(f"PRAGMA user_version = {schema}")

    def climb(self, steps: Sequence[Step], schema: int) -> None:
        """Take the steps and note the schema, in one transaction."""
        with self._db.writing(durable=True):
            for step in steps:
                step(self._db)
            self._db.run(f"PRAGMA user_version = {schema}")
