"""One body from an address, within a deadline and a size, with conditional requests (RFC 9110).

httpx inflates without limit, waits without end (its timeout is for each read) and follows any redirect with all
headers; so the deadline, the cap and the redirects are ours. It takes 120 ms to import: only a gather that meets a web
address imports this module.
"""

from __future__ import annotations

import asyncio
import os
import ssl
from base64 import b64encode
from collections.abc import Mapping, Sequence
from contextlib import aclosing
from dataclasses import dataclass
from datetime import datetime
from functools import cache
from urllib.parse import unquote

import httpx

from watchlist import __version__
from watchlist.core.clean import clean
from watchlist.core.lots.trouble import Trouble
from watchlist.feeds import redirects
from watchlist.feeds.answers import Ask, Fetched, Limits, retry_at
from watchlist.feeds.bodies import decode, kind_of
from watchlist.feeds.failures import FetchError
from watchlist.feeds.inflate import Inflater
from watchlist.feeds.pages import page_trouble

AGENT = f"watchlist/{__version__}"
TRIES = 3
"""Addresses of one host that are tried."""
REDIRECTS = frozenset((301, 302, 303, 307, 308))
PERMANENT = frozenset((301, 308))
BUSY = frozenset((429, 503))
PAGE_LOOK = 4_000
KEPT_HEADERS = ("content-type", "etag", "last-modified")


@dataclass(frozen=True, slots=True)
class _Way:
    """What stays the same along the redirects of one fetch."""

    ask: Ask
    conditions: Mapping[str, str]
    limits: Limits
    now: datetime

    @property
    def address(self) -> str:
        """The address that the person gave."""
        return self.ask.address


async def fetch(
    ask: Ask,
    *,
    now: datetime,
    limits: Limits | None = None,
    resolve: redirects.Resolve = redirects.look_up,
) -> Fetched:
    """Fetch one address that the person gave.

    Raises FetchError with its trouble; cancelling leaves nothing open.
    """
    limits = limits or Limits()
    given = {"If-None-Match": ask.etag, "If-Modified-Since": ask.last_modified}
    conditions = {name: value for name, value in given.items() if value and value.isascii() and value.isprintable()}
    redirects.parts_of(ask.address)
    try:
        # httpx's own timeout is for each read: a server that drips would never end.
        async with asyncio.timeout(limits.seconds), _door() as door:
            return await _follow(door, _Way(ask, conditions, limits, now), resolve)
    except TimeoutError:
        raise FetchError("late", _host(ask.address), seconds=limits.seconds) from None


def _door() -> httpx.AsyncHTTPTransport:
    """httpx's transport without its client: the client reads every Location, keeps cookies and looks into .netrc."""
    return httpx.AsyncHTTPTransport(verify=_certificates(), trust_env=False)


CERTIFICATES = ("SSL_CERT_FILE", "SSL_CERT_DIR")
"""Where a person may say that the certificates lie."""


@cache
def _certificates() -> ssl.SSLContext:
    """Read once: it takes longer than a request. Raises FetchError where the file that is to hold them holds none."""
    try:
        return httpx.create_ssl_context()
    except OSError as error:  # ssl.SSLError is one
        where = next((f"{name}={shown}" for name in CERTIFICATES if (shown := os.environ.get(name))), "The system")
        raise FetchError("own certificates", where, said=clean(error.strerror or str(error), 120)) from error


async def _follow(door: httpx.AsyncHTTPTransport, way: _Way, resolve: redirects.Resolve) -> Fetched:
    """Our own redirect loop: every hop's addresses are looked at before it is asked."""
    address, permanent, from_inside = way.address, True, False
    for hop in range(way.limits.redirects + 1):
        parts = redirects.parts_of(address)
        try:
            async with asyncio.timeout(way.limits.silence):
                numeric = await resolve(parts.hostname or "", redirects.port_of(parts))
                redirects.check_hop(address, numeric, first=hop == 0, from_inside=from_inside)
                from_inside = from_inside or (hop == 0 and any(map(redirects.is_inside, numeric)))
                response = await _send(door, way, address, numeric)
        except TimeoutError:
            raise FetchError("silent", _host(address)) from None
        async with aclosing(response):
            if response.status_code not in REDIRECTS or "location" not in response.headers:
                return await _taken(response, way, address, address if hop and permanent else "")
            permanent = permanent and response.status_code in PERMANENT
            address = redirects.next_hop(address, response.headers["location"])
    raise FetchError("many redirects", _host(way.address), times=way.limits.redirects)


async def _send(door: httpx.AsyncHTTPTransport, way: _Way, address: str, numeric: Sequence[str]) -> httpx.Response:
    """Ask one hop, at the very addresses that were checked: a second look-up could give others."""
    try:
        url = httpx.URL(address).copy_with(fragment=None, userinfo=b"")
    except (httpx.InvalidURL, ValueError):
        raise FetchError("no address", redirects.shown(address)) from None
    headers = _headers(way, address) | {"Host": url.netloc.decode("ascii")}
    named = {"sni_hostname": url.raw_host.decode("ascii")}  # the certificate is that of the name, not of the number
    failed: Exception | None = None
    for number in numeric[:TRIES]:
        place = url.copy_with(host=number.partition("%")[0])
        request = httpx.Request("GET", place, headers=headers, extensions=named)
        try:
            return await door.handle_async_request(request)
        except httpx.TransportError as error:
            failed = error  # its next address may answer: often the IPv6 one does not
    raise _no_answer(_host(address), str(failed or "")) from failed


def _headers(way: _Way, address: str) -> dict[str, str]:
    """What one hop is told. The person's own headers, name and password go to the host they were given for."""
    headers = {"User-Agent": AGENT, "Accept": "*/*", "Accept-Encoding": "gzip, deflate", **way.conditions}
    if redirects.same_place(way.address, address):
        given = redirects.parts_of(way.address)
        if given.username is not None:
            secret = f"{unquote(given.username)}:{unquote(given.password or '')}"
            headers["Authorization"] = f"Basic {b64encode(secret.encode()).decode()}"
        headers |= way.ask.headers
    return headers | {"Connection": "close"}  # one answer from each host: an open socket would outlive the gather


def _no_answer(host: str, said: str) -> FetchError:
    """Why a connection failed, by what httpx says of it."""
    low = said.lower()
    if "certificate" in low or "ssl" in low:
        return FetchError("no certificate", host, said=clean(said, 120))
    if not said or "connect" in low:
        return FetchError("silent", host)
    return FetchError("odd answer", host, said=clean(said, 120))


async def _taken(response: httpx.Response, way: _Way, address: str, moved_to: str) -> Fetched:
    """What the answer at the end of the hops means."""
    status, host = response.status_code, _host(address)
    told = Trouble("moved", facts={"to": redirects.shown(moved_to)}) if moved_to else None
    if status == 304:
        return Fetched(status, moved_to=moved_to, told=told)
    if status == 410:
        return Fetched(status, disabled=True, told=Trouble("gone", host))
    if status in BUSY:
        until = retry_at(response.headers.get("retry-after", ""), way.now, way.address)
        return Fetched(status, retry_after=until, told=Trouble("busy", host, {"status": status, "until": until}))
    if status != 200:
        raise FetchError("turned away", host, status=status)
    body, whole = await _body(response, way.limits.body, host)
    kind, etag, changed = (clean(response.headers.get(name, ""), 500) for name in KEPT_HEADERS)
    if not whole:  # its ETag must not be remembered: the rest would never be asked for
        told = Trouble("broke off", host, {"size": len(body)})
        return Fetched(200, body, kind, moved_to=moved_to, partial=True, told=told)
    _refuse_page(body, host, address)
    return Fetched(200, body, kind, etag, changed, moved_to, told=told)


async def _body(response: httpx.Response, cap: int, host: str) -> tuple[bytes, bool]:
    """The inflated body, and whether all of it came."""
    inflater = Inflater(response.headers.get("content-encoding", ""), host, cap)
    whole = True
    try:
        async for chunk in response.aiter_raw():  # not aiter_bytes: it inflates a chunk at once, whatever comes of it
            inflater.take(chunk)
    except httpx.TransportError:
        whole = False
    body = inflater.done()
    whole = whole and not inflater.broken
    if not (body or whole):
        raise FetchError("nothing came", host)
    return body, whole


def _refuse_page(body: bytes, host: str, address: str) -> None:
    """A login page must not be taken for a feed, nor its ETag be remembered."""
    kind = kind_of(decode(body[:PAGE_LOOK]))
    if kind == "empty":
        raise FetchError("empty", host)
    if kind == "page":
        trouble, facts = page_trouble(decode(body), address)
        raise FetchError(trouble, host, **facts)


def _host(address: str) -> str:
    return clean(redirects.parts_of(address).hostname or "", 100)
