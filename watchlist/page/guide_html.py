"""A guide as one HTML page: the table, a small curve for each issue, what it rests on."""

from __future__ import annotations

from collections.abc import Iterator
from html import escape
from math import log

from watchlist.core.guide.record import Column, Entry, Guide
from watchlist.page.guide import Sheet, heading
from watchlist.page.html import TINT, document, paragraph, words

WIDE, HIGH, MARGIN = 120, 32, 4
"""A curve's size and the room at its edges, in its own units."""
SAID = frozenset(("record", "note", "strike"))
"""Columns of words: they may wrap, where figures stand in one line."""
BANDED = (" raw", " cert.", "rise")
"""How the heads of figures end that may have a low and a high behind them."""
LONG = ("rise", "seen ", "certified ")
"""How the heads of columns begin that take the room of two on a phone."""


def page(guide: Guide, laid: Sheet) -> str:
    """The whole page."""
    return document(laid.title, "\n".join(_body(guide, laid)), wide=True)


def _body(guide: Guide, laid: Sheet) -> Iterator[str]:
    yield f"<h1>{escape(laid.title)}</h1>"
    yield from map(paragraph, laid.over)
    drawn = _curved(guide)
    shape = f'<th scope="col">{"raw" if drawn[0].raw else "certified"} curve</th>' if drawn else ""
    yield '<div class="scroll"><table><thead><tr>'
    yield f'<th scope="col">{escape(laid.head[0])}</th>{shape}'
    yield "".join(f'<th scope="col"{_kind(head)}>{words(head)}</th>' for head in laid.head[1:])
    yield "</tr></thead><tbody>"
    for entry, row in zip(laid.entries, laid.rows, strict=True):
        shape = f'<td class="shape">{curve(entry, drawn, row[0])}</td>' if drawn else ""
        cells = "".join(map(_cell, laid.head[1:], row[1:]))
        yield f'<tr><th scope="row">{escape(row[0])}</th>{shape}{cells}</tr>'
    yield "</tbody></table></div>"
    yield from map(paragraph, laid.under)


def _kind(head: str) -> str:
    return ' class="said"' if head in SAID else ' class="long"' if head.startswith(LONG) else ""


def _cell(head: str, text: str) -> str:
    """On a phone, where a row becomes a block, the head of its column stands before each cell. A figure's low and high
    stand in a line of their own under it."""
    figure, _, band = text.partition(" ") if head.endswith(BANDED) else (text, "", "")
    shown = f"{escape(figure)} <small>{escape(band)}</small>" if band else words(text)
    return f'<td{_kind(head)} data-head="{escape(head)}">{shown}</td>'


def _curved(guide: Guide) -> tuple[Column, ...]:
    """The columns that a curve can go through: those of one kind, raw or certified, whichever has more."""
    raw = tuple(column for column in guide.columns if column.raw)
    certified = tuple(column for column in guide.columns if not column.raw)
    most = max(raw, certified, key=len)
    return most if len(most) > 1 else ()


def curve(entry: Entry, columns: tuple[Column, ...], name: str) -> str:
    """Low to high as a ribbon, the median as a line, on a log scale; nothing with fewer than two figures."""
    found = [(n, entry.figures[column]) for n, column in enumerate(columns) if column in entry.figures]
    if len(found) < 2:
        return ""
    low, high = min(float(each.low) for _, each in found), max(float(each.high) for _, each in found)

    def at(step: int, price: float) -> str:
        x = MARGIN + step / (len(columns) - 1) * (WIDE - 2 * MARGIN)
        y = HIGH - MARGIN - log(price / low) / max(log(high / low), 1e-9) * (HIGH - 2 * MARGIN)
        return f"{x:.1f},{y:.1f}"

    ribbon = [at(n, float(each.low)) for n, each in found] + [at(n, float(each.high)) for n, each in reversed(found)]
    line = " ".join(at(n, float(each.median)) for n, each in found)
    first, last = (f"{heading(columns[n])} {each.median:,.0f}" for n, each in (found[0], found[-1]))
    label = escape(f"{name}: from {first} to {last}")
    return (
        f'<svg class="curve" viewBox="0 0 {WIDE} {HIGH}" role="img" aria-label="{label}">'
        f'<polygon points="{" ".join(ribbon)}" fill="currentColor" fill-opacity="{TINT}"/>'
        f'<polyline points="{line}" fill="none" stroke="currentColor" stroke-width="1.5"/></svg>'
    )
