"""How many vessels of a mix a load can hold: what is begun, and new ones if there is time."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date, timedelta

from pinset.chain.register import FarmBook, Step
from pinset.chain.vessel_keys import mix_words
from pinset.planning.building.first_cooks import first_cooks, first_lasting
from pinset.planning.building.wet_standing import too_wet_days
from pinset.services.loads.begun import first_day
from pinset.services.loads.what_waits import Mix, Waiting, mix_of, step_of

LOOKED_AHEAD_DAYS = 15
"""Loads are laid for fewer days than these."""


class InReach:
    """What loads of the next days can hold, less what was given to loads before."""

    def __init__(
        self, book: FarmBook, today: date, hours: float = 0.0, waiting: Waiting | None = None
    ) -> None:
        """Reckon it for a day.

        Parameters
        ----------
        book, today : FarmBook, date
            The farm and its day.
        hours : float
            Hour of today from which work can begin. [h]
        waiting : Waiting, optional
            What is prepared and not cooked.
        """
        self.waiting = (waiting or Waiting()).copied()
        self._soonest = {
            key: first_day(book, step, self.waiting, key, today, hours)
            for key in self.waiting.units
            if (step := step_of(book, key[0])) is not None
        }
        self._first = {
            (each.cook, each.mix): today + timedelta(days=each.day)
            for each in first_cooks(book, today, hours)
        }
        self._too_wet = {
            (each.cook, each.mix, today + timedelta(days=ahead))
            for each in too_wet_days(book, today, LOOKED_AHEAD_DAYS)
            for ahead in each.days
        }
        self._steps = {
            mix_of(step): step for route in book.routes for step in route.steps if step.cook
        }

    def is_too_soon(self, mix: Mix, day: date) -> bool:
        """Say whether nothing new of a mix can be ready for a load of a day, and not too old."""
        step = self._steps.get(mix)
        if step is None:
            return False
        first = self._first.get((step.cook, mix_words(step)))
        is_too_wet = (step.cook, mix_words(step), day) in self._too_wet
        return is_too_wet or (first is not None and day < first)

    def is_begun_with(self, mix: Mix, task: str) -> bool:
        """Say whether a task is the first of a mix that must last."""
        step = self._steps.get(mix)
        return step is not None and task == first_lasting(step)

    def take(self, step: Step, day: date, wanted: int) -> int:
        """Return how many of so many vessels a load of a day can hold, and count them as given."""
        mix = mix_of(step)
        tasks = {task for own, task, _ in self.waiting.units if own == mix}
        begun = max((self._begun(mix, task, day) for task in tasks), default=0)
        units = min(wanted, begun) if self.is_too_soon(mix, day) else wanted
        for task in tasks:
            self.waiting.take(mix, task, day, units)
        return units

    def _begun(self, mix: Mix, task: str, day: date) -> int:
        return sum(self._fresh(mix, task, day))

    def _fresh(self, mix: Mix, task: str, day: date) -> Iterable[int]:
        return (
            max(0, units)
            for key, units in self.waiting.units.items()
            if key[:2] == (mix, task) and self.waiting.is_in_time(mix, key[2], day)
            if self._soonest.get(key, key[2]) <= day
        )
