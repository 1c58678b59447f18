"""Files that are no tables, and servers that put a test off: each is one sentence and an exit code."""

from __future__ import annotations

import gzip
import io
import zipfile
from collections.abc import Iterator
from pathlib import Path

import pytest

from tests.cli.conftest import Run
from tests.feeds.feed_server import Site, site

KINDS = ("catalogue", "prices", "wants", "guide", "terms", "rates", "results", "pieces")
SALES = b"sale_date,country,denomination,year,grade,hammer,currency\n2026-01-02,Orvany,5 tor,1893,VF,120,EUR\n"


def zipped() -> bytes:
    made = io.BytesIO()
    with zipfile.ZipFile(made, "w") as file:
        file.writestr("xl/workbook.xml", "<workbook/>")
    return made.getvalue()


WRONG = {
    "empty.csv": b"",
    "blank.csv": b"  \n\n",
    "mark.csv": b"\xef\xbb\xbf",
    "nul.csv": b"\0\0\0\0",
    "page.csv": b"<!DOCTYPE html><html><body>Sign in</body></html>",
    "short.csv": b"<html>no</html>",
    "table.csv": b"<table><tr><td>hammer</td><td>grade</td></tr></table>",
    "packed.csv": gzip.compress(SALES),
    "book.xlsx": zipped(),
    "list.pdf": b"%PDF-1.7\n%\xe2\xe3\xcf\xd3",
    "old.xls": b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1",
    "photo.csv": b"\x89PNG\r\n\x1a\n\0\0\0\rIHDR",
    "words.csv": b"nothing that is a table",
    "list.bz2": b"BZh91AY&SY",
}


@pytest.mark.parametrize("name", WRONG)
@pytest.mark.parametrize("kind", KINDS)
def test_a_file_that_is_no_table_is_refused_whole(run: Run, tmp_path: Path, kind: str, name: str) -> None:
    (tmp_path / name).write_bytes(WRONG[name])
    for dry in ((), ("--dry-run",)):
        done = run("import", kind, str(tmp_path / name), *dry)
        assert (done.code, done.out) == (2, "")
        assert done.err.count("\n") == 1
        assert name in done.err
        assert "nothing was taken" in done.err.lower()
        assert done.err.isprintable() or done.err.strip().isprintable()


@pytest.mark.parametrize("body", [SALES, SALES.decode().encode("utf-16"), b"\xef\xbb\xbf" + SALES, SALES[:58]])
def test_a_table_is_taken_and_one_of_headings_alone_is_no_fault(run: Run, tmp_path: Path, body: bytes) -> None:
    (tmp_path / "sales.csv").write_bytes(body)
    done = run("import", "prices", str(tmp_path / "sales.csv"))
    assert done.code == 0, done.err


@pytest.fixture
def web() -> Iterator[Site]:
    with site() as made:
        yield made


@pytest.mark.parametrize(
    ("status", "headers", "said"),
    [
        (410, {}, "gone for good"),
        (429, {}, "asks to wait (429)"),
        (429, {"Retry-After": "120"}, "asks to wait (429)"),
        (503, {"Retry-After": "60"}, "asks to wait (503)"),
        (404, {}, "404"),
        (500, {}, "500"),
    ],
)
@pytest.mark.parametrize("named", [True, False])
def test_a_source_that_is_tested_says_what_its_server_said(
    run: Run, web: Site, status: int, headers: dict[str, str], said: str, named: bool
) -> None:
    address = web.serve("/lots.rss", status=status, headers=headers)
    if named:
        assert run("source", "add", "vessick", address).code == 0
    done = run("source", "test", "vessick" if named else address)
    assert done.code == 3
    assert said in done.err
    assert "sent nothing" not in done.err
