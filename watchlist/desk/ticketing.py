"""All that a Ticket shows of one lot, brought together; and the signs a person has dismissed."""

from __future__ import annotations

from collections.abc import Mapping

from watchlist.desk import pricing
from watchlist.desk.desk import Desk
from watchlist.page.prices import rungs
from watchlist.page.questions import questions
from watchlist.page.ticket import Facts
from watchlist.shelf.store.rows import LotRow

DISMISSED = "dismissed"
"""Kind of the finding that keeps a sign dismissed or restored."""
CURVES = "ticket_curves"


def facts(desk: Desk, row: LotRow) -> Facts:
    """The facts of one lot, with the plot's steps where the market knows its issue."""
    judged = row.judgement
    key = judged.issue if judged else None
    issue = desk.catalogue.by_key.get(key) if key else None
    return Facts(
        row.lot, row.reading, judged, row.state, desk.now, desk.settings.home.time_zone, desk.local_today(),
        issue=desk.issue_name(key) if key else "", history=desk.shelf.store.price_history(row.lot.key),
        currency=desk.home, questions=questions(row.lot, row.reading, judged, issue),
        dismissed=tuple(dismissed(desk, row.lot.key).items()),
    )


def with_market(desk: Desk, row: LotRow, found: Facts) -> Facts:
    """The facts with the curve of the issue and the sales behind its band."""
    from dataclasses import replace

    judged = row.judgement
    if judged is None or judged.issue is None or judged.issue not in desk.catalogue.by_key:
        return found
    grade = (judged.grade_low, judged.grade_high)
    asked = (grade[0], grade[1]) if grade[0] is not None and grade[1] is not None else None
    answer = pricing.price(desk, judged.issue, asked, raw=not row.reading.certified)
    sales = answer.explanation.sales if answer.explanation else ()
    return replace(found, steps=rungs(answer.curve, sales, around=judged.grade_low), sales=sales)


def dismissed(desk: Desk, lot: str) -> Mapping[str, str]:
    """The signs of a lot that the person has dismissed, each with its note."""
    standing: dict[str, str] = {}
    for finding in desk.shelf.store.findings(DISMISSED, lot):
        sign = str(finding.data.get("sign", ""))
        if finding.data.get("restored"):
            standing.pop(sign, None)
        else:
            standing[sign] = str(finding.data.get("note", ""))
    return standing


def dismiss(desk: Desk, lot: str, sign: str, note: str) -> bool:
    """Dismiss a sign with a note, or restore one that was dismissed; whether it is dismissed now."""
    restored = sign in dismissed(desk, lot)
    desk.shelf.store.add_finding(DISMISSED, lot, desk.now, {"sign": sign, "note": note, "restored": restored})
    return not restored
