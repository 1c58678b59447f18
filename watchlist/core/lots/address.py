"""Addresses for people: what is shown holds no name, no password and no query, which may hold a key."""

from __future__ import annotations

import re

from watchlist.core.clean import clean

LONGEST = 120
"""Characters of an address that are shown."""
_BROKEN = re.compile(r"[^/@]*:(?!\d*(?:/|$))")
"""A host behind which no port stands: a password that holds a slash, not written as %2F, was cut in two."""
_BARE = re.compile(r"[^/@\s]+:[^/@\s]*@")
"""Name and password before a host whose http:// was left out."""
_IN_TEXT = re.compile(r"[a-zA-Z][\w+.-]*://[^\s`'\"<>|]*[^\s`'\"<>|.,;:)]")


def shown(address: str) -> str:
    """An address for people; the path of a file stays as it is."""
    return clean(bare(address), LONGEST) if "://" in address or _BARE.match(address) else address


def bare(address: str) -> str:
    """The address of a page without name, password, query and fragment."""
    scheme, mark, rest = address.partition("://") if "://" in address else ("", "", address)
    if "@" not in re.split(r"[/?#]", rest, maxsplit=1)[0] and _BROKEN.match(rest):
        rest = rest.rpartition("@")[2]
    place = re.split(r"[?#]", rest, maxsplit=1)[0]
    host, slash, path = place.partition("/")
    return f"{scheme}{mark}{host.rpartition('@')[2]}{slash}{path}"


def without_secrets(text: str) -> str:
    """A text in which every address is one that may be shown."""
    return _IN_TEXT.sub(lambda found: bare(found[0]), text) if "://" in text else text


def safe_link(address: str) -> str:
    """An address that may be handed on, else empty: of the web, and nothing in it that may be a key."""
    return address if address.startswith(("http://", "https://")) and address == without_secrets(address) else ""
