"""What could not be had or read, as data: what happened, to whom and where. `page/troubles.py` makes the sentence."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Literal

AddressKind = Literal["no address", "other scheme", "many redirects", "odd redirect", "inner redirect"]
HostKind = Literal["unknown host", "no certificate", "own certificates", "silent", "passed over", "odd answer", "late"]
AnswerKind = Literal["moved", "gone", "busy", "turned away"]
TransferKind = Literal["nothing came", "broke off", "too large", "unknown encoding", "many parts", "damaged"]
FileKind = Literal["no file", "no plain file", "unreadable file", "large file"]
BodyKind = Literal["web page", "page with feeds", "empty", "no entries", "time up", "line", "many lines", "more"]
XmlKind = Literal["hostile", "other xml", "no xml", "beyond mending", "mended", "one by one", "part mended", "cut off"]
ListKind = Literal["deep json", "no list", "part json", "no rows", "no title column", "title by cells"]
EntryKind = Literal[
    "repeat", "same id", "no object", "untitled object", "untitled item", "untitled row", "broken item", "refused item"
]
FieldKind = Literal["no figure", "no amount", "no time"]
FetchKind = AddressKind | HostKind | AnswerKind | TransferKind | FileKind
TroubleKind = FetchKind | BodyKind | XmlKind | ListKind | EntryKind | FieldKind
"""The closed list; each has its sentence in `page/troubles.py`."""


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
