from __future__ import annotations

from datetime import timedelta
from decimal import Decimal

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tests.core.orvany import NOW, later
from watchlist.core.sift.line import Sift, SiftError, SiftRow, holds, parse
from watchlist.core.sift.row import ORDERS

ROW = SiftRow(
    "Orvany 5 Tor 1893-M, untoned",
    "Northgate Sales",
    "anna k",
    "5tor-1893M",
    ("w1",),
    "bargain",
    "followed",
    Decimal(250),
    Decimal("-0.18"),
    later(30),
    NOW,
)


def passes(line: str, row: SiftRow = ROW) -> bool:
    return parse(line).test(row, NOW)


def test_one_line_with_every_field() -> None:
    line = "tor 1893 mark:b gap<-10 all-in<300 closes<2d venue:north seller:anna state:f not toned"
    assert passes(line)
    sift = parse(line)
    assert (
        str(sift)
        == "tor 1893 mark:bargain state:followed venue:north seller:anna gap<-10 all-in<300 closes<2d not toned"
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
        'venue:"northgate sales"',
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
    bare = SiftRow("5 tor")
    assert not passes("all-in<300", bare)
    assert not passes("gap>-10", bare)
    assert not passes("closes<9w", bare)
    assert passes("tor", bare)


def test_accents_and_case_do_not_matter() -> None:
    assert holds("munze", "Alte MÜNZE")
    assert holds("Münze", "alte munze")
    assert not holds("ünze", "alte münze")
    assert holds("???", "what ???")


def test_to_filter_holds_the_same_bounds_closed() -> None:
    found = parse("tor not toned mark:b all-in<300 all-in>=10 gap<-10 closes<2d closes>1h venue:North").to_filter(NOW)
    assert (found.words, found.not_words) == (("tor",), ("toned",))
    assert (found.marks, found.venues) == (frozenset({"bargain"}), ("north",))
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
        "venue:north",
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


@settings(max_examples=150, deadline=None)
@given(st.lists(WORDS, max_size=7).map(" ".join) | st.text(max_size=40))
def test_a_line_is_understood_or_named_and_its_text_comes_back(line: str) -> None:
    try:
        sift = parse(line)
    except SiftError:
        return
    assert parse(str(sift)) == sift
    sift.test(ROW, NOW)
    sift.to_filter(NOW)


ROWS = st.builds(
    SiftRow,
    title=st.just("tor"),
    all_in=st.none() | st.decimals(0, 600, places=2),
    gap=st.none() | st.decimals(-1, 1, places=4),
    closes=st.none() | st.integers(-9000, 9000).map(lambda m: NOW + timedelta(seconds=30 * m)),
)
BOUNDS = st.sampled_from(
    ["all-in<300", "all-in<=300", "all-in>300", "gap<-10", "gap>=-10", "closes<2d", "closes>1h", "closes<=1h"]
)


@settings(max_examples=150, deadline=None)
@given(ROWS, st.lists(BOUNDS, max_size=3).map(" ".join))
def test_the_filter_and_the_test_agree(row: SiftRow, line: str) -> None:
    found = parse(line).to_filter(NOW)
    inside = (
        within(row.all_in, found.all_in_min, found.all_in_max)
        and within(row.gap, found.gap_min, found.gap_max)
        and within(row.closes, found.closes_after, found.closes_before)
    )
    assert parse(line).test(row, NOW) == inside


def within(value: object, low: object, high: object) -> bool:
    if value is None:
        return low is None and high is None
    return (low is None or value >= low) and (high is None or value <= high)  # type: ignore[operator]


def test_the_order_at_the_start_is_closing_soonest_then_newest() -> None:
    rows = [
        SiftRow("old", first_seen=later(-9)),
        SiftRow("late", closes=later(9)),
        SiftRow("new", first_seen=NOW),
        SiftRow("soon", closes=later(1)),
    ]
    assert [row.title for row in sorted(rows, key=ORDERS["closes"])] == ["soon", "late", "new", "old"]
    for order in ORDERS.values():
        sorted([*rows, ROW], key=order)


def test_an_empty_line_asks_nothing() -> None:
    assert parse("   ") == Sift()
    assert not parse("")
    assert parse("tor")
