"""Several sources fetched at once, each host one at a time, each told as soon as it is done."""

from __future__ import annotations

import asyncio
from collections import defaultdict
from collections.abc import Callable, Sequence
from datetime import datetime
from pathlib import Path
from urllib.parse import urlsplit

from watchlist.core.lots.source import is_web
from watchlist.feeds.answers import Ask, Fetched, Limits
from watchlist.feeds.failures import FetchError
from watchlist.feeds.files import read_file
from watchlist.feeds.redirects import Resolve, look_up

AT_ONCE = 20
"""Sixty sources that are silent make three rounds of `Limits.silence`: a minute at most is lost on them."""


Done = Callable[[Ask, Fetched | FetchError], None]
"""Called in the event loop as each source is done, in the order in which they finish."""


async def gather_bodies(
    asks: Sequence[Ask],
    done: Done,
    *,
    now: datetime,
    limits: Limits | None = None,
    at_once: int = AT_ONCE,
    resolve: Resolve = look_up,
) -> None:
    """Fetch all asks; one that fails is told like the others and stops none of them.

    Cancel the task to stop: what `done` has been told of stays, the rest is dropped. A source waits for its turn at
    its host outside its own deadline. A host that was silent once is not asked again: it would be silent as long again
    for each of its sources.
    """
    room = asyncio.Semaphore(at_once)
    turns: defaultdict[str, asyncio.Lock] = defaultdict(asyncio.Lock)
    silent: set[str] = set()

    async def one(ask: Ask) -> None:
        async with turns[_host(ask)], room:
            place = _place(ask)
            came = (
                FetchError("passed over", _host(ask)) if place in silent else await _answer(ask, now, limits, resolve)
            )
            if _is_silent(came, ask):
                silent.add(place)
            done(ask, came)

    async with asyncio.TaskGroup() as group:
        for ask in asks:
            group.create_task(one(ask))


async def _answer(ask: Ask, now: datetime, limits: Limits | None, resolve: Resolve) -> Fetched | FetchError:
    try:
        if not is_web(ask.address):
            return Fetched(200, read_file(Path(ask.address), limits=limits))
        from watchlist.feeds.fetch import fetch  # httpx takes 120 ms: a shelf of files never pays for it

        return await fetch(ask, now=now, limits=limits, resolve=resolve)
    except FetchError as error:
        return error


def _is_silent(came: Fetched | FetchError, ask: Ask) -> bool:
    """The very host that was asked does not answer, and not one that it redirects to."""
    return isinstance(came, FetchError) and came.trouble.kind == "silent" and came.trouble.who == _host(ask)


def _place(ask: Ask) -> str:
    """Who is silent: a host at one port, as another port may be another server."""
    return urlsplit(ask.address).netloc.rpartition("@")[2].lower() if _host(ask) != ask.address else ask.address


def _host(ask: Ask) -> str:
    """Whose turn it is: a host's name, or the file itself."""
    try:
        return (urlsplit(ask.address).hostname if is_web(ask.address) else None) or ask.address
    except ValueError:
        return ask.address
