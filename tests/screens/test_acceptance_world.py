"""Rows 21, 22, 29, 30, 31 and 33 of the list in docs/screens.md: reasons, plots, other systems, no network."""

from __future__ import annotations

import ast
import json
import math
import socket
import subprocess
import sys
from collections.abc import Iterator
from datetime import date, timedelta
from decimal import Decimal
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tests.feeds.feed_server import site
from tests.screens.pieces import seen, settled
from watchlist.cli import main
from watchlist.desk import sample
from watchlist.page.charts import Rule, Rung, price_curve, rule_for
from watchlist.page.drawing import ASCII, DRAWN, Alphabet
from watchlist.page.plots import Sold, place, price_over_time
from watchlist.screens.app import Screens
from watchlist.screens.background.shelf_access import ShelfAccess

ROOT = Path(__file__).resolve().parents[2]
TODAY = date(2026, 11, 25)
MORNING = "2026-03-03T07:30:00+01:00"
prices = st.decimals(1, 9_000, places=2)


@pytest.fixture
def shelf(sample_shelf: Path) -> Path:
    return sample_shelf


# --- reasons and plots ---

ALPHABETS = st.sampled_from((ASCII, DRAWN))


def test_every_lot_gives_reasons_and_the_words_of_its_title(shelf: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["lots", "--json", "--shelf", str(shelf), "--now", MORNING]) == 0
    lots = [json.loads(line) for line in capsys.readouterr().out.splitlines()]
    assert len(lots) > 200
    assert all(lot["reasons"] and all(reason["text"] for reason in lot["reasons"]) for lot in lots)
    capsys.readouterr()
    told = [lot for lot in lots if lot["issue"]]
    assert main(["lot", told[0]["key"], "--shelf", str(shelf), "--now", MORNING]) == 0
    assert "Read as: " in capsys.readouterr().out


@settings(max_examples=80, deadline=None)
@given(
    st.lists(st.tuples(st.integers(0, 4_000), prices), min_size=1, max_size=12),
    st.integers(24, 150),
    st.integers(5, 30),
    ALPHABETS,
)
def test_a_plot_over_time_read_back_gives_each_price_within_one_cell(
    sales: list[tuple[int, Decimal]], width: int, height: int, draw: Alphabet
) -> None:
    sold = [Sold(TODAY - timedelta(days=ago), price) for ago, price in sales]
    lines = price_over_time(sold, None, TODAY, width=width, height=height, draw=draw)[:-3]
    right, up = draw.points
    rule = Rule(float(min(price for _, price in sales)), float(max(price for _, price in sales)), (height - 3) * up)
    first = min(sale.day for sale in sold)
    drawn = {
        (len(lines) - 1 - row, at - 9)
        for row, line in enumerate(lines)
        for at, sign in enumerate(line)
        if sign == draw.sale and at >= 9
    }
    for sale in sold:
        column = place(sale.day, first, TODAY, (width - 10) * right) // right
        step = up * math.log(rule.price(rule.cells - 1) / rule.price(0)) / max(rule.cells - 1, 1)
        middles = [rule.price(row * up + (up - 1) / 2) for row, at in drawn if at == column]
        gaps = [abs(math.log(middle / float(sale.price))) for middle in middles]
        assert min(gaps) <= max(step, 0.02) * 1.001
    assert len(drawn) <= len(sold)


@settings(max_examples=80, deadline=None)
@given(st.lists(prices, min_size=3, max_size=9), prices, st.integers(30, 150), st.integers(6, 30), ALPHABETS)
def test_a_curve_read_back_gives_each_middle_and_the_lot_within_one_cell(
    middles: list[Decimal], cost: Decimal, width: int, height: int, draw: Alphabet
) -> None:
    grades = (4, 12, 20, 30, 40, 50, 60, 63, 65)
    rungs = [Rung(grade, mid, mid, mid, 3) for grade, mid in zip(grades, sorted(middles), strict=False)]
    lines = price_curve(rungs, price=cost, grade=rungs[1].grade, width=width, height=height, draw=draw)[:-3]
    right, up = draw.points
    rule = rule_for(rungs, cost, (height - 3) * up)
    across = (width - 10) * right
    signs = {
        (at - 9, len(lines) - 1 - row): sign
        for row, line in enumerate(lines)
        for at, sign in enumerate(line)
        if at >= 9
    }
    for number, rung in enumerate(rungs):
        column = round(number / (len(rungs) - 1) * (across - 1)) // right
        assert signs.get((column, rule.cell(float(rung.mid)) // up)) in (draw.sale, draw.lot)
    lot = [(column, row) for (column, row), sign in signs.items() if sign == draw.lot]
    assert lot == [(round((across - 1) / (len(rungs) - 1)) // right, rule.cell(float(cost)) // up)]


# --- other systems ---

UNIX_MODULES = {"fcntl", "termios", "pty", "tty", "pwd", "grp", "resource", "syslog"}
UNIX_NAMES = {
    ("os", name)
    for name in (
        "fork",
        "getuid",
        "geteuid",
        "getgid",
        "uname",
        "killpg",
        "setsid",
        "getpgid",
        "mkfifo",
        "chown",
        "fchmod",
        "fchown",
        "sync",
        "statvfs",
        "openpty",
        "O_DIRECTORY",
        "O_CLOEXEC",
    )
} | {("signal", name) for name in ("SIGHUP", "SIGKILL", "SIGTSTP", "SIGCONT", "SIGPIPE", "SIGUSR1", "SIGALRM", "alarm")}


def _tests_the_platform(test: ast.expr) -> bool:
    return "platform" in ast.unparse(test) or "hasattr" in ast.unparse(test)


def _unguarded(node: ast.AST, *, guarded: bool) -> Iterator[str]:
    if isinstance(node, ast.If | ast.IfExp) and _tests_the_platform(node.test):
        guarded = True
    if isinstance(node, ast.Import | ast.ImportFrom) and not guarded:
        names = {alias.name for alias in node.names} | {getattr(node, "module", None) or ""}
        yield from names & UNIX_MODULES
    if isinstance(node, ast.Attribute) and not guarded and (ast.unparse(node.value), node.attr) in UNIX_NAMES:
        yield ast.unparse(node)
    for child in ast.iter_child_nodes(node):
        yield from _unguarded(child, guarded=guarded)


def test_what_windows_lacks_stands_only_under_a_test_of_the_platform() -> None:
    """Windows itself is untested until someone tries."""
    for path in (ROOT / "watchlist").rglob("*.py"):
        assert not list(_unguarded(ast.parse(path.read_text("utf-8")), guarded=False)), path


WITHOUT = """
import sys, types
import asyncio, subprocess, ctypes, pathlib, tempfile, webbrowser, multiprocessing, concurrent.futures, sqlite3
import zoneinfo, sysconfig, importlib, pkgutil, unittest, numpy, httpx, feedparser, tinydb, platformdirs, dateutil.tz
class Gone:
    def find_spec(self, name, path=None, target=None):
        if name in {"fcntl", "termios", "pty", "tty", "pwd", "grp", "resource"}:
            raise ModuleNotFoundError(name)
sys.meta_path.insert(0, Gone())
for name in ("fcntl", "termios", "pty", "tty", "pwd", "grp", "resource"):
    sys.modules.pop(name, None)
msvcrt = types.ModuleType("msvcrt")
msvcrt.locking, msvcrt.LK_NBLCK, msvcrt.LK_UNLCK = (lambda *a: None), 2, 0
sys.modules["msvcrt"] = msvcrt
found = []
sys.platform = "win32"
for room in ("core", "page", "shelf", "desk", "market", "cli"):
    package = importlib.import_module(f"watchlist.{room}")
    for each in pkgutil.walk_packages(package.__path__, package.__name__ + "."):
        importlib.import_module(each.name)
        found.append(each.name)
print(len(found))
"""


def test_the_rooms_below_the_screens_are_imported_where_the_unix_modules_are_not() -> None:
    done = subprocess.run([sys.executable, "-c", WITHOUT], cwd=ROOT, capture_output=True, text=True, check=False)
    assert done.returncode == 0, done.stderr[-2000:]
    assert int(done.stdout) > 50


# --- no network but what was asked for ---


@pytest.fixture
def called(monkeypatch: pytest.MonkeyPatch) -> list[object]:
    """Every address that a socket of this process is told to go to, and every name that is looked up."""
    found: list[object] = []
    connect, look_up = socket.socket.connect, socket.getaddrinfo

    def connecting(self: socket.socket, address: Any) -> None:
        found.append(address[0] if isinstance(address, tuple) else address)
        connect(self, address)

    def looking(host: Any, *more: Any, **how: Any) -> Any:
        found.append(host)
        return look_up(host, *more, **how)

    monkeypatch.setattr(socket.socket, "connect", connecting)
    monkeypatch.setattr(socket, "getaddrinfo", looking)
    return found


@pytest.fixture
def app(shelf: Path) -> Iterator[Screens]:
    """The screens on the sample's morning."""
    session = ShelfAccess(shelf, sample.load(sample.find_sample()).morning)
    yield Screens(session, colour=True)
    session.close()


async def test_the_screens_call_no_address(app: Screens, called: list[object]) -> None:
    async with app.run_test(size=(160, 50)) as pilot:
        await settled(pilot)
        for key in ("j", "f", "enter", "y", "escape", "2", "j", "3", "4", "j", "tab", "escape", "5", "t"):
            await pilot.press(key)
            await settled(pilot)
        await pilot.press("escape", "r")
        await settled(pilot)
        assert "Gathered" in " ".join(app.program.messages.kept)
    assert called == []


@pytest.mark.parametrize(
    "words",
    [
        ("gather", "--offline"),
        ("lots", "--plain"),
        ("lots", "--json"),
        ("bids",),
        ("check",),
        ("want", "list"),
        ("price", "Orvany 1 tor 1881"),
        ("source", "list"),
        ("venue", "list"),
        ("undo",),
    ],
)
def test_the_verbs_call_no_address(shelf: Path, called: list[object], words: tuple[str, ...]) -> None:
    main([*words, "--shelf", str(shelf), "--now", MORNING])
    assert called == []


def test_a_gather_calls_the_address_that_was_given_and_no_other(tmp_path: Path, called: list[object]) -> None:
    page = b"id,title,price,currency,link\n1,Orvany 5 tor 1893-V VF,300,EUR,https://elsewhere.example/lot/1\n"
    with site() as served:
        shelf = tmp_path / "shelf"
        address = served.serve("/lots.csv", page, headers={"Content-Type": "text/csv"})
        main(["source", "add", "north", address, "--shelf", str(shelf)])
        main(["gather", "--shelf", str(shelf)])
        offline = list(called)
        main(["gather", "--offline", "--shelf", str(shelf)])
    assert set(offline) == {"127.0.0.1"}
    assert called == offline, "--offline called"


async def test_the_screens_open_and_work_without_any_network(app: Screens, monkeypatch: pytest.MonkeyPatch) -> None:
    def refused(*_: object, **__: object) -> None:
        raise OSError("no network")

    monkeypatch.setattr(socket.socket, "connect", refused)
    monkeypatch.setattr(socket, "getaddrinfo", refused)
    async with app.run_test(size=(80, 24)) as pilot:
        await settled(pilot)
        await pilot.press("f", "u", "enter")
        await settled(pilot)
        assert seen(app)[0].startswith("Ticket")
