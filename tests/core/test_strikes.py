"""A restrike, a pattern or an error is never priced as the plain coin of its date."""

from __future__ import annotations

from dataclasses import replace

import pytest

from tests.core.orvany import CATALOGUE, ISSUES, TONGUES, context, issue, lot, reading, want
from watchlist.core.coins.catalogue import Catalogue
from watchlist.core.marks.mark import judge
from watchlist.core.marks.strikes import STRIKES, set_apart, strikes_in


@pytest.mark.parametrize("name", [name for name in STRIKES if name not in ("medal", "token")])
def test_an_unlisted_strike_is_unclear_and_has_no_band(name: str) -> None:
    found = judge(lot(), reading(variety=name), context(want()))
    assert (found.mark, found.issue, found.band, found.wants) == ("unclear", None, None, ())
    assert any("not the regular coin" in reason.text for reason in found.reasons)


@pytest.mark.parametrize("variety", ["wide date", "overdate 3/2", "doubled die", "medal alignment", "off its flan"])
def test_a_small_variety_stays_the_plain_issue(variety: str) -> None:
    found = judge(lot(), reading(variety=variety), context())
    assert (found.mark, found.issue) == ("bargain", "5tor-1893")


@pytest.mark.parametrize("listed", ["restrike", "Nachprägung", "official restrike", "refrappe"])
def test_a_strike_that_the_catalogue_lists_is_its_own_issue(listed: str) -> None:
    own = replace(issue(1893, "", "restrike"), key="again", variety=listed)
    found = judge(lot(), reading(variety="restrike"), context(catalogue=Catalogue((*ISSUES, own), TONGUES)))
    assert (found.mark, found.issue) == ("bargain", "again")


def test_several_listed_strikes_leave_the_issue_open() -> None:
    own = [issue(1893, "", f"restrike {year}") for year in (1905, 1965)]
    found = judge(lot(), reading(variety="restrike"), context(catalogue=Catalogue((*ISSUES, *own), TONGUES)))
    assert (found.mark, found.issue) == ("unclear", None)
    assert set(found.candidates) == {issue.key for issue in own}


def test_a_strike_of_a_date_that_was_never_struck_is_no_sign() -> None:
    """Patterns are made for coins that never were."""
    found = judge(lot(), reading(variety="pattern", year=1895, mint="V"), context())
    assert found.mark == "unclear"
    assert "never struck" not in {sign.group for sign in found.doubt.signs}
    plain = judge(lot(), reading(year=1895, mint="V"), context())
    assert (plain.mark, plain.doubt.signs[0].group) == ("doubt", "never struck")


@pytest.mark.parametrize("kind", ["medal", "token", "other"])
def test_a_thing_that_is_no_coin_is_never_the_coin(kind: str) -> None:
    found = judge(lot(), reading(kind=kind), context(want()))
    assert (found.mark, found.issue, found.wants) == ("unclear", None, ())


def test_a_token_that_the_catalogue_lists_is_found() -> None:
    own = replace(issue(1893, type="Bank token"), key="token")
    said = reading(kind="token", variety="token")
    assert set_apart(said, CATALOGUE.match(said), Catalogue((own,), TONGUES)).issue == own


def test_strikes_are_words_and_not_parts_of_words() -> None:
    assert strikes_in("patterned, trials, restriking", TONGUES) == frozenset()
    assert strikes_in("wrong planchet (10c)", TONGUES) == {"wrong planchet"}
    assert strikes_in("essai, proof", TONGUES) == {"pattern"}
