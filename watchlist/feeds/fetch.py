"""One body from an address, within a deadline and a size, with conditional requests (RFC 9110).

httpx inflates without limit, waits without end (its timeout is for each read) and follows any redirect with all
headers; so the deadline, the cap and the redirects are ours.
"""

from __future__ import annotations

import asyncio
from base64 import b64encode
from collections.abc import AsyncIterator, Mapping, Sequence
from contextlib import aclosing, asynccontextmanager
from dataclasses import dataclass
from datetime import datetime
from functools import cache
from typing import TYPE_CHECKING
from urllib.parse import unquote

from watchlist import __version__
from watchlist.core.clean import clean
from watchlist.feeds import hops
from watchlist.feeds.answers import Fetched, Limits, cure, http_date, meaning, retry_at
from watchlist.feeds.bodies import decode, kind_of
from watchlist.feeds.failures import BadAddress, FetchError, NoAnswer, TooSlow, TurnedAway, Unreadable
from watchlist.feeds.files import read_file
from watchlist.feeds.inflate import Inflater

if TYPE_CHECKING:
    import ssl

    import httpx

AGENT = f"watchlist/{__version__}"
TRIES = 3
"""Addresses of one host that are tried."""
REDIRECTS = frozenset((301, 302, 303, 307, 308))
PERMANENT = frozenset((301, 308))
BUSY = frozenset((429, 503))
PAGE_LOOK = 4_000


@dataclass(frozen=True, slots=True)
class _Ask:
    """What stays the same along the redirects of one fetch."""

    address: str
    conditions: Mapping[str, str]
    private: Mapping[str, str]
    limits: Limits
    now: datetime


async def fetch(
    address: str,
    *,
    now: datetime,
    etag: str = "",
    last_modified: str = "",
    headers: Mapping[str, str] | None = None,
    limits: Limits | None = None,
    transport: httpx.AsyncBaseTransport | None = None,
    resolve: hops.Resolve = hops.look_up,
) -> Fetched:
    """Fetch one address that the person gave. `headers` go to its own host only.

    Raises FetchError with one sentence; cancelling leaves nothing open.
    """
    limits = limits or Limits()
    given = {"If-None-Match": etag, "If-Modified-Since": last_modified}
    conditions = {name: value for name, value in given.items() if value and value.isascii() and value.isprintable()}
    ask = _Ask(address, conditions, headers or {}, limits, now)
    hops.parts_of(address)
    try:
        async with asyncio.timeout(limits.seconds), _door(transport) as door:
            return await _follow(door, ask, resolve)
    except TimeoutError:
        raise TooSlow(
            f"{_host(address)} was not done within {limits.seconds:g} s; what is kept stands; try again later"
        ) from None


@asynccontextmanager
async def _door(transport: httpx.AsyncBaseTransport | None) -> AsyncIterator[httpx.AsyncBaseTransport]:
    """httpx's transport without its client: the client reads every Location, keeps cookies and looks into .netrc."""
    import httpx  # 120 ms: only the verbs that fetch pay for it

    if transport is not None:
        yield transport
        return
    async with httpx.AsyncHTTPTransport(verify=_certificates(), trust_env=False) as door:
        yield door


@cache
def _certificates() -> ssl.SSLContext:
    import httpx

    return httpx.create_ssl_context()


async def _follow(door: httpx.AsyncBaseTransport, ask: _Ask, resolve: hops.Resolve) -> Fetched:
    """Our own redirect loop: every hop's addresses are looked at before it is asked."""
    address, permanent, from_inside = ask.address, True, False
    for hop in range(ask.limits.redirects + 1):
        parts = hops.parts_of(address)
        numeric = await resolve(parts.hostname or "", hops.port_of(parts))
        hops.check_hop(address, numeric, first=hop == 0, from_inside=from_inside)
        from_inside = from_inside or (hop == 0 and any(map(hops.is_inside, numeric)))
        response = await _send(door, ask, address, numeric)
        async with aclosing(response):
            if response.status_code not in REDIRECTS or "location" not in response.headers:
                return await _taken(response, ask, address, address if hop and permanent else "")
            permanent = permanent and response.status_code in PERMANENT
            address = hops.next_hop(address, response.headers["location"])
    raise BadAddress(
        f"{_host(ask.address)} redirects more than {ask.limits.redirects} times; what is kept stands; check the address"
    )


async def _send(door: httpx.AsyncBaseTransport, ask: _Ask, address: str, numeric: Sequence[str]) -> httpx.Response:
    """Ask one hop, at the very addresses that were checked: a second look-up could give others."""
    import httpx

    try:
        url = httpx.URL(address).copy_with(fragment=None, userinfo=b"")
    except (httpx.InvalidURL, ValueError):
        raise BadAddress(f"{hops.shown(address)} is no web address; {hops.STANDS}") from None
    headers = _headers(ask, address) | {"Host": url.netloc.decode("ascii")}
    named = {"sni_hostname": url.raw_host.decode("ascii")}  # the certificate is that of the name, not of the number
    failed: Exception | None = None
    for number in numeric[:TRIES]:
        place = url.copy_with(host=number.partition("%")[0])
        request = httpx.Request("GET", place, headers=headers, extensions=named)
        try:
            return await door.handle_async_request(request)
        except httpx.TransportError as error:
            failed = error
    raise NoAnswer(f"{_host(address)} {_why(failed)}; what is kept stands; try again later") from failed


def _headers(ask: _Ask, address: str) -> dict[str, str]:
    """What one hop is told. The person's own headers, name and password go to the host they were given for."""
    headers = {"User-Agent": AGENT, "Accept": "*/*", "Accept-Encoding": "gzip, deflate", **ask.conditions}
    if hops.same_place(ask.address, address):
        given = hops.parts_of(ask.address)
        if given.username is not None:
            secret = f"{unquote(given.username)}:{unquote(given.password or '')}"
            headers["Authorization"] = f"Basic {b64encode(secret.encode()).decode()}"
        headers |= ask.private
    return headers | {"Connection": "close"}


def _why(error: Exception | None) -> str:
    said = str(error).lower()
    if "certificate" in said or "ssl" in said:
        return f"has no certificate that can be trusted ({clean(str(error), 120)})"
    if not said or "connect" in said:
        return "does not answer"
    return f"does not answer as it should ({clean(str(error), 120)})"


async def _taken(response: httpx.Response, ask: _Ask, address: str, moved_to: str) -> Fetched:
    """What the answer at the end of the hops means."""
    status, host = response.status_code, _host(address)
    told = f"has moved for good to {hops.shown(moved_to)}; change the source's address" if moved_to else ""
    if status == 304:
        return Fetched(status, moved_to=moved_to, note=told)
    if status == 410:
        gone = f"{host} says this feed is gone for good; it is fetched no more, its lots stay; drop the source"
        return Fetched(status, disabled=True, note=gone)
    if status in BUSY:
        until = retry_at(response.headers.get("retry-after", ""), ask.now, ask.address)
        said = f"{host} asks to wait ({status}); it is left alone until {until:%d %b %H:%M} UTC, what is kept stands"
        return Fetched(status, retry_after=until, note=said)
    if status != 200:
        raise TurnedAway(f"{host} answers {status}{meaning(status)}; what is kept stands; {cure(status)}")
    body, broken = await _body(response, ask.limits.body, host)
    if broken:
        return Fetched(200, body, _header(response, "content-type"), moved_to=moved_to, partial=True, note=broken)
    _refuse_page(body, host)
    kind, etag, changed = (_header(response, name) for name in ("content-type", "etag", "last-modified"))
    return Fetched(200, body, kind, etag, changed, moved_to, note=told)


async def _body(response: httpx.Response, cap: int, host: str) -> tuple[bytes, str]:
    """The inflated body, and a sentence when it broke off."""
    import httpx

    inflater = Inflater(response.headers.get("content-encoding", ""), host, cap)
    broken = False
    try:
        async for chunk in response.aiter_raw():
            inflater.take(chunk)
    except httpx.TransportError:
        broken = True
    body = inflater.done()
    if not (broken or inflater.broken):
        return body, ""
    if not body:
        raise NoAnswer(f"{host} broke off before anything came; what is kept stands; try again later")
    told = "what came is read, missing lots have not ended; try again later"
    return body, f"{host} broke off after {len(body):,} bytes; {told}"


def _refuse_page(body: bytes, host: str) -> None:
    """A login page must not be taken for a feed, nor its ETag be remembered."""
    kind = kind_of(decode(body[:PAGE_LOOK]))
    if kind == "page":
        raise Unreadable(
            f"{host} sent a web page, not a feed (a login page?); nothing was taken, what is kept stands; "
            "open the address in a browser and check it"
        )
    if kind == "empty":
        raise Unreadable(f"{host} sent nothing; what is kept stands; check the address, or try again later")


def _header(response: httpx.Response, name: str) -> str:
    return clean(response.headers.get(name, ""), 500)


def _host(address: str) -> str:
    return clean(hops.parts_of(address).hostname or "", 100)


__all__ = ["AGENT", "FetchError", "Fetched", "Limits", "fetch", "http_date", "read_file", "retry_at"]
