from __future__ import annotations

import operator
from dataclasses import dataclass
from datetime import datetime, timedelta
from decimal import Decimal

import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st

from tests.core.orvany import NOW, later
from watchlist.core.sift.filter import Filter, holds
from watchlist.core.sift.line import Bound, Sift, SiftError, parse


@dataclass(frozen=True)
class Lot:
    """What a filter looks at in a lot."""

    title: str = ""
    venue: str = ""
    seller: str = ""
    issue: str = ""
    wants: tuple[str, ...] = ()
    mark: str = "in range"
    state: str = "new"
    all_in: float | None = None
    gap: float | None = None
    closes: datetime | None = None
    kind: str | None = None
    source: str = ""


ROW = Lot(
    "Orvany 5 Tor 1893-M, untoned",
    "Lindmoor Sales",
    "anna k",
    "5tor-1893M",
    ("w1",),
    "bargain",
    "followed",
    250.0,
    -0.18,
    later(30),
)


def passes(line: str, row: Lot = ROW) -> bool:
    return parse(line).at(NOW).test(row, row.wants)


def test_parcels_and_groups_are_named() -> None:
    sift = parse("group:a parcel:P12 parcel:p13")
    assert (sift.parcels, sift.groups) == (("P12", "p13"), ("a",))
    assert str(sift) == "parcel:P12 parcel:p13 group:a"
    with pytest.raises(SiftError, match=r"`parcel:` needs a value, such as `parcel:P12`"):
        parse("parcel:")


def test_one_line_with_every_field() -> None:
    line = "tor 1893 mark:b gap<-10 all-in<300 closes<2d venue:lind seller:anna state:f not toned"
    assert passes(line)
    sift = parse(line)
    assert (
        str(sift)
        == "tor 1893 mark:bargain state:followed venue:lind seller:anna gap<-10 all-in<300 closes<2d not toned"
    )


@pytest.mark.parametrize(
    "line",
    [
        "",
        "TOR",
        "1893-m",
        '"5 tor"',
        "mark:!,b",
        "mark:bargain",
        "MARK:B",
        "state:followed",
        "all-in<=250",
        "all-in>249,99",
        "gap<=-18",
        "gap<-17.5%",
        "closes<31h",
        "closes>1d",
        "want:w1",
        "issue:5tor-1893M",
        "not zzz",
        'venue:"lindmoor sales"',
        "venue:sales",
        "mark:i mark:b",
        "allin<300",
    ],
)
def test_lines_that_let_the_row_pass(line: str) -> None:
    assert passes(line)


@pytest.mark.parametrize(
    "line",
    [
        "toned",
        "893",
        "mark:o",
        "state:x,n",
        "all-in<250",
        "gap<-18",
        "closes<30h",
        "venue:gate",
        "want:w2",
        "not tor",
        "not 1893-M",
    ],
)
def test_lines_that_hold_the_row_back(line: str) -> None:
    assert not passes(line)


@pytest.mark.parametrize(
    ("line", "says"),
    [
        ("mrak:b", "did you mean `mark`?"),
        ("mark:bargian", "did you mean `bargain`?"),
        ("mark:z", "c copy"),
        ("state:q", "f followed"),
        ("gapp<-10", "did you mean `gap`?"),
        ("price<10", "gap, all-in and closes can"),
        ("gap<low", "needs a number"),
        ("all-in<", "needs a number"),
        ("closes<2", "closes<2d"),
        ("closes<soon", "closes<2d"),
        ("gap:-10", "gap<-10"),
        ("mark:", "needs a value"),
        ("tor not", "needs a word"),
        ("not not tor", "one `not`"),
        ("not mark:b", "words of the title only"),
        ("not gap<3", "words of the title only"),
        ('"open', "not closed"),
        ("12:30", "quotes"),
    ],
)
def test_a_wrong_word_is_named_with_the_right_one(line: str, says: str) -> None:
    with pytest.raises(SiftError) as trouble:
        parse(line)
    assert says in str(trouble.value)


def test_unknown_values_pass_no_bound() -> None:
    bare = Lot("5 tor")
    assert not passes("all-in<300", bare)
    assert not passes("gap>-10", bare)
    assert not passes("closes<9w", bare)
    assert passes("tor", bare)


def test_accents_and_case_do_not_matter() -> None:
    assert holds("munze", "Alte MÜNZE")
    assert holds("Münze", "alte munze")
    assert not holds("ünze", "alte münze")
    assert holds("???", "what ???")


def test_a_moment_closes_the_bounds() -> None:
    found = parse("tor not toned mark:b all-in<300 all-in>=10 gap<-10 closes<2d closes>1h venue:North").at(NOW)
    assert (found.words, found.not_words) == (("tor",), ("toned",))
    assert (found.marks, found.venues) == (frozenset({"bargain"}), ("North",))
    assert (found.all_in_min, found.all_in_max) == (Decimal(10), Decimal("299.99"))
    assert found.gap_max == Decimal("-0.1001")
    assert found.closes_before == NOW + timedelta(days=2) - timedelta(microseconds=1)
    assert found.closes_after == NOW + timedelta(minutes=61)


WORDS = st.sampled_from(
    [
        "tor",
        "1893",
        "not",
        "mark:b",
        "mark:!,x",
        "state:f",
        "gap<-10",
        "gap>=5.5",
        "all-in<300",
        "closes<2d",
        "closes>=90m",
        "venue:lind",
        'seller:"anna k"',
        '"not"',
        '"mark:b"',
        '"a<b"',
        "want:w1",
        "zz:1",
        'venue:"a,b"',
        "closes<100d",
        "5tor",
        "'",
    ]
)


@settings(max_examples=60, deadline=None)
@example(',"0')
@given(st.lists(WORDS, max_size=7).map(" ".join) | st.text(max_size=40))
def test_a_line_is_understood_or_named_and_its_text_comes_back(line: str) -> None:
    try:
        sift = parse(line)
    except SiftError:
        return
    assert parse(str(sift)) == sift
    sift.at(NOW).test(ROW, ROW.wants)


LOTS = st.builds(
    Lot,
    title=st.just("tor"),
    all_in=st.none() | st.decimals(0, 600, places=2).map(float),
    gap=st.none() | st.decimals(-1, 1, places=4).map(float),
    closes=st.none() | st.integers(-9000, 9000).map(lambda m: NOW + timedelta(seconds=30 * m)),
)
BOUNDS = st.sampled_from(
    ["all-in<300", "all-in<=300", "all-in>300", "gap<-10", "gap>=-10", "closes<2d", "closes>1h", "closes<=1h"]
)
TESTS = {"<": operator.lt, "<=": operator.le, ">": operator.gt, ">=": operator.ge}


@settings(max_examples=60, deadline=None)
@given(LOTS, st.lists(BOUNDS, max_size=3).map(" ".join))
def test_closed_bounds_are_the_bounds_as_they_are_written(lot: Lot, line: str) -> None:
    sift = parse(line)
    assert sift.at(NOW).test(lot) == all(within(lot, bound) for bound in sift.bounds)


def within(lot: Lot, bound: Bound) -> bool:
    """A bound by hand: per cents of the middle, amounts, whole minutes from now."""
    minutes = (lot.closes - NOW) // timedelta(minutes=1) if lot.closes else None
    known = {"gap": lot.gap and round(lot.gap * 100, 2), "all-in": lot.all_in, "closes": minutes}[bound.field]
    return known is not None and bool(TESTS[bound.op](Decimal(str(known)), bound.value))


@pytest.mark.parametrize(
    ("lot", "open"),
    [
        (Lot("tor"), True),
        (Lot("tor", closes=later(1)), True),
        (Lot("tor", closes=later(-1)), False),
        (Lot("tor", kind="ended"), False),
        (Lot("tor", state="lost"), False),
    ],
)
def test_only_lots_that_can_still_be_had(lot: Lot, open: bool) -> None:
    assert Filter(open_at=NOW).test(lot) is open


def test_wants_are_asked_only_where_they_are_known() -> None:
    assert Filter(wants=("w1", "w2")).test(ROW)
    assert Filter(wants=("w1", "w2")).test(ROW, ("w2",))
    assert not Filter(wants=("w1",)).test(ROW, ())


def test_an_empty_line_asks_nothing() -> None:
    assert parse("   ") == Sift()
    assert not parse("")
    assert parse("tor")
