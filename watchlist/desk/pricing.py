"""From prices realised to the saved market; the band of a coin and what it rests on."""

from __future__ import annotations

import uuid
from collections import Counter
from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from datetime import date
from decimal import Decimal

from watchlist.core.coins.issue import Issue
from watchlist.core.decisions.review import Decision
from watchlist.core.marks.valuation import Piece, SavedMarket
from watchlist.core.prices.bands import Explanation, explain, reband
from watchlist.core.prices.explain import as_today
from watchlist.core.prices.realised import PriceRealised, Sale, SetAside, far_off, screen, to_sale, too_old
from watchlist.core.prices.record import Band
from watchlist.core.prices.repeats import count_once
from watchlist.desk import judging
from watchlist.desk.desk import Desk
from watchlist.desk.errors import DeskError
from watchlist.page import prices as words
from watchlist.page.prices import SaleLine

Progress = Callable[[str, float], bool]
MARKET_DIRTY = "market_dirty"
"""Name of the fact that prices, guides, rates, terms or the catalogue changed since the last fit."""
AT_ONCE = 2000
"""Prices read or made ready between two looks whether the person wants to stop."""


@dataclass(frozen=True, slots=True)
class Fit:
    """What a fit used and what it set aside."""

    sales: int
    set_aside: tuple[tuple[PriceRealised, str], ...]
    flagged: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class PriceAnswer:
    """The market of one issue: its curve, the band of a grade, and the sales behind it."""

    issue: Issue
    grade: int | None
    raw: bool
    band: Band | None
    curve: tuple[tuple[int, Band], ...]
    """Band at each number of the scale where the curve has a node."""
    sales: tuple[PriceRealised, ...]
    """Newest first, those set aside too."""
    explanation: Explanation | None
    basis_note: str = ""


def mark_dirty(desk: Desk) -> None:
    """The market state no longer fits what is on the shelf. Each time with a word of its own, so that a fit that was
    running meanwhile knows that it came too early."""
    desk.shelf.store.facts.put(MARKET_DIRTY, uuid.uuid4().hex[:12])


def is_dirty(desk: Desk) -> bool:
    """A fit is due: something changed, or the saved state has another meaning or version."""
    store = desk.shelf.store
    return bool(store.facts.get(MARKET_DIRTY)) or (
        not isinstance(desk.market, SavedMarket) and store.prices.count() > 0
    )


# --- the fit ---


def sales_of(
    desk: Desk, prices: Iterable[PriceRealised], tell: Callable[[], object] = bool
) -> tuple[list[Sale], list[SetAside]]:
    """Prices realised made ready for the model, and those set aside with their reasons. `tell` is called often."""
    once = count_once(_followed(prices, tell), desk.shelf.store.results.prices())
    kept, aside = screen(once.kept)
    aside += once.aside
    sales: list[Sale] = []
    today = desk.local_today()
    for price in _followed(kept, tell):
        made = _ready(desk, price, today)
        if isinstance(made, SetAside):
            aside.append(made)
        else:
            sales.append(made)
    return sales, aside


def _followed(prices: Iterable[PriceRealised], tell: Callable[[], object]) -> Iterator[PriceRealised]:
    for number, price in enumerate(prices):
        if number % AT_ONCE == 0:
            tell()
        yield price


def _ready(desk: Desk, price: PriceRealised, today: date) -> Sale | SetAside:
    kind = desk.settings.prices.kind
    return to_sale(price, desk.terms.get(price.venue), desk.rates, home=desk.home, kind=kind, today=today)


def refit(desk: Desk, progress: Progress | None = None, *, search: bool = True) -> Fit:
    """Fit the market to all prices realised and keep its state in place of the old one.

    `search` False keeps the scales of the last fit: quicker, for a few new prices. `progress` is asked several times
    a second; when it says False market.Stopped is raised, the old state stays in use and the fit stays due."""
    from watchlist import market
    from watchlist.market import sweeps

    store = desk.shelf.store

    def tell(words: str, share: float) -> bool:
        if progress is not None and not progress(words, share):
            raise market.Stopped("The fit was stopped; the last market state stays in use.")
        return True

    due = store.facts.get(MARKET_DIRTY)
    with sweeps.paused():
        sales, aside = sales_of(desk, store.prices.each(), lambda: tell("reading the prices", 0.0))
        header = store.market.header()
        fitted = market.fit(
            list(desk.catalogue.by_key.values()),
            sales,
            store.catalogue.guides(),
            market.Measure(desk.local_today(), desk.settings.prices.kind, desk.home, desk.settings.prices.years),
            scales=header.get("scales") if header and not search else None,
            progress=tell,
        )
        store.market.put(fitted.header, fitted.rows.items())
    if store.facts.get(MARKET_DIRTY) == due:
        store.facts.put(MARKET_DIRTY, False)
    desk.__dict__.pop("market", None)
    unused = [(each.price, each.reason) for each in aside]
    unused += [(kept, each.why) for each in fitted.aside if (kept := store.prices.get(each.sale)) is not None]
    wild = [(kept, each.why) for each in fitted.flagged if (kept := store.prices.get(each.sale)) is not None]
    flagged = tuple(_to_look_at(desk, *each) for each in wild)
    return Fit(int(fitted.header["counts"]["sales"]), tuple(unused), flagged)


def _to_look_at(desk: Desk, sale: PriceRealised, why: str) -> str:
    """A sentence on a price that can hardly be right."""
    where = f" ({sale.origin})" if sale.origin else ""
    what = f"sale {sale.id} of {desk.issue_name(sale.issue)}, {sale.sale_date}, {sale.price}{where}"
    return f"{what}: {why}; are price, coin and currency right?"


# --- one coin ---


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


def price(desk: Desk, coin: str, grade: tuple[int, int] | None, *, raw: bool) -> PriceAnswer:
    """The band and curve of a coin; with a grade also what each sale contributes."""
    issue = desk.coin(coin)
    market = desk.market
    sales = tuple(
        sorted(desk.shelf.store.prices.of(issue.key), key=lambda sale: (sale.sale_date, sale.id), reverse=True)
    )
    middle = round(sum(grade) / 2) if grade else None
    if not isinstance(market, SavedMarket):
        return PriceAnswer(issue, middle, raw, None, (), sales, None, _no_market(desk))
    band = market.band(Piece(issue, *grade, raw)) if grade else None
    row = market.state.row(issue)
    at = middle if middle is not None else 40
    explained = explain(market.state.header, row, grade=at, raw=raw) if row is not None else None
    return PriceAnswer(issue, middle, raw, band, _curve(market, issue, raw, grade), sales, explained)


def _no_market(desk: Desk) -> str:
    """Why there is no band: nothing to fit, or a fit that meant something else."""
    header = desk.shelf.store.market.header()
    if header is None:
        kept = desk.shelf.store.prices.count()
        return "no market was fitted yet; `watchlist price --refit` fits it" if kept else "no prices were imported yet"
    meant = f"{header.get('kind', '')} in {header.get('currency', '')}"
    now = f"{desk.settings.prices.kind} in {desk.home}"
    if meant != now:
        return f"the market was fitted {meant}, the settings now say {now}; `watchlist price --refit` fits it again"
    return "the market was fitted by another version; `watchlist price --refit` fits it again"


def _curve(market: SavedMarket, issue: Issue, raw: bool, asked: tuple[int, int] | None) -> tuple[tuple[int, Band], ...]:
    """Bands at the model's grades, and at the one asked for."""
    nodes = {round(node) for node in market.state.header["nodes"]}
    if asked and asked[0] == asked[1]:
        nodes.add(asked[0])
    found = ((grade, market.band(Piece(issue, grade, grade, raw))) for grade in sorted(nodes))
    return tuple((grade, band) for grade, band in found if band is not None)


def sale_lines(desk: Desk, answer: PriceAnswer) -> list[SaleLine]:
    """Every price realised of the answer's coin, newest first: what it says of the grade today, and how much it counts
    or why it does not."""
    ready, aside = sales_of(desk, sorted(answer.sales, key=lambda sale: sale.id))  # in the order of the fit
    why = {each.price.id: each.reason for each in aside}
    today, years = desk.local_today(), desk.settings.prices.years
    why |= {sale.id: old for sale in ready if (old := too_old(sale.day, today, years))}
    parts = {part.sale: part for part in (answer.explanation.sales if answer.explanation else ())}
    told = _as_today(desk, answer, [sale for sale in ready if sale.id not in parts and sale.id not in why])
    notes = weigh_notes(desk, answer.sales)
    lines = []
    for sale in answer.sales:
        part = parts.get(sale.id)
        adjusted, trust = (part.adjusted, part.trust) if part else told.get(sale.id, (None, None))
        note = notes.get(sale.id) or sale.note
        wild = far_off(adjusted, answer.band.mid) if adjusted is not None and answer.band is not None else ""
        weight = part.weight if part else None
        lines.append(SaleLine(sale, adjusted, weight, trust, why.get(sale.id, ""), note, wild))
    return lines


def account(desk: Desk, answer: PriceAnswer, width: int) -> list[str]:
    """What the answer's band rests on, in words."""
    if answer.explanation is None:
        return []
    guided = desk.shelf.store.catalogue.has_guide(answer.issue.key)
    older = answer.band is not None and answer.band.sales > len(answer.explanation.sales)
    return words.account(answer.explanation, width, older=older, guided=guided)


def _as_today(desk: Desk, answer: PriceAnswer, sales: Sequence[Sale]) -> dict[int, tuple[Decimal | None, float | None]]:
    """What sales older than those that the market keeps one by one would say of the grade today, and their trust."""
    market = desk.market
    row = market.state.row(answer.issue) if isinstance(market, SavedMarket) else None
    if row is None or answer.grade is None or not isinstance(market, SavedMarket):
        return {}
    found = as_today(market.state.header, row, sales, grade=answer.grade, raw=answer.raw)
    return {part.sale: (part.adjusted, part.trust) for part in found}


# --- the person's own weights ---


def weigh(desk: Desk, sale: int, weight: Decimal, note: str, *, later: bool = False) -> PriceRealised:
    """Count one sale less, or set it aside with weight 0. A decision: undo turns it back. The sale as it counts now.

    The band of its issue follows at once; the whole market and the marks too, unless that is left for `later`."""
    store = desk.shelf.store
    kept = store.prices.get(sale) if 0 < sale < 1 << 63 else None
    if kept is None:
        raise DeskError(f"There is no sale {sale}; `watchlist price COIN` lists the sales with their numbers.")
    if not weight.is_finite() or not 0 <= weight <= 1:
        raise DeskError(f"A weight lies between 0 and 1, not {weight}; 0 sets the sale aside. Nothing was changed.")
    line = Decision(
        0,
        uuid.uuid4().hex[:12],
        desk.now,
        "weigh",
        "",
        target=str(sale),
        note=note,
        weight=weight,
        weight_before=Decimal(str(kept.weight)),
    )
    with store.together():
        store.decisions.add([line])
        _set_weight(desk, kept, float(weight))
    if not later:
        refit(desk, search=False)
        judging.judge_all(desk)
    return replace(kept, weight=float(weight))


def weigh_back(desk: Desk, line: Decision, *, back: bool) -> str:
    """Undo or redo a weight; what became of it, in words. The band of its issue follows at once; a fit is due."""
    weight = line.weight_before if back else line.weight
    kept = desk.shelf.store.prices.get(int(line.target))
    if weight is None or kept is None:
        return f"sale {line.target} is kept no more"
    _set_weight(desk, kept, float(weight))
    return f"sale {line.target} counts {weight.normalize():f} again"


def weigh_notes(desk: Desk, sales: Iterable[PriceRealised]) -> dict[int, str]:
    """The notes to the weights in force of these sales, by the number of the sale."""
    asked = {str(sale.id) for sale in sales}
    weighed = [line for line in desk.shelf.store.decisions.of("") if line.verb == "weigh" and line.target in asked]
    if not weighed:
        return {}
    done = frozenset(desk.shelf.store.decisions.batches().done)
    return {int(line.target): line.note for line in weighed if line.batch in done}


def _set_weight(desk: Desk, kept: PriceRealised, weight: float) -> None:
    """Keep the weight; the issue's own band takes it in at once, and the fit of the whole market is due."""
    desk.shelf.store.prices.set_weight(kept.id, weight)
    mark_dirty(desk)
    market, row = desk.market, desk.shelf.store.market.row(kept.issue)
    ready = _ready(desk, replace(kept, weight=1.0), desk.local_today())
    if row is None or not isinstance(market, SavedMarket) or isinstance(ready, SetAside):
        return
    if too_old(ready.day, desk.local_today(), desk.settings.prices.years):
        return
    one_by_one = any(line[0] == kept.id for line in row["sales"])
    if one_by_one or kept.weight <= 0:  # an older sale is known to its row only together with all the others
        desk.shelf.store.market.put_row(kept.issue, reband(market.state.header, row, replace(ready, weight=weight)))
        desk.__dict__.pop("market", None)
