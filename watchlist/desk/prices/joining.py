"""Two spellings of one country, denomination or mint joined: what hangs on the one moves to the other."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Any, cast

from watchlist.core.coins.issue import Issue, bare_words, implied_issue
from watchlist.core.imports.moves import parts
from watchlist.core.imports.spelling import What
from watchlist.desk.changes import entry
from watchlist.desk.desk import JOINED, Desk
from watchlist.desk.due import Due
from watchlist.desk.errors import DeskError
from watchlist.desk.prices.moving import move

DUE = Due(market=True, scales=True, titles=True, marks=True)
"""What follows a join."""
FIELDS: Mapping[What, str] = {"country": "country", "denomination": "denomination", "mint": "mint"}


@dataclass(frozen=True, slots=True)
class Joined:
    """What a join did."""

    what: What
    written: str
    meant: str
    issues: int
    prices: int
    wants: int


def join(desk: Desk, written: str, meant: str, what: str = "") -> Joined:
    """From now on `written` means `meant`, in files as in titles; what hangs on it moves. DUE is due.

    Raises DeskError, and nothing was changed, where `meant` is none of the catalogue's names, or where both have the
    same issue in the catalogue."""
    kind, name = _meant(desk, written, meant, what)
    moving = [each for each in desk.catalogue if _holds(each, kind, written)]
    moves, changed = _moves(desk, moving, kind, name)
    wants = [
        want
        for want in desk.shelf.notebook.wants.list()
        if bare_words(getattr(want, kind) or "") == bare_words(written)
    ]
    with entry(desk, f"{kind} {written} joined to {name}", due=DUE) as change:
        prices = move(desk, change, moves) if moves else 0
        change.touch("issue", (issue.key for issue in changed))
        desk.shelf.store.catalogue.merge(changed)
        change.touch("fact", [JOINED])
        joins = {each: dict(known) for each, known in desk.spellings.items()}
        joins.setdefault(kind, {})[bare_words(written)] = name
        desk.shelf.store.facts.put(JOINED, joins)
        change.put("want", *(replace(want, **cast("dict[str, Any]", {kind: name})) for want in wants))
    return Joined(kind, written, name, len(moving), prices, len(wants))


def _holds(issue: Issue, kind: What, name: str) -> bool:
    return bare_words(getattr(issue, kind)) == bare_words(name)


def _meant(desk: Desk, written: str, meant: str, what: str) -> tuple[What, str]:
    """What is joined, and the catalogue's own name of it. Raises DeskError."""
    found = [(kind, name) for kind in FIELDS if what in ("", kind) if (name := _name(desk, kind, meant))]
    if not found:
        kinds = what or "country, denomination or mint"
        raise DeskError(f"`{meant}` is not a {kinds} of your catalogue. Nothing was changed.")
    if len(found) > 1:
        kinds = " and ".join(kind for kind, _ in found)
        raise DeskError(f"`{meant}` is a {kinds} of your catalogue: say which with --what. Nothing was changed.")
    if bare_words(written) == bare_words(meant):
        raise DeskError(f"`{written}` and `{meant}` are one name already. Nothing was changed.")
    return found[0]


def _name(desk: Desk, kind: What, text: str) -> str:
    """The name as the catalogue has it; a denomination in the reader's words."""
    names = dict.fromkeys(filter(None, (getattr(issue, kind) for issue in desk.catalogue)))
    wanted = desk.reader.canonical_denomination(text) or text if kind == "denomination" else text
    return next((name for name in names if bare_words(name) in (bare_words(text), bare_words(wanted))), "")


def _moves(desk: Desk, moving: Sequence[Issue], kind: What, name: str) -> tuple[dict[str, str], list[Issue]]:
    """Old key to new, and the issues that have another name from now on. Raises DeskError."""
    there = {parts(issue): issue for issue in desk.catalogue}
    moves: dict[str, str] = {}
    changed: list[Issue] = []
    for issue in moving:
        made = _renamed(issue, kind, name)
        same = there.get(parts(made))
        if same is None:
            changed.append(made)
            there[parts(made)] = made
        elif not issue.implied and not same.implied:
            raise DeskError(
                f"{issue.name} ({issue.key}) and {same.name} ({same.key}) are both in your catalogue, so they are not "
                "joined. Nothing was changed."
            )
        target, gone = (made, same) if same and same.implied and not issue.implied else (same or made, issue)
        if target is made and same:
            changed.append(made)
        if gone.key != target.key:
            moves[gone.key] = target.key
    return moves, changed


def _renamed(issue: Issue, kind: What, name: str) -> Issue:
    """The issue with the other name; the key of an implied one is its name."""
    made = replace(issue, **cast("dict[str, Any]", {kind: name}))
    if not issue.implied:
        return made
    return implied_issue(made.country, made.denomination, made.year, made.mint, made.variety)


def listed(desk: Desk) -> Iterable[tuple[str, str, str]]:
    """All joins: what, the spelling, and the catalogue's name."""
    for what, names in desk.spellings.items():
        for written, meant in names.items():
            yield what, written, meant
