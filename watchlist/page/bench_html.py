"""The check of a piece in the hand as one HTML page: for phone and print, no script, no outside address."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from html import escape

from watchlist.core.bench.check import Beside, Bounds, Check
from watchlist.core.bench.density import DensityVerdict
from watchlist.core.bench.order import Order
from watchlist.page import bench as words
from watchlist.page.bench_bars import Rule, density_rule
from watchlist.page.html import TINT, document, paragraph

WIDE, MARGIN = 600, 40
"""A picture's width and the room at its ends, in its own units."""


@dataclass(frozen=True, slots=True)
class Sheet:
    """What stands over a report."""

    name: str
    """The coin."""
    made: str
    """Day and time of the check, as a person reads it."""
    typed: Sequence[tuple[str, str]]
    """What was measured, as it was typed."""
    lot: str = ""
    """Key of the lot; empty for a coin of one's own."""
    back: Sequence[str] = ()
    """By when the piece can go back."""


def page(sheet: Sheet, found: Check, order: Order) -> str:
    """The whole page. All that a person or a feed wrote is escaped."""
    return document(f"{sheet.name}: check in the hand", "\n".join(_body(sheet, found, order)))


def _body(sheet: Sheet, found: Check, order: Order) -> Iterator[str]:
    lot = f", lot {sheet.lot}" if sheet.lot else ""
    yield f"<h1>{escape(sheet.name)}</h1>"
    yield paragraph(f"Checked {sheet.made}{lot}.", "quiet")
    yield paragraph(words.summary(found))
    yield from map(paragraph, sheet.back)
    yield "<h2>Measured</h2>"
    yield "<dl>" + "".join(f"<dt>{escape(name)}</dt><dd>{escape(text)}</dd>" for name, text in sheet.typed) + "</dl>"
    for bound in found.bounds:
        yield _part(bound.name, words.bound_words(bound), _limits(bound))
    if found.density:
        yield _part("density", words.density_words(found.density), _alloys(found.density))
    if found.magnet:
        yield _part("magnet", words.magnet_words(found))
    if found.among:
        yield _part("among your own", words.among_words(found.among, found.kin), "".join(map(_own, found.beside)))
    yield from map(paragraph, found.notes)
    yield "<section><h2>What to check, in this order</h2><ol>"
    yield "".join(f"<li>{escape(f'{step.text} {step.tells}')}</li>" for step in order.steps)
    yield "</ol><ul>" + "".join(f"<li>{escape(each)}</li>" for each in order.avoid) + "</ul></section>"
    yield paragraph(words.CAUTION)


def _part(name: str, text: str, picture: str = "") -> str:
    return f"<section><h2>{escape(name.capitalize())}</h2>{paragraph(text)}{picture}</section>"


def _limits(bound: Bounds) -> str:
    """The measurement on its tolerance."""
    if bound.low is None or bound.high is None:
        return ""
    rule = Rule(min(bound.low, bound.value), max(bound.high, bound.value))
    label = f"{bound.value:.2f} {bound.unit} on limits of {bound.low:.2f} to {bound.high:.2f} {bound.unit}"
    bar = _box(rule, bound.low, bound.high) + _number(rule, bound.low, 44) + _number(rule, bound.high, 44)
    return _drawn(label, bar + _cross(rule, bound.value, f"{bound.value:.2f}"))


def _alloys(found: DensityVerdict) -> str:
    """The reading and how unsure it is, on the line of alloys."""
    seen, rule, expected = found.found, density_rule(found), found.expected
    label = f"{seen.value:.2f} g/cm3, give or take {seen.u:.2f}"
    bar = _box(rule, seen.value - seen.u, seen.value + seen.u)
    if expected:
        bar += f'<circle cx="{_x(rule, expected.density):.1f}" cy="22" r="5" fill="none" stroke="currentColor"/>'
        bar += _number(rule, expected.density, 44, expected.name)
        label += f"; {expected.name} is {expected.density:.2f}"
    return _drawn(label, bar + _cross(rule, seen.value, f"{seen.value:.2f}"))


def _own(beside: Beside) -> str:
    """The piece among one's own genuine ones, for one figure."""
    rule = Rule(min(*beside.others, beside.value), max(*beside.others, beside.value))
    dots = "".join(
        f'<circle cx="{_x(rule, other):.1f}" cy="22" r="3" fill="currentColor" fill-opacity="{TINT}"/>'
        for other in beside.others
    )
    ends = _number(rule, min(beside.others), 44) + _number(rule, max(beside.others), 44)
    label = f"{beside.name}: {beside.value:.2f} {beside.unit} among {len(beside.others)} pieces of your own"
    name = f'<text x="0" y="12">{escape(beside.name)}</text>'
    return _drawn(label, dots + ends + name + _cross(rule, beside.value, f"{beside.value:.2f}"))


def _x(rule: Rule, value: float) -> float:
    return MARGIN + rule.share(value) * (WIDE - 2 * MARGIN)


def _box(rule: Rule, low: float, high: float) -> str:
    left, right = _x(rule, low), _x(rule, high)
    return (
        f'<rect x="{left:.1f}" y="16" width="{max(right - left, 1):.1f}" height="12" fill="currentColor" '
        f'fill-opacity="{TINT}"/>'
    )


def _cross(rule: Rule, value: float, text: str) -> str:
    x = _x(rule, value)
    return (
        f'<path d="M{x - 5:.1f} 17l10 10m0 -10l-10 10" stroke="currentColor" stroke-width="2.5"/>'
        f'<text x="{x:.1f}" y="12" text-anchor="middle">{escape(text)}</text>'
    )


def _number(rule: Rule, value: float, y: int, name: str = "") -> str:
    text = escape(f"{name} {value:.2f}".strip())
    return f'<text x="{_x(rule, value):.1f}" y="{y}" text-anchor="middle">{text}</text>'


def _drawn(label: str, marks: str) -> str:
    line = f'<line x1="{MARGIN}" x2="{WIDE - MARGIN}" y1="22" y2="22" stroke="currentColor" stroke-opacity=".5"/>'
    return f'<svg viewBox="0 0 {WIDE} 50" role="img" aria-label="{escape(label)}">{line}{marks}</svg>'
