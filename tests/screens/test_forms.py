"""Forms and prompts: a venue's form changes no other, wrong words stay to be mended, what was left comes back."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal
from pathlib import Path
from typing import Any

import pytest

from tests.screens import pieces
from tests.screens.conftest import Open
from tests.screens.pieces import NOW, heard, seen, settled
from watchlist.core.fees.premiums import Premium
from watchlist.core.fees.terms import Terms
from watchlist.core.lots.source import Source
from watchlist.desk.judging import judging
from watchlist.screens.app import Screens
from watchlist.shelf.shelf import Shelf

VESSICK = Terms("Vessick", "EUR", "marketplace", Premium("flat", Decimal(15)), card_pct=Decimal(3), tax_shipping=True)
BRANNENTAL = Terms("Brannental Auctions", "EUR", premium=Premium("flat", Decimal(20)))


@pytest.fixture
def path(tmp_path: Path) -> Path:
    row = pieces.lot(0, hours=10)
    judged = row.judgement and replace(row.judgement, bid_limit=None, ceiling=None)
    path = pieces.shelf(tmp_path / "shelf", 0, replace(row, judgement=judged), pieces.lot(1, hours=12))
    with Shelf.open(path, write=True, today=NOW.date) as opened:
        opened.notebook.venues.put(VESSICK, BRANNENTAL)
        for name in ("north", "brack"):
            opened.notebook.sources.put(Source(name, str(tmp_path / f"{name}.csv"), "Vessick"))
    return path


def said(app: Screens) -> str:
    return " ".join(" ".join(seen(app)).split())


async def press(pilot: Any, *keys: str) -> None:
    """Keys, one after the other; then all is drawn."""
    for key in keys:
        await pilot.press(key)
        await settled(pilot)


async def fill(pilot: Any, **values: str) -> None:
    """Type over fields of the form."""
    for name, value in values.items():
        box = pilot.app.screen.query_one(f"#field-{name}")
        box.focus()
        box.value = value
    await pilot.pause()


def value_of(app: Screens, name: str) -> str:
    return str(app.screen.query_one(f"#field-{name}").value)  # type: ignore[attr-defined]


def title(app: Screens) -> str:
    return str(getattr(app.screen, "TITLE", ""))


# --- a venue


async def test_the_form_of_one_venue_never_changes_another(path: Path, open_on: Open) -> None:
    app = open_on(path)
    async with app.run_test(size=(100, 30)) as pilot:
        await settled(pilot)
        await press(pilot, "5", "v")
        assert value_of(app, "venue") == "Vessick"
        await fill(pilot, venue="brannental auctions")
        await press(pilot, "enter")
        await heard(app, "There is a venue Brannental Auctions already")
        assert title(app) == "Venue"
        assert list(app.program.access.desk.terms.values()) == [VESSICK, BRANNENTAL]


async def test_a_new_name_makes_a_venue_of_what_the_form_shows(path: Path, open_on: Open) -> None:
    app = open_on(path)
    async with app.run_test(size=(100, 30)) as pilot:
        await settled(pilot)
        await press(pilot, "5", "v")
        await fill(pilot, venue="Ostrell Coins")
        await press(pilot, "enter")
        assert "Vessick stays as it was" in await heard(app, "Ostrell Coins: saved")
        await settled(pilot)
        terms = app.program.access.desk.terms
        assert terms["Vessick"] == VESSICK
        assert terms["Ostrell Coins"].premium == VESSICK.premium
        assert not terms["Ostrell Coins"].tax_shipping, "the form does not show it"


async def test_what_a_form_does_not_show_stays_with_its_own_venue(path: Path, open_on: Open) -> None:
    app = open_on(path)
    async with app.run_test(size=(100, 30)) as pilot:
        await settled(pilot)
        await press(pilot, "5", "v")
        await fill(pilot, premium_pct="18")
        await press(pilot, "enter")
        assert "stays as it was" not in await heard(app, "Vessick: saved")
        await settled(pilot)
        assert app.program.access.desk.terms["Vessick"] == replace(VESSICK, premium=Premium("flat", Decimal(18)))


async def test_a_blank_venue_can_be_added_beside_sources(path: Path, open_on: Open) -> None:
    app = open_on(path)
    async with app.run_test(size=(100, 30)) as pilot:
        await settled(pilot)
        await press(pilot, "5", "V")
        assert (title(app), value_of(app, "venue"), value_of(app, "payment_fee_pct")) == ("Venue", "", "")
        await fill(pilot, venue="Vessick")
        await press(pilot, "enter")
        await heard(app, "There is a venue Vessick already")
        await fill(pilot, venue="Wexby Coin Market", currency="EUR")
        await press(pilot, "enter")
        await heard(app, "Wexby Coin Market: saved")
        await settled(pilot)
        assert list(app.program.access.desk.terms) == ["Vessick", "Brannental Auctions", "Wexby Coin Market"]


# --- wrong words, each with what is right


@pytest.mark.parametrize(
    ("field", "wrong", "told"),
    [
        ("currency", "EUROS", "EUROS is not a valid currency (did you mean EUR?)"),
        ("time_zone", "Mars", "The time zone is a name such as Europe/Berlin, not `Mars`"),
        ("decimal_mark", "point", "The decimal mark is `,` or `.` itself, not `point`"),
        ("date_order", "ymd", "The date order is dmy (day first) or mdy (month first), not `ymd`"),
        ("price_kind", "guess", "Price kind is fixed, so far, estimate or ended, not `guess`"),
        ("encoding", "utf-9x", "The encoding is a name such as utf-8 or cp1252, not `utf-9x`"),
        ("kind", "xls", "Kind is rss, json or csv, not `xls`"),
        ("name", "a:b", "`a:b` cannot name a source"),
        ("name", "hand", "`hand` cannot name a source"),
        ("columns", "titel=What", "`titel` is not a field of Watchlist (did you mean `title`?)"),
        ("columns", "price=Asking, title=What", "Columns are parted by `;`"),
        ("columns", "price", "Columns are written price=Ausruf; title=Los"),
        ("address", "127.0.0.1:8931/brack.rss", "`127.0.0.1:8931/brack.rss` is not a file on this disk"),
        ("address", "lindmoor.example/feed", "an address begins with http:// or https://"),
        ("address", "ftp://lindmoor.example/feed", "an address begins with http:// or https://"),
    ],
)
async def test_a_wrong_word_of_a_source_is_refused(
    path: Path, open_on: Open, field: str, wrong: str, told: str
) -> None:
    app = open_on(path)
    async with app.run_test(size=(160, 30)) as pilot:
        await settled(pilot)
        await press(pilot, "5", "e")
        before = dict(app.program.access.desk.sources)
        await fill(pilot, **{field: wrong})
        await press(pilot, "enter")
        assert told in app.program.messages.kept[-1]
        assert app.program.messages.kept[-1].endswith("Nothing was changed.")
        assert (title(app), value_of(app, field)) == ("Source", wrong)
        assert app.program.access.desk.sources == before


async def test_a_source_keeps_what_its_form_does_not_show(path: Path, open_on: Open) -> None:
    with Shelf.open(path, write=True, today=NOW.date) as opened:
        brack = replace(opened.notebook.sources.list()[0], headers={"X-Reader": "me"}, day_end=True)
        opened.notebook.sources.put(brack)
    app = open_on(path)
    async with app.run_test(size=(100, 30)) as pilot:
        await settled(pilot)
        await press(pilot, "5", "e")
        await fill(pilot, time_zone="Europe/Berlin", price_kind="Fixed")
        await press(pilot, "enter")
        kept = app.program.access.desk.sources[brack.name]
        assert kept == replace(brack, time_zone="Europe/Berlin", price_kind="fixed")


@pytest.mark.parametrize(
    ("field", "wrong", "told"),
    [
        ("price_kind", "guess", "Price kind is fixed, so far, estimate or ended, not `guess`"),
        ("closes", "tomorrow", "Closes: `tomorrow` cannot be read"),
        ("ratings", "many", "Ratings: the number of ratings the seller has, such as 120, not `many`"),
        ("price", "abc", "The price `abc` gives no amount"),
    ],
)
async def test_a_wrong_word_of_a_lot_by_hand_is_refused(
    path: Path, open_on: Open, field: str, wrong: str, told: str
) -> None:
    app = open_on(path)
    async with app.run_test(size=(160, 30)) as pilot:
        await settled(pilot)
        await press(pilot, "a")
        await fill(pilot, title="5 tor 1894 VF", **{field: wrong})
        await press(pilot, "enter")
        assert told in app.program.messages.kept[-1]
        assert app.program.messages.kept[-1].endswith("Nothing was saved.")
        assert (title(app), value_of(app, field)) == ("Lot", wrong)
        assert app.program.access.shelf.store.listing.count() == 2


async def test_a_grade_is_a_grade_as_a_whole(path: Path, open_on: Open) -> None:
    app = open_on(path)
    async with app.run_test(size=(100, 30)) as pilot:
        await settled(pilot)
        await press(pilot, "c")
        for wrong, told in (
            ("fine-ish", "`fine-ish` is not a valid grade"),
            ("banana", "`banana` is not a valid grade"),
        ):
            await fill(pilot, grade=wrong)
            await press(pilot, "enter")
            assert told in app.program.messages.kept[-1]
        await fill(pilot, grade="40", certified="maybe")
        await press(pilot, "enter")
        assert "Certified is yes or no, not `maybe`" in app.program.messages.kept[-1]
        assert title(app) == "Correct"


async def test_certified_is_yes_no_or_any(path: Path, open_on: Open) -> None:
    app = open_on(path)
    async with app.run_test(size=(100, 30)) as pilot:
        await settled(pilot)
        await press(pilot, "2", "a")
        await fill(pilot, coin="Orvany 5 tor 1893-V", ceiling="300 EUR", certified="maybe")
        await press(pilot, "enter")
        assert "Certified is yes, no or any, not `maybe`. Nothing was changed." in said(app)
        assert not app.program.access.desk.wants.by_id
        await fill(pilot, certified="any")
        await press(pilot, "enter")
        (want,) = app.program.access.desk.wants.by_id.values()
        assert not want.certified


# --- a source renamed


async def test_a_source_with_lots_keeps_its_name_and_nothing_is_doubled(path: Path, open_on: Open) -> None:
    app = open_on(path)
    async with app.run_test(size=(160, 30)) as pilot:
        await settled(pilot)
        await press(pilot, "5", "e")
        await fill(pilot, name="northX")
        await press(pilot, "enter")
        assert "north keeps its name, for its 2 lots" in app.program.messages.kept[-1]
        assert "drop north and add northX" in app.program.messages.kept[-1]
        assert list(app.program.access.desk.sources) == ["north", "brack"]


async def test_a_source_without_lots_is_renamed_with_the_words_taught_for_it(path: Path, open_on: Open) -> None:
    taught = {"id": "c1", "kind": "word", "words": "schick", "field": "grade", "value": "40", "source": "brack"}
    with Shelf.open(path, write=True, today=NOW.date) as opened:
        opened.notebook.corrections.put(taught)
    app = open_on(path)
    async with app.run_test(size=(100, 30)) as pilot:
        await settled(pilot)
        await press(pilot, "5", "j", "e")
        assert value_of(app, "name") == "brack"
        await fill(pilot, name="brackX")
        await press(pilot, "enter")
        assert list(app.program.access.desk.sources) == ["north", "brackX"]
        assert app.program.access.desk.corrections == [taught | {"source": "brackX"}]


# --- prompts


def typed(app: Screens) -> str:
    assert app.frame is not None
    assert app.frame.dialogue.prompt is not None
    return str(app.frame.dialogue.prompt.query_one("Line").value)  # type: ignore[attr-defined]


def standing(path: Path) -> list[tuple[str, str]]:
    with Shelf.open(path, write=False, today=NOW.date) as opened:
        return [(each.stage, str(each.amount)) for each in opened.store.decisions.review().lots.values()]


@pytest.mark.parametrize(
    ("key", "wrong", "size"),
    [
        ("b", "abc", (80, 24)),
        ("b", "5%", (80, 24)),
        ("b", "-5", (40, 10)),
        ("w", "1.000", (80, 24)),
        ("w", "abc", (40, 10)),
        ("l", "5%", (80, 24)),
    ],
)
async def test_a_wrong_amount_stays_to_be_mended(
    path: Path, open_on: Open, key: str, wrong: str, size: tuple[int, int]
) -> None:
    app = open_on(path)
    async with app.run_test(size=size) as pilot:
        await settled(pilot)
        await press(pilot, key, "ctrl+u", *wrong, "enter")
        assert typed(app) == wrong
        shown = said(app)
        assert wrong.strip("-") in app.program.messages.kept[-1]
        assert " ".join(app.program.messages.kept[-1].partition("  ")[2].split()) in shown
        assert standing(path) == []
        await press(pilot, "ctrl+u", "6", "0", "enter")
        assert app.frame is not None
        assert app.frame.dialogue.prompt is None
        assert standing(path)[0][1] == "60 EUR"


async def test_the_amount_on_the_bid_list_stays_too_and_esc_leaves_it(path: Path, open_on: Open) -> None:
    app = open_on(path)
    async with app.run_test(size=(80, 24)) as pilot:
        await settled(pilot)
        await press(pilot, "b", "ctrl+u", "6", "0", "enter", "3", "e", "ctrl+u", "x", "enter")
        assert typed(app) == "x"
        await press(pilot, "escape")
        assert app.frame is not None
        assert app.frame.dialogue.prompt is None
        assert "is not an amount" not in said(app)
        assert standing(path) == [("planned", "60 EUR")]
        await press(pilot, "e", "ctrl+u", "enter")
        assert "No amount, nothing written." in said(app)


async def test_the_number_of_a_sign_is_asked_until_it_is_one(path: Path, open_on: Open) -> None:
    app = open_on(path)
    async with app.run_test(size=(80, 24)) as pilot:
        await settled(pilot)
        await press(pilot, "j", "d", "7", "enter")
        assert typed(app) == "7"
        assert "There are signs 1 to 2 (" in said(app)
        assert "not `7`" in said(app)
        await press(pilot, "ctrl+u", "2", "enter")
        assert "Note, why" in said(app)


async def test_a_weight_is_asked_until_it_is_one(path: Path, open_on: Open) -> None:
    from watchlist.screens.sales import weight_typed

    app = open_on(path)
    async with app.run_test(size=(80, 24)) as pilot:
        await settled(pilot)
        assert app.frame is not None
        given: list[object] = []
        app.frame.dialogue.ask("Weight 0 to 1, then a note:", given.append, check=weight_typed)
        await settled(pilot)
        for wrong, told in (
            ("much", "`much` is not a valid weight"),
            ("2", "between 0 and 1, not 2"),
            ("nan", "`nan` is not"),
        ):
            await press(pilot, "ctrl+u", *wrong, "enter")
            assert typed(app) == wrong
            assert told in said(app)
        await press(pilot, "ctrl+u", "0", ".", "5", "space", "a", "enter")
        assert given == ["0.5 a"]


async def test_suspend_and_draw_again_work_while_one_types(
    path: Path, open_on: Open, monkeypatch: pytest.MonkeyPatch
) -> None:
    app = open_on(path)
    done: list[str] = []
    monkeypatch.setattr(app, "action_suspend_process", lambda: done.append("suspend"))
    monkeypatch.setattr(app, "draw_again", lambda: done.append("redraw"))
    async with app.run_test(size=(80, 24)) as pilot:
        await settled(pilot)
        await press(pilot, "b", "ctrl+u", "7", "ctrl+z", "ctrl+l")
        assert (done, typed(app)) == (["suspend", "redraw"], "7")
        await press(pilot, "escape", "2", "a", "7", "ctrl+z", "ctrl+l")
        assert (done[2:], value_of(app, "coin")) == (["suspend", "redraw"], "7")


# --- drafts


async def test_what_was_typed_comes_back_after_esc(path: Path, open_on: Open) -> None:
    app = open_on(path)
    async with app.run_test(size=(80, 24)) as pilot:
        await settled(pilot)
        await press(pilot, "5", "e")
        await fill(pilot, currency="EUROS")
        await press(pilot, "escape")
        assert "Not saved; your entries are back when you open this form again." in said(app)
        await press(pilot, "j", "e")
        assert (value_of(app, "name"), value_of(app, "currency")) == ("brack", ""), "another source"
        await press(pilot, "escape")
        assert len(app.program.messages.kept) == 1, "nothing was changed"
        await press(pilot, "k", "e")
        assert (value_of(app, "name"), value_of(app, "currency")) == ("north", "EUROS")
        assert "What you typed here before is back" in said(app)
        await fill(pilot, currency="EUR")
        await press(pilot, "enter")
        assert app.program.access.desk.sources["north"].currency == "EUR"
        await press(pilot, "escape", "e")
        assert "is back" not in said(app)
        await fill(pilot, currency="")
        await press(pilot, "escape", "e")
        assert value_of(app, "currency") == ""
        await fill(pilot, currency="EUR")
        await press(pilot, "escape", "e")
        assert "is back" not in said(app), "as it stands: no draft"


async def test_a_new_lot_that_was_left_comes_back_until_it_is_kept(path: Path, open_on: Open) -> None:
    app = open_on(path)
    async with app.run_test(size=(80, 24)) as pilot:
        await settled(pilot)
        await press(pilot, "a")
        await fill(pilot, title="5 tor 1894 VF")
        await press(pilot, "escape", "a")
        assert value_of(app, "title") == "5 tor 1894 VF"
        await press(pilot, "enter")
        await heard(app, "Saved: 5 tor 1894 VF")
        await press(pilot, "a")
        assert value_of(app, "title") == ""


async def test_undo_takes_back_what_a_form_kept(path: Path, open_on: Open) -> None:
    app = open_on(path)
    async with app.run_test(size=(80, 24)) as pilot:
        await settled(pilot)
        before = app.program.access.desk.sources["north"]
        await press(pilot, "5", "e")
        await fill(pilot, currency="GBP")
        await press(pilot, "enter")
        await settled(pilot)
        assert app.program.access.shelf.notebook.sources.get("north") != before
        await press(pilot, "escape", "u")
        await heard(app, "Undone: source north changed, said ")
        assert app.program.access.shelf.notebook.sources.get("north") == before
        await press(pilot, "2", "a")
        await fill(pilot, coin="Orvany 5 tor 1893-V", ceiling="300 EUR")
        await press(pilot, "enter")
        await heard(app, "w1: ")
        await settled(pilot)
        await press(pilot, "u")
        await heard(app, "Undone: want w1 added (Orvany 5 tor 1893-V), said ")
        await settled(pilot)
        assert not judging.is_due(app.program.access.desk), "marks followed"
        assert app.program.access.shelf.notebook.wants.list() == []


async def test_undo_takes_back_the_terms_of_a_venue(path: Path, open_on: Open) -> None:
    app = open_on(path)
    async with app.run_test(size=(80, 24)) as pilot:
        await settled(pilot)
        before = dict(app.program.access.desk.terms)
        await press(pilot, "5", "V")
        await fill(pilot, venue="Lantern Row", premium_pct="12", checked="yesterday")
        await press(pilot, "enter")
        assert "'yesterday' under checked is not a valid day" in said(app)
        await fill(pilot, checked="2026-11-24")
        await press(pilot, "enter")
        await heard(app, "Lantern Row: saved with its terms")
        await settled(pilot)
        assert str(app.program.access.desk.terms["Lantern Row"].checked) == "2026-11-24"
        await press(pilot, "u")
        await heard(app, "Undone: terms of Lantern Row added, said ")
        assert {terms.venue: terms for terms in app.program.access.shelf.notebook.venues.list()} == before
