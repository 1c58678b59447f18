"""A transferred body inflated a megabyte at a time, so that a small bomb never becomes a large one."""

from __future__ import annotations

import zlib

from watchlist.feeds.failures import FetchError

STEP = 1_000_000
"""Bytes inflated at once."""
MEMBERS = 16
"""gzip allows several streams one after the other; more than a few is no feed."""
KNOWN = {"": 0, "identity": 0, "gzip": 47, "x-gzip": 47, "deflate": 47}
"""Content-Encoding to zlib's window bits; 47 reads gzip and zlib wrappers, and raw deflate is tried after them."""


class Inflater:
    """Takes chunks as they come. Raises FetchError for an encoding not asked for, for damage, and past the cap."""

    def __init__(self, encoding: str, where: str, cap: int) -> None:
        self.where, self.cap = where, cap
        self.body = bytearray()
        self.raw = self.members = 0
        self.broken = False
        name = encoding.strip().lower()
        if name not in KNOWN:  # `gzip, gzip` among them: a bomb within a bomb
            raise FetchError("unknown encoding", where, name=name[:40])
        self.bits = KNOWN[name]
        self.stream = zlib.decompressobj(self.bits) if self.bits else None

    def take(self, chunk: bytes) -> None:
        """One chunk as it came."""
        self.raw += len(chunk)
        if self.raw > self.cap:
            raise self._too_large()
        if self.stream is None:
            self.body += chunk
            return
        while chunk:
            chunk = self._step(chunk)

    def _step(self, chunk: bytes) -> bytes:
        """Inflate at most a step; what is left of the chunk."""
        assert self.stream is not None
        if self.stream.eof:
            self._next_member()
        try:
            self.body += self.stream.decompress(chunk, STEP)  # without a bound a kilobyte may become a gigabyte at once
        except zlib.error:
            self._raw_deflate()
            return chunk
        if len(self.body) > self.cap:
            raise self._too_large()
        # zlib keeps what a step had no room for in one place, and what follows the end of the stream in another.
        return self.stream.unused_data if self.stream.eof else self.stream.unconsumed_tail

    def _next_member(self) -> None:
        self.members += 1
        if self.members > MEMBERS:
            raise FetchError("many parts", self.where)
        self.stream = zlib.decompressobj(self.bits)

    def _raw_deflate(self) -> None:
        """Some servers send deflate without its wrapper; anything else is damage."""
        if self.body or self.bits < 0:
            raise FetchError("damaged", self.where)
        self.bits = -15
        self.stream = zlib.decompressobj(-15)

    def done(self) -> bytes:
        """The whole body; `broken` is set when its end is missing."""
        self.broken = bool(self.stream and self.raw and not self.stream.eof)
        return bytes(self.body)

    def _too_large(self) -> FetchError:
        return FetchError("too large", self.where, megabytes=self.cap // 1_000_000)
