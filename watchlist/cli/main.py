"""From arguments to an exit code; no traceback reaches a person."""

from __future__ import annotations

import errno
import signal
import sys
import traceback
from argparse import Namespace
from collections.abc import Sequence
from datetime import UTC, datetime
from pathlib import Path
from types import FrameType

from watchlist.cli import out
from watchlist.cli.parser import WrongUse, build, verb


class Terminated(Exception):
    """SIGTERM came; the stores are left whole on the way out."""


def main(argv: Sequence[str]) -> int:
    """Run one command line. Returns the exit code of docs/commands.md; raises nothing."""
    out.prepare()
    try:
        return _guarded(argv)
    except SystemExit as left:  # argparse's own --help and --version
        return int(left.code or 0)
    except WrongUse as wrong:
        out.talk(f"watchlist: {wrong}.")
        return out.WRONG_USE
    except KeyboardInterrupt:
        return _stopped(out.CTRL_C)
    except Terminated:
        return _stopped(out.TERMINATED)
    except BrokenPipeError:
        out.drop()
        return out.DONE


def _stopped(code: int) -> int:
    try:
        out.talk("watchlist: stopped; stored data is intact.")
    except OSError:
        out.drop()
    return code


def _guarded(argv: Sequence[str]) -> int:
    if hasattr(signal, "SIGTERM"):
        signal.signal(signal.SIGTERM, _terminate)
    args = None
    try:
        args = _parsed(argv)
        code = _dispatch(args)
        sys.stdout.flush()
        return code
    except (WrongUse, BrokenPipeError, Terminated):
        raise
    except Exception as error:
        if _interrupted(error):
            raise KeyboardInterrupt from error
        return _told(error, args)


def _parsed(argv: Sequence[str]) -> Namespace:
    """The words understood; the verb they name is loaded by it."""
    args = build().parse_args(argv)
    args.now = _now(getattr(args, "now", None))
    for name in ("shelf", "settings", "no_color", "no_mouse", "json"):
        setattr(args, name, getattr(args, name, None))
    return args


def _interrupted(error: BaseException | None) -> bool:
    """Ctrl+c came in the middle of a library's own import, which makes an error of its own of it."""
    while error is not None and not isinstance(error, KeyboardInterrupt):
        error = error.__cause__ or error.__context__
    return error is not None


def _dispatch(args: Namespace) -> int:
    if args.verb is None:
        from watchlist.cli import screens  # no verb needs it

        return screens.run(args)
    return verb(args.verb).run(args)


def _told(error: Exception, args: Namespace | None) -> int:
    """One sentence for a failure that a person can do something about; a log for one that is ours."""
    from watchlist.desk.errors import PLAIN
    from watchlist.shelf.errors import ShelfLocked

    if isinstance(error, ShelfLocked):
        out.talk(f"watchlist: {error}")
        return out.SHELF_IN_USE
    if isinstance(error, PLAIN):
        out.talk(f"watchlist: {error}")
        return out.WRONG_USE
    if isinstance(error, OSError) and error.errno in REFUSALS:
        where = error.filename or "The output"
        if not error.filename:
            out.drop()
        out.talk(
            f"watchlist: {where} could not be written or read ({error.strerror}). Stored data is intact; "
            "make room or fix the folder's permissions, then do this step again."
        )
        return out.WRONG_USE
    path = _log(error, args)
    place = f"{path}" if path else "the lines above"
    out.talk(
        f"watchlist: an internal error ({type(error).__name__}); stored data is intact. The details are in {place}."
    )
    return out.FAULT


REFUSALS = frozenset({errno.ENOSPC, errno.EDQUOT, errno.EFBIG, errno.EROFS, errno.EACCES, errno.EPERM, errno.EIO})
"""What a system says when a disk is full or forbidden: nothing of ours."""


def _log(error: Exception, args: Namespace | None) -> Path | None:
    """Write the details into the shelf, as nothing is kept anywhere else; None: they had to be printed."""
    from watchlist.cli import session
    from watchlist.core.lots.address import without_secrets
    from watchlist.shelf import copies, private

    details = without_secrets("".join(traceback.format_exception(error)))
    try:
        folder = session.shelf_path(args or Namespace(shelf=None)) / "logs"
        private.make_folder(folder, parents=True)
        path = copies.free_name(folder / f"fault-{datetime.now(UTC):%Y%m%d-%H%M%S}.txt")
        with open(private.create(path), "w", encoding="utf-8", errors="backslashreplace") as log:
            log.write(details)
    except OSError:
        out.talk(details)
        return None
    return path


def _now(text: str | None) -> datetime:
    if text is None:
        return datetime.now(UTC)
    try:
        when = datetime.fromisoformat(text)
    except ValueError:
        raise WrongUse(f"--now takes an ISO 8601 time such as 2026-03-03T07:30:00+01:00, not `{text}`") from None
    if not 1900 <= when.year <= 2900:
        raise WrongUse(f"--now takes a time between the years 1900 and 2900, not `{text}`")
    return when if when.tzinfo else when.astimezone()


def _terminate(_number: int, _frame: FrameType | None) -> None:
    raise Terminated
