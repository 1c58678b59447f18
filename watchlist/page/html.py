"""What every HTML page of ours is: for phone and print, no script, no outside address, all text escaped."""

from __future__ import annotations

from html import escape

TINT = ".5"
"""Opacity of what is filled in a drawing: half of the ink stands out three to one from ground and from ink."""
SHORT = 12
"""Letters of a word that stays in one line."""
STYLE = """
:root { color-scheme: light dark }
body { font: 1rem/1.5 system-ui, sans-serif; max-width: 44rem; margin: 0 auto; padding: 1rem;
  color: #1d1f21; background: #f7f4ec; overflow-wrap: break-word }
body.wide { max-width: 96rem } .wide th, .wide td { padding: .2rem .4rem; font-size: .9rem }
.wide p { max-width: 44rem } .wide thead th { white-space: normal; vertical-align: bottom }
span { white-space: nowrap } .wide small { display: block; font-size: .8rem }
.wide td.said, .wide th.said { white-space: normal; text-align: left; min-width: 10rem; font-size: .85rem }
h1 { font-size: 1.4rem; line-height: 1.25 } h2 { font-size: 1.1rem; margin-top: 1.8rem }
.scroll { overflow-x: auto } pre { font: min(.8rem, 2.2vw)/1.3 ui-monospace, monospace }
table { border-collapse: collapse; font-variant-numeric: tabular-nums }
caption { text-align: left }
th, td { padding: .2rem .6rem; text-align: right; white-space: nowrap; border-bottom: 1px solid currentColor }
th:first-child, td:first-child { text-align: left; position: sticky; left: 0; background: #f7f4ec }
svg { width: 100%; height: auto; display: block; margin: .3rem 0 }
svg.curve { width: 6rem; margin: 0 }
svg text { font: 16px system-ui, sans-serif; fill: currentColor }
.quiet { color: #5a5850 } a { color: #0b5cad } dt { font-weight: 600 } dd { margin: 0 0 .4rem }
@media (prefers-color-scheme: dark) {
  body { color: #e6e2d8; background: #14171a }
  th:first-child, td:first-child { background: #14171a }
  .quiet { color: #a8a69e } a { color: #7cc4ff }
}
@media screen and (max-width: 40rem) {
  .wide thead { display: none } .wide table, .wide tbody { display: block }
  .wide tr { display: grid; grid-template-columns: repeat(4, 1fr); border-bottom: 1px solid; padding: .4rem 0 }
  .wide tr > * { border: 0; padding: .1rem 0; text-align: left; position: static; min-width: 0 }
  .wide tr > th { grid-column: span 2; font-size: 1rem } .wide td.shape { grid-column: span 2 }
  .wide td.said { grid-column: span 4; font-size: .9rem } .wide td:empty { display: none }
  .wide td.long { grid-column: span 2 } .wide small { font-size: .75rem }
  .wide td[data-head]::before { content: attr(data-head); display: block; font-size: .75rem }
  .wide td.said::before { display: inline; margin-right: .5rem }
}
@page wide { size: landscape; margin: 12mm }
@media print {
  body, body.wide { background: none; color: #000; max-width: none; padding: 0 }
  body.wide { page: wide; font-size: 9pt } .wide p { max-width: none; margin: .5em 0; break-inside: avoid }
  section { break-inside: avoid } .scroll { overflow: visible }
  .wide tr { break-inside: avoid } .wide svg.curve { width: 4rem }
  .wide tr > th, .wide tr > td { padding: .1rem .25rem; font-size: 7pt; background: none; min-width: 0 }
  .wide small { font-size: 6.5pt } .wide tr > .said { font-size: 7pt; min-width: 7rem }
}
"""


def document(title: str, body: str, *, wide: bool = False) -> str:
    """The whole page; `body` is markup, its text escaped already."""
    kind = ' class="wide"' if wide else ""
    return (
        f'<!doctype html>\n<html lang="en">\n<head>\n<meta charset="utf-8">\n'
        f'<meta name="viewport" content="width=device-width, initial-scale=1">\n'
        f"<title>{escape(title)}</title>\n<style>{STYLE}</style>\n</head>\n<body{kind}>\n{body}\n</body>\n</html>\n"
    )


def paragraph(text: str, kind: str = "") -> str:
    """One paragraph of text."""
    marked = f' class="{kind}"' if kind else ""
    return f"<p{marked}>{words(text)}</p>"


def words(text: str) -> str:
    """Text that may wrap between its words, never inside a grade or a month; what stands in backquotes is code."""
    parts = text.split("`")
    if len(parts) % 2 == 0:
        return _wrapping(text)
    return "".join(f"<code>{escape(part)}</code>" if n % 2 else _wrapping(part) for n, part in enumerate(parts))


def _wrapping(text: str) -> str:
    return " ".join(
        f"<span>{escape(word)}</span>" if "-" in word and len(word) <= SHORT else escape(word)
        for word in text.split(" ")
    )
