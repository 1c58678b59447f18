"""Files written for the person: a new one, whole or not at all; what is there is never lost unasked."""

from __future__ import annotations

import os
from collections.abc import Iterable
from contextlib import suppress
from pathlib import Path

from watchlist.desk.errors import DeskError


class FileThere(DeskError):
    """A file of this name is there already."""


def write_file(name: str, text: str | Iterable[str], *, replace: bool) -> Path:
    """Write a text, or lines one after the other, as UTF-8 beside its name first, then put it there.

    Raises DeskError; what was there stays."""
    path = check_free(name, replace=replace)
    draft = path.with_name(f".{path.name}.{os.getpid()}")
    try:
        with draft.open("w", encoding="utf-8", newline="") as file:
            file.writelines([text] if isinstance(text, str) else (f"{line}\n" for line in text))
        draft.replace(path)
    except OSError as error:
        raise DeskError(f"{path} could not be written: {error.strerror}. What was there is unchanged.") from error
    finally:
        with suppress(OSError):
            draft.unlink(missing_ok=True)
    return path


def check_free(name: str, *, replace: bool) -> Path:
    """Where a file is to be written. Raises DeskError where one is that is not to be lost."""
    path = Path(name).expanduser()
    if path.exists() and not path.is_file():
        raise DeskError(f"{path} is not a plain file. Nothing was written.")
    if path.exists() and not replace:
        raise FileThere(f"{path} exists already. Nothing was written; --replace writes over it.")
    return path
