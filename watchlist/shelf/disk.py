"""What replacing a file asks of the disk, behind one door, so that tests can make each step fail."""

from __future__ import annotations

import os
import sys
from pathlib import Path
from typing import Protocol

from watchlist.shelf.private import create


class Disk(Protocol):
    """What replacing a file safely needs of the system. Each may raise OSError."""

    def create(self, path: Path) -> int:
        """Open a new or emptied file for writing; a handle."""

    def write(self, handle: int, data: bytes) -> int:
        """Write some of the bytes; how many were taken."""

    def fsync(self, handle: int) -> None:
        """Return when the bytes are on the disk."""

    def replace(self, source: Path, target: Path) -> None:
        """Put one file in the place of another, in one step."""

    def fsync_folder(self, folder: Path) -> None:
        """Return when the folder's names are on the disk."""


class RealDisk:
    """The disk of this machine."""

    def create(self, path: Path) -> int:
        """Open a new or emptied file for writing; a handle."""
        return create(path)

    def write(self, handle: int, data: bytes) -> int:
        """Write some of the bytes; how many were taken."""
        return os.write(handle, data)

    def fsync(self, handle: int) -> None:
        """Return when the bytes are on the disk."""
        if sys.platform == "darwin":  # pragma: no cover - this system alone has the call
            import fcntl  # not on Windows

            fcntl.fcntl(handle, fcntl.F_FULLFSYNC)  # fsync alone stops at the drive's cache there
        else:
            os.fsync(handle)

    def replace(self, source: Path, target: Path) -> None:
        """Put one file in the place of another, in one step."""
        os.replace(source, target)

    def fsync_folder(self, folder: Path) -> None:
        """Return when the folder's names are on the disk. Windows has no such call."""
        if sys.platform == "win32":  # pragma: no cover - this system alone has no such call
            return
        handle = os.open(folder, os.O_RDONLY)
        try:
            os.fsync(handle)
        finally:
            os.close(handle)


def put_file(disk: Disk, path: Path, data: bytes) -> None:
    """Put `data` in the place of `path`: after any stop the old file or the new one is there whole. OSError passes,
    and names the file itself."""
    try:
        _put(disk, path, data)
    except OSError as error:
        error.filename = str(path)
        raise


def _put(disk: Disk, path: Path, data: bytes) -> None:
    draft = path.with_name(path.name + ".new")
    handle = disk.create(draft)
    try:
        rest = memoryview(data)
        while rest:
            rest = rest[disk.write(handle, bytes(rest)) :]
        disk.fsync(handle)
    finally:
        os.close(handle)
    disk.replace(draft, path)
    disk.fsync_folder(path.parent)
