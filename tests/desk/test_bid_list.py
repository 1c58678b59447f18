"""The bid list: sums as parcels come and groups allow, what is left of each budget, chances, hours at the venue."""

from __future__ import annotations

import random
from contextlib import suppress
from dataclasses import replace
from datetime import date, timedelta
from decimal import Decimal
from fractions import Fraction

import pytest

from tests import recost
from tests.core.test_life import by_hand
from tests.desk.pieces import NOW, come, eur, lot, row
from tests.desk.test_planning import ROWS, WEXBY
from watchlist.core.decisions.review import Verb
from watchlist.core.fees.row import terms_from_row
from watchlist.core.money.amount import Money
from watchlist.desk import undoing
from watchlist.desk.decisions import correcting
from watchlist.desk.decisions.deciding import decide
from watchlist.desk.desk import Desk
from watchlist.desk.errors import DeskError
from watchlist.desk.held.pieces import Said, say
from watchlist.desk.in_hand import committed
from watchlist.desk.in_hand.committed import waits
from watchlist.desk.in_hand.dates import places
from watchlist.desk.plan import season
from watchlist.desk.plan.bid_list import bids, held_for
from watchlist.desk.plan.bid_sheets import sheet
from watchlist.desk.results.results import result
from watchlist.page.bids import COLUMNS, lines_in_cells

CELL = {column.name: at for at, column in enumerate(COLUMNS)}


@pytest.fixture
def sale(desk: Desk) -> Desk:
    """Four lots of a want at a venue that takes 20 per cent and no postage; the last one closes days later."""
    come(desk, *(row(str(n), price="100", hours=30 + n / 2) for n in range(3)), row("9", price="100", hours=130))
    return desk


@pytest.fixture
def parcel(desk: Desk) -> Desk:
    """The same in one parcel, postage 9.80, premium 20 with 19 per cent VAT on it; two more in pounds."""
    desk.shelf.notebook.venues.put(*(terms_from_row(cells) for cells in ROWS.values()))
    desk.shelf.notebook.sources.put(WEXBY)
    desk.shelf.store.catalogue.put_rates({("GBP", "2026-11"): Decimal("0.80")})
    desk.forget()
    come(desk, *(row(f"n{n}", price="10", hours=30 + n / 2) for n in range(3)))
    come(desk, *(row(f"w{n}", price="10", hours=50 + n / 2, currency="GBP") for n in range(2)), source=WEXBY)
    return desk


def bid(desk: Desk, key: str, amount: str, *words: str) -> None:
    for word in words or ("bid",):
        decide(desk, [key], word, amount, anyway=True)  # type: ignore[arg-type]


def cents(bids: list[tuple[str, str, str]]) -> Decimal:
    """What these cost together, by the script that knows nothing of the package."""
    told = [(lot, venue, venue, amount) for lot, venue, amount in bids]
    return Decimal(recost.plan(ROWS, {"EUR": Fraction(1), "GBP": Fraction(80, 100)}, told)) / 100


def test_the_foot_tells_sum_budget_clashes_and_wants(sale: Desk) -> None:
    sale.now = NOW
    for key in ("0", "1", "9"):
        bid(sale, f"north:{key}", "250")
    come(sale, row("0", price="100", hours=30.45))
    found = bids(sale)
    assert found.foot == (
        "3 bids, 900 of 1,500 EUR committed if all win; two close within 10 minutes; "
        "3 bids for want w1, you may win several: north:0, north:1, north:9"
    )
    assert [line.left for line in found.lines] == [eur(1200), eur(900), eur(600)]
    assert found.total == eur(900)
    tight = bids(sale, Decimal(700))
    assert "over the budget by 200 EUR if all win" in tight.warnings
    assert ["over the budget if this and all earlier bids win" in line.row.warnings for line in tight.lines] == [
        False,
        False,
        True,
    ]


def test_what_is_won_and_set_aside_is_gone_and_an_outbid_one_holds_nothing(sale: Desk) -> None:
    result(sale, "north:0", "200", won=True)
    season.put_aside(sale, "100", "a scale", date(2026, 12, 24))
    bid(sale, "north:1", "250", "placed", "outbid")
    bid(sale, "north:2", "250")
    found = bids(sale)
    assert found.foot == "1 bid, 640 of 1,500 EUR committed if all win; 240 of it spent; 100 of it set aside"
    assert [line.left for line in found.lines] == [eur(1160), eur(860)]


def test_a_win_is_owed_at_any_age_until_something_is_said_of_it(sale: Desk) -> None:
    result(sale, "north:0", "100", won=True)
    sale.now = NOW + timedelta(days=400)
    assert season.budgets(sale)[0].owed == eur(120)
    sale.now = NOW + timedelta(days=401)
    say(sale, "north:0", Said("kept"))
    held = season.budgets(sale)[0]
    assert (held.owed, held.paid) == (eur(0), eur(0))


def test_a_budget_of_a_long_season_keeps_what_was_paid_at_its_start(sale: Desk) -> None:
    first = NOW.date()
    season.put_budget(sale, "season", "1000", first, first + timedelta(days=200))
    result(sale, "north:0", "100", won=True)
    say(sale, "north:0", Said("kept"))
    for days in (3, 70, 190):
        sale.now = NOW + timedelta(days=days)
        assert season.budgets(sale)[0].left == eur(880)


def test_ended_bids_stand_apart_and_one_that_was_placed_still_binds(sale: Desk) -> None:
    bid(sale, "north:0", "200", "placed")
    bid(sale, "north:1", "200")
    bid(sale, "north:9", "250")
    sale.now += timedelta(hours=40)
    found = bids(sale)
    assert [(line.row.lot, line.row.stage) for line in found.ended] == [
        ("north:0", "undecided"), ("north:1", "not placed"),
    ]  # fmt: skip
    assert found.foot == "2 bids, 540 of 1,500 EUR committed if all win; two ended: record the result"
    assert [line.left for line in (*found.ended, *found.lines)] == [None, None, eur(960)]


def test_postage_is_counted_once_a_parcel(parcel: Desk) -> None:
    """c03 in small: the first lot of a parcel counts alone, the others beside it, the sum is that of the parcels."""
    told = [("north:n0", "12"), ("north:n1", "85"), ("wexby:w0", "40"), ("wexby:w1", "45")]
    for key, amount in told:
        bid(parcel, key, amount)
    found = bids(parcel)
    rows = [(lot, "Lindmoor Sales" if lot[0] == "n" else "Wexby Sales", amount) for lot, amount in told]
    assert found.total.amount == cents(rows)
    assert [line.left for line in found.lines] == [eur(str(1500 - cents(rows[: n + 1]))) for n in range(4)]
    assert [line.beside for line in found.lines] == [False, True, False, True]
    first, second, *_ = found.lines
    assert (first.cost, second.cost, second.alone) == (eur("24.66"), eur("105.23"), eur("115.03"))
    limit, limit_shared = second.row.limit, second.limit_shared
    assert limit is not None
    assert limit_shared is not None
    assert limit_shared > limit
    assert held_for(parcel, ["north:n1"]) == eur("105.23")
    assert held_for(parcel, ["north:n0", "north:n1"]).amount == cents(rows[:2])
    assert held_for(parcel, ["north:n2"]) == eur(0)
    result(parcel, "north:n0", "10", won=True)
    assert bids(parcel).lines[0].beside, "a piece of its parcel is won"


def test_of_a_group_the_dearest_outcome_counts_and_the_rest_waits(parcel: Desk) -> None:
    for key, amount in (("north:n0", "12"), ("north:n1", "85"), ("wexby:w0", "90")):
        bid(parcel, key, amount)
    season.put_group(parcel, "a", 1, ["north:n1", "wexby:w0"])
    found = bids(parcel)
    one, other = (("north:n1", "Lindmoor Sales", "85"), ("wexby:w0", "Wexby Sales", "90"))
    first = ("north:n0", "Lindmoor Sales", "12")
    assert found.total.amount == max(cents([first, one]), cents([first, other]))
    assert [(line.group, line.stage) for line in found.lines] == [("", "planned"), ("a", "planned"), ("a", "waits")]
    later = found.lines[2].row.lot
    assert waits(parcel) == {later}
    assert later not in {each.key for each in places(parcel)}, "it is not to be placed yet"
    with pytest.raises(DeskError, match="No bid to come goes on a sheet"):
        sheet(parcel, found.lines[2:])
    assert held_for(parcel, ["wexby:w0"]).amount == found.total.amount - cents([first, one])
    bid(parcel, "wexby:w0", "90", "placed")
    assert [line.stage for line in bids(parcel).lines] == ["planned", "waits", "placed"]


def test_budgets_with_dates_say_what_is_left_of_the_least(parcel: Desk) -> None:
    season.put_budget(parcel, "Winter", "500", date(2026, 11, 1), date(2026, 12, 31))
    season.put_budget(parcel, "Day", "100", date(2026, 11, 26), date(2026, 11, 26))
    season.put_budget(parcel, "Spring", "100", date(2027, 3, 1), date(2027, 3, 31))
    come(parcel, row("n5", price="10", hours=60 * 24))
    for key, amount in (("north:n0", "12"), ("wexby:w0", "40"), ("north:n5", "12")):
        bid(parcel, key, amount)
    found = bids(parcel)
    one, both = (
        cents([("a", "Lindmoor Sales", "12")]),
        cents([("a", "Lindmoor Sales", "12"), ("b", "Wexby Sales", "40")]),
    )
    assert [line.left for line in found.lines] == [eur(str(100 - one)), eur(str(500 - both)), None]
    assert found.foot.startswith(f"3 bids, up to {found.total.amount:,.0f} EUR committed if all win; ")
    assert found.foot.endswith(f"Winter: {500 - both:,.0f} of 500 left; Day: {100 - one:,.0f} of 100 left")
    assert bids(parcel, Decimal(400)).lines[-1].left == eur(str(400 - found.total.amount))


def test_a_bid_has_its_chance_to_win_the_venue_s_hour_and_its_last_moment(desk: Desk) -> None:
    """The chance is of winning at this bid, not that the piece is worth it: of an even band one half at its middle."""
    desk.shelf.notebook.wants.put(replace(desk.wants.by_id["w1"], low=eur(200), high=eur(400)))
    desk.shelf.notebook.venues.put(replace(desk.terms["Lindmoor Sales"], time_zone="Asia/Tokyo", bids_by=6))
    desk.forget()
    come(desk, row("1", price="10", hours=30), row("2", price="10", hours=31))
    judged = lot(desk, "north:1").judgement
    assert judged is not None
    assert judged.band is not None
    bid(desk, "north:1", str(round(judged.band.mid / Decimal("1.2"))))
    bid(desk, "north:2", "40")
    first, second = bids(desk).lines
    assert first.chance == pytest.approx(0.5, abs=0.02)
    assert second.chance is not None
    assert second.chance < 0.01
    assert first.likely == second.likely
    assert first.closes_there is not None
    assert (first.closes_there.hour, first.due) == (0, NOW + timedelta(hours=24))
    cells = list(lines_in_cells([first, second], "EUR", desk.settings.home.zone, desk.local_today()))
    assert [row[CELL["wins"]] for row in cells] == ["50%", "<1%"]
    assert [row[CELL["closes"]] for row in cells] == ["Thu 16:00", "    17:00"]


def test_an_hour_that_is_only_the_sale_s_is_marked(desk: Desk) -> None:
    come(desk, row("1", hours=None, description="Auction on 26 November 2026 at 19:00"))
    assert "may close later" in lot(desk, "north:1").lot.closes_note
    bid(desk, "north:1", "150")
    (line,) = bids(desk).lines
    (cells,) = lines_in_cells([line], "EUR", desk.settings.home.zone, desk.local_today())
    assert cells[CELL["closes"]].endswith("~")


def test_either_or_bids_of_one_sale_wait_for_no_loss_where_the_venue_takes_them_on_one_sheet(parcel: Desk) -> None:
    """Though the sale goes on for two days; a lot of the group at another venue waits."""
    parcel.shelf.notebook.venues.put(replace(parcel.terms["Lindmoor Sales"], or_bids=True))
    parcel.forget()
    come(parcel, *(row(f"n{n}", price="10", hours=30 + 24 * n) for n in range(2)))
    correcting.mend_all(parcel, ["n0", "n1"], {"sale": "Sale 41"})
    for key in ("north:n0", "north:n1", "wexby:w0"):
        bid(parcel, key, "40")
    season.put_group(parcel, "a", 1, ["n0", "n1", "w0"])
    stages = {line.number: line.stage for line in bids(parcel).lines}
    assert stages == {"n0": "planned", "n1": "planned", "w0": "waits"}


def test_what_is_overdrawn_is_a_whole_figure_too(parcel: Desk) -> None:
    bid(parcel, "north:n0", "120")
    (line,) = bids(parcel, Decimal(30)).lines
    (cells,) = lines_in_cells([line], "EUR", parcel.settings.home.zone, parcel.local_today())
    assert (str(line.left), cells[CELL["left"]]) == ("-128.36 EUR", "-128")


def test_amounts_in_another_currency_say_so(parcel: Desk) -> None:
    bid(parcel, "wexby:w0", "40")
    (line,) = bids(parcel).lines
    (cells,) = lines_in_cells([line], "EUR", parcel.settings.home.zone, parcel.local_today())
    assert (cells[CELL["bid"]], cells[CELL["stage"]]) == ("40 GBP", "to place")
    assert line.row.bid == Money(Decimal(40), "GBP")


def test_amounts_beside_another_currency_name_their_own(parcel: Desk) -> None:
    bid(parcel, "north:n0", "40")
    zone, today = parcel.settings.home.zone, parcel.local_today()

    def amounts() -> list[str]:
        return [row[CELL["bid"]] for row in lines_in_cells(bids(parcel).lines, "EUR", zone, today)]

    assert amounts() == ["40"]
    bid(parcel, "wexby:w0", "45")
    assert amounts() == ["40 EUR", "45 GBP"]


WORDS: tuple[Verb, ...] = ("bid", "placed", "acknowledged", "outbid", "cancelled", "unsold", "withdrawn", "clear")


@pytest.mark.parametrize("seed", range(12))
def test_money_committed_is_what_the_states_say_in_any_order_of_words_and_undos(parcel: Desk, seed: int) -> None:
    """Costed anew after each word by the script that knows nothing of the package, the lots in one parcel."""
    rng, keys = random.Random(seed), [f"north:n{n}" for n in range(3)]
    for _ in range(14):
        key, amount, word = rng.choice(keys), rng.randint(5, 90), rng.choice((*WORDS, "won", "lost", "undo", "redo"))
        with suppress(DeskError):
            if word in ("undo", "redo"):
                (undoing.undo if word == "undo" else undoing.redo)(parcel)
            elif word in ("won", "lost"):
                result(parcel, key, str(amount), won=word == "won")
            else:
                given = str(amount) if word in ("bid", "placed", "acknowledged") else ""
                decide(parcel, [key], word, given, anyway=True)
        told = [(lot, "Lindmoor Sales", str(sum_of(parcel, lot))) for lot in keys if sum_of(parcel, lot)]
        (held,) = committed.season(parcel)
        assert held.committed == cents(told)
        assert min(held.planned, held.placed, held.owed, held.undecided, held.paid) >= 0


def sum_of(desk: Desk, lot: str) -> Decimal:
    """What the words in force leave bound of a lot: its bid, or the price it was won at."""
    words = [line for line in desk.shelf.store.decisions.in_force(*WORDS, "won", "lost") if line.lot == lot]
    last = words[-1] if words else None
    won = last.amount.amount if last and last.verb == "won" and last.amount else None
    return won if won is not None else by_hand(words, over=False)
