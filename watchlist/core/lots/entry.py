"""An entry: one item or row exactly as it came, with its source and place."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field


@dataclass(frozen=True, slots=True)
class Entry:
    """One item of a feed or row of a file. Texts are decoded and freed of markup, nothing else is interpreted."""

    source: str
    """Name of the source."""
    place: str
    """Where it stood, for people: `entry 3`, `line 14`."""
    id: str
    """The source's own id (guid, Atom id, JSON id, CSV id or lot); else a hash of title and link."""
    title: str
    description: str = ""
    link: str = ""
    fields: Mapping[str, str] = field(default_factory=dict)
    """Known fields under their canonical names (words/columns.toml): price, start_price, estimate, hammer, buy_now,
    currency, ends_at, seller, feedback, grade, year, mint, denomination, weight, status, quantity, ..."""
    extra: Mapping[str, str] = field(default_factory=dict)
    """Fields of the source's own that we do not know, under their own names."""
