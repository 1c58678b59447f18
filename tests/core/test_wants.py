from __future__ import annotations

from typing import Any

import pytest

from tests.core.orvany import CATALOGUE, TONGUES, issue, reading, want
from tests.growth import dearer
from watchlist.core.coins.catalogue import Catalogue
from watchlist.core.marks.record import Want
from watchlist.core.marks.wants import WantIndex, answer
from watchlist.core.prices.traits import traits_from
from watchlist.core.typed.want import problems, traits_typed
from watchlist.core.typed.words import TypedError
from watchlist.words import load


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
        ({"min_grade": 40}, {}, "grade VF-30, below your minimum XF-40"),
        ({"min_grade": 30}, {"grade_low": 20, "grade_high": 35}, "grade VF-20 to VF-35, below your minimum VF-30"),
        ({"max_grade": 20}, {}, "above your maximum VF-20"),
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


PROBLEMS_TOO = load("wants")["problems_too"]
KNOWN = traits_from(load("traits"))


def matching(*wants: Want, **said: Any) -> tuple[list[str], str]:
    """The wants that a lot matches, and why the others are near misses."""
    title = reading(**said)
    found, near = answer(title, CATALOGUE.match(title), WantIndex(wants, TONGUES, KNOWN, PROBLEMS_TOO))
    return [each.id for each in found], "; ".join(each.why for each in near)


def test_a_want_takes_problems_by_its_own_choice_or_by_its_note() -> None:
    plain, any_of_them = want(), want("w2", problems="any")
    by_note, but_not = want("w3", note="for the album, cleaned OK"), want("w4", note="Problems ok", problems="none")
    german = want("w5", note="auch mit Fehlern")
    found, why = matching(plain, any_of_them, by_note, but_not, german, problems=("cleaned",))
    assert found == ["w2", "w3", "w5"]
    assert why == "problem piece: cleaned; problem piece: cleaned"
    assert matching(plain, any_of_them)[0] == ["w1", "w2"]


def test_a_want_asks_for_traits_and_refuses_them() -> None:
    asks, refuses = want(traits=("colour:RD",)), want("w2", traits=("-strike:weak",))
    assert matching(asks, refuses, designations=("RD",))[0] == ["w1", "w2"]
    found, why = matching(asks, refuses, designations=("BN",), strike="weak")
    assert found == []
    assert why == "colour BN, you want colour RD; strike weak, which you refuse"
    assert matching(asks)[1] == "no colour stated, you want colour RD"


def test_traits_are_typed_by_their_words() -> None:
    assert traits_typed("RD, not weak,-bn", KNOWN) == ("colour:RD", "-strike:weak", "-colour:BN")
    assert traits_typed("service:QCG, +", KNOWN) == ("service:QCG", "plus:+")
    assert traits_typed(" ,", KNOWN) == ()
    with pytest.raises(TypedError, match="'shiny' is not a known trait"):
        traits_typed("shiny", KNOWN)
    with pytest.raises(TypedError, match="none` or `any"):
        problems("perhaps")
