"""Ten mornings with a series of one's own, a fault planted in each: it is said at once, and mended from the program."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.cli.conftest import Ran, Run

CATALOGUE = """issue,country,denomination,year,mint,note
B1,Brundal,5 tharn,1871,K,
B2,Brundal,5 tharn,1871,,
B3,Brundal,5 tharn,1872,K,
B4,Brundal,5 tharn,1873,K,
B5,Brundal,20 orrik,1871,K,
"""
HEAD = "sale_date,country,denomination,year,mint,grade,hammer,currency,source"
SALES = (
    "2025-01-02,Brundal,5 tharn,1871,K,30,80,EUR,Vessick",
    "2025-02-02,Brundal,5 tharn,1871,K,20,70,EUR,Vessick",
    "2025-03-02,Brundal,5 tharn,1872,K,20,60,EUR,Vessick",
    "2025-04-02,Brundal,5 tharn,1873,K,20,90,EUR,Vessick",
)
LOTS = "Los;Titel;Gebot;Währung;Ende;Link"
ENDS = "05.03.2026 18:00"


class Mornings:
    """Files of the person's own beside a shelf, and the commands on it."""

    def __init__(self, run: Run, folder: Path) -> None:
        self.run, self.folder = run, folder
        self.file("catalogue.csv", CATALOGUE)
        self.prices("prices.csv", *SALES)

    def file(self, name: str, text: str) -> str:
        """Write a file; its path."""
        path = self.folder / name
        path.write_text(text, "utf-8")
        return str(path)

    def prices(self, name: str, *rows: str, head: str = HEAD) -> str:
        """A list of prices."""
        return self.file(name, "\n".join((head, *rows)) + "\n")

    def lots(
        self, head: str = LOTS, numbers: tuple[int, ...] = (1, 2, 3, 4), link: str = "https://hof.example/"
    ) -> str:
        """A German list of lots."""
        rows = (f"{n};Brundal 5 Tharn 187{n} K ss;{n}0,00;EUR;{ENDS};{link}{n}" for n in numbers)
        return self.file("lots.csv", "\n".join((head, *rows)) + "\n")

    def bring(self, kind: str, name: str, *words: str) -> Ran:
        """Import one of the files."""
        return self.run("import", kind, str(self.folder / name), *words)

    def sales(self, coin: str) -> list[int]:
        """Numbers of the sales behind a coin."""
        return sorted(sale["sale"] for sale in self.run("price", coin, "--json").rows[0]["sales"])

    def kept(self) -> list[bytes]:
        """All that is the person's own, as it is exported."""
        tables = [self.folder / f"out.{kind}.csv" for kind in ("prices", "lots", "wants", "decisions", "pieces")]
        for table in tables:
            self.run("export", table.suffixes[0][1:], str(table), "--replace")
        return [*(table.read_bytes() for table in tables), self.run("catalogue", "list").out.encode()]

    def refuses(self, *words: str, code: int = 2) -> str:
        """What is said of a command that must change nothing: one sentence."""
        before = self.kept()
        ran = self.run(*words)
        assert (ran.code, ran.out, ran.err.count("\n")) == (code, "", 1), ran
        assert self.kept() == before
        return ran.err.removeprefix("watchlist: ").rstrip()

    def lot_keys(self, *sift: str) -> list[str]:
        """Keys of lots, in the order of the list."""
        return [row["key"] for row in self.run("lots", *sift, "--json").rows]


@pytest.fixture
def day(run: Run, tmp_path: Path) -> Mornings:
    folder = tmp_path / "own"
    folder.mkdir()
    return Mornings(run, folder)


def test_day_1_a_heading_nobody_knows_is_named_with_the_nearest(day: Mornings) -> None:
    day.bring("catalogue", "catalogue.csv")
    day.prices("odd.csv", *SALES, head=HEAD.replace("hammer", "Zuschlgspr").replace("sale_date", "wann"))
    refused = day.bring("prices", "odd.csv")
    assert refused.code == 2
    for words in ("Missing: `sale_date`", "Zuschlgspr", "--column sale_date=wann", "--column hammer=Zuschlgspr"):
        assert words in refused.err
    wrong = day.bring("prices", "odd.csv", "--column", "sale_date=wannn")
    assert wrong.code == 2
    assert "Did you mean sale_date=wann?" in wrong.err
    assert "did you mean `hammer`?" in day.bring("prices", "odd.csv", "--column", "hamer=Zuschlgspr").err
    assert "none yet" in day.run("check").out
    taken = day.bring("prices", "odd.csv", "--column", "sale_date=wann", "--column", "hammer=Zuschlgspr")
    assert "4 taken" in taken.err


def test_day_2_another_spelling_makes_no_new_country(day: Mornings) -> None:
    day.bring("catalogue", "catalogue.csv")
    rows = [row.replace("Brundal", "Brandal") for row in SALES[:2]]
    rows += [SALES[2].replace("5 tharn", "5 tarn"), SALES[3].replace(",K,", ",Kolm,")]
    day.prices("spelt.csv", *rows)
    asked = day.bring("prices", "spelt.csv")
    assert "0 taken, 4 rejected" in asked.err
    for written, meant in (("Brandal", "Brundal"), ("5 tarn", "5 tharn"), ("Kolm", "K")):
        assert asked.err.count(f'watchlist catalogue join "{written}" "{meant}"') == 1
        assert day.run("catalogue", "join", written, meant).code == 0
    assert "4 taken" in day.bring("prices", "spelt.csv").err
    assert day.sales("B1") == [1, 2]
    assert "known only from" not in day.run("check").out
    assert "brandal" in day.run("catalogue", "list").out
    day.prices("other.csv", SALES[0].replace("Brundal", "Brundula").replace(",80,", ",81,"))
    assert "1 taken" in day.bring("prices", "other.csv", "--as-written").err


def test_day_3_a_catalogue_that_comes_later_takes_prices_lots_and_wants_with_it(day: Mornings) -> None:
    day.prices("first.csv", *(row.replace("Brundal", "Brandal") for row in SALES[:2]), *SALES[2:])
    day.bring("prices", "first.csv")
    later = day.bring("catalogue", "catalogue.csv")
    assert "2 prices moved to the catalogue's issues" in later.err
    assert 'catalogue join "Brandal" "Brundal"' in later.err
    check = day.run("check").out
    assert "2 prices of Brandal 5 tharn 1871-K, not in your catalogue" in " ".join(check.split())
    day.run("catalogue", "join", "Brandal", "Brundal")
    assert day.sales("B1") == [1, 2]
    assert "in no catalogue" not in day.run("check").out


def test_day_4_a_key_that_changes_takes_all_with_it_and_undo_brings_it_back(day: Mornings) -> None:
    day.bring("catalogue", "catalogue.csv")
    day.bring("prices", "prices.csv")
    day.run("source", "add", "hof", day.lots())
    day.run("gather")
    day.file("catalogue.csv", CATALOGUE.replace("B1,", "X1,"))
    changed = day.bring("catalogue", "catalogue.csv")
    assert "1 key changed: Brundal 5 tharn 1871-K was B1, now X1" in changed.err
    assert (day.sales("X1"), day.lot_keys("issue:X1")) == ([1, 2], ["hof:1"])
    assert day.run("price", "B1").code == 2
    day.prices("keyed.csv", "2025-05-05,B1,VF,75,EUR", head="sale_date,issue,grade,hammer,currency")
    assert "1 taken" in day.bring("prices", "keyed.csv").err  # a file may still name the old key
    assert day.sales("X1") == [1, 2, 5]
    assert "Undone: import of prices from keyed.csv" in day.run("undo").err
    assert "Undone: import of catalogue" in day.run("undo").err
    assert (day.sales("B1"), day.lot_keys("issue:B1")) == ([1, 2], ["hof:1"])


def test_day_5_a_renamed_column_is_said_at_once_and_nothing_is_stored_half(day: Mornings) -> None:
    day.run("source", "add", "hof", day.lots())
    assert day.run("gather").code == 0
    day.run("decide", "hof:3", "follow")
    day.lots(LOTS.replace("Gebot", "Hoechstwert"), (1, 2, 3, 4, 5, 6))
    held = day.run("gather")
    assert held.code == 3
    assert "prices stopped coming from column Gebot" in held.err
    assert "watchlist source map hof current_bid=Hoechstwert" in held.err
    assert len(day.lot_keys()) == 4
    assert "prices stopped coming" in day.run("source", "list").out
    assert day.run("source", "map", "hof", "price=Hoechstwert").code == 0
    assert day.run("gather").code == 0
    rows = {row["key"]: row for row in day.run("lots", "--json").rows}
    assert sorted(rows) == [f"hof:{n}" for n in range(1, 7)]
    assert rows["hof:2"]["price"] == {"amount": "20.00", "currency": "EUR"}
    assert rows["hof:3"]["state"] == "followed"


def test_day_5_a_map_to_a_heading_that_is_not_there_is_refused(day: Mornings) -> None:
    """With the headings that are; before the first reading nothing is known of them."""
    day.run("source", "add", "hof", day.lots())
    assert day.run("source", "map", "hof", "price=Bid").code == 0
    day.run("undo")
    day.run("gather")
    refused = day.run("source", "map", "hof", "price=Bid")
    assert refused.code == 2
    headings = LOTS.partition("\n")[0].replace(";", ", ")
    said, _, names = refused.err.removeprefix("watchlist: ").strip().partition("; it has ")
    assert said == "hof has no heading `Bid`"
    assert sorted(names.removesuffix(". Nothing was changed.").split(", ")) == sorted(headings.split(", "))
    assert "columns" not in day.run("source", "list", "--json").rows[0]
    day.lots(LOTS.replace("Gebot", "Hoechstwert"))
    day.run("gather")
    assert "has no heading `Gebot`" in day.run("source", "edit", "hof", "--column", "price=Gebot").err, "it had it"
    assert day.run("source", "map", "hof", "price=hoechstwert").code == 0


def test_day_6_lot_numbers_under_another_heading_double_nothing(day: Mornings) -> None:
    day.run("source", "add", "hof", day.lots("Zahl" + LOTS[3:]))  # no number: a hash of title and link
    day.run("gather")
    before = day.lot_keys()
    day.run("decide", before[0], "follow")
    day.run("source", "map", "hof", "lot_id=Zahl")
    assert "hof: 4 lots, 0 new" in day.run("gather").err
    assert day.lot_keys() == before
    day.lots("Zahl;Was;Gebot;Währung;Ende;Link")
    assert "source map hof title=HEADING" in day.run("gather").err


@pytest.mark.parametrize("elements", [("price", "wert"), ("price", "")])
def test_day_7_so_is_a_feed_whose_elements_changed(day: Mornings, elements: tuple[str, str]) -> None:
    def feed(price: str) -> str:
        items = "".join(
            f"<item><guid>{n}</guid><title>Brundal 5 Tharn 187{n} K VF</title>"
            + (f"<l:{price}>{n}0 EUR</l:{price}>" if price else "")
            + f"<l:closes>2026-03-05T18:00:00Z</l:closes><description>{price or 'none'}</description></item>"
            for n in range(1, 7)
        )
        space = 'xmlns:l="https://hof.example/l"'
        return day.file("lots.rss", f'<rss version="2.0" {space}><channel><title>x</title>{items}</channel></rss>')

    day.run("source", "add", "hof", feed(elements[0]))
    assert day.run("gather").code == 0
    feed(elements[1])
    held = day.run("gather")
    assert held.code == 3
    assert "prices stopped coming from column l:price" in held.err
    refused = day.run("source", "map", "hof", "price=l:Wert").err
    assert "hof has no heading `l:Wert`; it has " in refused
    assert ("l:wert" in refused) == bool(elements[1])
    assert all(row["price"] for row in day.run("lots", "--json").rows)
    if elements[1]:
        assert "source map hof price=l:wert" in held.err
        day.run("source", "map", "hof", "price=l:wert")
    else:
        day.run("source", "map", "hof", "--as-it-is")
    assert day.run("gather").code == 0
    assert len(day.lot_keys()) == 6


def test_day_8_wrong_sales_are_moved_corrected_and_deleted(day: Mornings) -> None:
    day.bring("catalogue", "catalogue.csv")
    day.bring("prices", "prices.csv")
    assert day.run("price", "--move", "1", "B3").code == 0
    assert (day.sales("B1"), day.sales("B3")) == ([2], [1, 3])
    assert "Undone: sale 1" in day.run("undo").err
    assert day.sales("B1") == [1, 2]
    assert day.run("price", "--correct", "2", "grade=40", "price=170").code == 0
    shown = {sale["sale"]: sale for sale in day.run("price", "B1", "--json").rows[0]["sales"]}
    assert (shown[2]["grade"], shown[2]["seen"]) == (40.0, "170 EUR")
    assert day.run("price", "--correct", "2", "source=Hof Auctions", "problem=cleaned").code == 0, "as a file has it"
    day.run("export", "prices", str(day.folder / "out.csv"))
    assert "Hof Auctions" in (day.folder / "out.csv").read_text()
    day.run("undo")
    assert "3 sales deleted" in day.run("price", "--delete", "file:prices.csv price<100").err
    assert "0 taken, 4 duplicates" in day.bring("prices", "prices.csv").err, "a deleted sale stays deleted"
    day.run("undo")
    assert day.sales("B1") == [1, 2]
    for words, said in (
        (("--move", "1", "B9"), "`B9` names no year"),
        (("--move", "77", "B1"), "No sale is `77`"),
        (("--correct", "1", "issue=B9"), "`B9` names no year"),
        (("--correct", "1", "grade=lovely"), "`lovely` is not a valid grade"),
        (("--correct", "1", "shade=blue"), "is not a field of a sale"),
        (("--correct", "1", "price=0"), "A price is above zero"),
        (("--correct", "1", "price=abc"), "'abc' is not an amount: write it like 300 EUR. Nothing was written."),
        (("--correct", "1", "problem=lovely"), "`lovely` is not a problem"),
        (("--correct", "1", "problems=lovely"), "`lovely` is not a problem"),
        (("--correct", "1", "sale_date=2031-01-01"), "2031-01-01 is still to come"),
        (("--correct", "1"), "Say what is corrected"),
        (("--delete", "colour:red"), "not known of sales"),
        (("--move", "1", "B3", "--delete", "2"), "not allowed with argument"),
    ):
        assert said in day.refuses("price", *words)


def test_day_9_lots_are_bound_corrected_and_deleted_those_of_a_dropped_source_too(day: Mornings) -> None:
    day.bring("catalogue", "catalogue.csv")
    day.run("source", "add", "hof", day.lots())
    day.run("gather")
    assert day.run("read", "--correct", "hof:4", "issue=B5").code == 0
    assert day.lot_keys("issue:B5") == ["hof:4"]
    assert "Undone" in day.run("undo").err
    assert day.lot_keys("issue:B5") == []
    day.run("lots", "source:hof", "1873", "--issue", "B5")
    assert day.lot_keys("issue:B5") == ["hof:3"]
    day.run("decide", "hof:2", "bid", "25")
    for sift in ("source:hof", "hof:2"):
        refused = day.refuses("lots", sift, "--delete")
        assert refused == "hof:2 has a bid: `watchlist decide hof:2 clear` takes it off first. Nothing was changed."
    for words, said in (
        (("lots", "source:nowhere", "--delete"), "No lot is meant. Nothing was changed."),
        (("lots", "hof:1", "--issue", "B99"), "`B99` names no year"),
        (("lots", "hof:1", "--correct", "issue=B99"), "`B99` names no year"),
        (("lots", "hof:1", "--issue", "B5", "--delete"), "not allowed with argument"),
        (("lots", "--delete"), "say which lots"),
        (("read", "--correct", "hof:4", "issue=B99"), "`B99` names no year"),
        (("read", "--correct", "hof:4", "grade=99"), "`grade_low` lies between 1 and 70"),
    ):
        assert said in day.refuses(*words)
    assert "1 (5 tharn 1871-K, VF-20 to XF-40) deleted" in day.run("lots", "hof:1", "--delete").err
    day.lots(numbers=(4, 3, 2, 1), link="https://hof.example/new/")
    day.run("gather")
    assert "hof:1" not in day.lot_keys(), "a deleted lot does not come back"
    day.run("source", "drop", "hof")
    assert "2 lots deleted" in day.run("lots", "source:hof", "state:n,s", "--delete").err
    assert day.lot_keys() == ["hof:2"]
    day.run("undo")
    assert sorted(day.lot_keys()) == ["hof:2", "hof:3", "hof:4"]


def test_day_10_ones_own_purchases_and_fakes_weigh_nothing_where_one_says_so(day: Mornings) -> None:
    day.bring("catalogue", "catalogue.csv")
    day.bring("prices", "prices.csv")
    day.run("source", "add", "hof", day.lots())
    day.run("gather")
    later = "2026-03-06T10:00:00+01:00"
    day.run("result", "hof:2", "55", "--won", now=later)

    def counted() -> list[int]:
        rows = day.run("price", "B3", "--json", now=later).rows
        return sorted(sale["sale"] for sale in rows[0]["sales"])

    assert counted() == [3, 5]
    day.run("read", "--correct", "hof:2", "replica=yes", now=later)
    assert counted() == [3]
    day.run("undo", now=later)
    day.run("price", "--refit", now=later)
    assert counted() == [3, 5]
    day.run("read", "--correct", "hof:2", "issue=B4", now=later)
    assert counted() == [3], "its own sale moves with the lot, and counts once"
    assert len(day.run("price", "B4", "--json", now=later).rows[0]["sales"]) == 2
    assert day.lot_keys("issue:B4") == ["hof:3", "hof:2"], "a lot that has ended is of the coin that it was bound to"
    day.run("outcome", "hof:2", "not-genuine", now=later)
    assert len(day.run("price", "B4", "--json", now=later).rows[0]["sales"]) == 1, "a piece found false weighs nothing"
    assert (
        "Undone: outcome of 2 (5 tharn 1873-K, VF-20 to XF-40) recorded: not genuine" in day.run("undo", now=later).err
    )
    day.run("price", "--refit", now=later)
    assert len(day.run("price", "B4", "--json", now=later).rows[0]["sales"]) == 2
    (day.run.shelf / "settings.toml").write_text("[prices]\nown = false\n", "utf-8")  # type: ignore[attr-defined]
    day.run("gather", now=later)
    assert len(day.run("price", "B4", "--json", now=later).rows[0]["sales"]) == 1
    for words in (("--delete", "5"), ("--move", "5", "B1"), ("--correct", "5", "grade=40")):
        assert "is the result that you recorded of hof:2" in day.refuses("price", *words)


def test_rejected_rows_are_all_written_to_a_file_that_can_be_corrected(day: Mornings) -> None:
    bad = [f"2025-06-{n:02},Brundal,5 tharn,1871,K,lovely,{n},EUR,=Vessick" for n in range(1, 31)]
    day.prices("bad.csv", *bad, SALES[0])
    target = day.folder / "rejected.csv"
    done = day.bring("prices", "bad.csv", "--rejects", str(target))
    assert "1 taken, 30 rejected" in done.err
    lines = target.read_text("utf-8").splitlines()
    assert lines[0] == f"rejected line,rejected because,{HEAD}"
    assert len(lines) == 31
    assert "'=Vessick" in lines[1], "no cell is a formula"
    assert day.bring("prices", "bad.csv", "--rejects", str(target)).code == 2, "a file that is there is not lost"
    target.write_text(target.read_text("utf-8").replace(",lovely,", ",VF,"), "utf-8")
    assert "30 taken, 0 rejected" in day.run("import", "prices", str(target)).err


def test_a_join_of_two_countries_that_both_list_a_coin_is_refused(day: Mornings) -> None:
    day.file("two.csv", f"{CATALOGUE}C1,Brandal,5 tharn,1871,K,\n")
    day.bring("catalogue", "two.csv")
    day.bring("prices", "prices.csv")
    before = day.run("check").out
    for words, said in (
        (("Brandal", "Brundal"), "are both in your catalogue, so they are not joined. Nothing was changed."),
        (("Brandal", "Nowhere"), "`Nowhere` is not a country, denomination or mint of your catalogue."),
        (("Brundal", "Brundal"), "are one name already. Nothing was changed."),
        (("Brandal", "K", "--what", "country"), "`K` is not a country of your catalogue. Nothing was changed."),
    ):
        assert said in day.refuses("catalogue", "join", *words)
    assert day.run("check").out == before


def test_the_list_names_open_lots_first_and_never_cuts_the_coin(day: Mornings) -> None:
    day.bring("catalogue", "catalogue.csv")
    day.run("source", "add", "hof", day.lots())
    day.run("gather")
    later = "2026-03-06T10:00:00+01:00"
    day.file(
        "lots.csv", (day.folder / "lots.csv").read_text("utf-8").replace(f"10,00;EUR;{ENDS}", "10,00;EUR;09.03.2026")
    )
    day.run("gather", now=later)
    lines = day.run("lots", now=later)
    assert "5 tharn 1871-K" in lines.out.splitlines()[1]
    assert all(f"187{n}-K" in lines.out for n in range(1, 5))
    assert "Brundal 5 tharn 1871-K" in day.run("price").err, "hints name one's own coins"


def test_a_variety_without_sales_says_on_whose_it_rests(day: Mornings) -> None:
    day.file("catalogue.csv", f"{CATALOGUE.replace(',note', ',variety')}B6,Brundal,5 tharn,1871,K,wide crown\n")
    day.bring("catalogue", "catalogue.csv")
    day.bring("prices", "prices.csv")
    said = " ".join(day.run("price", "B6").out.split())
    assert "estimate from the regular issue, wide" in said
    assert "of the median rests on the sales of the regular issue" in said
    assert "rests on these sales" in " ".join(day.run("price", "B1").out.split())


def test_a_heading_that_gives_titles_is_no_cure_for_lost_prices(day: Mornings) -> None:
    day.run("source", "add", "hof", day.lots())
    day.run("gather")
    text = Path(day.lots("Los;Bezeichnung;Gebot;Währung;Ende;Link")).read_text("utf-8")
    day.file(
        "lots.csv", "\n".join(";".join((*row.split(";")[:2], "", *row.split(";")[3:])) for row in text.split("\n"))
    )
    assert "current_bid=Bezeichnung" not in day.run("gather").err
