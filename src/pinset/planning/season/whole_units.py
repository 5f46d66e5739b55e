"""A plan in fractions begun in whole units: what is left of one batch goes to the next."""

from __future__ import annotations

from dataclasses import dataclass, field
from math import floor

HALF = 0.5  # a first batch is rounded to the nearest whole number
TINY = 1e-6


@dataclass(slots=True)
class WholeUnits:
    """What is still owed of the batches of each step.

    No more is begun in the long run than the plan says. Rounding every batch up would give away
    units that no plan reckoned with, the more so as plates are begun in fractions of one.
    """

    left: dict[tuple[int, int], float] = field(default_factory=dict)  # by recipe and making

    def begun(self, r: int, k: int, planned: float, least: int = 1) -> int:
        """Return the whole units that are begun of a planned number.

        What is due is begun with the least batch at the soonest, and the next ones wait until that
        is made good: weeks planned in fractions know no least batch.
        """
        due = planned + self.left.get((r, k), HALF)
        whole = floor(due + TINY)
        whole = max(whole, least) if whole >= 1 else 0
        self.left[r, k] = due - whole
        return whole
