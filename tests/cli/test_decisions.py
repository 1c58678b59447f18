"""Decisions, results and weights: what undo turns back leaves no trace, over many steps, days and restarts."""

from __future__ import annotations

from datetime import datetime
from decimal import Decimal
from pathlib import Path
from typing import Any

from tests.cli.conftest import Run
from watchlist.core.decisions.review import Decision, fold, undo
from watchlist.shelf.records import dumps, loads

COIN = "OR-5T-1891M"
NEXT_DAY = "2026-03-04T07:30:00+01:00"
SAMPLES_LAST = "Undone: import of wants from wants.csv: 30 taken, said Mon 2 Mar 07:15."
"""What is said when the last change of the sample itself is undone; no want is called filled that is off the list."""


def state(run: Run) -> tuple[str, object, str]:
    """Lots, bids and wants as they stand; what rests on a band moves with the day on which it is worked out."""
    bids = [{name: row[name] for name in row if name not in ("chance", "likely")} for row in run("bids", "--json").rows]
    return run("lots", "--json").out, bids, run("want", "list", "--json").out


def sales(run: Run) -> list[dict[str, Any]]:
    found: list[dict[str, Any]] = run("price", COIN, "--grade", "60", "--json").rows[0]["sales"]
    return found


def own(run: Run) -> list[str]:
    """The prices of today: those that the person's own results made."""
    return [row["price"] for row in sales(run) if row["day"] == "2026-03-03"]


def filled(run: Run) -> int:
    return int(next(row for row in run("want", "list", "--json").rows if row["id"] == "w22").get("filled", 0))


def test_many_decisions_of_several_days_are_undone_one_by_one_and_done_again(on_sample: Run) -> None:
    steps = [
        ("LM-101", "follow", ()),
        ("2023", "bid", ("300", "--anyway")),
        ("TS-5149", "buy", ()),
        ("2023", "placed", ()),
        ("2023", "outbid", ("320",)),
        ("LM-101", "skip", ()),
        ("2023", "bid", ("330",)),
    ]
    seen = [state(on_sample)]
    for number, (key, verb, amount) in enumerate(steps):
        now = f"2026-03-0{3 + number // 3}T07:30:00+01:00"
        assert on_sample("decide", key, verb, *amount, now=now).code == 0
        seen.append(state(on_sample))
    for before in reversed(seen[:-1]):
        assert on_sample("undo", now="2026-03-06T07:30:00+01:00").code == 0
        assert state(on_sample)[1:] == before[1:]
    assert on_sample("undo").err.strip() == SAMPLES_LAST
    assert "Redone: import of wants" in on_sample("redo").err
    for after in seen[1:]:
        assert on_sample("redo", now="2026-03-06T07:30:00+01:00").code == 0
        assert state(on_sample)[1:] == after[1:]
    assert on_sample("redo").code == 2


def test_a_second_result_takes_the_place_of_the_first_and_undo_brings_it_back(on_sample: Run) -> None:
    assert own(on_sample) == []
    assert on_sample("result", "LM-101", "95", "--won").code == 0
    first = own(on_sample)
    assert len(first) == 1
    assert on_sample("result", "LM-101", "96", "--won").code == 0
    assert len(own(on_sample)) == 1
    assert own(on_sample) != first
    assert filled(on_sample) == 1, "one piece was bought, however often its price is written down"
    on_sample("undo")
    assert own(on_sample) == first
    assert filled(on_sample) == 1
    on_sample("undo")
    assert own(on_sample) == []
    assert filled(on_sample) == 0


def test_a_lost_lot_that_was_won_after_all_is_lost_again_after_undo(on_sample: Run) -> None:
    on_sample("result", "LM-101", "90")
    lost = own(on_sample)
    on_sample("result", "LM-101", "95", "--won")
    on_sample("undo", now=NEXT_DAY)
    assert own(on_sample) == lost
    assert on_sample("lot", "LM-101", "--json").rows[0]["state"] == "lost"
    on_sample("redo", now=NEXT_DAY)
    assert filled(on_sample) == 1
    assert on_sample("decide", "LM-101", "clear").code == 0
    assert (own(on_sample), filled(on_sample)) == ([], 0)
    on_sample("undo")
    assert (len(own(on_sample)), filled(on_sample)) == (1, 1)


def test_skipping_a_lost_lot_keeps_its_price(on_sample: Run) -> None:
    on_sample("result", "LM-101", "90")
    assert on_sample("decide", "LM-101", "skip").code == 0
    assert len(own(on_sample)) == 1


def test_a_weight_is_a_decision_that_undo_and_redo_turn(on_sample: Run) -> None:
    on_sample("price", "--refit")
    before = sales(on_sample)
    sale = str(before[0]["sale"])
    assert on_sample("decide", "LM-101", "follow").code == 0
    done = on_sample("price", "--weight", sale, "0", "--note", "a relisting")
    assert done.code == 0
    assert "watchlist undo" in done.err
    after = sales(on_sample)
    assert sale not in {str(row["sale"]) for row in after if row["weight"]}
    said = on_sample("undo", now=NEXT_DAY)
    assert f"sale {sale}, said Tue 3 Mar 07:30. Its weight is 1 again" in said.err
    assert {row["sale"] for row in sales(on_sample)} == {row["sale"] for row in before}
    assert "Its weight is 0 again" in on_sample("redo").err
    assert sales(on_sample) == after
    on_sample("undo")
    assert "follow on LM-101" in on_sample("undo").err, "the decision before the weight comes next"


def test_a_weight_that_is_none_is_refused(on_sample: Run) -> None:
    for words in (("22", "nan"), ("22", "7"), ("22", "-1"), ("x", "1"), ("9" * 30, "1"), ("0", "1")):
        done = on_sample("price", "--weight", *words)
        assert done.code == 2, words
        assert len(done.err.splitlines()) == 1
    assert on_sample("undo").err.strip() == SAMPLES_LAST, "nothing was written since"


def test_an_amount_belongs_to_a_bid(on_sample: Run) -> None:
    assert "takes no amount" in on_sample("decide", "LM-101", "follow", "50").err
    assert "A price is above zero" in on_sample("result", "LM-101", "0").err


def test_what_binds_already_is_not_asked_again(on_sample: Run) -> None:
    assert on_sample("decide", "2008", "bid", "5000").code == 2
    assert on_sample("decide", "2008", "bid", "5000", "--anyway").code == 0
    assert on_sample("decide", "2008", "placed").code == 0, "it was placed: a fact, not a new risk"
    assert on_sample("decide", "2008", "bid", "4000").code == 0, "a smaller bid than the one that stands"
    refused = on_sample("decide", "2023", "bid", "300")
    assert refused.code == 2
    assert "above the budget of 1,500 EUR" in refused.err


def test_whole_price_tiers_count_the_dearest_price_below_the_bid(on_sample: Run) -> None:
    tiers = '{"kind": "tiers_whole", "tiers": [["200", "50"], [null, "5"]]}'
    assert on_sample("venue", "edit", "brannental auctions", "--premium", tiers).code == 0
    assert on_sample("decide", "2023", "bid", "201", "--anyway").code == 0
    row = on_sample("bids", "--json").rows[0]
    # At 200 itself: 200 + 50 per cent + 19 per cent VAT on the premium + 9.80 post; at 201 the premium is 5 per cent.
    assert row["worst"] == {"amount": "328.80", "currency": "EUR"}
    assert float(row["all_in"]["amount"]) < 225


def test_a_weight_in_the_list_of_decisions_touches_no_lot() -> None:
    now = datetime.fromisoformat(NEXT_DAY)
    follow = Decision(0, "1", now, "follow", "north:1")
    weigh = Decision(0, "2", now, "weigh", "", target="22", weight=Decimal(0), weight_before=Decimal(1))
    folded = fold([follow, weigh])
    assert set(folded.lots) == {"north:1"}
    line = undo(folded, batch="3", at=now)
    assert line is not None
    assert line.target == "2"
    assert fold([follow, weigh, line]).undone == ("2",)
    assert loads(Decision, dumps(weigh)) == weigh


def test_what_was_new_is_new_again_when_a_decision_is_turned_back(on_sample: Run) -> None:
    def state_of(key: str) -> str:
        return str(next(row["state"] for row in on_sample("lots", "--json").rows if row["id"] == key))

    new = next(row["id"] for row in on_sample("lots", "state:new", "--json").rows)
    assert on_sample("decide", new, "skip").code == 0
    assert state_of(new) == "skipped"
    assert on_sample("undo").code == 0
    assert state_of(new) == "new"
    on_sample("gather", now=NEXT_DAY)
    assert on_sample("decide", new, "skip").code == 0
    assert on_sample("undo").code == 0
    assert state_of(new) == "seen"


def test_a_piece_said_to_be_sold_has_ended_and_is_a_price_realised(on_sample: Run, tmp_path: Path) -> None:
    page = tmp_path / "own.rss"
    item = (
        "<rss version='2.0'><channel><title>x</title><item><guid>p1</guid><title>Orvany 5 tor 1891-M, MS-60</title>"
        "<description>{}</description></item></channel></rss>"
    )
    page.write_text(item.format("Price: 300 EUR"), encoding="utf-8")
    assert on_sample("source", "add", "own", str(page)).code == 0
    on_sample("gather", "own")
    assert not [row for row in sales(on_sample) if row["day"] == NEXT_DAY[:10]]
    page.write_text(item.format("SOLD for 300 EUR"), encoding="utf-8")
    on_sample("gather", "own", now=NEXT_DAY)
    row = next(row for row in on_sample("lots", "--json", now=NEXT_DAY).rows if row["key"] == "own:p1")
    assert (row["state"], row["price_kind"], row["price"]["amount"]) == ("ended", "ended", "300.00")
    assert len([row for row in sales(on_sample) if row["day"] == NEXT_DAY[:10]]) == 1
