"""A power cut, replayed: every write, sync, rename and deletion of a shelf is recorded, and of those not yet synced at
a moment all, none or every other one reached the disk.

What the store writes passes SQLite's own layer of the system, of which two functions are replaced while a recording
runs: https://www.sqlite.org/vfs.html, and https://www.sqlite.org/c3ref/io_methods.html for the tables below."""

from __future__ import annotations

import _sqlite3
import ctypes
import shutil
import sys
from collections.abc import Callable, Iterator, Mapping
from contextlib import contextmanager
from dataclasses import dataclass, field
from pathlib import Path
from types import MappingProxyType
from typing import Any

from watchlist.shelf import safe_storage
from watchlist.shelf.disk import RealDisk

SYNCS = ("sync", "names")
ALL, NONE, SOME = "all", "none", "some"
CUTS = [(names, lost) for names in (False, True) for lost in (ALL, NONE, SOME)]
"""Whether renames and new names had reached the disk, and which of the writes not synced were lost."""


@dataclass(frozen=True, slots=True)
class Event:
    """One thing that was asked of the disk, or told to the person."""

    kind: str
    """create, write, cut, sync, rename, gone, names (a folder synced), told."""
    path: Path = Path()
    at: int = 0
    data: bytes = b""
    target: Path = Path()


class Recording:
    """Everything asked of the disk, in order. From the step `fails_at` on the disk refuses all."""

    def __init__(self, fails_at: int = sys.maxsize) -> None:
        self.events: list[Event] = []
        self.fails_at = fails_at

    def note(self, kind: str, path: Path = Path(), at: int = 0, data: bytes = b"", target: Path = Path()) -> None:
        self.events.append(Event(kind, path, at, data, target))

    @property
    def refused(self) -> bool:
        """The step that was noted last is refused."""
        return len(self.events) > self.fails_at

    def step(self, kind: str, path: Path, at: int = 0, data: bytes = b"", target: Path = Path()) -> None:
        """Note a step of the notebook's; OSError when it is refused."""
        self.note(kind, path, at, data, target)
        if self.refused:
            raise OSError(28, "No space left on device")

    def tell(self, what: str) -> None:
        """The person is told that this is kept."""
        self.note("told", Path(what))


class RecordingDisk(RealDisk):
    """The disk of the notebook."""

    def __init__(self, recording: Recording) -> None:
        self.recording = recording
        self.open: dict[int, tuple[Path, int]] = {}

    def create(self, path: Path) -> int:
        self.recording.step("create", path)
        handle = super().create(path)
        self.open[handle] = path, 0
        return handle

    def write(self, handle: int, data: bytes) -> int:
        path, at = self.open[handle]
        self.recording.step("write", path, at, data)
        self.open[handle] = path, at + len(data)
        return super().write(handle, data)

    def fsync(self, handle: int) -> None:
        self.recording.step("sync", self.open[handle][0])

    def replace(self, source: Path, target: Path) -> None:
        self.recording.step("rename", source, target=target)
        super().replace(source, target)

    def fsync_folder(self, folder: Path) -> None:
        self.recording.step("names", folder)


class _Methods(ctypes.Structure):
    """sqlite3_io_methods: 18 functions behind a version."""

    _fields_ = [("version", ctypes.c_int), ("functions", ctypes.c_void_p * 18)]


class _System(ctypes.Structure):
    """sqlite3_vfs as far as xDelete."""

    _fields_ = [
        ("version", ctypes.c_int), ("file_size", ctypes.c_int), ("longest", ctypes.c_int),
        ("next", ctypes.c_void_p), ("name", ctypes.c_char_p), ("data", ctypes.c_void_p),
        ("open", ctypes.c_void_p), ("delete", ctypes.c_void_p),
    ]  # fmt: skip


_I64, _P, _INT = ctypes.c_int64, ctypes.c_void_p, ctypes.c_int
_OPEN = ctypes.CFUNCTYPE(_INT, _P, _P, ctypes.POINTER(_P), _INT, _P)  # SQLite keeps the name where it lies
_DELETE = ctypes.CFUNCTYPE(_INT, _P, ctypes.c_char_p, _INT)
_WRITE = ctypes.CFUNCTYPE(_INT, _P, _P, _INT, _I64)
_CUT = ctypes.CFUNCTYPE(_INT, _P, _I64)
_SYNC = ctypes.CFUNCTYPE(_INT, _P, _INT)
AT_WRITE, AT_CUT, AT_SYNC = 2, 3, 4
"""Places of the functions behind xClose and xRead."""
FULL = 13
"""SQLITE_FULL."""


@contextmanager
def recorded_store(recording: Recording) -> Iterator[None]:
    """Note what SQLite asks of the disk, for every file opened inside."""
    library = ctypes.CDLL(_sqlite3.__file__)
    library.sqlite3_vfs_find.restype = ctypes.POINTER(_System)
    system = library.sqlite3_vfs_find(None).contents
    kept: list[Any] = []  # else the functions would be swept away under SQLite's feet
    files: dict[int, Path] = {}
    was_open, was_delete = system.open, system.delete

    def on_open(vfs: int, name: int | None, file: Any, flags: int, out: int) -> int:
        code: int = _OPEN(was_open)(vfs, name, file, flags, out)
        methods = file[0]  # a file begins with the address of its functions
        if code == 0 and name and methods:
            address = ctypes.cast(file, _P).value or 0
            files[address] = path = Path(ctypes.string_at(name).decode())
            if path.stat().st_size == 0:
                recording.note("create", path)
            own = _Methods.from_buffer_copy(_Methods.from_address(methods))
            kept.append(own)
            replace_functions(own)
            file[0] = ctypes.addressof(own)
        return code

    def replace_functions(own: _Methods) -> None:
        write, cut, sync = _WRITE(own.functions[AT_WRITE]), _CUT(own.functions[AT_CUT]), _SYNC(own.functions[AT_SYNC])

        def on_write(file: int, data: int, length: int, at: int) -> int:
            recording.note("write", files[file], at, ctypes.string_at(data, length))
            return FULL if recording.refused else int(write(file, data, length, at))

        def on_cut(file: int, size: int) -> int:
            recording.note("cut", files[file], size)
            return int(cut(file, size))

        def on_sync(file: int, flags: int) -> int:
            recording.note("sync", files[file])
            return FULL if recording.refused else int(sync(file, flags))

        for place, function in ((AT_WRITE, _WRITE(on_write)), (AT_CUT, _CUT(on_cut)), (AT_SYNC, _SYNC(on_sync))):
            kept.append(function)
            own.functions[place] = ctypes.cast(function, _P).value

    def on_delete(vfs: int, name: bytes, sync_folder: int) -> int:
        recording.note("gone", Path(name.decode()))
        return int(_DELETE(was_delete)(vfs, name, sync_folder))

    kept += [_OPEN(on_open), _DELETE(on_delete)]
    system.open, system.delete = (ctypes.cast(each, _P).value for each in kept)
    try:
        yield
    finally:
        system.open, system.delete = was_open, was_delete


def record(work: Callable[[Recording], object], monkeypatch: Any, fails_at: int = sys.maxsize) -> list[Event]:
    """What the work asked of the disk, with what it told."""
    recording = Recording(fails_at)
    monkeypatch.setattr(safe_storage, "RealDisk", lambda: RecordingDisk(recording))
    with recorded_store(recording):
        work(recording)
    monkeypatch.undo()
    return recording.events


@dataclass(slots=True)
class _File:
    """Bytes that are on the disk, and writes that may not be."""

    synced: bytearray = field(default_factory=bytearray)
    waiting: list[Event] = field(default_factory=list)

    def sync(self) -> None:
        self.synced, self.waiting = self.after(NONE), []

    def after(self, lost: str) -> bytearray:
        """The bytes after a cut at which these of the waiting writes were lost."""
        made = bytearray(self.synced)
        for event in self.waiting[:: 2 if lost == SOME else 1] if lost != ALL else ():
            if event.kind == "cut":
                del made[event.at :]
            else:
                made.extend(bytes(max(0, event.at - len(made))))
                made[event.at : event.at + len(event.data)] = event.data
        return made


class Replay:
    """The disk after some of the events, which found these files there."""

    def __init__(self, found: Mapping[Path, bytes] = MappingProxyType({})) -> None:
        self.now = {path: _File(bytearray(data)) for path, data in found.items()}
        self.named = dict(self.now)
        """Names that are on the disk."""
        self.told: list[str] = []

    def take(self, event: Event) -> None:
        if event.kind == "told":
            self.told.append(str(event.path))
        elif event.kind == "create":
            self.now[event.path] = _File()
        elif event.kind == "rename":
            self.now[event.target] = self.now.pop(event.path)
        elif event.kind == "gone":
            self.now.pop(event.path, None)
            self.named.pop(event.path, None)
        elif event.kind == "names":
            self.named = {path: file for path, file in self.named.items() if path.parent != event.path}
            self.named |= {path: file for path, file in self.now.items() if path.parent == event.path}
        elif event.kind == "sync":
            self.now[event.path].sync()
            if event.path.name.startswith("shelf.db"):  # SQLite syncs the folder with the first sync of a new file
                self.named[event.path] = self.now[event.path]
        else:
            self.now[event.path].waiting.append(event)

    def cuts(self) -> Iterator[dict[Path, bytes]]:
        """The files as a cut now may leave them, each way once."""
        met: list[dict[Path, bytes]] = []
        for names, lost in CUTS:
            files = {path: bytes(file.after(lost)) for path, file in (self.now if names else self.named).items()}
            if files not in met:
                met.append(files)
                yield files


def lay_out(files: Mapping[Path, bytes], home: Path, folder: Path) -> None:
    """Write the files of `home` into an empty `folder`."""
    shutil.rmtree(folder, ignore_errors=True)
    for path, data in files.items():
        target = folder / path.relative_to(home)
        target.parent.mkdir(parents=True, exist_ok=True)
        target.write_bytes(data)
