"""Files that a person asks for, outside the shelf: written whole, or what was there stays."""

from __future__ import annotations

from pathlib import Path

from watchlist.desk.errors import DeskError
from watchlist.shelf.disk import RealDisk


def head_of(path: Path, most: int) -> bytes | None:
    """The first bytes of a file; None where there is none. Raises DeskError for one that cannot be read."""
    try:
        with path.open("rb") as file:
            return file.read(most)
    except FileNotFoundError:
        return None
    except OSError as error:
        raise DeskError(f"{path} cannot be read ({error.strerror}). Nothing was written.") from error


def write_whole(path: Path, body: bytes) -> None:
    """Put these bytes into a file, in one step. Raises DeskError where the system does not let us."""
    disk, target = RealDisk(), path.resolve()
    draft = target.with_name(f"{target.name}.draft")
    try:
        with open(disk.create(draft), "wb") as file:
            file.write(body)
        disk.replace(draft, target)
    except OSError as error:
        draft.unlink(missing_ok=True)
        raise DeskError(
            f"{path} cannot be written ({error.strerror}). What was there stays; check the path."
        ) from error
