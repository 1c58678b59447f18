"""What the best marker of a made market says is true there: its bands hold, and its chances come out."""

from __future__ import annotations

from functools import cache
from math import log

import pytest

from tests.bench.marks.judged import lot_of, terms_of
from tests.bench.marks.market import Maker, Ways
from tests.bench.marks.oracle import Levels, Oracle, Seen


@cache
def seen(levels: Levels) -> list[Seen]:
    maker = Maker(Ways(issues=60, sales=600, lots=1200, traits=True), 5)
    world = maker.world()
    terms = terms_of(world, all_known=True)
    for offer in world.offers:
        lot_of(offer, terms)  # it rounds the cost as a price would be
    oracle = Oracle(maker, world, levels)
    return [oracle.sees(offer) for offer in world.offers]


@pytest.mark.parametrize("levels", ["known", "archive"])
def test_its_bands_hold_as_often_as_they_say(levels: Levels) -> None:
    honest = [each for each in seen(levels) if not each.offer.fake]
    held = [each.low <= log(each.offer.piece.worth) <= each.high for each in honest]
    assert 0.76 <= sum(held) / len(held) <= 0.84


def test_its_chances_come_out() -> None:
    final = [each for each in seen("known") if each.offer.kind != "so far"]
    likely = [each for each in final if 0.4 <= each.chance <= 0.9]
    right = [not each.offer.fake and each.offer.piece.worth >= each.offer.cost / 0.8 for each in likely]
    told = sum(each.chance for each in likely)
    assert abs(sum(right) - told) < 2.5 * sum(each.chance * (1 - each.chance) for each in likely) ** 0.5


def test_its_concern_comes_out() -> None:
    """Of lots that it holds for fakes at so many in ten, so many are."""
    for low, high in ((0.05, 0.4), (0.4, 0.8), (0.8, 1.0)):
        some = [each for each in seen("known") if low <= each.fake < high]
        told = sum(each.fake for each in some)
        assert abs(sum(each.offer.fake for each in some) - told) < 3 * max(told, 4.0) ** 0.5
