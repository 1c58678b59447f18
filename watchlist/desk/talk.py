"""The talk sheet of one issue: what to look for, how copies are made, what it brings."""

from __future__ import annotations

from watchlist.core.bench.alloys import metals_from
from watchlist.core.bench.order import order_of
from watchlist.desk import pricing
from watchlist.desk.desk import Desk
from watchlist.page import charts, prices, talk


def talk_sheet(desk: Desk, coin: str, width: int) -> list[str]:
    """The sheet as lines. Raises DeskError for a coin that is not one."""
    answers = [pricing.price(desk, coin, None, raw=raw) for raw in (True, False)]
    issue = answers[0].issue
    lines = pricing.sale_lines(desk, answers[0])
    counted = [line for line in lines if not line.aside]
    markets = []
    for answer, kind in zip(answers, ("Uncertified (raw)", "Certified"), strict=True):
        sales = [line for line in counted if line.sale.certified != answer.raw]
        markets.append(talk.Market(kind, tuple(prices.rungs(answer.curve, sales))))
    order = order_of(issue, None, metals_from(desk.words["alloys"]), desk.words["bench"])
    parts = talk.talk_sheet(issue, order, markets, lines, desk.local_today(), desk.home)
    drawn = [
        charts.grade_chart(market.rungs, price=None, grade=None, width=min(width, 100))
        for market in markets
        if market.rungs and desk.settings.plots != "words"
    ]
    return talk.text(parts, width, drawn)
