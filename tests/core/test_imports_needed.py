"""The wrong file is told by its headings and refused whole, in one sentence."""

from __future__ import annotations

import pytest

from tests.core.made_imports import WORDS, table
from watchlist.core.imports import ImportRefused
from watchlist.core.imports.driver import check_needed
from watchlist.core.imports.kinds import KINDS

SALES = "sale_date,country,denomination,year,mint,grade,hammer,currency\n2026-01-02,Orvany,5 tor,1893,V,VF,120,EUR\n"
WANTS = "want_id,country,denomination,year,min_grade,ceiling\nw1,Orvany,5 tor,1893,VF,300\n"


@pytest.mark.parametrize(
    ("text", "kind", "said"),
    [
        (
            SALES,
            "wants",
            "sales.csv is not a valid want-list. Missing: `ceiling`. Its headings are: sale_date, country",
        ),
        (
            WANTS,
            "prices",
            "sales.csv is not a valid list of prices. Missing: `sale_date`, `grade` or `title`, `hammer` or `all_in`.",
        ),
        (WANTS, "guide", "sales.csv is not a valid price guide. Missing: `low` or `value`, `high` or `value`."),
        (
            WANTS,
            "catalogue",
            "sales.csv is not a valid catalogue. Missing: `issue` or `mintage` or `metal` or `weight_g`. Its headings",
        ),
        (WANTS, "terms", "sales.csv is not a valid list of terms. Missing: `venue`."),
    ],
)
def test_a_file_without_its_needed_columns_is_refused(text: str, kind: str, said: str) -> None:
    with pytest.raises(ImportRefused) as refused:
        check_needed(KINDS[kind], table(text, kind), "sales.csv", WORDS["columns"])
    assert str(refused.value).startswith(said)
    assert str(refused.value).endswith("Nothing was taken.")


@pytest.mark.parametrize(
    ("heading", "said"),
    [
        ("hammr price", 'Perhaps --column "hammer=hammr price" names it.'),  # spelt nearly so
        ("Zuschlg", "Perhaps --column hammer=Zuschlg names it."),
        ("what", "Perhaps --column hammer=what names it."),  # the only heading that nobody knows holds amounts
    ],
)
def test_the_refusal_names_the_nearest_heading(heading: str, said: str) -> None:
    text = SALES.replace("hammer", heading)
    with pytest.raises(ImportRefused) as refused:
        check_needed(KINDS["prices"], table(text, "prices"), "sales.csv", WORDS["columns"])
    assert said in str(refused.value)
    assert heading in str(refused.value)


def test_a_column_is_known_by_its_cells_where_no_heading_is_near() -> None:
    text = SALES.replace("sale_date", "xyz").replace("2026-01-02", "2026-01-02")
    with pytest.raises(ImportRefused, match="--column sale_date=xyz"):
        check_needed(KINDS["prices"], table(text, "prices"), "sales.csv", WORDS["columns"])


@pytest.mark.parametrize(
    ("text", "kind"),
    [
        (SALES, "prices"),
        (WANTS, "wants"),
        ("title,ceiling\nOrvany 5 tor 1893 VF,300\n", "wants"),
        ("issue,year,grade,value\nt1,1899,VF,20\n", "guide"),
        ("want_id,country\n", "wants"),
    ],
)
def test_a_file_with_them_passes(text: str, kind: str) -> None:
    check_needed(KINDS[kind], table(text, kind), "mine.csv", WORDS["columns"])
