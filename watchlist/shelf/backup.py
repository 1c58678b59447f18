"""One zip file with everything on the shelf, and the way back."""

from __future__ import annotations

import os
import shutil
import tempfile
import zipfile
from collections.abc import Callable, Iterator
from contextlib import closing, contextmanager
from datetime import date
from pathlib import Path
from zlib import error as zlib_error

from watchlist.shelf import private
from watchlist.shelf.copies import free_name
from watchlist.shelf.disk import Disk, RealDisk
from watchlist.shelf.errors import ShelfError, ShelfNotEmpty, ShelfRefused, ShelfTorn
from watchlist.shelf.folder import BACKUPS, LOCK, LOGS, NOTEBOOK, SETTINGS, STORE, make_folder
from watchlist.shelf.lock import WriterLock
from watchlist.shelf.proof import faults_of, notebook_in
from watchlist.shelf.settings import load
from watchlist.shelf.store import Store
from watchlist.shelf.store.connection import Connection
from watchlist.shelf.store.schema import APPLICATION

KEPT = (STORE, NOTEBOOK, SETTINGS)
CAPS = {NOTEBOOK: 100_000_000, SETTINGS: 1_000_000}
"""Bytes that a file of a backup may have; more than any person writes."""


def default_target(shelf: Path, today: date) -> Path:
    """Where a backup goes when no name was given: the folder `backups` of the shelf."""
    return free_name(shelf / BACKUPS / f"shelf-{today:%Y-%m-%d}.zip")


Pack = Callable[[Path, Path, Path], None]
"""Puts a proven copy of the store, and what else is on the shelf, into a draft."""
Unpack = Callable[[Path, Path], list[Path]]
"""Makes the files of a shelf of a file, in a folder, each proven."""


def backup(shelf: Path, target: Path, *, disk: Disk | None = None, pack: Pack | None = None) -> Path:
    """Write store, notebook and settings into one zip file, also while another process writes. The file's path."""
    disk = disk or RealDisk()
    if not (shelf / STORE).exists():
        raise ShelfError(f"There is no shelf in {shelf}. Nothing was written.")
    own = target.parent == shelf / BACKUPS  # elsewhere the folder is the person's
    if own:
        private.refuse_link(target.parent)
    target = target.resolve()  # a link is followed, not replaced
    if target.exists() and not target.is_file():  # the last step would put a file in the place of a device or a pipe
        raise ShelfRefused(f"{target} is not a plain file. Nothing was written; name another.")
    try:
        target.parent.mkdir(mode=private.FOLDER if own else 0o777, parents=True, exist_ok=True)
        with tempfile.TemporaryDirectory(dir=target.parent, prefix=".backup-") as folder:
            draft = Path(folder) / "draft.zip"
            (pack or _pack)(_copy(shelf, Path(folder)), shelf, draft)
            private.close_to_others(draft)
            _fsync(disk, draft)
            disk.replace(draft, target)
        disk.fsync_folder(target.parent)
    except OSError as error:
        why = error.strerror or error
        raise ShelfRefused(f"{target} could not be written ({why}). The shelf is unchanged.") from error
    return target


def keep_newest(shelf: Path, number: int) -> list[Path]:
    """Of the backups in the shelf's own folder keep the newest, one at least; those that were taken away."""
    made = sorted((shelf / BACKUPS).glob("shelf-*.zip"), key=lambda file: (file.stat().st_mtime_ns, file.name))
    old = made[: -max(number, 1)]
    for file in old:
        file.unlink()
    return old


def _copy(shelf: Path, folder: Path) -> Path:
    """A copy of the store as it is now. Raises ShelfTorn for one that is not whole."""
    with closing(Store(shelf / STORE, write=False)) as store:
        store.copy_to(folder / STORE)
    with closing(Connection(folder / STORE, write=False)) as copy:
        if faults := faults_of(copy):  # an older, sound backup must not give way to it
            raise ShelfTorn(f"{shelf / STORE} is not whole ({'; '.join(faults)}). No backup was written.")
    return folder / STORE


def _pack(store: Path, shelf: Path, draft: Path) -> None:
    with zipfile.ZipFile(draft, "w", zipfile.ZIP_DEFLATED, compresslevel=3) as file:
        file.write(store, STORE)
        for name in (NOTEBOOK, SETTINGS):
            if (shelf / name).exists():
                file.write(shelf / name, name)


def restore(
    source: Path,
    shelf: Path,
    *,
    replace: bool = False,
    today: Callable[[], date] = date.today,
    disk: Disk | None = None,
    unpack: Unpack | None = None,
) -> Path | None:
    """Bring a backup back; the folder where the old files now lie, or None where there were none.

    The backup is read and checked whole before anything is moved. A shelf that holds something is refused with
    ShelfNotEmpty unless `replace` is said, and then its files are kept beside.
    """
    disk = disk or RealDisk()
    make_folder(shelf)
    lock = WriterLock(shelf / LOCK)
    lock.take()
    try:
        there = [name for name in (*KEPT, *LOGS) if (shelf / name).exists()]
        if there and not replace:
            raise ShelfNotEmpty(
                f"{shelf} holds a shelf already. Nothing was changed; name another folder with "
                "--shelf, or put this one aside with `watchlist restore FILE --replace`."
            )
        with tempfile.TemporaryDirectory(dir=shelf, prefix=".restore-") as folder:
            unpacked = (unpack or _unpack)(source, Path(folder))
            kept = free_name(shelf / f"before-restore-{today():%Y-%m-%d}") if there else None
            _swap(disk, shelf, unpacked, there, kept)
        return kept
    except OSError as error:
        why = error.strerror or error
        raise ShelfRefused(f"{source} could not be brought back ({why}). Nothing was lost.") from error
    finally:
        lock.free()


def _unpack(source: Path, folder: Path) -> list[Path]:
    """The files of a backup, each checked."""
    with reading(source) as file:
        names = [name for name in KEPT if name in file.namelist()]
        if STORE not in names:
            raise ShelfTorn(f"{source} is not a backup of a shelf. Nothing was changed.")
        if len(names) < len(file.namelist()):  # a name that is damaged would leave the notebook out
            raise ShelfTorn(f"{source} is damaged (a file in it has no name of a shelf). Nothing was changed.")
        found = [take_out(file, name, folder) for name in names]
    check(folder, source)
    return found


@contextmanager
def reading(source: Path) -> Iterator[zipfile.ZipFile]:
    """A zip file opened; ShelfTorn for whatever is wrong with it."""
    try:
        with zipfile.ZipFile(source) as file:
            yield file
    except (zipfile.BadZipFile, zlib_error, EOFError, NotImplementedError, RuntimeError) as error:
        raise ShelfTorn(f"{source} is damaged ({error}). Nothing was changed.") from error


def take_out(file: zipfile.ZipFile, name: str, folder: Path) -> Path:
    """One file of it, put into the folder. Raises ShelfTorn for one of absurd size."""
    if (size := file.getinfo(name).file_size) > CAPS.get(name, size):
        raise ShelfTorn(f"{name} in {file.filename} would be {size:,} bytes long. Nothing was changed.")
    with file.open(name) as packed, (folder / name).open("wb") as out:
        shutil.copyfileobj(packed, out, 1 << 20)
    return folder / name


def check(folder: Path, source: Path) -> None:
    """Prove what was unpacked. Raises ShelfTorn, which names the source and not where it was unpacked."""
    try:
        _prove(folder, source)
    except ShelfError as error:
        if str(folder) not in str(error):
            raise
        said = str(error).replace(f"{folder}{os.sep}", "").partition(". ")[0].rstrip(".")
        raise ShelfTorn(f"{source} cannot be used: {said}. Nothing was changed.") from error


def _prove(folder: Path, source: Path) -> None:
    with closing(Connection(folder / STORE, write=False)) as db:
        if db.number("PRAGMA application_id") != APPLICATION:
            raise ShelfTorn(f"The store in {source} is not one of this program. Nothing was changed.")
        if faults := faults_of(db):
            raise ShelfTorn(f"The store in {source} is damaged ({'; '.join(faults)}). Nothing was changed.")
    load(folder / SETTINGS)
    notebook = folder / NOTEBOOK
    try:
        if notebook.exists():
            notebook_in(notebook)
    except ValueError as error:
        raise ShelfTorn(f"The notebook in {source} cannot be read ({error}). Nothing was changed.") from error


def _swap(disk: Disk, shelf: Path, unpacked: list[Path], there: list[str], kept: Path | None) -> None:
    """Old files aside, new files in. When a step fails the old ones go back."""
    private.close_to_others(*unpacked)
    for file in unpacked:
        _fsync(disk, file)
    ways = [(shelf / name, kept / name) for name in there] if kept else []
    ways += [(file, shelf / file.name) for file in unpacked]
    moved: list[tuple[Path, Path]] = []
    try:
        if kept:
            kept.mkdir(private.FOLDER)
        for source, target in ways:
            disk.replace(source, target)
            moved.append((source, target))
        disk.fsync_folder(shelf)
    except OSError:
        for source, target in reversed(moved):
            target.replace(source)
        if kept:
            kept.rmdir()
        raise


def _fsync(disk: Disk, path: Path) -> None:
    with path.open("rb+") as file:
        disk.fsync(file.fileno())
