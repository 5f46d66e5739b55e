"""What ripens while nobody is there to pick it, and how long it stands until it is spoilt."""

from __future__ import annotations

from collections.abc import Iterable

STANDS_DAYS = 2
"""A ripe flush stands unpicked for so many days, as over a weekend; then it has spread its caps,
sheds spores and is no longer sold. Common practice, no source. [d]"""


def is_spoilt(hangs_days: int) -> bool:
    """Say whether what is ripe and hangs for so many days until it is picked is no longer sold."""
    return hangs_days > STANDS_DAYS


def visits(ripe: Iterable[int], until: int) -> tuple[int, ...]:
    """Return the fewest days on which somebody must come to pick all of it in time.

    Parameters
    ----------
    ripe : iterable of int
        Days on which something ripens.
    until : int
        The next day on which somebody is there anyway; visits are before it.

    Examples
    --------
    >>> visits([0, 1, 2, 3, 4], 8)
    (2, 5)
    >>> visits([6, 7], 9)
    (8,)
    """
    found: list[int] = []
    for day in sorted(ripe):
        if not found or day > found[-1]:
            found.append(min(day + STANDS_DAYS, until - 1))
    return tuple(found)
