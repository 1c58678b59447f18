"""docs/keys.md from the table of actions: `python -m watchlist.screens.keydocs > docs/keys.md`."""

from __future__ import annotations

from watchlist.screens.actions import ACTIONS, LISTS
from watchlist.screens.keys import shown_key

HEAD = """# Keys

Every action has an id. `[keys]` in settings.toml puts another key in its place: `follow = "F2"`. The palette (ctrl+p
or :) reaches every action by name. No key needs AltGr or Alt.
"""


def page() -> str:
    """The whole page."""
    rows = [
        f"| {', '.join(_code(key) for key in action.keys)} | {action.name} | {action.words} | {_where(action.screens)} "
        f"| {action.id} |"
        for action in ACTIONS
    ]
    return "\n".join([HEAD, "| keys | name | does | where | id |", "| --- | --- | --- | --- | --- |", *rows]) + "\n"


def _code(key: str) -> str:
    shown = shown_key(key).replace("|", "\\|")
    return f"`{shown}`"


def _where(screens: tuple[str, ...]) -> str:
    if set(LISTS) < set(screens):
        return "everywhere"
    return "all lists" if set(screens) == set(LISTS) else ", ".join(name.capitalize() for name in screens)


if __name__ == "__main__":
    import sys

    sys.stdout.write(page())
