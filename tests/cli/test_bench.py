"""A piece in the hand, from the command line, on a catalogue of the test's own."""

from __future__ import annotations

from pathlib import Path

import html5lib
import pytest

from tests.cli.conftest import Run
from watchlist.page.drawing import DRAWN

CATALOGUE = """\
issue,country,denomination,year,mint,metal,weight_g,diameter_mm,thickness_mm,weight_tolerance_g,copied,note
F5-1893,Farlonde,5 kron,1893,,silver .900,25.00,37.0,2.5,0.10,yes,plated copies are met
F20-1901,Farlonde,20 kron,1901,,gold .900,6.45,21.0,1.3,0.013,no,
F5-1894A,Farlonde,5 kron,1894,A,silver .900,25.00,37.0,2.5,0.10,yes,added mint marks known
F1-1880,Farlonde,1 ore,1880,,,,,,,no,
"""
COIN = "Farlonde 5 kron 1893"


@pytest.fixture
def own(run: Run, tmp_path: Path) -> Run:
    path = tmp_path / "catalogue.csv"
    path.write_text(CATALOGUE, "utf-8")
    assert run("import", "catalogue", str(path)).code == 0
    return run


def test_figures_and_verdicts_as_json(own: Run) -> None:
    (row,) = own("bench", COIN, "--grade", "45", "--weight", "24,1", "--wet", "21.23", "--water", "20", "--json").rows
    assert row["issue"] == "F5-1893"
    assert (row["weight"]["value"], row["weight"]["verdict"]) == (24.1, "under")
    assert row["weight"]["low"] < row["weight"]["high"]
    assert row["density"]["verdict"] == "differs"
    assert row["density"]["value"] == pytest.approx(8.382, abs=1e-3)
    assert row["density"]["u"] == pytest.approx(0.032, abs=1e-3)
    assert "silver .900" in row["density"]["excludes"]
    assert row["verdicts"] == {"weight": "under", "density": "differs"}


def test_a_pocket_balance_is_told_to_be_too_coarse(own: Run) -> None:
    told = own("bench", COIN, "--dry", "2.45", "--wet", "2.21", "--readability", "0.01").out
    assert "Too coarse to part silver .900" in told


def test_each_kind_of_piece_has_its_own_order_of_checks(own: Run) -> None:
    orders = {coin: own("bench", coin).out for coin in (COIN, "Farlonde 20 kron 1901", "Farlonde 5 kron 1894-A")}
    firsts = {text.split(" 1. ")[1].split(" 2. ")[0] for text in orders.values()}
    assert len(set(orders.values())) == 3
    assert any("mint mark" in first for first in firsts)
    assert "Tungsten" in orders["Farlonde 20 kron 1901"]


def test_a_piece_without_any_specification_is_told_so(own: Run) -> None:
    told = own("bench", "Farlonde 1 ore 1880", "--weight", "2.0").out
    assert "Nothing to hold these measurements against" in told


def test_a_check_is_kept_and_undo_turns_it_back(own: Run) -> None:
    for number in range(12):
        kept = own(
            "bench",
            COIN,
            "--weight",
            f"{24.95 + number / 100:.2f}",
            "--diameter",
            f"{36.9 + number / 50:.2f} mm",
            "--reference",
        )
        assert (kept.code, "undo" in kept.err) == (0, True)
    (row,) = own("bench", COIN, "--weight", "25.00", "--diameter", "37.0 mm", "--json", "--dry-run").rows
    assert (row["among"]["pieces"], row["among"]["method"]) == (12, "Hotelling, shrunk")
    assert row["among"]["p"] > 0.05
    undone = own("undo")
    assert (undone.code, "check of a piece" in undone.err) == (0, True)
    (row,) = own("bench", COIN, "--weight", "25.00", "--diameter", "37.0 mm", "--json", "--dry-run").rows
    assert row["among"]["pieces"] == 11
    own("redo")
    (row,) = own("bench", COIN, "--weight", "25.00", "--json", "--dry-run").rows
    assert row["among"]["pieces"] == 12


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (("--weight", "0"), "Weight 0 is not above zero"),
        (("--weight", "22", "--wet", "24"), "exchanged"),
        (("--weight", "25.2", "--dry", "25.0", "--wet", "22"), "differ by more"),
        (("--diameter", "25.0"), "weighs in grams"),
        (("--diameter", "25 g"), "another field? Nothing was stored."),
        (("--grade", "splendid", "--weight", "25"), "splendid"),
    ],
)
def test_bad_input_is_one_sentence_and_nothing_is_stored(own: Run, words: tuple[str, ...], said: str) -> None:
    failed = own("bench", COIN, *words)
    assert (failed.code, failed.out) == (2, "")
    assert said in failed.err
    assert failed.err.count("\n") == 1
    assert "Undone: import of catalogue" in own("undo").err
    assert own("undo").code == 2


def test_a_coin_that_is_not_known_is_one_sentence(own: Run) -> None:
    assert own("bench", "Farlonde 7 kron 1893", "--weight", "25").code == 2


def test_a_piece_that_came_as_a_lot_takes_its_grade_and_leaves_its_state_alone(on_sample: Run) -> None:
    on_sample("decide", "LM-101", "follow")
    (row,) = on_sample("bench", "LM-101", "--weight", "20", "--json").rows
    assert row["lot"].endswith("LM-101")
    assert row["verdicts"] == {"weight": "under"}
    assert on_sample("lot", "LM-101", "--json").rows[0]["state"] == "followed"
    undone = on_sample("undo")
    assert (undone.code, "check on" in undone.err) == (0, True)
    assert on_sample("lot", "LM-101", "--json").rows[0]["state"] == "followed"


def test_the_report_is_a_page_that_a_strict_reader_takes_and_is_kept_with_the_piece(own: Run, tmp_path: Path) -> None:
    for number in range(20):
        own(
            "bench",
            COIN,
            "--weight",
            f"{24.95 + number / 200:.3f}",
            "--diameter",
            f"{37 + number / 100} mm",
            "--reference",
        )
    page, note = tmp_path / "report.html", "<script>alert(1)</script> & more"
    made = ("bench", COIN, "--weight", "24.1", "--diameter", "36.9 mm", "--wet", "21.23", "--note", note)
    assert own(*made, "--html", str(page)).code == 0
    text = page.read_text("utf-8")
    tree = html5lib.HTMLParser(strict=True, namespaceHTMLElements=False).parse(text)
    assert not tree.findall(".//script")
    assert note in "".join(tree.itertext())
    assert (
        sum(str(part.tag).endswith("svg") for part in tree.iter()) == 5
    )  # weight, diameter, density, and two among one's own
    assert "http" not in text
    refused = own(*made, "--html", str(page))
    assert (refused.code, "exists already" in refused.err) == (2, True)
    assert page.read_text("utf-8") == text
    shown = own("bench", COIN, "--kept", "--html", str(tmp_path / "kept.html"))
    assert shown.out.count("Checked ") == 21  # the refused one saved nothing
    assert (tmp_path / "kept.html").read_text("utf-8") == text


def test_a_piece_never_checked_has_no_report(own: Run) -> None:
    told = own("bench", COIN, "--kept")
    assert (told.code, told.err) == (2, f"watchlist: No check of {COIN} is saved.\n")


def test_the_piece_is_drawn_among_ones_own(own: Run) -> None:
    for weight in ("24.95", "25.00", "25.00", "25.05"):
        own("bench", COIN, "--weight", weight, "--reference")
    told = own("bench", COIN, "--weight", "24.5").out.splitlines()
    bar, key = (told[told.index("  Weight, beside your own:") + line] for line in (1, 2))
    none, one, few, _ = tuple(DRAWN.crowd)
    assert [each for each in bar.partition("25.")[0].partition(DRAWN.lot)[2] if each != none] == [one, few, one]
    assert key.strip().startswith(f"{DRAWN.lot} this piece  {one} one of your own")
