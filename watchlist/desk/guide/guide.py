"""A guide to a series, from the person's own catalogue, prices and feeds; its editions are kept."""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date, timedelta
from decimal import Decimal
from functools import cache
from math import log
from pathlib import Path
from typing import Any

from watchlist.core.coins.issue import Issue, bare_words
from watchlist.core.guide import statistics
from watchlist.core.guide.editions import Change, Printed, changes, column_name
from watchlist.core.guide.record import Best, Column, Entry, Figure, Guide, Rise
from watchlist.core.marks.valuation import Piece
from watchlist.core.prices.bands import series_key
from watchlist.core.prices.realised import PriceRealised, Sale
from watchlist.core.prices.traits import effects_told, of_kind
from watchlist.desk.desk import Desk
from watchlist.desk.errors import DeskError
from watchlist.desk.files import write_file
from watchlist.desk.prices.fitting import sales_of
from watchlist.desk.prices.population import populations
from watchlist.page.guide import MINT_STATE, Sheet, population_sentence, rarity_sentences
from watchlist.page.guide_forms import ENDINGS, as_file
from watchlist.page.wording import count
from watchlist.shelf.store.sightings import Sighting

EDITION = "guide"
"""Kind of the finding that holds what an edition printed."""
NAMED = 6
"""Series named in a refusal."""


@dataclass(frozen=True, slots=True)
class Seen:
    """What feeds and sales have shown of one issue: the grades of its pieces, each piece once."""

    grades: tuple[int | None, ...] = ()
    since: date | None = None

    @property
    def graded(self) -> tuple[int, ...]:
        """Those with a grade."""
        return tuple(grade for grade in self.grades if grade is not None)


def series(desk: Desk, words: str) -> tuple[Issue, ...]:
    """The issues of the one series that is meant, by country, denomination and perhaps type. Raises DeskError."""
    asked = bare_words(words).split()

    def named(issue: Issue) -> bool:
        name = f"{issue.country} {desk.reader.canonical_denomination(issue.denomination) or issue.denomination}"
        return set(asked) <= set(bare_words(f"{name} {issue.denomination} {issue.type}").split())

    every = desk.catalogue.by_key.values()
    found = _by_series(filter(named, every))
    if len(found) == 1 and asked:
        return tuple(*found.values())
    if not every:
        raise DeskError("Your catalogue is empty: `watchlist import catalogue FILE` reads one. Nothing was written.")
    names = sorted(" ".join(each) for each in (found or _by_series(every)))
    listed = ", ".join(names[:NAMED])
    problem = f"`{words}` can mean several series" if found and asked else f"No series `{words}` is in your catalogue"
    raise DeskError(f"{problem}. Name one of: {listed}. Nothing was written.")


def all_series(desk: Desk) -> tuple[tuple[Issue, ...], ...]:
    """Every series of the catalogue, that with the most prices realised first."""
    found = _by_series(desk.catalogue.by_key.values())
    known = desk.shelf.store.prices.by_issue()
    busiest = sorted(found.values(), key=lambda issues: -sum(known.get(each.key, (0,))[0] for each in issues))
    return tuple(map(tuple, busiest))


def guide(desk: Desk, issues: Sequence[Issue], columns: Sequence[Column], currency: str = "") -> Guide:
    """The guide to the issues of a series, in home currency or another. Raises DeskError where no price counts."""
    fx = _rate(desk, currency or desk.home)
    prices = [price for issue in issues for price in desk.shelf.store.prices.of(issue.key)]
    ready, aside = sales_of(desk, sorted(prices, key=lambda price: price.id))
    if not ready:
        raise DeskError(f"No price realised of {series_name(issues)} counts, so there is nothing to print.")
    by_issue = _grouped(ready)
    seen = _pieces(desk, issues, prices)
    maker = _Maker(desk, tuple(columns), {price.id: price for price in prices}, fx)
    apart = _Apart(desk, seen)
    entries = tuple(apart.told(maker.entry(issue, by_issue.get(issue.key, []), seen[issue.key])) for issue in issues)
    since = min(filter(None, (each.since for each in seen.values())), default=None)
    kind, years = desk.kind, float(desk.settings.prices.years)
    made = desk.local_today()
    money = currency or desk.home
    named = {trait for sale in ready for trait in sale.traits}
    effects = effects_told(desk.shelf.store.market.header() or {"series": {}}, series_key(issues[0]), named)
    return Guide(series_name(issues), tuple(columns), entries, money, kind, made, since, len(aside), years, effects)


def _rate(desk: Desk, currency: str) -> Decimal:
    """How much of a currency one unit of home currency is today. Raises DeskError."""
    factor = desk.rates.to_home_factor(currency, desk.local_today())
    if factor is None:
        raise DeskError(
            f"No rate of {currency} is known: `watchlist import rates FILE` reads some. Nothing was written."
        )
    return 1 / factor


def series_name(issues: Sequence[Issue]) -> str:
    """`Orvany 5 tor, Galley`: with its type where all issues have the same."""
    types = {issue.type for issue in issues}
    name = f"{issues[0].country} {issues[0].denomination}"
    return f"{name}, {types.pop()}" if len(types) == 1 and all(types) else name


def _grouped(sales: Iterable[Sale]) -> dict[str, list[Sale]]:
    found: dict[str, list[Sale]] = defaultdict(list)
    for sale in sales:
        found[sale.issue].append(sale)
    return found


def _pieces(desk: Desk, issues: Sequence[Issue], prices: Iterable[PriceRealised]) -> dict[str, Seen]:
    """Each piece once, whether a feed, a sale or both have shown it."""
    found: dict[str, dict[str, int | None]] = {issue.key: {} for issue in issues}
    days: dict[str, list[date]] = defaultdict(list)
    lots = set()
    for shown in desk.shelf.store.sightings.of(found):
        lots.add(shown.lot)
        _meet(found, days, shown)
    for price in prices:
        if not price.replica and price.quantity == 1 and price.origin not in lots:
            piece = f"{price.service} {price.cert_number}" if price.cert_number else f"sale {price.id}"
            _meet(found, days, Sighting(price.issue, "", piece, price.grade_low, price.sale_date))
    return {key: Seen(tuple(pieces.values()), min(days[key], default=None)) for key, pieces in found.items()}


def _meet(found: dict[str, dict[str, int | None]], days: dict[str, list[date]], shown: Sighting) -> None:
    pieces = found[shown.issue]
    if pieces.get(shown.piece) is None:
        pieces[shown.piece] = shown.grade
    if shown.day is not None:
        days[shown.issue].append(shown.day)


class _Apart:
    """How the issues of a series stand apart from each other, by all that counts them."""

    def __init__(self, desk: Desk, seen: Mapping[str, Seen]) -> None:
        known = populations(desk)
        self._populations = {issue: known.get(issue, ()) for issue in seen}
        own = {key: (sum(grade >= MINT_STATE for grade in each.graded), len(each.graded)) for key, each in seen.items()}
        counted: dict[str, dict[str, tuple[int, int]]] = defaultdict(dict)
        for issue, lists in self._populations.items():
            for each in lists:
                counted[f"{each.service}, {each.day}"][issue] = each.at_or_above(MINT_STATE), each.total
        self._found = [statistics.rarities(own), *(statistics.rarities(met, source) for source, met in counted.items())]

    def told(self, entry: Entry) -> Entry:
        """The entry with what stands apart, and with the counts."""
        key = entry.issue.key
        found = tuple(each[key] for each in self._found if key in each)
        return replace(entry, rarities=found, populations=self._populations[key])


def scarcity(desk: Desk, issue: Issue) -> Mapping[str, list[str]]:
    """Of each issue of a series how often it was certified, and whether it stands apart from the others: sentences."""
    issues = _by_series(desk.catalogue.by_key.values())[issue.country, issue.denomination]
    prices = [price for each in issues for price in desk.shelf.store.prices.of(each.key)]
    apart = _Apart(desk, _pieces(desk, issues, prices))
    entries = [apart.told(Entry(each, {})) for each in issues]
    return {
        entry.issue.key: [*map(population_sentence, entry.populations), *rarity_sentences(entry)] for entry in entries
    }


def _by_series(issues: Iterable[Issue]) -> dict[tuple[str, str], list[Issue]]:
    found: dict[tuple[str, str], list[Issue]] = defaultdict(list)
    for issue in issues:
        found[issue.country, issue.denomination].append(issue)
    return found


class _Maker:
    """Makes the entries of one guide."""

    def __init__(
        self,
        desk: Desk,
        columns: tuple[Column, ...],
        prices: Mapping[int, PriceRealised],
        fx: Decimal,
    ) -> None:
        self._desk, self._columns, self._prices, self._fx = desk, columns, prices, fx
        self._today, self._window = desk.local_today(), timedelta(days=365.25 * float(desk.settings.prices.years))

    def entry(self, issue: Issue, sales: Sequence[Sale], seen: Seen) -> Entry:
        """One issue."""
        late = [sale for sale in sales if self._today - sale.day <= self._window]
        figures = {column: figure for column in self._columns if (figure := self._figure(issue, column))}
        met = Counter({column.grade: sum(g >= column.grade for g in seen.graded) for column in self._columns})
        return Entry(
            issue,
            figures,
            len(sales),
            max((sale.day for sale in sales), default=None),
            self._best(late),
            self._rise(issue, late),
            len(seen.grades),
            met,
            strikes=Counter(filter(None, (of_kind("strike", sale.traits) for sale in sales))),
        )

    def _figure(self, issue: Issue, column: Column) -> Figure | None:
        worth = self._desk.market.value(Piece(issue, column.grade, column.grade, column.raw))
        if worth is None or Decimal(worth.ratio) > self._desk.settings.prices.max_ratio:
            return None
        low, mid, high = (self._in_currency(each) for each in (worth.low, worth.mid, worth.high))
        return Figure(mid, low, high, worth.basis not in ("similar", "parent"))

    def _in_currency(self, amount: Decimal) -> Decimal:
        return amount if self._fx == 1 else round(amount * self._fx, 2)

    def _best(self, sales: Sequence[Sale]) -> Best | None:
        best = max(sales, key=lambda sale: (sale.price, sale.day), default=None)
        if best is None:
            return None
        price = self._in_currency(Decimal(f"{best.price:.2f}"))
        return Best(price, best.day, best.grade, best.raw, self._prices[best.id].venue)

    def _rise(self, issue: Issue, sales: Sequence[Sale]) -> Rise | None:
        """The older half of the window against the newer, each sale beside what its grade and class bring today."""

        @cache
        def level(grade: int, raw: bool) -> float | None:
            band = self._desk.market.band(Piece(issue, grade, grade, raw))
            return log(band.mid) if band is not None and band.mid > 0 else None

        parted: dict[bool, list[float]] = {True: [], False: []}
        for sale in sales:
            usual = level(round(sale.grade), sale.raw)
            if usual is not None and not sale.problem:
                parted[self._today - sale.day <= self._window / 2].append(log(sale.price) - usual)
        return statistics.rise(parted[False], parted[True])


def changed(desk: Desk, made: Guide, now: Printed) -> tuple[date | None, tuple[Change, ...]]:
    """What changed since the last edition in this currency, and its day."""
    name = (made.series, made.currency)
    kept = [each for each in desk.shelf.store.findings.of(EDITION) if _edition(desk, each.data) == name]
    if not kept:
        return None, ()
    day = kept[-1].at.astimezone(desk.settings.home.zone).date()
    return day, tuple(changes(kept[-1].data["printed"], now, [column_name(column) for column in made.columns]))


def _edition(desk: Desk, data: Mapping[str, Any]) -> tuple[str, str]:
    return data["series"], data.get("currency", desk.home)


def keep_edition(desk: Desk, made: Guide, printed: Printed) -> None:
    """Keep what was printed, for the next edition to be held against."""
    data = {"series": made.series, "currency": made.currency, "printed": printed}
    desk.shelf.store.findings.add(EDITION, "", desk.now, data)


def write(name: str, made: Guide, laid: Sheet, *, replace: bool) -> str:
    """Write a guide in the form that the ending of a file asks for; a sentence on it. Raises DeskError."""
    ending = Path(name).suffix.casefold()
    if ending not in ENDINGS:
        raise DeskError(
            f"{name}: a guide is written as {', '.join(ENDINGS[:-1])} or {ENDINGS[-1]}. Nothing was written."
        )
    path = write_file(name, as_file(ending, made, laid), replace=replace)
    return f"{path}: the guide, {count(len(laid.rows), 'issue')}."
