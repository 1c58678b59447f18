"""The command line: verbs, options, exit codes."""

from watchlist.cli.main import main

__all__ = ["main"]
