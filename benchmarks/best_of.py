"""The shortest of several runs of a piece of work."""

from __future__ import annotations

from collections.abc import Callable
from time import perf_counter


def best(work: Callable[[], object], times: int = 5) -> float:
    """Return the shortest of several runs, in s."""
    taken = []
    for _ in range(times):
        begun = perf_counter()
        work()
        taken.append(perf_counter() - begun)
    return min(taken)
