"""From arguments to an exit code; no traceback reaches a person."""

from __future__ import annotations

import importlib
import os
import signal
import sys
import traceback
from argparse import Namespace
from collections.abc import Sequence
from datetime import UTC, datetime
from pathlib import Path
from types import FrameType
from typing import Protocol, cast

from watchlist.cli import out
from watchlist.cli.parser import WrongUse, build

MODULES = {
    "import": "importing", "try": "sample", "lots": "lots", "lot": "lots", "undo": "deciding", "redo": "deciding",
    "decide": "deciding", "bids": "deciding", "result": "deciding", "backup": "keeping", "restore": "keeping",
    "check": "checking", "price": "pricing", "read": "reading", "gather": "gathering", "source": "sources",
    "venue": "venues", "want": "wants",
}
"""The module of watchlist.cli.verbs that holds each verb; loaded only when its verb is used."""


class Verb(Protocol):
    """What each module of verbs offers."""

    def run(self, args: Namespace) -> int:
        """Do it; the exit code."""


class Terminated(Exception):
    """SIGTERM came; the stores are left whole on the way out."""


def main(argv: Sequence[str]) -> int:
    """Run one command line. Returns the exit code of docs/formats.md; raises nothing."""
    try:
        return _guarded(argv)
    except SystemExit as left:  # argparse's own --help and --version
        return int(left.code or 0)
    except WrongUse as wrong:
        out.talk(f"watchlist: {wrong}.")
        return out.WRONG_USE
    except KeyboardInterrupt:
        return out.CTRL_C
    except Terminated:
        return out.TERMINATED
    except BrokenPipeError:
        _drop_stdout()
        return out.DONE


def _guarded(argv: Sequence[str]) -> int:
    if hasattr(signal, "SIGTERM"):
        signal.signal(signal.SIGTERM, _terminate)
    args = build().parse_args(argv)
    args.now = _now(getattr(args, "now", None))
    for name in ("shelf", "settings", "no_color", "no_mouse", "json"):
        setattr(args, name, getattr(args, name, None))
    try:
        code = _dispatch(args)
        sys.stdout.flush()
        return code
    except (WrongUse, BrokenPipeError, Terminated):
        raise
    except Exception as error:
        return _told(error)


def _dispatch(args: Namespace) -> int:
    if args.verb is None:
        from watchlist.cli.verbs import screens

        return screens.run(args)
    module = cast(Verb, importlib.import_module(f"watchlist.cli.verbs.{MODULES[args.verb]}"))
    return module.run(args)


def _told(error: Exception) -> int:
    """One sentence for a failure that a person can do something about; a log for one that is ours."""
    from watchlist.desk.errors import PLAIN
    from watchlist.shelf.errors import ShelfLocked

    if isinstance(error, ShelfLocked):
        out.talk(f"watchlist: {error}")
        return out.SHELF_IN_USE
    if isinstance(error, PLAIN):
        out.talk(f"watchlist: {error}")
        return out.WRONG_USE
    path = _log(error)
    out.talk(f"watchlist: a fault of ours ({type(error).__name__}); what was stored stays. The details are in {path}.")
    return out.FAULT


def _log(error: Exception) -> Path:
    import platformdirs

    folder = Path(platformdirs.user_log_dir("watchlist"))
    folder.mkdir(parents=True, exist_ok=True)
    path = folder / f"fault-{datetime.now(UTC):%Y%m%d-%H%M%S}.txt"
    path.write_text("".join(traceback.format_exception(error)), "utf-8")
    return path


def _now(text: str | None) -> datetime:
    if text is None:
        return datetime.now(UTC)
    try:
        when = datetime.fromisoformat(text)
    except ValueError:
        raise WrongUse(f"--now takes an ISO 8601 time such as 2026-03-03T07:30:00+01:00, not `{text}`") from None
    return when if when.tzinfo else when.astimezone()


def _terminate(_number: int, _frame: FrameType | None) -> None:
    raise Terminated


def _drop_stdout() -> None:
    """Nobody reads any more: point stdout at nothing, so that the last flush stays quiet."""
    os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
