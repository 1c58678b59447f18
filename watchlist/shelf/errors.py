"""The one family of errors of the shelf. Each is one sentence a person can act on.

ShelfError
  ShelfLocked    another writer is at work
  ShelfTorn      a file is damaged and was left as it is
  ShelfNewer     kept by a newer version; may be read, not written
  ShelfRefused   the disk or the system refused a write (full, forbidden)
  ShelfReading   opened for reading only
  ShelfNotEmpty  a restore would cover what is there
  RecordError    one record cannot be read or kept
  SettingsError  settings.toml cannot be used
"""

from __future__ import annotations


class ShelfError(Exception):
    """Something about the shelf that the person has to know, as one sentence."""


class ShelfLocked(ShelfError):
    """Another process writes here."""

    def __init__(self, pid: int | None, who: str = "", since: str = "") -> None:
        self.pid = pid
        parts = filter(None, (f"pid {pid}" if pid else "", who, f"since {since}" if since else ""))
        who = f" ({', '.join(parts)})" if pid else ""
        super().__init__(
            f"Another Watchlist process uses this shelf{who}. Nothing was changed; try again when it has finished."
        )


class ShelfTorn(ShelfError):
    """A file is damaged. It was not written to."""


class ShelfNewer(ShelfError):
    """A file has a schema version that this program does not know."""


class ShelfRefused(ShelfError):
    """The system refused a write; what was acknowledged before stays."""


class ShelfReading(ShelfError):
    """A write was asked of a shelf opened for reading."""


class ShelfNotEmpty(ShelfError):
    """A restore would cover a shelf that holds something."""


class RecordError(ShelfError):
    """A record and its JSON do not fit each other."""


class SettingsError(ShelfError):
    """The settings file cannot be used: file, key and what is allowed."""
