"""What could not be had or read, as data: what happened, to whom and where. `page/troubles.py` makes the sentence."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Literal

TroubleKind = Literal[
    # An address, before anything is asked.
    "no address",
    "other scheme",
    # A host.
    "unknown host",
    "no certificate",
    "silent",
    "odd answer",
    "late",
    "many redirects",
    "odd redirect",
    "inner redirect",
    "moved",
    "gone",
    "busy",
    "turned away",
    # What comes over the wire.
    "nothing came",
    "broke off",
    "too large",
    "unknown encoding",
    "many parts",
    "damaged",
    # A file.
    "no file",
    "no plain file",
    "unreadable file",
    "large file",
    # A body.
    "web page",
    "empty",
    "hostile",
    "other xml",
    "no xml",
    "beyond mending",
    "mended",
    "part mended",
    "cut off",
    "deep json",
    "no list",
    "part json",
    "no rows",
    "no title column",
    "many lines",
    "line",
    "no entries",
    "time up",
    "more",
    # An entry.
    "repeat",
    "same id",
    "no object",
    "untitled object",
    "untitled item",
    "untitled row",
    "broken item",
    # A field of a lot.
    "no figure",
    "no amount",
    "no time",
]


@dataclass(frozen=True, slots=True)
class Trouble:
    """Something that could not be had or read. The rest went on, unless it is fatal."""

    kind: TroubleKind
    who: str = ""
    """The host, address or file that it is about; empty where source and place say enough."""
    facts: Mapping[str, object] = field(default_factory=dict)
    """The figures and words of its own that its sentence needs."""
    source: str = ""
    """Name of the source."""
    place: str = ""
    """`entry 3`, `line 14`; empty: the whole of it."""
    fatal: bool = False
    """Nothing of this source could be read."""
