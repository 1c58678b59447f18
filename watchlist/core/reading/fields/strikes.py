"""How well a piece is struck, and what is left of its date, in the words of the title or the description.

Both are a word for the thing with a word for its state near it, in one breath: `weak strike`, `Jahreszahl nur teilweise
lesbar`. The words stand in `words/`, one list a state.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from watchlist.core.reading.scanning.breaths import Breaths
from watchlist.core.reading.scanning.scan import Scan

SURE = 0.85
NEAR = 4
"""Words between a thing and its state, at most."""
STRIKES = ("flat", "weak", "full details", "sharp")
"""How a piece is struck; of several the first is what a buyer minds."""
DATES = ("gone", "partial", "readable")
"""What is left of a date; of several the first."""
DENIED = {"strike_full details": "strike_weak", "strike_sharp": "strike_weak", "date_readable": "date_gone"}
"""What a state is where it is denied: `not fully struck`, `date not readable`."""


def find_states(scan: Scan) -> tuple[str | None, str | None]:
    """How the piece is struck (sharp, full details, weak, flat), and what is left of its date (readable, partial,
    gone)."""
    if scan.lows.isdisjoint(scan.lex.telling):
        return None, None
    breaths = Breaths(scan)
    return _state(scan, breaths, "strike", STRIKES), _state(scan, breaths, "date", DATES)


def _state(scan: Scan, breaths: Breaths, thing: str, states: tuple[str, ...]) -> str | None:
    """The first of some states that is told of a thing; None where nothing is."""
    told = [f"{thing}_{name}" for name in states]
    found: dict[str, int] = {}
    for at, near in _places(scan, breaths, thing):
        found |= dict.fromkeys(_told(scan, told, near), at)
    state = next((name for name in states if f"{thing}_{name}" in found), None)
    if state:
        at = found[f"{thing}_{state}"]
        scan.rest("strike" if thing == "strike" else "date_state", at, at + 1, SURE)
    return state


def _places(scan: Scan, breaths: Breaths, thing: str) -> Iterator[tuple[int, Sequence[int]]]:
    """The tokens that name a thing, each with the places where its state may stand."""
    words, alone, detail = (scan.lex.sets[f"{thing}_{name}"] for name in ("words", "alone", "detail"))
    for at, token in enumerate(scan.them):
        if scan.used[at]:
            continue
        if token.low in alone:
            yield at, (at,)
        elif token.low in words:
            yield at, (*breaths.before(at, NEAR), *breaths.behind(at + 1, NEAR))
        elif token.low in detail:
            yield at, breaths.before(at, 1)


def _told(scan: Scan, states: list[str], near: Sequence[int]) -> Iterator[str]:
    """The states of which a word stands near."""
    for name in states:
        words = scan.lex.sets[name.replace(" ", "_")]
        here = next((at for at in near if scan.them[at].low in words and not scan.used[at]), None)
        if here is None:
            continue
        if not scan.negated(here, here + 1):
            yield name
        elif name in DENIED:
            yield DENIED[name]
