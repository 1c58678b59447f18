"""Only the person reads what is kept: folders 0700, files 0600, and no link that another planted is followed.

A shelf that the accounts of a group share has folders 2770 and files 0660; the folder itself says so, so that whoever
makes a file in it needs to be told nothing."""

from __future__ import annotations

import errno
import os
import stat
from contextlib import suppress
from pathlib import Path

from watchlist.shelf.errors import ShelfRefused

FOLDER, FILE = 0o700, 0o600
SHARED_FOLDER, SHARED_FILE = 0o2770, 0o660
NEW = os.O_WRONLY | os.O_CREAT | os.O_EXCL | getattr(os, "O_NOFOLLOW", 0) | getattr(os, "O_BINARY", 0)
"""Opens a file that was not there."""


def make_folder(path: Path, *, parents: bool = False) -> None:
    """Make a folder of the person's own where it is missing; OSError where a link or a file has its name."""
    there = path.exists()
    path.mkdir(mode=FOLDER, parents=parents, exist_ok=True)
    if not there and is_shared(path.parent):
        path.chmod(SHARED_FOLDER)
    if path.is_symlink():
        raise OSError(errno.ELOOP, "it is a link, and a shelf keeps its folders itself", str(path))


def create(path: Path) -> int:
    """Open a new file for writing, in the place of a draft or a link of this name; a handle."""
    path.unlink(missing_ok=True)
    handle = os.open(path, NEW, FILE)
    if is_shared(path.parent):
        path.chmod(SHARED_FILE)  # whatever the account's umask
    return handle


def is_shared(folder: Path) -> bool:
    """What lies in the folder belongs to its group alike, and to nobody else."""
    with suppress(OSError):
        return stat.S_IMODE(folder.stat().st_mode) == SHARED_FOLDER
    return False


def close_to_others(*paths: Path) -> None:
    """Take from others the right to read these files and folders, as far as they are there and the system lets us."""
    for path in paths:
        with suppress(OSError):
            if path.is_symlink():
                continue
            close(path, shared=is_shared(path.parent))


def close(path: Path, *, shared: bool) -> None:
    """Give a file or a folder its rights, where it has others. Raises OSError."""
    folder, file = (SHARED_FOLDER, SHARED_FILE) if shared else (FOLDER, FILE)
    right = folder if path.is_dir() else file
    if stat.S_IMODE(path.stat().st_mode) != right:
        path.chmod(right)


def refuse_link(path: Path) -> None:
    """Raises ShelfRefused for a file of the shelf that is a link: what it leads to is not ours to write."""
    if path.is_symlink():
        raise ShelfRefused(
            f"{path} is a link to {path.readlink()}, and a shelf keeps its files itself. Nothing was changed; "
            "put the file in its place, or take the link away."
        )
