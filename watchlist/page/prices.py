"""The market of one issue as text: the sentence, the curve, the sales behind the band."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from math import expm1
from typing import Protocol

from watchlist.core.coins.issue import Issue
from watchlist.core.marks.reasons import ago, figure, problem_words
from watchlist.core.prices.explain import Explanation
from watchlist.core.prices.realised import PriceRealised
from watchlist.core.prices.record import Band
from watchlist.core.prices.traits import SERVICE, kind_of, trait_words
from watchlist.page import plots, wording
from watchlist.page.charts import Rung
from watchlist.page.columns import cut, table, wrap
from watchlist.page.drawing import Alphabet

SHOWN = 12
"""Sales listed one by one."""


class Graded(Protocol):
    """A sale with a grade."""

    @property
    def grade(self) -> float:
        """Number of the 70-point scale."""


def rungs(
    curve: Sequence[tuple[int, Band]], sales: Sequence[Graded], *, around: int | None = None, most: int = 9
) -> list[Rung]:
    """The steps of a plot: the grades that have sales and the lot's own, thinned out to at most `most`."""
    sold = Counter(_nearest(sale.grade, curve) for sale in sales)
    steps = [Rung(grade, band.low, band.mid, band.high, sold.get(grade, 0)) for grade, band in curve]
    if len(steps) <= most:
        return steps
    wanted = {_nearest(float(around), curve)} if around is not None else set()
    ranked = sorted(steps, key=lambda rung: (rung.grade not in wanted, -rung.sales, abs(rung.grade - 40)))
    keep = {rung.grade for rung in ranked[:most]}
    return [rung for rung in steps if rung.grade in keep]


def _nearest(grade: float, curve: Sequence[tuple[int, Band]]) -> int:
    return min((node for node, _ in curve), key=lambda node: abs(node - grade), default=round(grade))


def headline(issue: Issue, sales: int, newest: date | None, today: date) -> str:
    """What the issue is, how many were struck and how many sales are known."""
    struck = f"{issue.mintage:,} struck" if issue.mintage else "mintage not known"
    age = f", newest {ago(newest, today)}" if newest else ""
    copied = " Copies of this issue are known." if issue.copied else ""
    return f"{issue.name}, {struck}: {wording.count(sales, 'price')} realised{age}.{copied}"


def account(found: Explanation, width: int, *, older: bool, guided: bool, parent: bool = False) -> list[str]:
    """What a band rests on, in words. `older`: sales are known beside those weighed one by one; `guided`: a price
    guide is on the shelf; `parent`: the issue is a variety without sales, valued from the regular issue."""
    drift = (found.drift_five_years - 1) * 100
    moved = "hardly moved" if abs(drift) < 1 else f"moved by {drift:+.0f}%"
    own = max(1.0 - found.similar - found.older, 0.0)
    rest = [name for name, there in (("its older sales", older), ("a price guide", guided)) if there]
    whose = "the sales of the regular issue" if parent else "these sales"
    parts = [f"{own:.0%} of the median rests on {whose}", f"{found.similar:.0%} from similar issues"]
    if rest or abs(found.older) >= 0.005:
        parts.append(f"{found.older:.0%} from {' and '.join(rest) or 'older sales and guides'}")
    guide = f"A price guide has the weight of {found.guide_worth:.1f} sales." if guided else "No price guide."
    return wrap(
        f"{', '.join(parts)}. The market of this series {moved} over five years. The evidence is "
        f"{found.evidence_age:.1f} years old on average. {guide}",
        width,
    )


@dataclass(frozen=True, slots=True)
class SaleLine:
    """One price realised, and what it says of the grade asked for."""

    sale: PriceRealised
    adjusted: Decimal | None = None
    """As it would be in this grade and class today, home currency; None where it does not count."""
    weight: float | None = None
    """Its share in the middle of the band; None where only all older sales together are known."""
    trust: float | None = None
    aside: str = ""
    """Why it does not count; empty when it does."""
    note: str = ""
    """The person's own."""
    wild: str = ""
    """What to look at, where the price is some ten times off its band."""

    @property
    def grade(self) -> float:
        """The middle of the grades named; 0 where none is."""
        return ((self.sale.grade_low or 0) + (self.sale.grade_high or 0)) / 2


def _beyond(sale: PriceRealised) -> str:
    """The traits of a sale in words; its service is told with its class."""
    return trait_words(trait for trait in sale.traits if kind_of(trait) != SERVICE)


def cells_of(line: SaleLine) -> tuple[str, ...]:
    """Day, grade, class, price as seen, price as today, weight, fit, and what else there is: own weight, problems,
    venue."""
    sale = line.sale
    own = f"weight {sale.weight:.0%}" if 0 < sale.weight < 1 else ""
    last = ", ".join(filter(None, (own, *map(problem_words, sale.problems), _beyond(sale), sale.venue)))
    return (
        sale.sale_date.isoformat(),
        wording.grades(sale.grade_low, sale.grade_high) or "-",
        "cert" if sale.certified else "raw",
        wording.money(sale.price),
        figure(line.adjusted) if line.adjusted is not None else "-",
        share(line.weight) if line.weight is not None else "older" if line.adjusted is not None else "-",
        fit_words(line.trust) or "-",
        last,
    )


def sales_table(lines: Sequence[SaleLine], grade: int | None, width: int) -> list[str]:
    """The newest sales as a table with their numbers; `grade` heads the column of adjusted prices."""
    if not lines:
        return ["No prices realised."]
    head = ("sale", "day", "grade", "", "price", today_head(grade), "weight", "fit", "")
    rows = [head, *((str(line.sale.id), *cells_of(line)) for line in lines[:SHOWN])]
    more = [f"and {wording.count(len(lines) - SHOWN, 'older sale')}"] if len(lines) > SHOWN else []
    listed = [cut(line, width) for line in table(rows, right=frozenset({0, 4, 5, 6, 7}))]
    return [*listed, *more, *_to_know(lines[:SHOWN], width)]


def recent_sales(lines: Sequence[SaleLine], width: int) -> list[str]:
    """The newest sales as they were, for readers who ask for no grade of their own."""
    rows = [
        (day, grade, kind, seen, line.sale.kind.replace("-", " "), last)
        for line in lines[:SHOWN]
        for day, grade, kind, seen, _, _, _, last in (cells_of(line),)
    ]
    more = [f"and {wording.count(len(lines) - SHOWN, 'older sale')}"] if len(lines) > SHOWN else []
    head = ("day", "grade", "", "price", "", "")
    return [*table([head, *rows], right=frozenset({3}), width=width, give=(5,)), *more]


def _to_know(lines: Sequence[SaleLine], width: int) -> list[str]:
    """Why sales do not count, what to look at, and the person's notes; sales of one kind in one sentence."""
    told: dict[str, list[str]] = {}
    for line in lines:
        why = f"excluded, {line.aside}" if line.aside else line.wild
        for words in filter(None, (why, f"note: {line.note}" if line.note else "")):
            told.setdefault(words, []).append(str(line.sale.id))
    said = (f"Sale {', '.join(sales)}: {words.rstrip('.')}." for words, sales in told.items())
    return [part for sentence in said for part in wrap(sentence, width)]


def course(
    lines: Sequence[SaleLine], band: Band | None, asked: str, today: date, width: int, draw: Alphabet | None
) -> list[str]:
    """The price over time, each sale as it would be today in what was asked, `XF-40 raw`; with the band beside it."""
    sold = [plots.Sold(line.sale.sale_date, line.adjusted) for line in lines if line.adjusted is not None]
    if not sold or band is None:
        return []
    said = f"As {asked} today: {plots.time_sentence(sold, today, band.currency)}"
    edges = (band.low, band.mid, band.high)
    drawn = plots.price_over_time(sold, edges, today, width=width, height=10, draw=draw) if draw else []
    return [*wrap(said, width), *drawn]


def asked(grade: int | None, *, raw: bool, traits: Sequence[str] = ()) -> str:
    """`XF-40 raw, strike weak`: the grade, class and traits that a price is asked for."""
    said = f"{wording.grades(grade, grade)} {'raw' if raw else 'certified'}".strip()
    return f"{said}, {trait_words(traits)}" if traits else said


def beyond_grade(effects: Sequence[tuple[str, float]]) -> str:
    """What moves a price beside the grade in a series; empty where nothing does."""
    if not effects:
        return ""
    said = ", ".join(f"{trait_words([name])} {100 * expm1(effect):+.0f}%" for name, effect in effects)
    return f"Beyond the grade, against a piece of this series that says nothing of it: {said}."


def short_row(line: SaleLine, grade: int | None) -> str:
    """One sale in a line: `2025-03-03  XF-40 raw  310 EUR, as VF-30 260, 12%`."""
    day, its_grade, kind, seen, today, weight, _, last = cells_of(line)
    said = line.aside or f"{today_head(grade)} {today}, {weight}"
    return f"{day}  {its_grade} {kind}  {seen}, {said}  {last}"


def span(band: Band) -> str:
    """`380 to 460, median 420 EUR`."""
    low, mid, high = (figure(edge) for edge in (band.low, band.mid, band.high))
    return f"{low} to {high}, median {mid} {band.currency}"


def today_head(grade: int | None) -> str:
    """`as XF-40`: the head of the prices adjusted to this grade and today."""
    return f"as {wording.grades(grade, grade)}" if grade is not None else "today"


def sale_sentence(line: SaleLine, grade: int | None, *, raw: bool, currency: str) -> str:
    """One sale in words: what was seen, what it says today, how much it counts and why."""
    sale = line.sale
    where = f" at {sale.venue}" if sale.venue else ""
    graded = wording.grades(sale.grade_low, sale.grade_high)
    held = "raw" if not sale.certified else f"certified by {sale.service}" if sale.service else "certified"
    piece = " ".join(filter(None, (graded, held, *map(problem_words, sale.problems), _beyond(sale))))
    kind = "all in" if sale.kind == "all-in" else sale.kind
    text = f"Sale {sale.id}, {sale.sale_date.isoformat()}{where}: {piece}, {wording.money(sale.price)} {kind}."
    if line.aside:
        text += f" Excluded: {line.aside.removeprefix('excluded ')}."
    elif line.adjusted is not None and grade is not None:
        text += f" As {asked(grade, raw=raw)} today {figure(line.adjusted)} {currency}; {_counts(line)}."
    if line.wild:
        text += f" It is {line.wild}."
    if 0 < sale.weight < 1:
        text += f" Your weight: {sale.weight:.0%}."
    return f"{text} Note: {line.note}" if line.note else text


def _counts(line: SaleLine) -> str:
    older = "one of the older sales that are weighed together"
    part = older if line.weight is None else f"{share(line.weight)} of the median"
    return f"{part}, fit {fit}" if (fit := fit_words(line.trust)) else part


def share(part: float) -> str:
    """`12%`; a small or negative share is `<1%`."""
    return f"{part:.0%}" if part >= 0.005 else "<1%"


CLOSE, OFF = 0.6, 0.25
"""From which trust on a sale lies close to the curve, and off it: about 2 and 4 times the usual swing of a sale."""


def fit_words(trust: float | None) -> str:
    """How near a sale lies to what the curve says: `close`, `off`, `far off`; empty where nothing is known."""
    if trust is None:
        return ""
    return "close" if trust >= CLOSE else "off" if trust >= OFF else "far off"
