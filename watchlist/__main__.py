"""Hands the arguments to the command line."""

import sys

from watchlist.cli import main


def run() -> None:
    """Run the command and leave with its exit code."""
    sys.exit(main(sys.argv[1:]))


if __name__ == "__main__":
    run()
