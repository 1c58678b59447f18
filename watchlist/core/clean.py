"""Text from outside made safe to keep and to show: control and invisible characters out, markup out, lengths capped.

What a title or a feed holds is hostile until it has passed here. Everything runs in time linear in the text.
"""

from __future__ import annotations

import html
import re
from collections.abc import Iterator

TITLE_CAP = 500
"""Characters kept of a one-line text."""
TEXT_CAP = 20_000
"""Characters kept of a description."""
MARKUP_CAP = 200_000
"""Characters of markup looked at; a description longer than that is mostly pictures."""

# A whole escape sequence goes, not only its first character: the rest (`[31m`) would stay behind as litter.
ESCAPES = re.compile(
    r"(?:\x1b\[|\x9b)[0-?]{0,64}[ -/]{0,8}[@-~]"  # CSI: colours, cursor movement
    # OSC, DCS and their kin: links, window titles, the clipboard.
    r"|(?:\x1b[\]PX^_]|[\x9d\x90\x98\x9e\x9f])[^\x07\x1b\x9c]{0,4096}(?:\x07|\x1b\\|\x9c)"
    r"|\x1b[ -/]{0,8}[0-~]?"
)
# Soft hyphen, Arabic letter mark, zero-width and direction marks, embeddings, overrides, isolates, joiners, BOM,
# annotation marks, tag characters, lone surrogates, non-characters: all of them can hide or turn round what is read.
UNSEEN = re.compile(
    "[\x00-\x08\x0e-\x1f\x7f-\x84\x86-\x9f\u00ad\u034f\u061c\u115f\u1160\u17b4\u17b5\u180b-\u180f\u200b-\u200f"
    "\u202a-\u202e\u2060-\u206f\u3164\ufeff\uffa0\ufff0-\ufffb\ufffe\uffff\ud800-\udfff\U000e0000-\U000e0fff]"
)
BREAKS = re.compile("\r\n|[\r\x0b\x0c\x85\u2028\u2029]")
ACCENT = "[\u0300-\u036f\u0483-\u0489\u0591-\u05bd\u1ab0-\u1aff\u1dc0-\u1dff\u20d0-\u20ff]"
STACKED = re.compile(f"({ACCENT}{{4}}){ACCENT}+")
"""More than four accents on one letter run over the lines above and below."""
REFERENCE = re.compile(r"&(?:#[0-9]{1,7}|#[xX][0-9a-fA-F]{1,6}|[A-Za-z][A-Za-z0-9]{1,31});")


def clean(text: str, cap: int = TITLE_CAP) -> str:
    """One line of plain text, at most `cap` characters: no control, escape, direction or zero-width character."""
    return _cut(" ".join(_seen(text[: cap * 4 + 4096]).split()), cap)


def clean_lines(text: str, cap: int = TEXT_CAP) -> str:
    """Plain text with its line breaks, otherwise as `clean`; runs of empty lines become one break."""
    text = _seen(text[: cap * 4 + 4096])
    lines = (" ".join(line.split()) for line in text.split("\n"))
    return _cut("\n".join(line for line in lines if line), cap)


def without_controls(text: str) -> str:
    """The text as it may be shown: line breaks and columns stay, no control, escape or invisible character does."""
    if text.isascii() and text.isprintable():
        return text
    return UNSEEN.sub("", ESCAPES.sub("", BREAKS.sub("\n", text)))


def unescape(text: str) -> str:
    """Character references resolved (`&amp;`, `&#8364;`); a bare ampersand stays as it is."""
    return REFERENCE.sub(lambda found: html.unescape(found.group()), text) if "&" in text else text


def html_text(markup: str, cap: int = TEXT_CAP) -> str:
    """The words of an HTML fragment, one line for each row, list item or paragraph: `Price: 120 EUR`."""
    if "<" not in markup:
        return clean_lines(unescape(markup), cap)
    page = _Page()
    for kind, what in tokens(markup[:MARKUP_CAP]):
        page.take(kind, what)
    return clean_lines(page.text(), cap)


def _seen(text: str) -> str:
    """The text without what cannot be seen; every kind of line break is a newline."""
    if text.isascii() and text.isprintable():  # the common case costs nothing
        return text
    if "\x1b" in text or "\x9b" in text or "\x9d" in text:
        text = ESCAPES.sub("", text)
    return STACKED.sub(r"\1", UNSEEN.sub("", BREAKS.sub("\n", text)))


def _cut(text: str, cap: int) -> str:
    return text if len(text) <= cap else text[: cap - 1].rstrip() + "…"


# Markup. The standard library's html.parser takes 13 s over 50 kB of `<a ` (3.11.7) and raises on `<![`, so the
# few rules that are needed stand here. Only the words between tags are wanted: attributes are never looked at.

TAG = re.compile(r"</?([A-Za-z][A-Za-z0-9]{0,15})")
STRUCK = ("s", "del", "strike")
"""Words that are crossed out, as a price before it was lowered."""
HIDDEN_END = {
    name: re.compile(rf"</{name}\b", re.IGNORECASE) for name in ("script", "style", "template", "title", *STRUCK)
}
LINE_TAGS = frozenset(
    ("address", "article", "aside", "blockquote", "br", "caption", "center", "dd", "div", "dl", "dt", "fieldset",
     "figure", "footer", "form", "h1", "h2", "h3", "h4", "h5", "h6", "header", "hr", "li", "main", "nav", "ol", "p",
     "pre", "section", "table", "tbody", "tfoot", "thead", "tr", "ul")
)  # fmt: skip
"""Tags that begin a new line."""
CELL_TAGS = frozenset(("td", "th"))


def tokens(markup: str) -> Iterator[tuple[str, str]]:
    """`("text", words)`, `("open", tag)` and `("close", tag)` in order. A `<` that opens no tag is text."""
    at, last, ahead = 0, markup.rfind(">"), _Ahead(markup)
    while at < len(markup):
        start = markup.find("<", at)
        if start < 0 or start > last:  # behind the last `>` no tag can end
            yield "text", markup[at:].replace("<!--", " ")
            return
        if start > at:
            yield "text", markup[at:start]
        at, token = _markup_at(markup, start, ahead)
        if token:
            yield token


class _Ahead:
    """Where marks stand further on. Each is looked for once from place to place: `<s>` a hundred thousand times with no
    end would cost as many looks through all the rest."""

    def __init__(self, markup: str) -> None:
        self._markup = markup
        self._found: dict[str, int] = {}

    def find(self, mark: str, at: int) -> int:
        """The next `>`, `-->` or end of a tag with this name at a place or behind it, -1 without one. Places only
        rise."""
        found = self._found.get(mark, 0)
        if 0 <= found < max(at, 1):
            ends = HIDDEN_END.get(mark)
            there = ends.search(self._markup, at) if ends else None
            found = self._markup.find(mark, at) if ends is None else there.start() if there else -1
            self._found[mark] = found
        return found


def _markup_at(markup: str, start: int, ahead: _Ahead) -> tuple[int, tuple[str, str] | None]:
    """What stands at a `<`, and where to go on."""
    if markup.startswith("<!--", start):  # a comment that never ends hides nothing
        end = ahead.find("-->", start)
        return (end + 3 if end > start else start + 4), None
    end = ahead.find(">", start)
    if markup.startswith(("<!", "<?"), start):
        return end + 1, None
    found = TAG.match(markup, start)
    if not found or markup.find("<", start + 1, end) >= 0:
        return start + 1, ("text", "<")
    name = found[1].lower()
    if markup[start + 1] == "/":
        return end + 1, ("close", name)
    if name in HIDDEN_END:
        hidden = ahead.find(name, end)
        if hidden >= 0 or name not in STRUCK:
            end = hidden - 1 if hidden >= 0 else len(markup)
    return end + 1, ("open", name)


class _Page:
    """Words gathered into rows of cells. A table of one row under its headings becomes labels and values."""

    def __init__(self) -> None:
        self.lines: list[str] = []
        self.cells: list[str] = []
        self.words: list[str] = []
        self.heads = True
        """All cells of the row so far are headings."""
        self.headings: list[str] = []
        self.below: list[list[str]] = []
        """The rows under the headings."""

    def take(self, kind: str, what: str) -> None:
        """One token."""
        if kind == "text":
            self.words.append(unescape(what))
        elif what in CELL_TAGS:
            self._end_cell(what if kind == "close" else "")
        elif what in LINE_TAGS:
            self._end_line(what, kind)

    def _end_cell(self, closed: str = "") -> None:
        cell = " ".join("".join(self.words).split())
        self.words = []
        if cell or closed:
            self.cells.append(cell)
            self.heads = self.heads and closed == "th"

    def _end_line(self, tag: str, kind: str) -> None:
        self._end_cell()
        if tag == "dd" and kind == "open":  # a term and what it means make one line
            return
        if tag == "dt" and kind == "close":
            return
        if any(self.cells):
            self._take_row(self.cells)
        self.cells, self.heads = [], True
        if tag == "table":
            self._end_table()

    def _take_row(self, cells: list[str]) -> None:
        if self.heads and len(cells) > 1:
            self._end_table()
            self.headings = cells
        elif self.headings and len(cells) == len(self.headings):
            self.below.append(cells)
        else:
            self._end_table()
            self.lines.append(_row(cells))

    def _end_table(self) -> None:
        headings, below = self.headings, self.below
        self.headings, self.below = [], []
        if len(below) == 1:
            self.lines += [_row([head, cell]) for head, cell in zip(headings, below[0], strict=True)]
        elif headings:
            self.lines += [" | ".join(filter(None, cells)) for cells in (headings, *below)]

    def text(self) -> str:
        """All lines so far."""
        self._end_line("p", "close")
        self._end_table()
        return "\n".join(self.lines)


def _row(cells: list[str]) -> str:
    """Two cells are a label and its value; more are a row of a table."""
    cells = [cell for cell in cells if cell]
    if len(cells) == 2:
        return f"{cells[0].rstrip(' :')}: {cells[1]}"
    return " | ".join(cells)
