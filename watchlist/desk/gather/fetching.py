"""Bodies of all sources, fetched in a thread of their own, handed over as they come."""

from __future__ import annotations

import asyncio
import queue
import threading
from collections.abc import Iterator, Sequence
from contextlib import suppress
from datetime import datetime

from watchlist.feeds.answers import Ask, Fetched
from watchlist.feeds.failures import FetchError


class Fetching:
    """A gather's network side. Iterate over it; `stop` ends it, and what came before stays good."""

    def __init__(self, asks: Sequence[Ask], now: datetime) -> None:
        self._asks, self._now = asks, now
        self._came: queue.Queue[tuple[Ask, Fetched | FetchError] | BaseException | None] = queue.Queue()
        self._stop = threading.Event()
        self._loop: asyncio.AbstractEventLoop | None = None
        self._task: asyncio.Task[None] | None = None
        self._thread = threading.Thread(target=self._run, name="gather", daemon=True)

    def __iter__(self) -> Iterator[tuple[Ask, Fetched | FetchError]]:
        """Each source with its body or its failure, in the order in which they finish."""
        self._thread.start()
        while (came := self._came.get()) is not None:
            if isinstance(came, BaseException):
                raise came
            yield came
        self._thread.join()

    def stop(self) -> None:
        """Drop what has not come yet."""
        self._stop.set()
        if self._loop is not None and self._task is not None and self._thread.is_alive():
            with suppress(RuntimeError):  # it ended by itself in this very moment
                self._loop.call_soon_threadsafe(self._task.cancel)

    def _run(self) -> None:
        try:
            asyncio.run(self._gather())
        except asyncio.CancelledError:
            pass
        except BaseException as error:  # handed to the reading side, which raises it
            self._came.put(error)
        finally:
            self._came.put(None)

    async def _gather(self) -> None:
        from watchlist.feeds.gather import gather_bodies  # the network: only those who gather load it

        self._loop, self._task = asyncio.get_running_loop(), asyncio.current_task()
        if self._stop.is_set():
            return
        await gather_bodies(self._asks, lambda ask, came: self._came.put((ask, came)), now=self._now)
