"""All that a Ticket shows of one lot, brought together."""

from __future__ import annotations

from dataclasses import replace

from watchlist.core.prices.traits import traits_from
from watchlist.desk.desk import Desk
from watchlist.desk.in_hand import limits
from watchlist.desk.in_hand.asked import said_of
from watchlist.desk.lists.listing import as_now
from watchlist.desk.naming import issue_name
from watchlist.desk.prices import pricing
from watchlist.desk.results import results
from watchlist.page.prices import rungs
from watchlist.page.questions import questions
from watchlist.page.ticket import Facts
from watchlist.shelf.store.rows import LotRow


def facts(desk: Desk, row: LotRow) -> Facts:
    """The facts of one lot, with the plot's steps where the market knows its issue."""
    judged = as_now(desk, row).judgement
    key, reasons = (judged.issue, judged.reasons) if judged else (None, ())
    issue = desk.catalogue.by_key.get(key) if key else None
    return Facts(
        row.lot,
        row.reading,
        judged,
        row.state,
        desk.now,
        desk.settings.home.time_zone,
        desk.local_today(),
        issue=issue_name(desk.catalogue, key) if key else "",
        history=desk.shelf.store.lots.history(row.lot.key),
        currency=desk.home,
        limits=limits.told(desk, row),
        asked=said_of(desk, row.lot.key),
        questions=questions(row.lot, row.reading, judged, issue),
        won=results.won_cost(desk, row) if row.state == "won" else None,
        dismissed=tuple((each.text, each.dismissed) for each in reasons if each.dismissed is not None),
    )


def with_market(desk: Desk, row: LotRow, found: Facts) -> Facts:
    """The facts with the curve of the issue and the sales behind its band."""
    judged = row.judgement
    if judged is None or judged.issue is None or judged.issue not in desk.catalogue.by_key:
        return found
    grade = (judged.grade_low, judged.grade_high)
    asked = (grade[0], grade[1]) if grade[0] is not None and grade[1] is not None else None
    traits = traits_from(desk.words["traits"]).of(row.reading)
    answer = pricing.price(desk, judged.issue, asked, raw=not row.reading.certified, traits=traits)
    sales = answer.explanation.sales if answer.explanation else ()
    return replace(found, steps=rungs(answer.curve, sales, around=judged.grade_low), sales=sales)
