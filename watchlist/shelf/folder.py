"""The shelf's folder: what lies in it under which name, made where it is missing, closed to others."""

from __future__ import annotations

from contextlib import suppress
from pathlib import Path

from watchlist.shelf.errors import ShelfRefused
from watchlist.shelf.private import FOLDER, close, close_to_others, is_shared

NOTEBOOK, STORE, SETTINGS, LOCK = "notebook.json", "shelf.db", "settings.toml", "lock"
LOGS = (STORE + "-wal", STORE + "-shm")
BACKUPS = "backups"
FOLDERS = ("copies", BACKUPS, "logs")


def make_folder(path: Path) -> None:
    """Make the shelf's folder where it is missing."""
    try:
        path.mkdir(mode=FOLDER, parents=True, exist_ok=True)
    except FileExistsError as error:
        raise ShelfRefused(
            f"{path} is a file, and a shelf is a folder. Nothing was changed; name another with --shelf."
        ) from error
    except OSError as error:
        raise ShelfRefused(
            f"The shelf {path} cannot be made ({error.strerror}). Name another folder with --shelf or WATCHLIST_SHELF."
        ) from error


MOUNTS = Path("/proc/self/mounts")
"""Where Linux lists what is mounted, a line each: device, place, kind."""
FAR = frozenset(
    {"nfs", "nfs4", "cifs", "smb3", "smbfs", "afs", "ceph", "glusterfs", "ncpfs", "davfs", "fuse.sshfs", "fuse.rclone"}
)
"""Kinds of drives whose other end is another machine."""


def share(path: Path, mounts: Path = MOUNTS) -> None:
    """Open the shelf's folder to its group. Raises ShelfRefused where it lies on a network drive, and where its rights
    cannot be set."""
    if far := _far(path, mounts):
        raise ShelfRefused(
            f"{path} lies on a network drive ({far}), where one machine does not see the lock of another: two writers "
            "would damage the store. Nothing was changed; keep a shared shelf on a disk of this machine."
        )
    with suppress(OSError):
        close(path, shared=True)
    if not is_shared(path):
        raise ShelfRefused(
            f"{path} is not open to its group, and its rights cannot be set from here. Nothing was changed; as its "
            f"owner run `chgrp GROUP {path}` with a group of yours, then `chmod 2770 {path}`."
        )


def _far(path: Path, mounts: Path) -> str:
    """The kind of network drive that a folder lies on; empty for a disk of this machine, and where nothing tells."""
    here, found = path.resolve(), ("", "")
    if str(here).startswith("\\\\"):
        return "a share of another machine"
    with suppress(OSError):
        for line in mounts.read_text("utf-8", "replace").splitlines():
            _, place, kind, *_ = (*line.split(), "", "", "")
            place = place.replace("\\040", " ")
            if place and here.is_relative_to(place) and len(place) >= len(found[0]):
                found = (place, kind)
    return found[1] if found[1] in FAR else ""


def keep_private(path: Path, *, shared: bool = False) -> None:
    """Close to others what is kept: SQLite makes its files by the system's habit, and an older shelf is open."""
    with suppress(OSError):
        close(path, shared=shared)
    folders = [path / name for name in FOLDERS]
    inside = [file for folder in folders if not folder.is_symlink() for file in folder.glob("*")]
    close_to_others(*folders, *inside, *(path / name for name in (STORE, *LOGS, NOTEBOOK, SETTINGS, LOCK)))
