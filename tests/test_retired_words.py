"""Words the product does not use, held out of every sentence that may reach a person: one term a concept, everywhere.

Walked are the string literals of watchlist/ (docstrings aside; a text without a blank is a key or a name, no prose)
and the docs. JSON fields, option names and stored ids keep their spelling.
"""

from __future__ import annotations

import ast
import re
from collections.abc import Iterator
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parent.parent

RETIRED = {
    r"\b(premium|object|title|lines?|sentence or two) a (lot|line)\b": "per lot, per line",
    r"fell to another|lost at": "sold to another bidder",
    r"ended.{0,8}: say won or lost": "record the result",
    r"\bfell for\b|\bfell at\b": "sold for",
    r"\bbinds\b|\bbound\b(?! by)": "committed; a placed bid is binding",
    r"no service holds|a service holds|raw or not": "uncertified (raw); certified",
    r"(?<!there )\bis no (?!longer\b|more\b)|\bare no (?!longer\b|more\b)": "is not a valid ..",
    r"with trouble|\btroubles?\b|\{\} late\b": "failed, problem",
    r"\blook at (\{|them|it) (first)?": "check",
    r"rows? (is |are |was |were )?set aside|\} set aside|and was set aside": "rejected; a sale: excluded",
    r"set aside by you|not counted,": "excluded",
    r"there already|stands again": "duplicate",
    r"\btrust\b": "fit: close, off, far off",
    r"^(finer|worn)$": "grade up, grade down",
    r"\bthe post\b|\bpost\b(?!age)": "postage for delivery, mail for sending",
    r"on each slice": "tiered",
    r"\bmend(s|ed|ing)?\b": "correct",
    r"\breckon": "calculate",
    r"\banew\b": "again",
    r"fault of ours|\bour(s)?\b|\bwe\b": "internal error; the program is never we",
    r"nearly answers|\banswers (want|w\d|\{)": "matches want, near miss",
    r"\bmiddle\b": "median",
    r"(low|high) edge|edge of (the|a|its) band": "low, high",
    r"bid so far|the bidding is": "current bid",
    r"(?<!make )(?<!is )\broom\b": "bid limit",
    r"bid steps?\b": "increment",
    r"without fees|counts? as written|taken as written": "fees not included",
    r"fit the market|market (was )?fitted|fitting the market|the fit of|\brefit\b(?<!-refit)": "recalculate bands",
    r"\bjudg(ed|es|ing)\b": "mark",
    r"\bsift": "filter",
    r"(lot's|no|copy) address": "link",
    r"not told|could be told|told any more": "not identified",
    r"nothing was kept|not kept|^kept:|kept like this": "saved",
    r"the nearest is|nearest:": "did you mean x?",
    r"\bturn(s|ed)? (that|it|them|round|back)\b": "undo, reverse, cancel",
    r"\bforget\b|\bdropp(ed|ing)\b|^drop\b": "remove, delete",
    r"\btorn\b": "damaged",
    r"\bbalance\b": "scale",
    r"in no catalogue": "not in your catalogue",
    r"what is kept stands|what was stored": "stored lots are unchanged, stored data is intact",
    r"all the same\?": "record it anyway?",
    r"never struck|none was struck|only .{1,20} struck it": "your catalogue lists none",
    r"\bcan cost\b": "could cost up to",
    r"proof that a piece is right": "prove it genuine",
    r"plain (one|issue)\b": "regular",
    r"\bfeedback\b": "ratings",
}
"""What is retired, as a pattern, and what is used instead."""

ALLOWED = {
    "{}: {} set aside for {} until {}": "a sum set aside in the budget, no row",
    "beyond mending": "the id of a fault",
    "part mended": "the id of a fault",
    "no address": "the id of a fault",
    "never struck": "the id of a group of signs",
    "answers {status}": "a server answers",
    'text-anchor="middle"': "SVG",
    "in the middle of writing": "of a time",
    "[--post SUM]": "an option",
    "entries could be told apart": "of entries, not of what a title says",
    "DROP TABLE": "SQL",
    "| all lists | sift |": "the id of an action",
}
"""Texts that keep such a word, and why."""


def literals(path: Path) -> Iterator[tuple[int, str]]:
    """The texts of a module that may be prose, with their lines; `{}` stands for what is filled in."""
    tree = ast.parse(path.read_text("utf-8"))
    inner = {id(part) for node in ast.walk(tree) if isinstance(node, ast.JoinedStr) for part in node.values}
    docs = {id(node.value) for node in ast.walk(tree) if isinstance(node, ast.Expr)}
    for node in ast.walk(tree):
        if isinstance(node, ast.JoinedStr):
            parts = (str(part.value) if isinstance(part, ast.Constant) else "{}" for part in node.values)
            yield node.lineno, "".join(parts)
        elif isinstance(node, ast.Constant) and isinstance(node.value, str) and id(node) not in inner | docs:
            yield node.lineno, node.value


def prose() -> Iterator[tuple[str, str]]:
    """Every text with its place."""
    for path in sorted((ROOT / "watchlist").rglob("*.py")):
        yield from (
            (f"{path.relative_to(ROOT)}:{line}", text)
            for line, text in literals(path)
            if " " in text.strip() and "\\" not in text and "SELECT" not in text
        )
    for path in [ROOT / "README.md", *sorted((ROOT / "docs").glob("*.md"))]:
        for number, line in enumerate(path.read_text("utf-8").splitlines(), 1):
            yield f"{path.relative_to(ROOT)}:{number}", re.sub(r"`[^`]*`", "`..`", line)


PROSE = list(prose())


@pytest.mark.parametrize(("pattern", "use"), RETIRED.items())
def test_no_sentence_has_a_retired_word(pattern: str, use: str) -> None:
    found = [
        f"{place}: {text}"
        for place, text in PROSE
        if re.search(pattern, text, re.IGNORECASE) and not any(allowed in text for allowed in ALLOWED)
    ]
    assert not found, f"use {use}:\n" + "\n".join(found)


def test_every_exception_is_met() -> None:
    assert [allowed for allowed in ALLOWED if not any(allowed in text for _, text in PROSE)] == []
