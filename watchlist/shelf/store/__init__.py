"""shelf.db: lots, prices realised, catalogue, decisions, what the feeds have shown, and the market state."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from contextlib import closing, contextmanager
from pathlib import Path

from watchlist.shelf import migration
from watchlist.shelf.store import schema
from watchlist.shelf.store.before import Before
from watchlist.shelf.store.catalogue import Catalogue
from watchlist.shelf.store.certificates import Certificates
from watchlist.shelf.store.changes import Changes
from watchlist.shelf.store.connection import Connection, check_there
from watchlist.shelf.store.decisions import Decisions
from watchlist.shelf.store.facts import Facts
from watchlist.shelf.store.feeds import Feeds
from watchlist.shelf.store.findings import Findings
from watchlist.shelf.store.images import places
from watchlist.shelf.store.listing import Listing
from watchlist.shelf.store.lots import Lots
from watchlist.shelf.store.market import Market
from watchlist.shelf.store.prices import Prices
from watchlist.shelf.store.purchases import Purchases
from watchlist.shelf.store.results import Results
from watchlist.shelf.store.sightings import Sightings
from watchlist.shelf.store.steps import Step


class Store:
    """shelf.db, opened: one connection, and a part for each kind of thing kept there.

    Writing needs the writer lock, which the shelf holds."""

    def __init__(
        self,
        path: Path,
        *,
        write: bool,
        steps: Sequence[Step] = schema.STEPS,
        keep: migration.Keep = migration.not_kept,
    ) -> None:
        check_there(path)
        self.db = Connection(path, write=write)
        try:
            self.notices = migration.fit(schema.Schema(self.db), steps, write=write, keep=keep)
            """Sentences the person has to read: a newer schema, or one this file was brought to."""
        except BaseException:
            self.db.close()
            raise
        self.lots = Lots(self.db)
        self.before = Before(self.db)
        self.listing = Listing(self.db)
        self.prices = Prices(self.db)
        self.results = Results(self.db, self.prices)
        self.catalogue = Catalogue(self.db, self.prices)
        self.sightings = Sightings(self.db)
        self.certificates = Certificates(self.db)
        self.decisions = Decisions(self.db)
        self.changes = Changes(self.db)
        self.places = places(self.db)
        self.purchases = Purchases(self.db)
        self.findings = Findings(self.db)
        self.feeds = Feeds(self.db)
        self.market = Market(self.db)
        self.facts = Facts(self.db)

    @contextmanager
    def together(self) -> Iterator[None]:
        """All writes inside are one transaction, on the disk when the block ends, or none happened."""
        with self.db.writing(durable=True):
            yield

    def is_within(self) -> bool:
        """A transaction is open."""
        return self.db.is_within()

    def copy_to(self, target: Path) -> None:
        """A whole copy of the store as it is now."""
        self.db.copy_to(target)

    def close(self) -> None:
        """Let go of the file."""
        self.db.close()


def needs_a_writer(path: Path, steps: Sequence[Step] = schema.STEPS) -> bool:
    """The store is absent, or older than this program: a reader has to let a writer go first."""
    if not path.exists():
        return True
    check_there(path)
    with closing(Connection(path, write=False)) as db:
        return schema.Schema(db).schema() <= len(steps)
