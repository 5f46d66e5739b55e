"""Which change to a room helps its air most, and for what it costs."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from math import inf, log2

from pinset.errors import InputError
from pinset.science.air.particles import CleanRoom, Split, steady
from pinset.science.air.ranges import Range


@dataclass(frozen=True, slots=True)
class Change:
    """A room as it would be after a change."""

    name: str
    room: CleanRoom
    cost: float | None = None  # in the farm's money; None if nobody said


@dataclass(frozen=True, slots=True)
class Effect:
    """What a change does to the steady air."""

    change: Change
    split: Split  # after it
    times_cleaner: Range  # before over after, what is uncertain being the same in both

    @property
    def halvings_per_cost(self) -> float | None:
        """How often it halves the particles per unit of money; None without a cost."""
        if self.change.cost is None:
            return None
        halvings = log2(self.times_cleaner.middle)
        if self.change.cost == 0.0:
            return inf if halvings > 0.0 else 0.0
        return halvings / self.change.cost


def effects(room: CleanRoom, changes: Sequence[Change]) -> tuple[Effect, ...]:
    """Return what each change alone does, the most helpful first.

    Parameters
    ----------
    room : CleanRoom
        As it is.
    changes : sequence of Change
        Each made by itself.

    Raises
    ------
    InputError
        If a cost is below 0, or the room holds no particles to get rid of.

    Notes
    -----
    Sorted by the middles. By how much a change helps is compared at the same end of the ranges (a
    room whose people shed much, before and after), so the ranges do not blur it.
    """
    if any(change.cost is not None and not change.cost >= 0.0 for change in changes):
        raise InputError("cost of a change", [c.cost for c in changes], "0 or more")
    before = steady(room).total
    if before.low <= 0.0:
        raise InputError("particles", before.low, "a room with some to get rid of")
    found = [_effect(before, change) for change in changes]
    return tuple(sorted(found, key=lambda effect: -effect.times_cleaner.middle))


def by_cost(found: Sequence[Effect]) -> tuple[Effect, ...]:
    """Return the effects whose cost is known, the most for its money first."""
    known = [(e.halvings_per_cost, e) for e in found]
    costed = [(gain, e) for gain, e in known if gain is not None]
    return tuple(e for _, e in sorted(costed, key=lambda pair: -pair[0]))


def _effect(before: Range, change: Change) -> Effect:
    split = steady(change.room)
    ratios = [
        old / new if new > 0.0 else inf
        for old, new in zip(before.ends, split.total.ends, strict=True)
    ]
    return Effect(change, split, Range(min(ratios), ratios[1], max(ratios)))
