"""How well a piece is struck, and what is left of its date, in the words of the title or the description.

Both are a word for the thing with a word for its state near it, in one breath: `weak strike`, `Jahreszahl nur teilweise
lesbar`. The words stand in `words/`, one list a state.
"""

from __future__ import annotations

from collections.abc import Iterator

from watchlist.core.reading.scanning.breaths import ahead, back
from watchlist.core.reading.scanning.scan import Scan

NEAR = 4
"""Words between a thing and its state, at most."""
STRIKES = ("flat", "weak", "full details", "sharp")
"""How a piece is struck; of several the first is what a buyer minds."""
DATES = ("gone", "partial", "readable")
"""What is left of a date; of several the first."""
DENIED = {"full details": "weak", "sharp": "weak", "readable": "gone"}
"""What a state is where it is denied: `not fully struck`, `date not readable`."""


def find_strike(scan: Scan) -> str | None:
    """sharp, full details, weak or flat."""
    return _state(scan, "strike", STRIKES)


def find_date_state(scan: Scan) -> str | None:
    """readable, partial or gone."""
    return _state(scan, "date", DATES)


def _state(scan: Scan, thing: str, states: tuple[str, ...]) -> str | None:
    """The first of some states that is told of a thing; None where nothing is."""
    sets = scan.lex.sets
    named, alone = sets[f"{thing}_words"], sets[f"{thing}_alone"]
    if scan.lows.isdisjoint(named) and scan.lows.isdisjoint(alone):
        return None
    found = {state: at for at, token in enumerate(scan.them) for state in _told(scan, thing, states, at, token.low)}
    state = next((name for name in states if name in found), None)
    if state:
        scan.rest("strike" if thing == "strike" else "date_state", found[state], found[state] + 1, SURE)
    return state


SURE = 0.85


def _told(scan: Scan, thing: str, states: tuple[str, ...], at: int, low: str) -> Iterator[str]:
    """The states that are told at a token, which names the thing or says its state in one word."""
    sets = scan.lex.sets
    if scan.used[at] or (low not in sets[f"{thing}_words"] and low not in sets[f"{thing}_alone"]):
        return
    near = [at] if low in sets[f"{thing}_alone"] else [*back(scan, at, NEAR), *ahead(scan, at + 1, NEAR)]
    for name in states:
        words = sets[f"{thing}_{name.replace(' ', '_')}"]
        here = next((place for place in near if scan.tok(place).low in words and not scan.used[place]), None)
        if here is None:
            continue
        if not scan.negated(here, here + 1):
            yield name
        elif name in DENIED:
            yield DENIED[name]
