"""Only the person reads what is kept: folders 0700, files 0600, and no link that another planted is followed."""

from __future__ import annotations

import errno
import os
from contextlib import suppress
from pathlib import Path

from watchlist.shelf.errors import ShelfRefused

FOLDER, FILE = 0o700, 0o600
NEW = os.O_WRONLY | os.O_CREAT | os.O_EXCL | getattr(os, "O_NOFOLLOW", 0) | getattr(os, "O_BINARY", 0)
"""Opens a file that was not there."""


def make_folder(path: Path, *, parents: bool = False) -> None:
    """Make a folder of the person's own where it is missing; OSError where a link or a file has its name."""
    path.mkdir(mode=FOLDER, parents=parents, exist_ok=True)
    if path.is_symlink():
        raise OSError(errno.ELOOP, "it is a link, and a shelf keeps its folders itself", str(path))


def create(path: Path) -> int:
    """Open a new file for writing, in the place of a draft or a link of this name; a handle."""
    path.unlink(missing_ok=True)
    return os.open(path, NEW, FILE)


def close_to_others(*paths: Path) -> None:
    """Take from others the right to read these files and folders, as far as they are there and the system lets us."""
    for path in paths:
        with suppress(OSError):
            if path.is_symlink():
                continue
            right = FOLDER if path.is_dir() else FILE
            if path.stat().st_mode & 0o777 != right:
                path.chmod(right)


def refuse_link(path: Path) -> None:
    """Raises ShelfRefused for a file of the shelf that is a link: what it leads to is not ours to write."""
    if path.is_symlink():
        raise ShelfRefused(
            f"{path} is a link to {path.readlink()}, and a shelf keeps its files itself. Nothing was changed; "
            "put the file in its place, or take the link away."
        )
