"""A source: where lots come from, and how its texts are to be taken."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field, fields
from typing import Any, Literal

SourceKind = Literal["", "rss", "json", "csv"]
KINDS: tuple[SourceKind, ...] = ("", "rss", "json", "csv")


@dataclass(frozen=True, slots=True)
class Source:
    """An address or a file that lists lots. What is left empty is found out from what comes."""

    name: str
    address: str
    """An http or https address, or the path of a file."""
    venue: str = ""
    """Name of the venue it belongs to; empty: none, so a price counts as it is written."""
    kind: SourceKind = ""
    """Empty: told by the content. "rss" means RSS and Atom."""
    encoding: str = ""
    """Overrides what the bytes show."""
    decimal_mark: str = ""
    """"," or "."; empty: learnt from the prices."""
    date_order: str = ""
    """"dmy" or "mdy"; empty: learnt from the dates."""
    time_zone: str = ""
    """IANA name for times without one."""
    currency: str = ""
    """ISO 4217 code for prices without one."""
    price_kind: str = ""
    """"fixed", "so far", "estimate" or "ended" when the source has only one kind of price."""
    columns: Mapping[str, str] = field(default_factory=dict)
    """The person's own map: canonical column to the heading or element of this source."""
    headers: Mapping[str, str] = field(default_factory=dict)
    """Extra request headers, sent to the host of `address` only."""
    day_end: bool = False
    """A closing date without a time means the end of that day."""
    disabled: str = ""
    """Why it is no longer fetched; empty: it is."""


def is_web(address: str) -> bool:
    """Whether an address is fetched over the network rather than opened as a file."""
    return address[:8].lower().startswith(("http://", "https://"))


def source_to_json(source: Source) -> dict[str, Any]:
    """Only what differs from a default, so that the notebook stays short."""
    rows = ((part.name, getattr(source, part.name)) for part in fields(source))
    return {name: dict(value) if isinstance(value, Mapping) else value for name, value in rows if value}
