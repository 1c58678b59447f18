"""A guide as rows of text, the same for screen, Markdown, CSV and page; what it rests on, in a paragraph."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from decimal import Decimal

from watchlist.core.coins.scale import grade_word
from watchlist.core.fees.ladders import Ladder
from watchlist.core.guide.editions import Change, column_name
from watchlist.core.guide.order import ORDERS, ordered
from watchlist.core.guide.record import Best, Column, Entry, Guide, Rarity, Rise
from watchlist.core.guide.rounding import rounded
from watchlist.core.prices.population import Population
from watchlist.page.prices import beyond_grade
from watchlist.page.wording import count

WHOLE = Ladder(((Decimal(0), Decimal(1)),))
"""Records are not rounded as estimates are, only to whole units."""
FEW = "too few sales"
MINT_STATE = 60
CAUTION = (
    "Estimates from past sales, not an appraisal: a piece may bring more or less. Counterfeits of scarce issues are "
    "common; before you pay much, ask a third-party grading service, and mind the venue's terms and the law where "
    "you live."
)
MEANING = {
    "hammer": "hammer prices, fees not included",
    "before postage": "with the venue's fees, before postage",
    "all-in": "all in: with fees and postage",
}


@dataclass(frozen=True, slots=True)
class Style:
    """How a person wants their guide."""

    title: str = ""
    note: str = ""
    """The author's own words at the head."""
    only: tuple[str, ...] = ()
    """Dates of the issues that are wanted, such as `1907-S`; all where none is named."""
    order: str = "year"
    by: Column | None = None
    """The column that scarcity and value look at; the middle one where none is named."""
    rounding: Ladder | None = None
    parts: tuple[str, ...] = ("struck", "sales", "record", "rise", "seen")
    """Columns beside the figures, of `PARTS`."""
    bands: bool = False
    """Whether low and high stand behind each median."""
    venues: bool = True
    """Whether the venue of a record is named."""
    top: int = 0
    """So many issues only; 0 is all."""
    errata: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Sheet:
    """A guide laid out: what stands over the table, its head and rows, what stands under it."""

    title: str
    over: tuple[str, ...]
    head: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]
    under: tuple[str, ...]
    entries: tuple[Entry, ...]
    """Those of the rows, in their order."""


def sheet(guide: Guide, style: Style, last: date | None = None, moved: Sequence[Change] = ()) -> Sheet:
    """The guide as rows. `last` is the day of the last edition, `moved` what changed since."""
    by = style.by or guide.columns[len(guide.columns) // 2]
    wanted = [entry for entry in guide.entries if not style.only or entry.issue.date in style.only]
    entries = ordered(wanted, style.order, by)
    entries = entries[: style.top] if style.top else entries
    parts, ask = [PARTS[name] for name in style.parts], _Ask(by, style)
    head = ("issue", *(heading(column) for column in guide.columns), *(part.head(by) for part in parts))
    rows = [
        (
            _name(each),
            *(figure(each, column, style) for column in guide.columns),
            *(part.cell(each, ask) for part in parts),
        )
        for each in entries
    ]
    title = style.title or f"{guide.series}: a guide of {guide.made:%Y-%m-%d}"
    where = f", {ORDERS[style.order][1].format(grade=heading(by))}" if style.order != "year" else ""
    told = f"{count(len(entries), 'issue')}{where}. Figures are medians in {guide.currency}, {MEANING[guide.kind]}."
    apart = [sentence for entry in entries for sentence in rarity_sentences(entry)]
    under = (*apart, *_edition(guide, last, moved, style), *style.errata, *method(guide, style), CAUTION)
    return Sheet(title, tuple(filter(None, (style.note, told))), head, tuple(rows), under, entries)


def heading(column: Column) -> str:
    """`XF-40 raw`, `MS-63 certified`."""
    return f"{grade_word(column.grade)} {'raw' if column.raw else 'cert.'}"


def figure(entry: Entry, column: Column, style: Style) -> str:
    """A median as it is printed, with low and high where they are asked for.

    `(..)` where it rests on similar issues alone, `-` with too few sales."""
    found = entry.figures.get(column)
    if found is None:
        return "-"
    text, *ends = (amount(each, style.rounding) for each in (found.median, found.low, found.high))
    median = text if found.own else f"({text})"
    return f"{median} {'-'.join(ends)}" if style.bands else median


def amount(value: Decimal, by: Ladder | None) -> str:
    """`1,250`, `7.50`: cents only where the rounding leaves some."""
    shown = rounded(value, by)
    return f"{shown:,.0f}" if shown == shown.to_integral_value() else f"{shown:,.2f}"


def _name(entry: Entry) -> str:
    issue = entry.issue
    return f"{issue.date}, {issue.variety}" if issue.variety else issue.date


@dataclass(frozen=True, slots=True)
class _Ask:
    by: Column
    style: Style


@dataclass(frozen=True, slots=True)
class Part:
    """A column beside the figures."""

    head: Callable[[Column], str]
    cell: Callable[[Entry, _Ask], str]


def _record(best: Best, *, venues: bool, currency: str = "") -> str:
    kind = "raw" if best.raw else "cert."
    venue = f", {best.venue}" if best.venue and venues else ""
    price = f"{amount(best.price, WHOLE)} {currency}".strip()
    return f"{price} {grade_word(round(best.grade))} {kind} {best.day:%Y-%m}{venue}"


def _rise(found: Rise | None) -> str:
    if found is None:
        return "-"
    share, low, high = (f"{each:+z.0%}".replace("+0%", "0%") for each in (found.share, found.low, found.high))
    return f"{share} ({low} to {high})"


def _struck(entry: Entry) -> str:
    return f"{entry.issue.mintage:,}" if entry.issue.mintage else "-"


def _strikes(entry: Entry) -> str:
    """`5 weak, 2 sharp`, the most frequent first."""
    ranked = sorted(entry.strikes.items(), key=lambda each: (-each[1], each[0]))
    return ", ".join(f"{number} {strike}" for strike, number in ranked)


def _certified(counts: Sequence[Population], grade: int) -> str:
    """All services together; a piece that two of them have held is in both."""
    if not counts:
        return "-"
    return f"{sum(each.at_or_above(grade) for each in counts):,} of {sum(each.total for each in counts):,}"


PARTS: Mapping[str, Part] = {
    "struck": Part(lambda _: "struck", lambda entry, _: _struck(entry)),
    "sales": Part(lambda _: "sales", lambda entry, _: str(entry.sales)),
    "newest": Part(lambda _: "newest", lambda entry, _: f"{entry.newest:%Y-%m}" if entry.newest else "-"),
    "record": Part(
        lambda _: "record",
        lambda entry, ask: _record(entry.best, venues=ask.style.venues) if entry.best else "-",
    ),
    "rise": Part(lambda _: "rise", lambda entry, _: _rise(entry.rise)),
    "seen": Part(
        lambda by: f"seen {grade_word(by.grade)}+",
        lambda entry, ask: f"{entry.at_or_above.get(ask.by.grade, 0)} of {entry.offered}",
    ),
    "certified": Part(
        lambda by: f"certified {grade_word(by.grade)}+", lambda entry, ask: _certified(entry.populations, ask.by.grade)
    ),
    "strike": Part(lambda _: "strike", lambda entry, _: _strikes(entry)),
    "copied": Part(lambda _: "copies", lambda entry, _: "known" if entry.issue.copied else ""),
    "note": Part(lambda _: "note", lambda entry, _: entry.issue.note),
}
"""The columns one may choose beside the figures."""


def told(entry: Entry, columns: Sequence[Column], currency: str) -> str:
    """One issue in sentences: its figures with low and high, its record, how it moved, what stands apart."""
    figures = [
        f"{heading(column)} {amount(found.median, WHOLE)} ({amount(found.low, WHOLE)} to {amount(found.high, WHOLE)})"
        for column in columns
        if (found := entry.figures.get(column))
    ]
    parts = [f"{', '.join(figures)} {currency}" if figures else FEW]
    if entry.best:
        parts.append(f"record {_record(entry.best, venues=True, currency=currency)}")
    if entry.rise:
        parts.append(f"prices {_rise(entry.rise)} over these years")
    if entry.issue.copied:
        parts.append("copies are known")
    said = f"{_name(entry)}: {'; '.join(parts)}."
    return " ".join((said, *map(population_sentence, entry.populations), *rarity_sentences(entry)))


def rarity_sentences(entry: Entry) -> list[str]:
    """`1913-S is scarce in mint state for its series: 3 of 41 pieces seen were in mint state (2% to 17%, ..`"""
    return [_apart(_name(entry), found) for found in entry.rarities if found.stands_apart]


def _apart(name: str, found: Rarity) -> str:
    what = "common in mint state, scarce worn" if found.common_fine else "scarce in mint state for its series"
    counted = f"pieces in the counts of {found.source}," if found.source else "pieces seen"
    return (
        f"{name} is {what}: {found.fine:,} of {found.seen:,} {counted} were in mint state "
        f"({found.low:.0%} to {found.high:.0%}, 99 times in 100), {found.series:.0%} in the rest of the series."
    )


def population_sentence(found: Population) -> str:
    """`Quill Grading, 2026-02-01: 340 certified, 61 in MS-60 or better, the finest in MS-67 (2).`"""
    fine = found.at_or_above(MINT_STATE)
    return (
        f"{found.service}, {found.day}: {found.total:,} certified, {fine:,} in {grade_word(MINT_STATE)} or better, the "
        f"finest in {grade_word(found.finest)} ({found.grades[found.finest]:,})."
    )


def method(guide: Guide, style: Style) -> list[str]:
    """What the guide rests on, what was left out and why."""
    sales = sum(entry.sales for entry in guide.entries)
    since = f" since {guide.since:%Y-%m}" if guide.since else ""
    left = (
        f" {count(guide.left_out, 'price')} left out: no sale, several pieces, copies, no grade, duplicates, excluded."
    )
    names = [name for name in style.parts if name in EXPLAINED]
    return [
        f"Method: {count(sales, 'price')} realised, those of the last {guide.years:g} years in full view, older ones "
        "fading; each counts for its grade and those beside it, raw and certified apart. A figure in brackets rests on "
        f"similar issues; a dash means {FEW}.{left if guide.left_out else ''} Pieces seen: in own feeds and "
        f"sales{since}, each once.",
        *([beyond_grade(guide.effects)] if guide.effects else []),
        *(EXPLAINED[name] for name in names),
        *([CERTIFIED.format("; ".join(lists))] if (lists := _lists(guide)) else []),
    ]


def _lists(guide: Guide) -> list[str]:
    """The services whose counts were used, each with its day."""
    return list(dict.fromkeys(f"{each.service}, {each.day}" for entry in guide.entries for each in entry.populations))


CERTIFIED = "Certified: as grading services count them ({}); a piece that was sent in twice counts twice."
EXPLAINED = {
    "record": (
        "Record: the highest price of these years, certified or raw, with its grade and month; currency and fees as "
        "the figures have them."
    ),
    "rise": (
        "Rise: the newer half of these years against the older, sales made equal in grade; in brackets what nine in "
        "ten such counts would hold. From six sales in each half on."
    ),
    "strike": "Strike: how the sales that speak of it say that their pieces are struck.",
}


def _edition(guide: Guide, last: date | None, moved: Sequence[Change], style: Style) -> list[str]:
    """What changed since the last edition."""
    if last is None:
        return []
    if not moved:
        return [f"No figure changed since the edition of {last:%Y-%m-%d}."]
    names = {entry.issue.key: _name(entry) for entry in guide.entries}
    titles = {column_name(column): heading(column) for column in guide.columns}
    told = [_change(change, names, titles, style.rounding) for change in moved]
    return [f"Since the edition of {last:%Y-%m-%d}: {'; '.join(told)}."]


def _change(change: Change, names: Mapping[str, str], titles: Mapping[str, str], by: Ladder | None) -> str:
    what = f"{names.get(change.issue, change.issue)} {titles.get(change.column, change.column)}"
    before, after = (amount(each, by) if each is not None else "" for each in (change.before, change.after))
    return {
        "new": f"{what} new at {after}",
        "withdrawn": f"{what} withdrawn (was {before})",
        "up": f"{what} up from {before} to {after}",
        "down": f"{what} down from {before} to {after}",
    }[change.move]
