"""Outcomes of pieces bought: each piece once, sellers and issues learn, over-grading by seller."""

from __future__ import annotations

import math
from typing import Any

import pytest

from tests.core.orvany import SIGNS, context, lot, reading
from watchlist.core.marks.mark import judge
from watchlist.core.marks.outcomes import Known, Outcome
from watchlist.core.marks.signs import signs_from
from watchlist.core.marks.signtable import TableError, changed
from watchlist.words import load

USUAL = (0.55, 0.33, 0.12)


def said(number: int, word: Any, steps: int = 0, **more: Any) -> Outcome:
    values: dict[str, Any] = {"p_fake": 0.1, "seller": "anna", "issue": "i1", "raw": True}
    return Outcome(f"n:{number}", word, steps, **(values | more))


def test_nothing_said_teaches_nothing() -> None:
    known = Known.of([])
    assert (known.odds("anna", "i1"), known.short("anna", USUAL), known.words("anna")) == (0.0, None, "")
    assert Known.of([said(1, "genuine", seller="")]).odds("", "") == 0.0


def test_a_piece_not_genuine_raises_the_odds_and_genuine_ones_lower_them() -> None:
    """Worked by hand: log((.5 + 1) / (.5 + .1)) = .916 for seller and issue each; log(.5 / 1.5) = -1.10."""
    bad = Known.of([said(1, "not genuine")])
    assert bad.odds("anna", "") == pytest.approx(math.log(1.5 / 0.6))
    assert bad.odds("anna", "i1") == pytest.approx(2 * math.log(1.5 / 0.6))
    assert bad.odds("bert", "i2") == 0.0
    good = Known.of([said(n, "genuine") for n in range(10)])
    assert good.odds("anna", "") == pytest.approx(math.log(0.5 / 1.5))
    assert good.odds("anna", "i1") == -1.5  # clipped


def test_the_last_word_on_a_piece_counts() -> None:
    turned = Known.of([said(1, "not genuine"), said(1, "genuine"), said(1, "problem")])
    assert turned.odds("anna", "") < 0
    assert turned.words("anna") == "1 bought here, 1 with an undisclosed problem"


def test_over_grading_is_learned_by_seller() -> None:
    known = Known.of([said(n, "lower", 1) for n in range(10)] + [said(20, "lower", 3, raw=False)])
    short = known.short("anna", USUAL)
    assert short is not None
    assert short == pytest.approx((22 / 50, 23.2 / 50, 4.8 / 50))
    assert sum(short) == pytest.approx(1)
    assert known.words("anna").startswith("11 bought here, 10 a step lower than stated, 1 two steps or more lower")
    assert known.short("bert", USUAL) is None


def test_a_seller_learned_of_is_judged_with_it() -> None:
    here = context(learned=lambda of, _: 2.0 if of.seller == "anna" else 0.0)
    found = judge(lot(420, seller="anna"), reading(), here)
    assert found.doubt.score > judge(lot(420, seller="bert"), reading(), here).doubt.score


@pytest.mark.parametrize(
    ("own", "why"),
    [
        ({"issue": {"copied": float("nan")}}, "copied is nan"),
        ({"issue": {"copied": 1e9}}, "1000000000.0; a weight is a number from -20 to 20"),
        ({"issue": {"copied": "much"}}, "copied is much"),
        ({"issue": {"copyed": 1.0}}, "`copyed` is not a sign"),
        ({"isue": {}}, "`isue` is not a section"),
        ({"phrases": {"no_returns": [".."]}}, "has no words"),
        ({"phrases": {"no_returns": ["a"]}}, "nearly every lot"),
        ({"phrases": {"no_returns": ["coin .. photos"]}}, "nearly every lot"),
        ({"phrases": {"no_returns": "as is"}}, "a list of phrases"),
        ({"phrases": {"shady": ["x"]}}, "`shady` is not a family"),
        ({"talk": [{"id": "found", "weight": float("inf")}]}, "found is inf"),
        ({"talk": {"found": 1}}, "written [[talk]]"),
        ({"levels": {"query": 3.0}}, "do not rise"),
    ],
)
def test_a_table_of_signs_that_cannot_be_used_is_refused_in_one_sentence(own: dict[str, Any], why: str) -> None:
    with pytest.raises(TableError) as refused:
        changed(load("signs"), own)
    assert why in str(refused.value)
    assert SIGNS["issue.copied"] == 2.0


def test_a_changed_table_is_used() -> None:
    own = {"issue": {"copied": 3.0}, "phrases": {"found": ["attic clearout"]}, "talk": [{"id": "found", "weight": 0.5}]}
    signs = signs_from(changed(load("signs"), own))
    assert signs["issue.copied"] == 3.0
    assert [(family.id, family.weight) for family, _ in signs.said_in("from an attic clearout")] == [("found", 0.5)]
    assert signs["issue.scarce"] == SIGNS["issue.scarce"]
