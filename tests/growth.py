"""How a cost grows. Both sides of a ratio are measured by turns in the same run: a busy machine changes neither."""

from __future__ import annotations

from collections.abc import Callable
from time import process_time

IN_STEP = 2.5
"""What grows by the square comes out at 4; what a larger input costs in memory, at little over 1."""
TIMES = 4
RUNS = 3
LEAST = 2e-4
"""Seconds; less is not told from nothing."""


def growth(work: Callable[[int], object], size: int) -> float:
    """The cost of four times the size over four times the cost of the size: 1 for a cost in step with the size."""
    return dearer(lambda: work(TIMES * size), lambda: work(size)) / TIMES


def dearer(one: Callable[[], object], other: Callable[[], object]) -> float:
    """How many times the processor time of the other one takes: the least of a few runs each."""
    runs = [(_spent(one), _spent(other)) for _ in range(RUNS)]
    return max(min(first for first, _ in runs), LEAST) / max(min(second for _, second in runs), LEAST)


def _spent(work: Callable[[], object]) -> float:
    start = process_time()
    work()
    return process_time() - start
