"""Where a request may go: http and https only, and no redirect from outside into the house.

A redirect is somebody else's wish. It may not lead to this machine, the home network or the address under which
clouds keep their keys, unless the person's own address was already of that kind; link-local never.
"""

from __future__ import annotations

import asyncio
import ipaddress
import socket
from collections.abc import Awaitable, Callable, Sequence
from urllib.parse import SplitResult, urljoin, urlsplit

from watchlist.core.clean import clean
from watchlist.core.lots.address import LONGEST, bare
from watchlist.feeds.failures import FetchError

Address = ipaddress.IPv4Address | ipaddress.IPv6Address
Resolve = Callable[[str, int], Awaitable[Sequence[str]]]
"""Host name and port to numeric addresses."""
NAT64 = ipaddress.ip_network("64:ff9b::/96")
KEEPERS_OF_KEYS = frozenset(
    map(ipaddress.ip_address, ("169.254.169.254", "100.100.100.200", "192.0.0.192", "fd00:ec2::254"))
)
"""Where clouds hand out the keys of a machine to whoever asks from within."""


def parts_of(address: str) -> SplitResult:
    """An http or https address in its parts. Raises FetchError."""
    try:
        parts = urlsplit(address)
        host, _ = parts.hostname, parts.port
    except ValueError:
        raise FetchError("no address", shown(address)) from None
    if parts.scheme not in ("http", "https") or not host:
        raise FetchError("other scheme", shown(address))
    return parts


def shown(address: str) -> str:
    """An address of the web for people, whatever it is like."""
    return clean(bare(address), LONGEST)


def next_hop(address: str, location: str) -> str:
    """The address that a redirect names. Raises FetchError when it is none that may be followed."""
    try:
        following = urljoin(address, location)
        parts_of(following)
    except (ValueError, FetchError):
        raise FetchError("odd redirect", shown(address), to=shown(location) or "nowhere") from None
    return following


def same_place(one: str, other: str) -> bool:
    """Whether two addresses have the same scheme, host and port: only then private headers go along."""
    first, second = parts_of(one), parts_of(other)
    return (first.scheme, first.hostname, port_of(first)) == (second.scheme, second.hostname, port_of(second))


def port_of(parts: SplitResult) -> int:
    """The port, by scheme when none is written."""
    return parts.port or (443 if parts.scheme == "https" else 80)


async def look_up(host: str, port: int) -> Sequence[str]:
    """Numeric addresses of a host, as the system knows them. Raises FetchError."""
    try:
        rows = await asyncio.get_running_loop().getaddrinfo(host, port, type=socket.SOCK_STREAM)
    except (OSError, UnicodeError):
        raise FetchError("unknown host", clean(host, 100)) from None
    return list(dict.fromkeys(str(row[4][0]) for row in rows))


def is_inside(numeric: str) -> bool:
    """Whether an address is this machine, a private network, or any other that is not the open internet."""
    address = _plain(numeric)
    # ipaddress counts most multicast addresses among the global ones.
    return not address.is_global or address.is_multicast or address in KEEPERS_OF_KEYS


def check_hop(address: str, numeric: Sequence[str], *, first: bool, from_inside: bool) -> None:
    """Refuse a redirect into the house. `from_inside`: the person's own address lies there too. Raises FetchError."""
    if first:
        return
    for number in numeric:
        plain = _plain(number)
        if plain in KEEPERS_OF_KEYS or plain.is_link_local or (is_inside(number) and not from_inside):
            raise FetchError("inner redirect", to=shown(address), number=number)


def _plain(numeric: str) -> Address:
    """The address meant: IPv4 inside IPv6 is taken out, a zone is dropped."""
    address = ipaddress.ip_address(numeric.partition("%")[0])
    if isinstance(address, ipaddress.IPv6Address):
        if address in NAT64:
            return ipaddress.IPv4Address(int(address) & 0xFFFFFFFF)
        return address.ipv4_mapped or address.sixtofour or address
    return address
