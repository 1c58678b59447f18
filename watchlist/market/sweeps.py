"""Python's sweeps for reference cycles, paused while something large is made that has none."""

from __future__ import annotations

import gc
from collections.abc import Iterator
from contextlib import contextmanager


@contextmanager
def paused() -> Iterator[None]:
    """No sweeps meanwhile: a fit makes a million small lists, and each sweep would look through them all again."""
    were_on = gc.isenabled()
    gc.disable()
    try:
        yield
    finally:
        if were_on:
            gc.enable()
