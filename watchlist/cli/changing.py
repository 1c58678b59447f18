"""How a verb changes what a person keeps by hand: the change, what follows from it, a sentence on it."""

from __future__ import annotations

from argparse import Namespace
from collections.abc import Callable

from watchlist.cli import out, session
from watchlist.desk.desk import Desk
from watchlist.desk.due import Due
from watchlist.desk.settling import settle


def change(args: Namespace, act: Callable[[Desk, Namespace], str], due: Due) -> int:
    """Carry out an act, settle what it makes due, and say what it did."""
    with session.desk(args, write=True) as desk:
        said = act(desk, args)
        settle(desk, due)
        out.talk(said)
    return out.DONE
