"""Lists for an insurer and a tax file, read back: their sums are those of what was paid and refunded."""

from __future__ import annotations

import csv
import random
from collections.abc import Iterable, Mapping
from dataclasses import replace
from decimal import Decimal
from pathlib import Path

from tests.desk.pieces import NORTH, come, row
from watchlist.core.fees.premiums import Premium
from watchlist.core.fees.terms import Terms
from watchlist.desk.desk import Desk
from watchlist.desk.files import write_file
from watchlist.desk.held import arrivals, held_lists, pieces
from watchlist.desk.held.held import held, sums
from watchlist.desk.held.parcels import parcels
from watchlist.desk.results.results import result
from watchlist.page.export import csv_lines

ABROAD = Terms("Wexby Sales", "GBP", premium=Premium(pct=Decimal(25)), shipping=Decimal(14), ships_together="sale",
               import_vat_pct=Decimal(7), payment_fee=Decimal("1.50"))  # fmt: skip
WEXBY = replace(NORTH, name="wexby", venue="Wexby Sales", currency="GBP")
LINES = tuple(held_lists.COSTS)


def a_year(desk: Desk, seed: int, lots: int) -> Mapping[str, Decimal]:
    """So many purchases at two venues in two currencies, what became of them by chance; what was paid and came back."""
    chance, purse = (
        random.Random(seed),
        dict.fromkeys(("paid", "postage", "refund", "spent", "proceeds", "fees"), Decimal(0)),
    )
    _furnish(desk)
    came, month = 0, 0
    while came < lots:
        source, keys = chance.choice((NORTH, WEXBY)), range(came, min(came + chance.randrange(1, 6), lots))
        come(desk, *(row(f"{n}", price="20", hours=month * 24 - 24 * 400, currency="") for n in keys), source=source)
        for n in keys:
            result(desk, f"{source.name}:{n}", f"{_sum(chance, 500, 40_000)}", won=True)
        came, month = keys.stop, month + 1
    for parcel in [each.id for each in parcels(desk)]:
        _parcel(desk, parcel, chance, purse)
    for each in held(desk):
        _piece(desk, each.key, chance, purse)
    return purse


def _furnish(desk: Desk) -> None:
    venues = desk.shelf.notebook.venues
    venues.put(*(replace(terms, ships_together="sale", shipping=Decimal("9.80")) for terms in venues.list()), ABROAD)
    desk.shelf.notebook.sources.put(WEXBY)
    desk.shelf.store.catalogue.put_rates(
        {("GBP", f"202{y}-{m:02}"): Decimal("0.83") for y in (5, 6) for m in range(1, 13)}
    )
    desk.forget()


def _sum(chance: random.Random, low: int, high: int) -> Decimal:
    return Decimal(chance.randrange(low, high)) / 100


def _parcel(desk: Desk, name: str, chance: random.Random, purse: dict[str, Decimal]) -> None:
    """Its invoice, above its hammer prices, and one or two payments that settle it."""
    shown = next(each for each in parcels(desk) if each.id == name)
    whole = sum((lot.price.amount for lot in shown.lots), Decimal(0)) + _sum(chance, 100, 9000)
    arrivals.say(desk, name, arrivals.Said("invoiced", f"{whole}", number=f"7/{name}"))
    for part in (whole - 1, Decimal(1)) if chance.random() < 0.3 else (whole,):
        paid = part if shown.currency == desk.home else round(part / Decimal("0.83"), 2)
        said = arrivals.Said("paid", f"{paid}", settles=f"{part} {shown.currency}")
        arrivals.say(desk, name, said, anyway=True)
        purse["paid"] += paid
    arrivals.say(desk, name, arrivals.Said("arrived"))


def _piece(desk: Desk, key: str, chance: random.Random, purse: dict[str, Decimal]) -> None:
    fate = chance.randrange(6)
    fee, amount = _sum(chance, 50, 900), _sum(chance, 500, 30_000)
    if fate == 0:
        pieces.say(desk, key, pieces.Said("returned", reason="not as described", postage=f"{fee}"), anyway=True)
        pieces.say(desk, key, pieces.Said("refunded", f"{amount}"), anyway=True)
        purse["postage"] += fee
        purse["refund"] += amount
    elif fate == 1:
        pieces.say(desk, key, pieces.Said("to-service", fees=f"{fee}"))
        purse["spent"] += fee
    elif fate == 2:
        pieces.say(desk, key, pieces.Said("sold", f"{amount}", fees=f"{fee}"))
        purse["proceeds"] += amount
        purse["fees"] += fee


def total(rows: Iterable[Mapping[str, str]], *names: str) -> Decimal:
    """The sum of some columns; an empty cell counts nothing."""
    return sum((Decimal(each[name] or 0) for each in rows for name in names), Decimal(0))


def written(desk: Desk, path: Path) -> tuple[Path, Path]:
    """Both lists on the disk."""
    every = held(desk)
    lists = held_lists.purchases(desk, every), held_lists.insurance(desk, every, with_cost=True)
    names = "purchases.csv", "insurance.csv"
    first, second = (
        write_file(str(path / name), csv_lines(*made), replace=True) for name, made in zip(names, lists, strict=True)
    )
    return first, second


def test_the_lists_of_a_year_add_up_to_what_left_the_purse(desk: Desk, tmp_path: Path) -> None:
    purse = a_year(desk, 1, 24)
    bought, insured = (list(csv.DictReader(path.read_text("utf-8").splitlines())) for path in written(desk, tmp_path))
    assert len(bought) == 24
    assert total(bought, "cost") == total(bought, *LINES) == purse["paid"]
    assert all(total([each], "cost") == total([each], *LINES) for each in bought)
    names = ("return_postage", "refund", "spent_since", "proceeds", "selling_fees")
    assert [total(bought, name) for name in names] == [
        purse[name] for name in ("postage", "refund", "spent", "proceeds", "fees")
    ]
    sold = [each for each in bought if each["sold_on"]]
    assert total(sold, "gain") == purse["proceeds"] - purse["fees"] - total(sold, "cost", "spent_since")
    back = [each for each in bought if each["returned_on"]]
    assert total(back, "loss_on_return") == total(back, "cost", "return_postage", "spent_since") - purse["refund"]
    here = [each for each in held(desk) if not each.course.gone]
    assert len(insured) == len(here) < 24
    assert total(insured, "cost") == sums(here, desk.home)[0].amount
    kept = [each for each in bought if not each["sold_on"] and not each["returned_on"]]
    assert total(insured, "cost") == total(kept, "cost", "spent_since")
