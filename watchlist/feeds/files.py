"""A source that is a file."""

from __future__ import annotations

import stat
from pathlib import Path

from watchlist.core.clean import clean
from watchlist.feeds.answers import Limits
from watchlist.feeds.failures import NoFile, TooLarge


def read_file(path: str | Path, *, limits: Limits | None = None) -> bytes:
    """The bytes of a file, under the same cap as a fetch. Raises FetchError.

    Only a plain file is opened: a pipe or a device could keep us waiting for ever.
    """
    cap = (limits or Limits()).body
    place = Path(path).expanduser()
    name = clean(str(path), 120)
    try:
        if not stat.S_ISREG(place.stat().st_mode):
            raise NoFile(f"{name} is not a plain file; what is kept stands; check the path")
        with place.open("rb") as file:
            body = file.read(cap + 1)
    except FileNotFoundError:
        raise NoFile(f"{name} does not exist; what is kept stands; check the path") from None
    except (OSError, ValueError) as error:
        raise NoFile(f"{name} cannot be read ({clean(str(error), 120)}); what is kept stands; check the path") from None
    if len(body) > cap:
        said = "nothing of it was taken, what is kept stands; split it"
        raise TooLarge(f"{name} is larger than {cap // 1_000_000} MB; {said}")
    return body
