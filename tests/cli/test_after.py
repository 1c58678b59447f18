"""From the win to the shelf: invoice, payments, arrival, a return, lists; every refusal is one sentence."""

from __future__ import annotations

import csv
from decimal import Decimal
from pathlib import Path
from typing import Any

import pytest

from tests.cli.conftest import Ran, Run

CATALOGUE = "issue,country,denomination,year,mint\n" + "".join(
    f"F-{y},Farlonde,5 kron,{y},\n" for y in range(1890, 1900)
)
PRICES = "sale_date,denomination,year,country,grade,hammer,currency,source\n" + "".join(
    f"2025-{1 + n % 12:02}-11,5 kron,{1890 + n % 10},Farlonde,VF-{20 + n % 3 * 5},{60 + n % 7 * 3},EUR,Vessick\n"
    for n in range(60)
)
TERMS = """venue,kind,currency,premium_pct,vat_on_premium_pct,shipping,ships_together,pay_days,return_days
Vessick,auction,EUR,20,19,9.80,sale,7,14
"""
LOTS = """id,title,price,currency,closing time
1,"5 kron 1891 Farlonde, VF-20",5,EUR,2026-03-04 19:00
2,"5 kron 1892 Farlonde, VF-25",50,EUR,2026-03-04 19:05
3,"5 kron 1893 Farlonde, VF-30",200,EUR,2026-03-04 19:10
"""


def on(day: str) -> str:
    return f"2026-03-{day}T12:00:00+01:00"


@pytest.fixture
def won(run: Run, tmp_path: Path) -> Run:
    """Three lots of one sale, won at 12, 85 and 300."""
    files = {"catalogue": CATALOGUE, "prices": PRICES, "terms": TERMS}
    for kind, text in files.items():
        (tmp_path / f"{kind}.csv").write_text(text, "utf-8")
        assert run("import", kind, str(tmp_path / f"{kind}.csv")).code == 0
    (tmp_path / "lots.csv").write_text(LOTS, "utf-8")
    run("source", "add", "vessick", str(tmp_path / "lots.csv"), "--venue", "Vessick")
    run("want", "add", "--coin", "Farlonde 5 kron 1893", "--grade", "20-40", "--ceiling", "500EUR")
    assert run("gather").code == 0
    for lot, price in (("1", "12"), ("2", "85"), ("3", "300")):
        assert run("decide", f"vessick:{lot}", "placed", price, "--anyway").code == 0
        assert run("result", f"vessick:{lot}", price, "--won", now=on("05")).code == 0
    return run


def parcel(run: Run, day: str) -> dict[str, Any]:
    (row,) = run("parcel", "--json", now=on(day)).rows
    return row


def test_from_the_invoice_to_the_list(won: Run, tmp_path: Path) -> None:
    calculated = [Decimal(each["cost"]["amount"]) for each in won("held", "--json", now=on("05")).rows]
    assert sum(calculated) == Decimal("501.29"), "one parcel, its postage once"
    name = str(parcel(won, "05")["parcel"])
    told = won("parcel", name, "invoiced", "509.09", "--post", "17.60", "--number", "881", now=on("06"))
    assert "invoice 509.09 EUR, calculated 501.29 EUR: 7.80 more; postage 17.60 for 9.80." in told.err
    assert (parcel(won, "06")["state"], parcel(won, "06")["due"]) == ("invoiced", "2026-03-13")
    assert "200 EUR: 309.09 EUR owed by 13 Mar" in won("parcel", name, "paid", "200", now=on("07")).err
    over = won("parcel", name, "paid", "400", now=on("08"))
    assert (over.code, "90.91 EUR would be kept as cost" in over.err) == (2, True)
    assert "nothing owed" in won("parcel", name, "paid", "309.09", now=on("09")).err
    won("parcel", name, "arrived", now=on("12"))
    row = parcel(won, "12")
    assert (row["state"], row["return_by"], row["owed"]) == ("arrived", "2026-03-26", None)
    windows = {day: won("digest", "--json", now=on(day)).rows for day in ("12", "24")}
    for day, heading in (("12", "Return windows"), ("24", "Today: days that are near")):
        (told_of,) = [each["text"] for each in windows[day] if each["part"] == heading]
        assert "Thu 26 Mar: " in told_of
        assert name in told_of
    shares: dict[str, str] = row["shares"]
    assert sum(Decimal(share) for share in shares.values()) == Decimal("509.09")
    _goes_back(won, tmp_path)


def _goes_back(won: Run, tmp_path: Path) -> None:
    late = won("piece", "vessick:3", "returned", "--reason", "Not as  described", now=on("27"))
    assert (late.code, "return was due 26 Mar: the venue may refuse" in late.err) == (2, True)
    back = won("piece", "vessick:3", "returned", "--reason", "Not as  described", "--postage", "8.90", now=on("20"))
    assert "its price is excluded, and its want matches again" in back.err
    much = won("piece", "vessick:3", "refunded", "400", now=on("22"))
    assert (much.code, "return postage" in much.err) == (2, True)
    assert won("piece", "vessick:3", "refunded", "371.40", now=on("22")).code == 0
    assert won("piece", "vessick:1", "kept", now=on("22")).code == 0
    assert won("piece", "vessick:1", "sold", "40", "--fees", "2.50", now=on("25")).code == 0
    assert parcel(won, "25")["return_by"] == "2026-03-26", "one piece of three may still go back"
    assert won("piece", "vessick:2", "kept", now=on("25")).code == 0
    assert parcel(won, "25")["return_by"] is None
    assert "Return what" not in won("parcel", now=on("25")).out
    files = tmp_path / "insurance.csv", tmp_path / "purchases.csv"
    none = won("held", "no-such", now=on("28"))
    assert "No piece held matches `no-such`." in none.err
    assert [each["key"] for each in won("held", "vessick:2", "--all", "--json", now=on("28")).rows] == ["vessick:2"]
    assert "1 piece held: " in " ".join(won("held", "--all", now=on("28")).out.split()), (
        "the two that went are not counted"
    )
    assert won("held", "--insurance", str(files[0]), "--purchases", str(files[1]), now=on("28")).code == 0
    insured, bought = (list(csv.DictReader(path.read_text("utf-8").splitlines())) for path in files)
    assert [row["coin"] for row in insured] == ["5 kron 1892"]
    assert Decimal(insured[0]["replacement_value"]) > Decimal(insured[0]["market_value"]) > 0
    assert "cost" not in insured[0]
    assert sum(Decimal(row["cost"]) for row in bought) == Decimal("509.09")
    lines = ("hammer", "premium", "vat", "postage", "other")
    assert all(sum(Decimal(row[name]) for name in lines) == Decimal(row["cost"]) for row in bought)
    assert sum(Decimal(row["postage"]) for row in bought) == Decimal("9.80")
    assert sum(Decimal(row["other"]) for row in bought) == Decimal("7.80")
    returned = next(row for row in bought if row["state"] == "refunded")
    assert Decimal(returned["loss_on_return"]) == Decimal(returned["cost"]) + Decimal("8.90") - Decimal("371.40")
    sold = next(row for row in bought if row["state"] == "sold")
    assert Decimal(sold["gain"]) == Decimal("37.50") - Decimal(sold["cost"])
    prices = won("price", "Farlonde 5 kron 1893", "--json", now=on("28")).rows[0]
    assert any("vessick:3" not in str(each) and each["reason"] == "excluded by you" for each in prices["set_aside"])
    (want,) = won("want", "list", "--json", now=on("28")).rows
    assert want.get("filled", 0) == 0


def test_every_step_is_turned_back_with_its_words(won: Run) -> None:
    name = str(parcel(won, "05")["parcel"])
    won("parcel", name, "invoiced", "501.29", now=on("06"))
    won("parcel", name, "paid", "501.29", now=on("07"))
    won("piece", "vessick:3", "returned", "--reason", "not as described", now=on("09"))
    said = [won("undo", now=on("10")).err for _ in range(3)]
    assert said[0].startswith("Undone: returned on 3 (5 kron 1893, VF-30), said Mon 9 Mar 12:00.")
    assert said[1].startswith(f"Undone: payment 501.29 EUR of {name}, said Sat 7 Mar 12:00.")
    assert said[2].startswith(f"Undone: invoice 501.29 EUR of {name}, said Fri 6 Mar 12:00.")
    assert parcel(won, "10")["state"] == "open"
    assert won("want", "list", "--json").rows[0].get("filled", 0) == 1


def test_days_to_keep_are_told_in_the_morning_and_in_the_calendar(won: Run) -> None:
    name = str(parcel(won, "05")["parcel"])
    won("parcel", name, "invoiced", "501.29", now=on("06"))
    assert "LAST DAY TODAY, Fri 13 Mar: pay" in won("calendar", now=on("13")).out
    assert "the last day was Fri 13 Mar" in won("gather", "--offline", now=on("16")).out
    won("venue", "edit", "Vessick", "--time-zone", "Asia/Tokyo", now=on("16"))
    won("parcel", name, "arrived", now=on("16"))
    assert "Mon 30 Mar (13 days left), until 16:59 here" in won("calendar", now=on("17")).out


def test_what_is_paid_and_has_not_come_is_told_from_the_day_it_was_expected(won: Run) -> None:
    """Three weeks after the payment, and every morning until it comes."""
    name = str(parcel(won, "05")["parcel"])
    won("parcel", name, "invoiced", "501.29", now=on("05"))
    won("parcel", name, "paid", "501.29", now=on("06"))
    told = {
        day: [each["text"] for each in won("digest", "--json", now=on(day)).rows if "not arrived" in str(each)]
        for day in ("26", "27", "29")
    }
    assert [len(each) for each in told.values()] == [0, 1, 1]
    assert f"Paid, not arrived: expected today, Fri 27 Mar: {name}" in told["27"][0]
    assert "the last day was Fri 27 Mar" in told["29"][0]
    won("parcel", name, "arrived", now=on("29"))
    assert not any("not arrived" in str(each) for each in won("digest", "--json", now=on("29")).rows)


REFUSED = (
    (("parcel", "P99", "invoiced", "50"), "There is no parcel P99."),
    (("parcel", "{p}", "invoiced", "80"), "Invoice 80 EUR is below its hammer prices, 397 EUR."),
    (("parcel", "{p}", "invoiced"), "`invoiced` takes a sum."),
    (("parcel", "{p}", "invoiced", "-5"), "above zero"),
    (("parcel", "{p}", "arrived", "--on", "2026-03-09"), "is still to come"),
    (("parcel", "{p}", "dispatched", "--on", "2026-03-01"), "Dispatched 1 Mar is before the sale, 4 Mar."),
    (("parcel", "{p}", "paid", "50", "--settles", "50USD"), "--settles is in EUR"),
    (("parcel", "{p}", "invoiced", "500", "--post", "17USD"), "The postage is to be told in EUR, not USD"),
    (("parcel", "{p}", "split", "evenly"), "by-price or by-piece, not `evenly`"),
    (("piece", "vessick:1", "refunded", "5"), "neither returned nor disputed"),
    (("piece", "vessick:1", "settled"), "is not disputed"),
    (("piece", "S-999", "kept"), "S-999"),
    (("piece", "vessick:1", "kept", "5"), "`kept` takes no sum."),
)


def test_what_cannot_be_is_one_sentence_and_changes_nothing(won: Run) -> None:
    name = str(parcel(won, "05")["parcel"])
    before = won("parcel", "--json", now=on("06")).out
    for words, said in REFUSED:
        done: Ran = won(*(each.format(p=name) for each in words), now=on("06"))
        assert (done.code, done.err.count("\n")) == (2, 1), words
        assert said in done.err
        assert won("parcel", "--json", now=on("06")).out == before, words


def test_wins_of_long_ago_are_told_of_and_kept_in_one_command(won: Run) -> None:
    """An old shelf owes what nobody spoke of; one command says that it is paid and kept, one undo takes it back."""
    june = "2026-06-05T12:00:00+02:00"
    said = "3 wins of before 6 Apr 2026 still count as owed"
    listed = won("parcel", now=june)
    assert said in listed.err
    assert said in " ".join(won("digest", now=june).out.split())
    odd = won("piece", "vessick:1", "kept", "--before", "2026-04-06", now=june)
    assert (odd.code, "--before goes with `watchlist piece all kept`" in odd.err) == (2, True)
    done = won("piece", "all", "kept", "--before", "2026-04-06", now=june)
    assert (done.code, "3 wins of before 6 Apr 2026: kept, so counted as paid." in done.err) == (0, True)
    assert said not in won("parcel", now=june).err
    assert "kept on 3 lots" in won("undo", now=june).err
    assert said in won("parcel", now=june).err
