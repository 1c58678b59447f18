"""The market of one coin: its band and curve, and the sales that they rest on."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from decimal import Decimal

from watchlist.core.coins.issue import Issue
from watchlist.core.marks.valuation import Piece, SavedMarket
from watchlist.core.prices.bands import series_key
from watchlist.core.prices.explain import Explanation, as_today, explain
from watchlist.core.prices.realised import PriceRealised, Sale, far_off, too_old
from watchlist.core.prices.record import Band
from watchlist.core.prices.traits import effects_told
from watchlist.desk.desk import Desk
from watchlist.desk.naming import coin as coin_meant
from watchlist.desk.prices.fitting import sales_of
from watchlist.desk.prices.weighing import notes as notes_of
from watchlist.page import prices as words
from watchlist.page.prices import SaleLine


@dataclass(frozen=True, slots=True)
class PriceAnswer:
    """The market of one issue: its curve, the band of a grade, and the sales behind it."""

    issue: Issue
    grade: int | None
    raw: bool
    band: Band | None
    """Of the next sale in the grade."""
    curve: tuple[tuple[int, Band], ...]
    """What the coin is worth at each number of the scale where the curve has a node."""
    sales: tuple[PriceRealised, ...]
    """Newest first, those set aside too."""
    explanation: Explanation | None
    basis_note: str = ""
    value: Band | None = None
    """What it is worth in the grade."""
    traits: tuple[str, ...] = ()
    """What is asked for beyond the grade; band, value and curve are those of such a piece."""
    effects: tuple[tuple[str, float], ...] = ()
    """What each trait that is asked for, or met in this series or its sales, does to the log of a price there."""


def usual_grade(sales: Iterable[PriceRealised]) -> tuple[int, bool]:
    """The grade in which most of these pieces were sold, and whether most of them were raw.

    VF-20 raw where none was sold in a grade; of two grades sold equally often the finer one."""
    counted = [sale for sale in sales if sale.weight > 0]
    grades = Counter(
        round((sale.grade_low + sale.grade_high) / 2)
        for sale in counted
        if sale.grade_low is not None and sale.grade_high is not None
    )
    grade = max(grades, key=lambda number: (grades[number], number), default=20)
    return grade, 2 * sum(sale.certified for sale in counted) <= len(counted)


def kinds_sold(desk: Desk, coin: str) -> list[bool]:
    """Whether pieces of a coin, or of the regular coin of a variety that was never sold, were sold raw, certified, or
    both: raw or not, the commoner first."""
    issue, prices = coin_meant(desk, coin), desk.shelf.store.prices
    sales = prices.of(issue.key) or prices.of(desk.catalogue.parent(issue))
    sold = Counter(not sale.certified for sale in sales if sale.weight > 0)
    return [raw for raw, _ in sold.most_common()] or [False]


def price(
    desk: Desk, coin: str, grade: tuple[int, int] | None, *, raw: bool, traits: tuple[str, ...] = ()
) -> PriceAnswer:
    """The band and curve of a coin, with such traits; with a grade also what each sale contributes."""
    issue = coin_meant(desk, coin)
    market = desk.market
    sales = tuple(
        sorted(desk.shelf.store.prices.of(issue.key), key=lambda sale: (sale.sale_date, sale.id), reverse=True)
    )
    middle = round(sum(grade) / 2) if grade else None
    if not isinstance(market, SavedMarket):
        return PriceAnswer(issue, middle, raw, None, (), sales, None, _no_market(desk))
    piece = Piece(issue, *grade, raw, worded=grade[0] != grade[1], traits=traits) if grade else None
    band, value = (market.band(piece), market.value(piece)) if piece else (None, None)
    row = market.state.row(issue)
    at = middle if middle is not None else 40
    explained = explain(market.state.header, row, grade=at, raw=raw, traits=traits) if row is not None else None
    curve = _curve(market, Piece(issue, at, at, raw, traits=traits), grade)
    named = {*traits, *(trait for sale in sales for trait in sale.traits)}
    effects = effects_told(market.state.header, series_key(issue), named)
    return PriceAnswer(issue, middle, raw, band, curve, sales, explained, "", value, traits, effects)


def _no_market(desk: Desk) -> str:
    """Why there is no band: nothing to fit, or a fit that meant something else."""
    header = desk.shelf.store.market.header()
    if header is None:
        kept = desk.shelf.store.prices.count()
        return (
            "no bands were calculated yet; `watchlist price --refit` does it" if kept else "no prices were imported yet"
        )
    meant = f"{header.get('kind', '')} in {header.get('currency', '')}"
    now = f"{desk.kind} in {desk.home}"
    if meant != now:
        return f"the bands are {meant}, the settings now say {now}; `watchlist price --refit` recalculates them"
    return "the bands were calculated by another version; `watchlist price --refit` recalculates them"


def _curve(market: SavedMarket, piece: Piece, asked: tuple[int, int] | None) -> tuple[tuple[int, Band], ...]:
    """Values at the model's grades, and at the one asked for."""
    nodes = {round(node) for node in market.state.header["nodes"]}
    if asked and asked[0] == asked[1]:
        nodes.add(asked[0])
    found = ((grade, market.value(replace(piece, grade_low=grade, grade_high=grade))) for grade in sorted(nodes))
    return tuple((grade, band) for grade, band in found if band is not None)


def sale_lines(desk: Desk, answer: PriceAnswer) -> list[SaleLine]:
    """Every price realised of the answer's coin, newest first: what it says of the grade today, and how much it counts
    or why it does not."""
    ready, why = _ready_or_why_not(desk, answer.sales)
    parts = {part.sale: part for part in (answer.explanation.sales if answer.explanation else ())}
    told = _as_today(desk, answer, [sale for sale in ready if sale.id not in parts and sale.id not in why])
    notes = notes_of(desk, answer.sales)

    def line(sale: PriceRealised) -> SaleLine:
        part = parts.get(sale.id)
        adjusted, trust = (part.adjusted, part.trust) if part else told.get(sale.id, (None, None))
        wild = far_off(adjusted, answer.band.mid) if adjusted is not None and answer.band is not None else ""
        note = notes.get(sale.id) or sale.note
        return SaleLine(sale, adjusted, part.weight if part else None, trust, why.get(sale.id, ""), note, wild)

    return [line(sale) for sale in answer.sales]


def _ready_or_why_not(desk: Desk, sales: Sequence[PriceRealised]) -> tuple[list[Sale], dict[int, str]]:
    """The sales as the model takes them, and by its number why a sale counts for nothing."""
    ready, aside = sales_of(desk, sorted(sales, key=lambda sale: sale.id))  # in the order of the fit
    today, years = desk.local_today(), desk.settings.prices.years
    why = {each.price.id: each.reason for each in aside}
    return ready, why | {sale.id: old for sale in ready if (old := too_old(sale.day, today, years))}


def account(desk: Desk, answer: PriceAnswer, width: int) -> list[str]:
    """What the answer's band rests on, in words."""
    if answer.explanation is None:
        return []
    guided = desk.shelf.store.catalogue.has_guide(answer.issue.key)
    older = answer.band is not None and answer.band.sales > len(answer.explanation.sales)
    parent = answer.band is not None and answer.band.basis == "parent"
    return words.account(answer.explanation, width, older=older, guided=guided, parent=parent)


def _as_today(desk: Desk, answer: PriceAnswer, sales: Sequence[Sale]) -> dict[int, tuple[Decimal | None, float | None]]:
    """What sales older than those that the market keeps one by one would say of the grade today, and their trust."""
    market = desk.market
    row = market.state.row(answer.issue) if isinstance(market, SavedMarket) else None
    if row is None or answer.grade is None or not isinstance(market, SavedMarket):
        return {}
    found = as_today(market.state.header, row, sales, grade=answer.grade, raw=answer.raw, traits=answer.traits)
    return {part.sale: (part.adjusted, part.trust) for part in found}
