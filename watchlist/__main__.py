"""Hands the arguments to the command line."""

import os
import signal
import sys
from types import FrameType

CTRL_C = 130


def run() -> None:
    """Run the command and leave with its exit code; ctrl+c counts from the first moment to the last."""
    heard = signal.getsignal(signal.SIGINT) is not signal.SIG_IGN  # a command in the background hears none
    if heard:
        signal.signal(signal.SIGINT, _leave)
    from watchlist.cli import main

    if heard:
        signal.signal(signal.SIGINT, signal.default_int_handler)
    try:
        code = main(sys.argv[1:])
    except KeyboardInterrupt:
        code = CTRL_C
    if heard:
        signal.signal(signal.SIGINT, _leave)
    sys.exit(code)


def _leave(_number: int, _frame: FrameType | None) -> None:
    """Before and after the work there is nothing to tidy up and nothing to say."""
    os._exit(CTRL_C)


if __name__ == "__main__":
    run()
