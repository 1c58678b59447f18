"""Imports of files beyond all measure, and imports that are stopped: nothing is half-written."""

from __future__ import annotations

from datetime import UTC, datetime
from pathlib import Path
from typing import Any

import pytest

from watchlist.core.imports import ImportRefused
from watchlist.desk.changes import Change
from watchlist.desk.desk import Desk
from watchlist.desk.due import MARKS, NOTHING, TITLES, Due
from watchlist.desk.errors import DeskError
from watchlist.desk.own_files import importing, keeping
from watchlist.desk.own_files.importing import import_file
from watchlist.shelf.shelf import Shelf

HEAD = b"sale_date,denomination,year,mint,country,grade,hammer,currency\n"
ROW = b"2025-03-12,5 tor,1893,V,Orvany,VF,%d.00,EUR\n"


@pytest.fixture
def desk(shelf: Shelf) -> Desk:
    """A desk on an empty shelf."""
    return Desk(shelf, datetime(2026, 3, 1, tzinfo=UTC))


def rows(many: int) -> bytes:
    return HEAD + b"".join(ROW % (50 + number) for number in range(many))


FIT = Due(market=True, scales=True, marks=True)
SALE = f"{HEAD.decode()}2025-03-12,5 tor,1893,V,Orvany,VF,50,EUR"


@pytest.mark.parametrize(
    ("kind", "text", "due"),
    [
        ("prices", SALE, FIT),
        ("wants", "country,denomination,year,mint,min_grade,ceiling\nOrvany,5 tor,1893,V,20,300 EUR", MARKS),
        ("catalogue", "issue,country,denomination,year,mint\nown,Orvany,5 tor,1893,V", FIT | TITLES),
        ("guide", "country,denomination,year,mint,grade,low,high\nOrvany,5 tor,1893,V,VF,100,200", FIT),
        ("terms", "venue,currency,premium_pct\nLindmoor Sales,EUR,20", FIT),
        ("rates", "month,currency,per_eur\n2026-02,GBP,0.85", FIT),
    ],
)
def test_each_kind_is_kept_and_says_what_follows(desk: Desk, kind: str, text: str, due: Due) -> None:
    dry = import_file(desk, kind, text.encode(), "mine.csv", dry_run=True)
    assert (dry.taken, dry.due, desk.owed.all()) == (1, NOTHING, NOTHING)
    report = import_file(desk, kind, text.encode(), "mine.csv")
    assert (report.taken, report.set_aside, report.due, desk.owed.all()) == (1, (), due, due)


@pytest.mark.parametrize(
    ("body", "said"),
    [
        (b"", "mine.csv holds nothing"),
        (b"PK\x03\x04", "is a packed file or a spreadsheet's own (zip), no text"),
        (b"<!doctype html><html><body>Hello</body></html>", "mine.csv is a web page, no table"),
        (b"<?xml version='1.0'?><table><tr><td>x</td></tr></table>", "mine.csv is a web page, no table"),
        (b"one\n", "has no line of headings that are known"),
    ],
)
def test_a_file_that_is_no_table_is_refused(desk: Desk, body: bytes, said: str) -> None:
    with pytest.raises(ImportRefused) as error:
        import_file(desk, "prices", body, "mine.csv")
    assert said in str(error.value)
    assert not desk.owed.all()


def test_a_file_that_cannot_be_read_is_one_sentence(tmp_path: Path) -> None:
    with pytest.raises(DeskError, match=r"cannot be read \(.*\)\. Nothing was changed\.$"):
        importing.bytes_of(tmp_path / "none.csv")


def test_the_issue_that_a_want_implies_gives_its_sales_to_the_catalogue(desk: Desk) -> None:
    head = "sale_date,denomination,year,mint,country,grade,hammer,currency\n"
    import_file(desk, "prices", f"{head}2025-03-12,5 tor,1893,V,Orvany,VF,50,EUR\n".encode(), "old.csv")
    (implied,) = desk.shelf.store.catalogue.issues()
    assert implied.implied
    import_file(desk, "catalogue", b"issue,country,denomination,year,mint\nown,Orvany,5 tor,1893,V\n", "mine.csv")
    (issue,) = desk.shelf.store.catalogue.issues()
    assert (issue.key, issue.implied) == ("own", False)
    assert [price.issue for price in desk.shelf.store.prices.each()] == ["own"]


def test_a_sale_that_another_file_told_of_is_named(desk: Desk) -> None:
    head = "sale_date,denomination,year,mint,country,grade,hammer,currency,venue,service,cert_number\n"
    line = "2025-03-12,5 tor,1893,V,Orvany,VF,{},EUR,Lindmoor Sales,QCG,10000{}\n"
    first = head + "".join(line.format(500 + n, 10 + n) for n in range(30))
    second = head + "".join(line.format(502 + n, 10 + n) for n in range(30))
    assert import_file(desk, "prices", first.encode(), "one.csv").repeated == 0
    report = import_file(desk, "prices", second.encode(), "two.csv")
    assert report.repeated > 0
    assert any("is the same sale as" in note for note in report.notes)
    assert report.notes[-1].endswith("more such sales")


def test_a_heading_that_is_not_known_is_left_alone(desk: Desk) -> None:
    body = HEAD.replace(b"\n", b",moon\n") + b"2025-03-12,5 tor,1893,V,Orvany,VF,50,EUR,full\n"
    report = import_file(desk, "prices", body, "mine.csv")
    assert "columns not known and unused: moon" in report.notes


def test_a_file_with_too_many_rows_is_one_sentence(desk: Desk, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(importing, "MOST_ROWS", 200)
    assert import_file(desk, "prices", rows(200), "sales.csv", dry_run=True).rows == 200
    with pytest.raises(ImportRefused, match=r"^sales.csv has more than 200 rows; nothing of it was taken; split it\.$"):
        import_file(desk, "prices", rows(400), "sales.csv")
    with pytest.raises(ImportRefused, match="more than 200 rows"):
        import_file(desk, "prices", b"\r" * 400, "sales.csv")
    assert desk.shelf.store.prices.count() == 0


def test_a_file_that_is_too_large_is_one_sentence(desk: Desk, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(importing, "MOST_BYTES", 1_000_000)
    with pytest.raises(ImportRefused, match=r"^sales.csv is larger than 1 MB; nothing of it was taken; split it\.$"):
        import_file(desk, "prices", HEAD + b"x" * 1_000_000, "sales.csv")


def test_an_import_says_how_far_it_is_and_can_be_stopped(desk: Desk) -> None:
    told: list[tuple[str, float]] = []

    def step(what: str, share: float) -> bool:
        told.append((what, share))
        return len(told) < 3

    desk.go_on = step
    with pytest.raises(ImportRefused, match=r"^Stopped at line 4,002; nothing was taken\.$"):
        import_file(desk, "prices", rows(5_000), "sales.csv")
    assert told == [("reading rows", 0.0), ("reading rows", 0.4), ("reading rows", 0.8)]
    assert (desk.shelf.store.prices.count(), desk.shelf.store.catalogue.issues()) == (0, [])


def test_ctrl_c_while_it_is_kept_leaves_nothing_of_it(desk: Desk, monkeypatch: pytest.MonkeyPatch) -> None:
    keep = keeping.KEEPING["prices"]

    def stopped(desk: Desk, change: Change, prices: Any) -> None:
        keep(desk, change, prices)
        raise KeyboardInterrupt

    monkeypatch.setitem(keeping.KEEPING, "prices", stopped)
    with pytest.raises(KeyboardInterrupt):
        import_file(desk, "prices", rows(20), "sales.csv")
    assert (desk.shelf.store.prices.count(), desk.shelf.store.catalogue.issues()) == (0, [])
