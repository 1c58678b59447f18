"""The shelf's folder: what lies in it under which name, made where it is missing, closed to others."""

from __future__ import annotations

from pathlib import Path

from watchlist.shelf.errors import ShelfRefused
from watchlist.shelf.private import FOLDER, close_to_others

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


def keep_private(path: Path) -> None:
    """Close to others what is kept: SQLite makes its files by the system's habit, and an older shelf is open."""
    folders = [path / name for name in FOLDERS]
    inside = [file for folder in folders if not folder.is_symlink() for file in folder.glob("*")]
    close_to_others(path, *folders, *inside, *(path / name for name in (STORE, *LOGS, NOTEBOOK, SETTINGS, LOCK)))
