"""Hands the arguments to the command line."""

import sys


def run() -> None:
    """Run the command and leave with its exit code; ctrl+c counts from the first moment on."""
    try:
        from watchlist.cli import main

        code = main(sys.argv[1:])
    except KeyboardInterrupt:
        code = 130
    sys.exit(code)


if __name__ == "__main__":
    run()
