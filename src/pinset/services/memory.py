"""What a process remembers between requests, each thing under the stamp it was made from.

Nothing here is ever wrong for longer than a stamp: a key holds the stamp, and a stamp changes with
every write. :func:`forget_all` is for processes that change farms, such as tests.
"""

from __future__ import annotations

from collections.abc import Callable
from functools import lru_cache
from typing import Any, ParamSpec, TypeVar

P = ParamSpec("P")
R = TypeVar("R")
MOST = 64
_remembered: list[Any] = []


def remembered(function: Callable[P, R]) -> Callable[P, R]:
    """Remember the results of a function whose arguments hold a stamp."""
    cached = lru_cache(maxsize=MOST)(function)
    _remembered.append(cached)
    return cached  # type: ignore[return-value]  # lru_cache widens the arguments


def forget_all() -> None:
    """Forget everything remembered in this process."""
    for cached in _remembered:
        cached.cache_clear()
