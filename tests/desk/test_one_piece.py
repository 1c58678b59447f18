"""One piece and one parcel are looked up by themselves: the same as among all, and no dearer among many."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal

import pytest

from tests.desk.pieces import NOW, come, row
from watchlist.desk.desk import Desk
from watchlist.desk.held import arrivals, pieces
from watchlist.desk.held.held import held, piece_of_lot
from watchlist.desk.held.parcels import parcel, parcels
from watchlist.desk.results.results import result
from watchlist.shelf.store.lots import Lots
from watchlist.shelf.store.rows import LotRow


def win(desk: Desk, *ids: str) -> None:
    """Lots won at one sale of their own, a day after the last."""
    venues = desk.shelf.notebook.venues
    venues.put(*(replace(terms, ships_together="sale", shipping=Decimal("9.90")) for terms in venues.list()))
    desk.forget()
    hours = (desk.now - NOW).total_seconds() / 3600
    come(desk, *(row(id, hours=hours + 1) for id in ids))
    desk.now = desk.now.replace(day=desk.now.day + 1)
    for n, id in enumerate(ids):
        result(desk, f"north:{id}", str(101 + 13 * n), won=True)


def test_a_piece_by_itself_is_what_it_is_among_all(desk: Desk) -> None:
    """Parcels with an invoice, with none and sent without one; cents of the shares included."""
    for ids in ("ab", "cde", "fg", "h"):
        win(desk, *ids)
    first, second, *_ = parcels(desk)
    arrivals.say(desk, first.id, arrivals.Said("invoiced", "400.01"))
    arrivals.say(desk, second.id, arrivals.Said("dispatched"))
    pieces.say(desk, "north:b", pieces.Said("disputed"))
    every = held(desk)
    assert {each.cost_basis for each in every} == {"invoiced", "calculated"}
    assert len({each.share for each in every}) > 4
    for each in every:
        alone = piece_of_lot(desk, each.key)
        assert alone is not None
        assert replace(alone, duplicates=each.duplicates) == each
    assert piece_of_lot(desk, "north:none") is None
    assert [parcel(desk, each.id.lower()) for each in parcels(desk)] == list(parcels(desk))


def test_an_event_reads_the_lots_of_its_own_parcel_however_many_were_won(
    desk: Desk, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Whole lots hold how they are read and judged, which takes long; of three parcels as of one."""
    read, get = list[str](), Lots.get

    def count(self: Lots, key: str) -> LotRow | None:
        read.append(key)
        return get(self, key)

    monkeypatch.setattr(Lots, "get", count)
    found = []
    for ids in ("ab", "cde", "fgh"):
        win(desk, *ids)
        read.clear()
        pieces.say(desk, "north:a", pieces.Said("noted", "in the safe"))
        arrivals.say(desk, "P1", arrivals.Said("dispatched"))
        found.append(sorted(read))
    assert set(found[0]) == {"north:a", "north:b"}
    assert found == [found[0]] * 3
