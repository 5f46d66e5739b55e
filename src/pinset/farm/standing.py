"""What happens when more is taken than stands at a place.

What people say about a lot at a place is summed up: the raw sum. It may fall below zero when two
people without network take the same units, or when a taking arrives before the making. The
accounts show it so that alive is never negative and every unit is accounted for::

    alive       = max(raw, 0)
    unexplained = min(raw, 0)

So what is taken beyond what stands goes to ``unexplained``, what is added later repays that first,
and the farm is the same in whatever order the entries arrive. Grams in store follow the same rule.
"""

from __future__ import annotations

from pinset.farm.entries import Account, Measure

STANDING = {
    Measure.UNIT: Account.ALIVE,
    Measure.GRAM: Account.STORE,
    Measure.MILLILITRE: Account.STORE,
}
"""The account in which a measure stands at a place."""


def split(before: int, change: int) -> tuple[int, int]:
    """Return how much of a change of the raw sum stands, and how much is unexplained.

    Examples
    --------
    >>> split(4, -6)  # four stood, six were taken
    (-4, -2)
    >>> split(-2, 5)  # two were owed
    (3, 2)
    """
    after = before + change
    return max(after, 0) - max(before, 0), min(after, 0) - min(before, 0)
