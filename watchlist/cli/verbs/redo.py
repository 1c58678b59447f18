"""watchlist redo."""

from __future__ import annotations

from argparse import Namespace

from watchlist.cli.parser import Parser
from watchlist.cli.verbs.decide import carry_out
from watchlist.desk import undoing


def options(_: Parser) -> None:
    """It takes nothing more."""


def run(args: Namespace) -> int:
    """One step forth among the decisions."""
    return carry_out(args, undoing.redo)
