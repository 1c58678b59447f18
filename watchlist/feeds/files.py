"""A source that is a file."""

from __future__ import annotations

import stat
from pathlib import Path

from watchlist.core.clean import clean
from watchlist.feeds.answers import Limits
from watchlist.feeds.failures import FetchError


def read_file(path: str | Path, *, limits: Limits | None = None) -> bytes:
    """The bytes of a file, under the same cap as a fetch. Raises FetchError.

    Only a plain file is opened: a pipe or a device could keep us waiting for ever.
    """
    cap = (limits or Limits()).body
    place = Path(path).expanduser()
    name = clean(str(path), 120)
    try:
        if not stat.S_ISREG(place.stat().st_mode):
            raise FetchError("no plain file", name)
        with place.open("rb") as file:
            body = file.read(cap + 1)  # one more tells a file of just that size from a larger one
    except FileNotFoundError:
        raise FetchError("no file", name) from None
    except (OSError, ValueError) as error:
        raise FetchError("unreadable file", name, said=clean(str(error), 120)) from None
    if len(body) > cap:
        raise FetchError("large file", name, megabytes=cap // 1_000_000)
    return body
