from __future__ import annotations

from typing import Any

import pytest

from tests.core.orvany import CATALOGUE, TONGUES, issue, reading, want
from tests.growth import dearer
from watchlist.core.coins.catalogue import Catalogue
from watchlist.core.marks.record import Want
from watchlist.core.marks.wants import WantIndex, answer


def answered(wants: list[Want], **said: Any) -> tuple[list[str], dict[str, str]]:
    title = reading(**said)
    found, near = answer(title, CATALOGUE.match(title), WantIndex(wants, TONGUES))
    return [w.id for w in found], {n.want: n.why for n in near}


def test_a_want_is_answered_by_its_issue_and_grade() -> None:
    assert answered([want(min_grade=20, max_grade=40)]) == (["w1"], {})
    assert answered([want(year=1894)]) == ([], {})
    assert answered([want(mint="M")], mint="M") == (["w1"], {})


@pytest.mark.parametrize(
    ("asked", "said", "why"),
    [
        ({"mint": "V"}, {"mint": "M"}, "wrong mint: M, you want V"),
        ({"mint": ""}, {"mint": "M"}, "you want the main mint"),
        ({"min_grade": 40}, {}, "grade VF-30, your floor is XF-40"),
        ({"min_grade": 30}, {"grade_low": 20, "grade_high": 35}, "grade VF-20 to VF-35, your floor is VF-30"),
        ({"max_grade": 20}, {}, "your top is VF-20"),
        ({"min_grade": 20}, {"grade_low": None, "grade_high": None}, "no grade given"),
        ({"certified": True}, {}, "not certified"),
        ({"filled": 1}, {}, "already filled"),
        ({}, {"problems": ("rim_damage",)}, "problem piece: rim damage"),
        ({}, {"multiple": True}, "several pieces"),
        ({}, {"replica": True}, "copy"),
        ({"variety": "small eagle"}, {}, "other variety"),
        ({}, {"confidence": 0.2}, "leaves the issue open"),
    ],
)
def test_a_near_miss_says_why(asked: dict[str, Any], said: dict[str, Any], why: str) -> None:
    found, near = answered([want(**asked)], **said)
    assert found == []
    assert why in near["w1"]


def test_a_filled_want_goes_on_asking_for_an_upgrade_and_for_more() -> None:
    assert answered([want(filled=1, upgrade=True)])[0] == ["w1"]
    assert answered([want(filled=1, quantity=2)])[0] == ["w1"]


def test_too_many_faults_are_no_near_miss() -> None:
    assert answered([want(mint="V", min_grade=60, certified=True)], mint="M") == ([], {})


def test_an_open_issue_names_the_want_it_may_answer() -> None:
    two = Catalogue([issue(1893, "M"), issue(1893, "V")], TONGUES)
    title = reading()
    found, near = answer(title, two.match(title), WantIndex([want(mint="V"), want("w2", mint="S")], TONGUES))
    assert found == ()
    assert [n.want for n in near] == ["w1"]
    assert "may be Orvany 5 tor 1893-V" in near[0].why


def test_the_country_of_a_want_may_be_left_out() -> None:
    index = WantIndex([Want("w1", "", "5 tor", 1893), Want("w2", "Belmark", "5 tor", 1893)], TONGUES)
    title = reading()
    assert [w.id for w in answer(title, CATALOGUE.match(title), index)[0]] == ["w1"]


def test_a_lot_meets_only_the_wants_of_its_year() -> None:
    many = Catalogue((issue(year, mint) for year in range(1000, 1900) for mint in ("", "M", "V")), TONGUES)
    titles = [(title, many.match(title)) for title in (reading(year=1800 + n % 100) for n in range(200))]

    def meet(wants: WantIndex) -> list[object]:
        return [answer(title, match, wants) for title, match in titles]

    few = WantIndex((want(f"w{n}", 1800 + n % 100, mint=("", "M", "V")[n % 3]) for n in range(200)), TONGUES)
    more = WantIndex((want(f"w{n}", 1000 + n % 900, mint=("", "M", "V")[n % 3]) for n in range(1800)), TONGUES)
    assert dearer(lambda: meet(more), lambda: meet(few)) < 3  # nine times as many wants
