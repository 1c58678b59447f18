"""How far a fetch goes, what an answer to it is, and what a server's refusal means."""

from __future__ import annotations

from contextlib import suppress
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from email.utils import format_datetime, parsedate_to_datetime
from hashlib import sha256

DAY = timedelta(days=1)
WAIT = timedelta(minutes=15)
"""Pause after 429 or 503 when the server names none."""


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
    note: str = ""
    """One sentence for people when there is something to say."""


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
            until = parsedate_to_datetime(text).replace(tzinfo=UTC)  # always GMT
    return max(now, min(until, now + DAY))


def http_date(when: datetime) -> str:
    """A time as HTTP writes it: `Sun, 06 Nov 1994 08:49:37 GMT`."""
    return format_datetime(when.astimezone(UTC), usegmt=True)


def meaning(status: int) -> str:
    """A status in words, with its brackets; empty when the number says enough."""
    words = {401: "a login is needed", 403: "access refused", 404: "no such page"}
    word = words.get(status, "a fault on its side" if status >= 500 else "")
    return f" ({word})" if word else ""


def cure(status: int) -> str:
    """What the person can do about a status."""
    return "try again later" if status >= 500 else "check the address"
