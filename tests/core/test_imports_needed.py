"""The wrong file is told by its headings and refused whole, in one sentence."""

from __future__ import annotations

import pytest

from tests.core.made_imports import table
from watchlist.core.imports import ImportRefused
from watchlist.core.imports.driver import check_needed
from watchlist.core.imports.kinds import KINDS

SALES = "sale_date,country,denomination,year,mint,grade,hammer,currency\n2026-01-02,Orvany,5 tor,1893,V,VF,120,EUR\n"
WANTS = "want_id,country,denomination,year,min_grade,ceiling\nw1,Orvany,5 tor,1893,VF,300\n"


REST = "; nothing was taken; name another file or kind, or head the columns so."


@pytest.mark.parametrize(
    ("text", "kind", "said"),
    [
        (SALES, "wants", "sales.csv is no want-list: it lacks the column `ceiling`"),
        (
            WANTS,
            "prices",
            "sales.csv is no list of prices: it lacks the columns `sale_date`, `grade` or `title`, "
            "`hammer` or `all_in`",
        ),
        (WANTS, "guide", "sales.csv is no price guide: it lacks the columns `low` or `value`, `high` or `value`"),
        (WANTS, "catalogue", "sales.csv is no catalogue: it lacks the column `issue`"),
        (WANTS, "terms", "sales.csv is no list of terms: it lacks the column `venue`"),
    ],
)
def test_a_file_without_its_needed_columns_is_refused(text: str, kind: str, said: str) -> None:
    with pytest.raises(ImportRefused) as refused:
        check_needed(KINDS[kind], table(text, kind), "sales.csv")
    assert str(refused.value) == said + REST


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
    check_needed(KINDS[kind], table(text, kind), "mine.csv")
