"""What is asked for and how far a fetch goes; what an answer is, and when a server may be asked again."""

from __future__ import annotations

from collections.abc import Mapping
from contextlib import suppress
from dataclasses import dataclass, field
from datetime import UTC, datetime, timedelta
from email.utils import parsedate_to_datetime
from hashlib import sha256

from watchlist.core.lots.trouble import Trouble

DAY = timedelta(days=1)
WAIT = timedelta(minutes=15)
"""Pause after 429 or 503 when the server names none."""


@dataclass(frozen=True, slots=True)
class Ask:
    """One source to fetch, and what is remembered of it."""

    name: str
    address: str
    """An http or https address, or the path of a file."""
    etag: str = ""
    last_modified: str = ""
    headers: Mapping[str, str] = field(default_factory=dict)
    """The person's own; they go to the host of the address only."""


@dataclass(frozen=True, slots=True)
class Limits:
    """How far a fetch may go."""

    seconds: float = 30.0
    """From the first look-up to the last byte, redirects included."""
    body: int = 32_000_000
    """Bytes, inflated."""
    redirects: int = 5


@dataclass(frozen=True, slots=True)
class Fetched:
    """An answer. There is a body with status 200 only."""

    status: int
    body: bytes = b""
    content_type: str = ""
    etag: str = ""
    last_modified: str = ""
    moved_to: str = ""
    """The new address, when every redirect on the way was permanent: to be proposed, not taken."""
    retry_after: datetime | None = None
    """Not to be asked before this (429, 503), at most a day from now."""
    disabled: bool = False
    """Gone for good (410): ask no more."""
    partial: bool = False
    """The transfer broke off; what came is in `body`, and there is no ETag to remember."""
    told: Trouble | None = None
    """What there is to say of it."""


def retry_at(text: str, now: datetime, address: str = "") -> datetime:
    """When a server may be asked again (RFC 9110, 10.2.3: seconds or a date), from now to a day from now.

    Without a readable value it is a quarter of an hour and up to half as much again, spread by address so that not all
    sources come back at once.
    """
    text = text.strip()
    spread = WAIT * (1 + sha256(address.encode("utf-8", "replace")).digest()[0] / 512)
    until = now + spread
    if text.isascii() and text.isdigit():
        until = now + timedelta(seconds=min(int(text[:9]), 86_400))
    elif text:
        with suppress(ValueError, TypeError, OverflowError):
            until = parsedate_to_datetime(text).replace(tzinfo=UTC)  # always GMT, whatever zone a server writes
    return max(now, min(until, now + DAY))
