"""A guide in the forms one gives away: text for a screen, Markdown, CSV, a page."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from watchlist.core.guide.record import Guide
from watchlist.page.columns import PRINTED, cells, pad, wrap
from watchlist.page.export import csv_lines
from watchlist.page.guide import Sheet
from watchlist.page.guide_html import page

ENDINGS = (".md", ".csv", ".html", ".txt")
"""Of files that a guide can be written to."""


def as_file(ending: str, guide: Guide, laid: Sheet) -> str:
    """The guide as a file of this ending, one of `ENDINGS`."""
    if ending == ".html":
        return page(guide, laid)
    if ending == ".txt":
        return "\n".join(text(laid, PRINTED)) + "\n"
    return markdown(laid) if ending == ".md" else to_csv(laid)


def text(laid: Sheet, width: int) -> list[str]:
    """For the screen: columns that do not fit go to a second table under the first."""
    lines = [laid.title, "", *(part for line in laid.over for part in wrap(line, width))]
    for places in _shares(laid, width):
        lines += ["", *_table([[row[place] for place in places] for row in (laid.head, *laid.rows)], width)]
    return [*lines, *(part for line in laid.under for part in ["", *wrap(line, width)])]


def _table(rows: Sequence[Sequence[str]], width: int) -> list[str]:
    wide = [max(cells(row[n]) for row in rows) for n in range(len(rows[0]))]
    wide[0] = min(wide[0], max(width // 3, 12))
    laid_out = ("  ".join(pad(cell, wide[n], right=n > 0) for n, cell in enumerate(row)) for row in rows)
    return [line.rstrip() for line in laid_out]


def _shares(laid: Sheet, width: int) -> Iterator[list[int]]:
    """Which columns stand side by side: the issue, and as many as fit."""
    wide = [max(cells(row[n]) for row in (laid.head, *laid.rows)) for n in range(len(laid.head))]
    first = min(wide[0], max(width // 3, 12))
    places, used = [0], first
    for place, each in enumerate(wide[1:], 1):
        if used + 2 + each > width and len(places) > 1:
            yield places
            places, used = [0], first
        places.append(place)
        used += 2 + each
    yield places


def markdown(laid: Sheet) -> str:
    """As a Markdown document; what a person or a feed wrote stays text."""
    rows = [laid.head, ("---", *("---:" for _ in laid.head[1:])), *laid.rows]
    table = ["| " + " | ".join(_md(cell) if row is not rows[1] else cell for cell in row) + " |" for row in rows]
    over = "\n\n".join(map(_md, laid.over))
    under = "\n\n".join(map(_md, laid.under))
    return f"# {_md(laid.title)}\n\n{over}\n\n" + "\n".join(table) + f"\n\n{under}\n"


def _md(cell: str) -> str:
    return "".join(f"\\{letter}" if letter in "\\`*_[]<>|#" else letter for letter in " ".join(cell.split()))


def to_csv(laid: Sheet) -> str:
    """The table alone, for a spreadsheet; no cell is taken for a formula."""
    known = [["" if cell == "-" else cell for cell in row] for row in laid.rows]
    return "\n".join(csv_lines(laid.head, [dict(zip(laid.head, row, strict=True)) for row in known])) + "\n"
