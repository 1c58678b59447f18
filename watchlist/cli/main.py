"""From arguments to an exit code; no traceback reaches a person."""

from __future__ import annotations

import errno
import signal
import sys
import tempfile
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
        out.talk("watchlist: stopped; what was stored stays whole.")
    except OSError:
        out.drop()
    return code


def _guarded(argv: Sequence[str]) -> int:
    if hasattr(signal, "SIGTERM"):
        signal.signal(signal.SIGTERM, _terminate)
    try:
        code = _dispatch(_parsed(argv))
        sys.stdout.flush()
        return code
    except (WrongUse, BrokenPipeError, Terminated):
        raise
    except Exception as error:
        if _interrupted(error):
            raise KeyboardInterrupt from error
        return _told(error)


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
    if isinstance(error, OSError) and error.errno in REFUSALS:
        where = error.filename or "The output"
        if not error.filename:
            out.drop()
        out.talk(
            f"watchlist: {where} could not be written or read ({error.strerror}). What was stored before stays; "
            "make room or mend the folder's rights, then do this step again."
        )
        return out.WRONG_USE
    path = _log(error)
    out.talk(f"watchlist: a fault of ours ({type(error).__name__}); what was stored stays. The details are in {path}.")
    return out.FAULT


REFUSALS = frozenset({errno.ENOSPC, errno.EDQUOT, errno.EFBIG, errno.EROFS, errno.EACCES, errno.EPERM, errno.EIO})
"""What a system says when a disk is full or forbidden: nothing of ours."""


def _log(error: Exception) -> Path:
    """Write the details where logs go, or into the temporary folder when that is closed to us."""
    import platformdirs

    name = f"fault-{datetime.now(UTC):%Y%m%d-%H%M%S}.txt"
    details = "".join(traceback.format_exception(error))
    for folder in (Path(platformdirs.user_log_dir("watchlist")), Path(tempfile.gettempdir())):
        try:
            folder.mkdir(parents=True, exist_ok=True)
            (folder / name).write_text(details, "utf-8")
        except OSError:
            continue
        return folder / name
    out.talk(details)
    return Path("the lines above")


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
