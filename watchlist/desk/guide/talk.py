"""The talk sheet of one issue: what to look for, how copies are made, what it brings."""

from __future__ import annotations

from dataclasses import replace

from watchlist.core.bench.alloys import metals_from
from watchlist.core.bench.order import order_of
from watchlist.desk.desk import Desk
from watchlist.desk.errors import DeskError
from watchlist.desk.prices import pricing
from watchlist.page import prices, talk
from watchlist.page.columns import PRINTED


def talk_sheet(desk: Desk, coin: str, width: int, *, venues: bool = True) -> list[talk.Section]:
    """The sheet, drawn in so many columns; `venues`: whether it names them. Raises DeskError for a coin that is not
    one."""
    answers = [pricing.price(desk, coin, None, raw=raw) for raw in (True, False)]
    issue = answers[0].issue
    lines = pricing.sale_lines(desk, answers[0])
    if not venues:
        lines = [replace(line, sale=replace(line.sale, venue="")) for line in lines]
    counted = [line for line in lines if not line.aside]
    markets = {}
    for answer, kind in zip(answers, ("Uncertified (raw)", "Certified"), strict=True):
        sales = [line for line in counted if line.sale.certified != answer.raw]
        markets[kind] = prices.rungs(answer.curve, sales)
    order = order_of(issue, None, metals_from(desk.words["alloys"]), desk.words["bench"])
    paper = talk.Drawing(desk.home, desk.drawing, width)
    return list(talk.talk_sheet(issue, order, markets, lines, desk.local_today(), paper))


def as_file(name: str, sheet: list[talk.Section]) -> str:
    """The sheet in the form that the ending of a file asks for. Raises DeskError."""
    if name.casefold().endswith(".html"):
        return talk.page(sheet)
    if name.casefold().endswith(".txt"):
        return "\n".join(talk.text(sheet, PRINTED)) + "\n"
    raise DeskError(f"{name}: a talk sheet is written as .html or .txt. Nothing was written.")
