"""One writer at a time. The lock file names the process that holds it; the system frees it when that process ends."""

from __future__ import annotations

import os
import sys
import time
from datetime import UTC, datetime
from pathlib import Path

from watchlist.core.clean import clean
from watchlist.shelf.errors import ShelfLocked, ShelfRefused
from watchlist.shelf.private import FILE, refuse_link

_PAUSE = 0.005  # seconds between two looks at a held lock

if sys.platform == "win32":  # pragma: no cover - this system alone has no flock
    import msvcrt

    def _grab(handle: int) -> None:
        os.lseek(handle, 1 << 30, os.SEEK_SET)  # far behind the pid, which others must be able to read
        msvcrt.locking(handle, msvcrt.LK_NBLCK, 1)
else:
    import fcntl

    def _grab(handle: int) -> None:
        fcntl.flock(handle, fcntl.LOCK_EX | fcntl.LOCK_NB)


class WriterLock:
    """The right to write in one shelf, held from `take` to `free`."""

    def __init__(self, path: Path, who: str = "") -> None:
        self.path, self._who = path, who
        self._handle: int | None = None

    def take(self, wait: float = 0.0) -> None:
        """Take the lock, looking again for at most `wait` seconds; ShelfLocked names who holds it."""
        deadline = time.monotonic() + wait
        handle = self._open()
        while not self._try(handle):
            if time.monotonic() >= deadline:
                held = _held(handle)
                os.close(handle)
                raise ShelfLocked(*held)
            time.sleep(_PAUSE)
        os.ftruncate(handle, 0)
        os.lseek(handle, 0, os.SEEK_SET)
        os.write(handle, f"{os.getpid()} {self._who}".strip().encode())
        self._handle = handle

    def free(self) -> None:
        """Let the next writer in. The file stays: removing it would race with one who just opened it."""
        if self._handle is not None:
            os.close(self._handle)
            self._handle = None

    def _open(self) -> int:
        refuse_link(self.path)
        try:
            return os.open(self.path, os.O_RDWR | os.O_CREAT | getattr(os, "O_NOFOLLOW", 0), FILE)
        except OSError as error:
            raise ShelfRefused(
                f"{self.path} cannot be written ({error.strerror}). Nothing was changed; check the permissions."
            ) from error

    def _try(self, handle: int) -> bool:
        try:
            _grab(handle)
        except (BlockingIOError, PermissionError):
            return False
        except OSError as error:
            os.close(handle)
            raise ShelfRefused(
                f"{self.path}: this disk knows no locks ({error.strerror}). Keep the shelf on a local disk."
            ) from error
        return True


def _held(handle: int) -> tuple[int | None, str, str]:
    """Process, name and hour of who holds the lock, as far as it wrote them: it does so when it takes it."""
    os.lseek(handle, 0, os.SEEK_SET)
    pid, _, who = os.read(handle, 200).decode("utf-8", "replace").partition(" ")
    taken = datetime.fromtimestamp(os.fstat(handle).st_mtime, UTC).astimezone()
    return int(pid) if pid.isdigit() else None, clean(who, 60), f"{taken:%a} {taken.day} {taken:%b %H:%M}"
