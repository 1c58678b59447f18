"""A lot typed in by hand, read, judged and kept like any other."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace

from watchlist.core.lots.lot import fingerprint
from watchlist.core.typed.lot import lot_from
from watchlist.desk import naming
from watchlist.desk.changes import entry
from watchlist.desk.desk import Desk
from watchlist.desk.errors import refusing
from watchlist.desk.judging import relisting
from watchlist.desk.judging.judging import Judge
from watchlist.desk.naming import named
from watchlist.desk.titles.rereading import read_lot
from watchlist.shelf.store.rows import LotRow


def add_lot(desk: Desk, typed: Mapping[str, str]) -> LotRow:
    """Take a lot as typed. The same id again replaces it. Raises DeskError for a word that cannot be read."""
    venue = typed.get("venue", "")
    venue = naming.venue(desk.terms, venue) if venue and desk.terms else venue
    with refusing("Nothing was saved."):
        lot = lot_from(
            {**typed, "venue": venue},
            desk.terms.get(venue),
            tables=desk.words,
            now=desk.now,
            home=desk.home,
            zone=desk.settings.home.time_zone,
        )
    lot = replace(lot, first_seen=desk.now, last_seen=desk.now)
    row = Judge(desk).judge(LotRow(lot, read_lot(desk, lot), state="seen", fingerprint=fingerprint(lot)))
    store, again = desk.shelf.store, desk.shelf.store.listing.line(lot.key) is not None
    back = relisting.returned(store, [row], desk.now)
    with entry(desk) as change:
        change.touch("lot", [lot.key])
        store.lots.save([row])
        change.say(f"lot {named(desk, row)} {'typed again' if again else 'added'}")
        before = store.findings.newest()
        relisting.keep(store, back, desk.now)
        change.added("finding", before + 1, store.findings.newest())
    return row
