"""How complete a series is, against the pieces held, and what is missing at which grade."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Sequence

from watchlist.core.coins.issue import Issue
from watchlist.core.held.series import Complete, Missing
from watchlist.core.marks.valuation import Piece
from watchlist.core.money.amount import Money
from watchlist.core.typed.words import grade_range
from watchlist.desk.desk import Desk
from watchlist.desk.errors import refusing
from watchlist.desk.guide.guide import series, series_name
from watchlist.desk.held.filling import ways
from watchlist.desk.held.held import held
from watchlist.page.piece import coin

USUAL = 20
"""The grade asked where neither the person nor a want names one: VF-20."""


def complete(desk: Desk, words: str, grade: str = "") -> Complete:
    """A series against the pieces held. Varieties count for their issue. Raises DeskError."""
    listed = (issue for issue in series(desk, words) if not issue.variety)
    issues = sorted(listed, key=lambda issue: (issue.year, issue.mint))
    asked = _grade(desk, issues, grade)
    finest = _finest(desk)
    lacks = [issue for issue in issues if finest.get(issue.key, 0) < asked]
    values = {issue.key: desk.market.value(Piece(issue, asked, asked, raw=True)) for issue in lacks}
    found, why, spending, worst = ways(desk, lacks, asked, values)
    missing = tuple(
        Missing(
            coin(issue, ""),
            finest.get(issue.key),
            found.get(issue.key),
            "" if issue.key in found else why.get(issue.key, ""),
            values[issue.key],
        )
        for issue in lacks
    )
    home = desk.home
    return Complete(
        series_name(issues),
        asked,
        len(issues),
        len(issues) - len(lacks),
        missing,
        Money(spending, home),
        Money(worst, home),
    )


def _grade(desk: Desk, issues: Sequence[Issue], typed: str) -> int:
    """The grade as typed, else the lowest that a want of the series takes."""
    if typed:
        with refusing():
            return grade_range(typed, desk.words["grades"])[0]
    wanted = (want.min_grade for issue in issues for want in desk.wants.asking_for(issue))
    return min(filter(None, wanted), default=USUAL)


def _finest(desk: Desk) -> dict[str, int]:
    """The best grade held of each issue, a variety's for its plain issue too; 1 where a piece has no grade."""
    found: dict[str, int] = defaultdict(int)
    for each in held(desk):
        issue = desk.catalogue.by_key.get(each.issue)
        if issue is None or each.course.gone:
            continue
        grade = each.reading.grade_low or 1
        for key in filter(None, (issue.key, desk.catalogue.parent(issue))):
            found[key] = max(found[key], grade)
    return dict(found)
