"""The morning as one HTML page: for phone and print, no script; what a feed wrote is text."""

from __future__ import annotations

from collections.abc import Iterator
from html import escape

from watchlist.core.clean import clean
from watchlist.core.lots.address import safe_link
from watchlist.page.html import document, paragraph, words
from watchlist.page.morning import Paper, Part, sentences


def page(paper: Paper) -> str:
    """The whole page."""
    return document(paper.title, "\n".join(_body(paper)))


def _body(paper: Paper) -> Iterator[str]:
    yield f"<h1>{escape(paper.title)}</h1>"
    yield paragraph(paper.head)
    told: set[str] = set()
    for part in paper.parts:
        yield f"<section>{f'<h2>{escape(part.title)}</h2>' if part.title else ''}"
        if items := [*_lots(part, paper, told), *(_line(said.text) for said in part.said)]:
            yield "\n".join(["<ul>", *items, "</ul>"])
        if part.more:
            yield paragraph(part.more)
        yield "</section>"
    yield from (paragraph(caution, "quiet") for caution in paper.cautions)


def _lots(part: Part, paper: Paper, told: set[str]) -> Iterator[str]:
    """A line a lot; one that stands under several headings is told in full once."""
    for seen in part.seen:
        piece = f"<strong>{escape(clean(seen.piece))}</strong>"
        link = f' <a href="{escape(to)}">At the venue</a>' if (to := safe_link(seen.lot.link)) else ""
        whole = f"<br>{words(sentences(seen, paper))}{link}"
        yield f"<li>{piece}{', as above' if seen.lot.key in told else whole}</li>"
        told.add(seen.lot.key)


def _line(text: str) -> str:
    return f"<li>{words(clean(text, len(text)))}</li>"
