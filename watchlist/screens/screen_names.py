"""The names of all screens with their keys, in one line, so that a newcomer sees that they are there."""

from __future__ import annotations

from watchlist.page.columns import cells
from watchlist.screens import actions
from watchlist.screens.keys import Keys
from watchlist.screens.looks import Paint


def screens_line(current: str, keys: Keys, width: int) -> Paint:
    """`1 Tray  2 Wants  3 Bids ...`, closer in a narrow window; the one that is open stands out, what does not fit is
    left out."""
    named = [(keys.first(name), actions.by_id(name).name) for name in actions.LISTS]
    room = width - sum(cells(key) + cells(name) for key, name in named)
    gap, space = ("  " if room >= 3 * len(named) else " "), ("" if room < 2 * len(named) else " ")
    labels = [f"{key}{space}{name}" for key, name in named]
    paint: list[tuple[str, str]] = []
    used = 0
    for name, label in zip(actions.LISTS, labels, strict=True):
        text = f"{gap if paint else ' '}{label}"
        used += cells(text)
        if used > width:
            break
        paint.append(("ink!" if name == current else "quiet", text))
    return paint
