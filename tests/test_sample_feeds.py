"""The sample shelf: made again byte for byte, well-formed but where broken on purpose, and true to its own market."""

import csv
import io
import json
import subprocess
import sys
import tomllib
import xml.etree.ElementTree as ET
from collections import Counter
from datetime import datetime, timedelta
from decimal import Decimal
from pathlib import Path
from typing import Any

import pytest

from watchlist.core.fees.costs import all_in_cost
from watchlist.core.fees.row import terms_from_row
from watchlist.core.fees.terms import Terms

ROOT = Path(__file__).resolve().parent.parent
SAMPLE = ROOT / "sample_feeds"
TRUTH_FILE = ROOT / "tests" / "data" / "sample_truth.json"
TRUTH: dict[str, dict[str, Any]] = json.loads(TRUTH_FILE.read_text("utf-8"))
PLAN = tomllib.loads((SAMPLE / "sample.toml").read_text("utf-8"))
MORNING: datetime = PLAN["sample"]["morning"]
TODAY = {key: lot for key, lot in TRUTH.items() if lot["listed"] != "yesterday"}
FOLDERS = {"today": SAMPLE, "yesterday": SAMPLE / PLAN["sample"]["previous"]}
ATOM = "{http://www.w3.org/2005/Atom}"


def rows(name: str) -> list[dict[str, str]]:
    """An import file of the sample."""
    return list(csv.DictReader(io.StringIO((SAMPLE / name).read_text("utf-8"))))


def issue_of(row: dict[str, str]) -> tuple[str, ...]:
    return tuple(row[name] for name in ("country", "denomination", "year", "mint", "variety"))


def feed_titles(folder: Path) -> dict[str, str]:
    """Key and title of every lot, read with the standard library alone."""
    out = {}
    for item in ET.parse(folder / "lindmoor.rss").iter("item"):
        out[f"lindmoor:{item.findtext('guid')}"] = item.findtext("title") or ""
    for entry in ET.parse(folder / "wexby.atom").iter(f"{ATOM}entry"):
        out[f"wexby:{entry.findtext(f'{ATOM}id')}"] = entry.findtext(f"{ATOM}title") or ""
    for thing in json.loads((folder / "ostrell.json").read_text("utf-8"))["items"]:
        out[f"ostrell:{thing['id']}"] = thing["title"]
    with (folder / "brannental.csv").open(encoding="cp1252", newline="") as file:
        out |= {f"brannental:{r['Los-Nr.']}": r["Bezeichnung"] for r in csv.DictReader(file, delimiter=";")}
    return out


def test_made_again_it_is_the_same_to_the_byte(tmp_path: Path) -> None:
    script = str(SAMPLE / "generate.py")
    subprocess.run([sys.executable, "-B", script, str(tmp_path), str(tmp_path / "truth.json")], check=True)
    made = {p.relative_to(tmp_path): p for p in tmp_path.rglob("*") if p.is_file() and p.name != "truth.json"}
    data = (".csv", ".rss", ".atom", ".json")
    assert set(made) == {p.relative_to(SAMPLE) for p in SAMPLE.rglob("*") if p.suffix in data}
    for name, path in made.items():
        assert path.read_bytes() == (SAMPLE / name).read_bytes(), name
    assert (tmp_path / "truth.json").read_bytes() == TRUTH_FILE.read_bytes()


def test_sample_toml_names_files_that_are_there() -> None:
    assert {i["kind"] for i in PLAN["imports"]} == {"catalogue", "rates", "terms", "prices", "guide", "wants"}
    for part in (*PLAN["imports"], *PLAN["sources"]):
        assert (SAMPLE / part["file"]).is_file(), part["file"]
    for source in PLAN["sources"]:
        assert (FOLDERS["yesterday"] / source["file"]).is_file()
    venues = {row["venue"] for row in rows("terms.csv")}
    assert {source["venue"] for source in PLAN["sources"]} == venues
    assert PLAN["sample"]["yesterday"] < MORNING
    assert MORNING.utcoffset() == timedelta(hours=1)


def test_the_folder_is_small() -> None:
    assert sum(p.stat().st_size for p in SAMPLE.rglob("*") if "__pycache__" not in p.parts and p.is_file()) < 1_500_000


def test_catalogue_is_plausible() -> None:
    catalogue = rows("catalogue.csv")
    assert 140 <= len(catalogue) <= 170
    assert len({row["issue"] for row in catalogue}) == len({issue_of(row) for row in catalogue}) == len(catalogue)
    assert 4 <= sum(row["copied"] == "yes" for row in catalogue) <= 10
    assert {row["variety"] for row in catalogue} >= {"", "overdate 7/6", "large date", "small date"}
    assert {row["mint"] for row in catalogue} == {"", "M", "V", "S"}
    assert all(int(row["mintage"]) > 1000 for row in catalogue)


def test_prices_are_many_and_dirty_as_files_are() -> None:
    prices, known = rows("prices.csv"), {issue_of(row) for row in rows("catalogue.csv")}
    assert len(prices) >= 2000
    assert {issue_of(row) for row in prices} <= known
    assert {row["currency"] for row in prices} == {"EUR", "GBP", "USD"}
    assert {row["status"] for row in prices} == {"sold", "unsold"}
    days = sorted(row["sale_date"] for row in prices)
    assert days[0] >= "2020-03-03"
    assert days[-1] < MORNING.date().isoformat()
    assert any(int(row["quantity"]) > 1 for row in prices)
    assert any(row["problem"] for row in prices)
    assert any(n > 1 for n in Counter(tuple(row.values()) for row in prices).values())
    assert all(Decimal(row["hammer"]) >= 1 for row in prices)


def test_one_price_is_a_tenfold_slip() -> None:
    others = Counter(tuple(v for k, v in row.items() if k != "hammer") for row in rows("prices.csv"))
    twice = {key for key, n in others.items() if n == 2}
    pairs: dict[tuple[str, ...], list[Decimal]] = {}
    for row in rows("prices.csv"):
        key = tuple(v for k, v in row.items() if k != "hammer")
        if key in twice:
            pairs.setdefault(key, []).append(Decimal(row["hammer"]))
    assert sorted(max(pair) / min(pair) for pair in pairs.values())[-1] == 10


def test_every_month_has_its_rates() -> None:
    seen = {(row["month"], row["currency"]) for row in rows("rates.csv")}
    months = {row["sale_date"][:7] for row in rows("prices.csv")} | {MORNING.date().isoformat()[:7]}
    assert seen >= {(month, currency) for month in months for currency in ("GBP", "USD")}


def test_wants_ask_for_issues_of_the_catalogue() -> None:
    wants, known = rows("wants.csv"), {issue_of(row) for row in rows("catalogue.csv")}
    assert len(wants) == 30
    assert {issue_of(row) for row in wants} <= known
    assert sum(row["certified"] == "yes" for row in wants) == 4
    assert sum(row["upgrade"] == "yes" for row in wants) == 1
    assert 2 <= sum(bool(row["low"]) for row in wants) <= 8
    assert set(PLAN["filled"]) == {row["want_id"] for row in wants if row["upgrade"] == "yes"}


@pytest.mark.parametrize("day", ["today", "yesterday"])
def test_the_feeds_hold_the_lots_of_the_truth(day: str) -> None:
    expected = {
        key: lot["title"]
        for key, lot in TRUTH.items()
        if lot["listed"] in ("both", day) and not key.startswith("lindmoor-evening")
    }
    assert feed_titles(FOLDERS[day]) == expected


def test_a_good_part_is_new_this_morning() -> None:
    assert 200 <= len(TODAY) <= 260
    assert 25 <= sum(lot["listed"] == "today" for lot in TRUTH.values()) <= 60
    assert sum(lot["listed"] == "yesterday" for lot in TRUTH.values()) >= 15


def test_one_source_fails_this_morning() -> None:
    assert len(list(ET.parse(FOLDERS["yesterday"] / "lindmoor-evening.rss").iter("item"))) == 8
    assert "sign in" in (SAMPLE / "lindmoor-evening.rss").read_text("utf-8")


def test_the_story_has_its_parts() -> None:
    kinds = Counter(lot["kind"] for lot in TODAY.values())
    assert kinds["bargain"] == 10
    assert kinds["copy"] == 4
    assert kinds["fake"] == 11
    assert min(kinds["over"], kinds["problem"], kinds["overgraded"]) >= 6
    assert min(kinds["many"], kinds["other"], kinds["unreadable"]) >= 3
    signs = {lot["sign"] for lot in TODAY.values() if lot["kind"] == "fake"}
    assert signs == {"price", "weight", "never struck", "certificate", "seller"}
    notes = {lot["note"] for lot in TODAY.values()}
    assert notes >= {
        "hostile",
        "wide",
        "no price",
        "bad time",
        "relist",
        "resale",
        "wrong mint",
        "wrong variety",
        "under the floor",
        "not certified",
    }


def test_bargains_answer_wants_and_are_cheap() -> None:
    ceilings = {row["want_id"]: Decimal(row["ceiling"]) for row in rows("wants.csv")}
    floors = {row["want_id"]: int(row["min_grade"].split("-")[-1]) for row in rows("wants.csv")}
    for key, lot in TODAY.items():
        if lot["kind"] == "bargain":
            (want,) = lot["wanted"]
            assert Decimal(lot["all_in"]) < Decimal(str(lot["fair_value"])) * Decimal(".7"), key
            assert Decimal(lot["all_in"]) <= ceilings[want]
            assert lot["true_grade"] >= floors[want]


def test_no_other_right_piece_at_a_fixed_price_is_a_bargain() -> None:
    for key, lot in TODAY.items():
        if lot["kind"] in ("honest", "over") and lot["fixed"] and lot["fair_value"]:
            assert Decimal(lot["all_in"]) > Decimal(str(lot["fair_value"])) * Decimal(".8"), key


def test_closing_times_lie_ahead_and_some_are_today() -> None:
    closes = [datetime.fromisoformat(lot["closes"]) for lot in TODAY.values() if lot["closes"]]
    assert all(MORNING < when < MORNING + timedelta(days=11) for when in closes)
    assert sum(when.astimezone(MORNING.tzinfo).date() == MORNING.date() for when in closes) >= 10


def test_a_certificate_number_comes_back_on_another_issue() -> None:
    sold = {row["cert_number"]: issue_of(row)[1:4] for row in rows("prices.csv") if row["cert_number"]}
    met = {
        key: sold[lot["cert_number"]] == (lot["denomination"], str(lot["year"]), lot["mint"])
        for key, lot in TODAY.items()
        if lot["cert_number"] in sold
    }
    assert {TODAY[key]["kind"]: same for key, same in met.items()} == {"fake": False, "honest": True}
    shared = Counter(lot["cert_number"] for lot in TODAY.values() if lot["cert_number"])
    assert [n for n in shared.values() if n > 1] == [2]


def test_never_struck_pieces_are_in_no_catalogue() -> None:
    known = {issue_of(row)[1:4] for row in rows("catalogue.csv")}
    for lot in TODAY.values():
        if lot["year"]:
            struck = (lot["denomination"], str(lot["year"]), lot["mint"]) in known
            assert struck == (lot["sign"] != "never struck"), lot["title"]


def test_all_in_costs_agree_with_the_terms_of_the_venues() -> None:
    venue = {source["name"]: source["venue"] for source in PLAN["sources"]}
    terms: dict[str, Terms] = {row["venue"]: terms_from_row(row) for row in rows("terms.csv")}
    month = MORNING.date().isoformat()[:7]
    fx = {row["currency"]: 1 / Decimal(row["units_per_EUR"]) for row in rows("rates.csv") if row["month"] == month}
    for key, lot in TODAY.items():
        if lot["price"] is None:
            continue
        cost = all_in_cost(
            terms[venue[key.split(":")[0]]], Decimal(lot["price"]), home="EUR", fx=fx.get(lot["currency"], Decimal(1))
        )
        assert abs(cost.all_in.amount - Decimal(lot["all_in"])) <= Decimal("0.01"), key


def test_prices_rise_with_the_grade_in_the_true_market() -> None:
    issues = Counter(lot["issue"] for lot in TODAY.values() if lot["kind"] == "honest")
    for issue in issues:
        lots = sorted(
            (lot["true_grade"], lot["fair_value"])
            for lot in TODAY.values()
            if lot["issue"] == issue and lot["kind"] == "honest" and not lot["certified"] and lot["quantity"] == 1
        )
        assert [v for _, v in lots] == sorted(v for _, v in lots)
