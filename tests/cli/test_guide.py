"""A guide from the sample's data: its figures are those of `price`, its page is sound, nothing is invented or lost."""

from __future__ import annotations

import csv
import io
from pathlib import Path

import html5lib
import pytest

from tests.cli.conftest import Run
from watchlist.core.coins.scale import grade_word
from watchlist.core.guide.record import USUAL

SERIES = ("guide", "Orvany", "5", "tor")


def test_its_figures_are_those_of_price(on_sample: Run) -> None:
    rows = on_sample(*SERIES, "--raw", "VF-20", "--certified", "MS-63", "--json").rows
    assert len(rows) == 28
    for row in rows[::9]:
        for figure, words in zip(row["figures"], (("20", "--raw"), ("63", "--certified")), strict=True):
            (priced,) = on_sample("price", row["issue"], "--grade", words[0], *words[1:], "--json").rows
            worth = priced["value"]
            assert (figure["median"], figure["low"], figure["high"]) == (worth["mid"], worth["low"], worth["high"])
        assert row["seen"] >= row["sales"] - 2
        assert row["seen_at_or_above"]["20"] >= row["seen_at_or_above"]["63"]


def test_the_page_prints_what_price_says_in_every_grade(on_sample: Run, tmp_path: Path) -> None:
    """Median, low and high to the cent, raw and certified, read back from the page; a dash where `price` has no value
    or one too wide."""
    file = tmp_path / "guide.html"
    chosen = ("1884-M", "1891", "1900-V", "1912")
    made = on_sample(*SERIES, "--bands", "--rounding", "none", "--issues", ",".join(chosen), "--out", str(file))
    assert made.code == 0, made.err
    tree = html5lib.HTMLParser(strict=True, namespaceHTMLElements=False).parse(file.read_text("utf-8"))
    rows = tree.findall(".//tbody/tr")
    assert [row.findtext("th") for row in rows] == list(chosen)
    asked = [f"{grade_word(column.grade)} {'raw' if column.raw else 'cert.'}" for column in USUAL]
    for row in rows:
        printed = {cell.get("data-head"): "".join(cell.itertext()) for cell in row.findall("td")}
        assert set(asked) <= set(printed)
        for column, head in zip(USUAL, asked, strict=True):
            kind = "--raw" if column.raw else "--certified"
            coin = f"Orvany 5 tor {row.findtext('th')}"
            (priced,) = on_sample("price", coin, "--grade", str(column.grade), kind, "--json").rows
            assert printed[head] == as_printed(priced["value"]), (coin, head)


def as_printed(value: dict[str, str] | None) -> str:
    """A value of `price --json` as the page prints it without rounding."""
    if value is None or float(value["high"]) / float(value["low"]) > 4:
        return "-"
    low, mid, high = (f"{float(value[end]):,.2f}".removesuffix(".00") for end in ("low", "mid", "high"))
    return f"{mid if value['basis'] == 'sales' else f'({mid})'} {low}-{high}"


def test_each_way_out_tells_the_same_and_takes_markup_for_text(on_sample: Run, tmp_path: Path) -> None:
    title = "=Mine <b>& | others'</b>"
    files = {ending: tmp_path / f"guide.{ending}" for ending in ("md", "csv", "html", "txt")}
    for path in files.values():
        made = on_sample(
            *SERIES, "--title", title, "--out", str(path), "--anonymous", "--top", "3", "--order", "mintage"
        )
        assert made.code == 0, made.err
    page = files["html"].read_text("utf-8")
    tree = html5lib.HTMLParser(strict=True, namespaceHTMLElements=False).parse(page)
    assert title in "".join(tree.itertext())
    assert tree.find(".//b") is None
    assert "<script" not in page
    assert "http" not in page
    table = list(csv.reader(io.StringIO(files["csv"].read_text("utf-8"))))
    cells = [["".join(cell.itertext()) for at, cell in enumerate(row) if at != 1] for row in tree.findall(".//tr")]
    plain = [["-" if not cell else cell.removeprefix("'") for cell in row] for row in table]  # a cell is no formula
    assert plain == cells
    assert len(table) == 4
    markdown = files["md"].read_text("utf-8")
    assert "\\<b\\>" in markdown
    for text in (page, markdown, files["csv"].read_text("utf-8"), files["txt"].read_text("utf-8")):
        assert "1884-M" in text  # the lowest mintage of the series
        assert "Brannental" not in text


def test_issues_currency_and_bands_are_chosen(on_sample: Run) -> None:
    chosen = (*SERIES, "--raw", "XF-40", "--certified", "none", "--issues", "1907-S,1884-M", "--rounding", "none")
    euros, pounds = (on_sample(*chosen, "--json", *more).rows for more in ((), ("--currency", "gbp")))
    assert [row["issue"] for row in euros] == [row["issue"] for row in pounds]
    (rate,) = {
        round(float(a["figures"][0]["median"]) / float(b["figures"][0]["median"]), 3)
        for a, b in zip(euros, pounds, strict=True)
    }
    assert 1.1 < rate < 1.3
    figure = euros[1]["figures"][0]
    told = on_sample(*chosen[:-2], "--bands", "--rounding", "0:1").out
    assert (
        "{median:,.0f} {low:,.0f}-{high:,.0f}".format(**{k: float(figure[k]) for k in ("median", "low", "high")})
        in told
    )


def test_an_edition_is_what_the_next_one_is_held_against(on_sample: Run) -> None:
    assert "Since the edition" not in on_sample(*SERIES, "--edition").out
    assert "No figure changed since the edition of 2026-03-03." in on_sample(*SERIES).out
    coarse = on_sample(*SERIES, "--rounding", "0:50").out
    assert "Since the edition of 2026-03-03:" in coarse
    assert "up from" in coarse
    assert "down from" in coarse


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (("guide", "Orvany"), "can mean several series. Name one of: Orvany 1 tor, Orvany 10 lind, Orvany 5 tor."),
        (("guide", "Farlonde", "5", "kron"), "No series `Farlonde 5 kron` is in your catalogue."),
        ((*SERIES, "--columns", "weather"), "`weather` is not a column"),
        ((*SERIES, "--raw", "none", "--certified", "none"), "1 to 24 columns of grades, not 0"),
        ((*SERIES, "--raw", "shiny"), "shiny"),
        ((*SERIES, "--rounding", "five"), "Rounding:"),
        ((*SERIES, "--out", "guide.pdf"), "written as .md, .csv, .html or .txt"),
        (("guide", "--sheet", "Orvany", "5", "tor", "1907-S", "--out", "sheet.pdf"), "written as .html or .txt"),
        ((*SERIES, "--issues", "1907-S,1899-Q"), "has no issue 1899-Q."),
        ((*SERIES, "--currency", "shells"), "`shells` is not a currency"),
        ((*SERIES, "--currency", "JPY"), "No rate of JPY is known"),
        (("guide", "--sheet", "Orvany", "5", "tor", "2050"), "2050"),
    ],
)
def test_what_cannot_be_printed_is_refused_in_one_sentence(on_sample: Run, words: tuple[str, ...], said: str) -> None:
    done = on_sample(*words)
    assert (done.code, done.out) == (2, "")
    assert said in done.err
    assert done.err.count("\n") == 1


def test_a_series_without_prices_says_so(run: Run, tmp_path: Path) -> None:
    assert "Your catalogue is empty: `watchlist import catalogue FILE` reads one." in run("guide", "Orvany", "5").err
    path = tmp_path / "catalogue.csv"
    path.write_text("issue,country,denomination,year\nF1,Farlonde,5 kron,1893\n", "utf-8")
    assert run("import", "catalogue", str(path)).code == 0
    assert "No price realised of Farlonde 5 kron counts" in run("guide", "Farlonde", "5", "kron").err


def test_a_talk_sheet_says_what_to_look_for_and_what_it_brings(on_sample: Run, tmp_path: Path) -> None:
    told = on_sample("guide", "--sheet", "Orvany", "5", "tor", "1907-S").out
    for words in (
        "9,800 struck",
        "counterfeits known",
        "How copies are made",
        "1. ",
        "Recent sales",
        "not an appraisal",
    ):
        assert words in told
    assert "fake" not in told.casefold()
    assert "Wexby Coin Market" in told
    assert "Wexby" not in on_sample("guide", "--sheet", "Orvany", "5", "tor", "1907-S", "--anonymous").out
    file = tmp_path / "sheet.html"
    assert on_sample("guide", "--sheet", "Orvany 5 tor 1907-S", "--out", str(file)).code == 0
    tree = html5lib.HTMLParser(strict=True, namespaceHTMLElements=False).parse(file.read_text("utf-8"))
    page = " ".join("".join(tree.itertext()).split())
    assert "Orvany 5 tor 1907-S" in page
    assert "AU-50" in page
    assert "not an appraisal" in page
