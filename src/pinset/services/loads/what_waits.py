"""Units that were prepared and wait for a cook: how many, since when, and which cooks they suit."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from datetime import date, datetime, timedelta
from itertools import combinations
from types import MappingProxyType

from pinset.chain.register import FarmBook, Step
from pinset.planning.building.first_cooks import DRY
from pinset.planning.building.wet_standing import HEATED, last_load, soonest_load

UNCOOKED_KEEPS_DAYS = 1
"""Days that filled vessels wait for a cook that slipped, where no hour is known; common practice,
no source."""

LONGEST_KEEPS_DAYS = 3
"""What was begun after its time keeps up to so many days beyond its cook's day."""

SMALL_PART = 0.1
"""Up to this share of what was prepared, or one unit, is lost from one task to the next; common
practice, no source."""

Mix = tuple[str, float]
"""Mix with its vessel, moisture: what preparation is told apart by.

Blocks and spawn bags of one mix in one vessel are alike until they are inoculated, and are mixed
and filled at once.
"""


@dataclass(slots=True)
class Waiting:
    """Prepared units by what they are, the task that was done, and the cook's day they are for."""

    units: dict[tuple[Mix, str, date], int] = field(default_factory=lambda: defaultdict(int))
    began: dict[tuple[Mix, str, date], datetime] = field(default_factory=dict)
    """When the last of it was begun, by the farm's clock; nothing where no hour is known."""
    steps: Mapping[Mix, Step] = field(default_factory=dict)
    """What each mix is prepared for."""

    def add(self, mix: Mix, task: str, for_day: date, units: int) -> None:
        """Count units that a task was done for."""
        self.units[mix, task, for_day] += units

    def begins_of(self, mix: Mix, for_day: date) -> dict[str, datetime]:
        """Return when each task was begun that was done to what waits for a day's cook."""
        found = {
            task: at for (own, task, day), at in self.began.items() if (own, day) == (mix, for_day)
        }
        whole = max((self.units.get((mix, task, for_day), 0) for task in found), default=0)
        return {
            task: at
            for task, at in found.items()
            if task not in HEATED or not is_left_out(self.units.get((mix, task, for_day), 0), whole)
        }

    def first_load(self, mix: Mix, for_day: date) -> date:
        """Return the first day whose cook may take what was begun for a day: it has stood then."""
        step = self.steps.get(mix)
        first = step and soonest_load(step, self.begins_of(mix, for_day))
        return min(first, for_day) if first else for_day

    def last_load(self, mix: Mix, for_day: date) -> date:
        """Return the last day whose cook may take it before it is too old; its own always may."""
        step = self.steps.get(mix)
        last = step and last_load(step, self.begins_of(mix, for_day))
        return max(for_day, last) if last else for_day + timedelta(days=UNCOOKED_KEEPS_DAYS)

    def wet_since(self, mix: Mix, for_day: date) -> datetime | None:
        """Return when the first of what was begun for a day's cook was wetted; None: not known."""
        began = self.begins_of(mix, for_day)
        return min((at for task, at in began.items() if task not in DRY), default=None)

    def is_in_time(self, mix: Mix, for_day: date, day: date) -> bool:
        """Say whether the cook of a day may take what was begun for that or another day."""
        return self.first_load(mix, for_day) <= day <= self.last_load(mix, for_day)

    def take(
        self,
        mix: Mix,
        task: str,
        day: date,
        wanted: int,
        *,
        is_past: bool = False,
        kept: Mapping[date, int] = MappingProxyType({}),
    ) -> int:
        """Take up to so many units for a cook on a day, those for that day first; say how many.

        What is too old by that day is left, unless what ``is_past`` is taken out: it was cooked or
        thrown out, whatever its age. Of what was begun for a later day's cook so much is left as
        that cook still wants (``kept``).
        """
        fitting = [
            each
            for each in self.units
            if each[:2] == (mix, task)
            and self.units[each] > 0
            and self.first_load(mix, each[2]) <= day
            and (is_past or day <= self.last_load(mix, each[2]))
        ]
        taken = 0
        for each in sorted(fitting, key=lambda key: (key[2] != day, key[2])):
            free = self.units[each] - (kept.get(each[2], 0) if each[2] > day else 0)
            units = min(wanted - taken, max(0, free))
            self.units[each] -= units
            taken += units
        return taken

    def cooked(self, mix: Mix, day: date, units: int) -> None:
        """Take what went into a cook out of what is waiting, whatever was done to it."""
        self.gone(mix, {task for own, task, _ in self.units if own == mix}, day, units)

    def gone(self, mix: Mix, tasks: Iterable[str], day: date, units: int) -> None:
        """Take what only those tasks were done to out of what is waiting."""
        for task in tasks:
            self.take(mix, task, day, units, is_past=True)

    def moved_on(self, book: FarmBook) -> Waiting:
        """Return the same with what a later step took counted for the day it was taken for.

        What was soaked for yesterday's cook and filled for today's is soaked for today's.
        """
        found = self.copied()
        for mix in {own for own, _, _ in self.units}:
            days = sorted({day for own, _, day in self.units if own == mix})
            for later, earlier in in_turn(book, mix):
                for day in days:
                    behind = found.ahead(mix, later, earlier, day)
                    for before in (each for each in days if each < day):
                        moved = min(behind, found.ahead(mix, earlier, later, before))
                        if moved > 0:
                            found.add(mix, earlier, before, -moved)
                            found.add(mix, earlier, day, moved)
                            found.keep_begin(mix, earlier, before, day)
                            behind -= moved
        return found

    def reaching_back(self, book: FarmBook) -> Waiting:
        """Return the same with every step before one that was done as done, too.

        What was filled was mixed, whether or not that was written down.
        """
        found = self.moved_on(book)
        for mix in {own for own, _, _ in self.units}:
            for day in {day for own, _, day in self.units if own == mix}:
                for later, earlier in in_turn(book, mix):
                    behind = found.ahead(mix, later, earlier, day)
                    if behind > 0:
                        found.add(mix, earlier, day, behind)
        return found

    def ahead(self, mix: Mix, task: str, other: str, day: date) -> int:
        """Return how many more of a day one task was done for than another; may be negative."""
        return self.units.get((mix, task, day), 0) - self.units.get((mix, other, day), 0)

    def kept_on(self, day: date) -> Waiting:
        """Return the same without what is too old on a day."""
        kept = {key: n for key, n in self.units.items() if self.last_load(key[0], key[2]) >= day}
        return Waiting(defaultdict(int, kept), dict(self.began), self.steps)

    def keep_begin(self, mix: Mix, task: str, before: date, day: date) -> None:
        """Remember of what was begun for one day and is for another now since when it stands."""
        began = self.began.get((mix, task, before))
        if began is not None:
            self.began[mix, task, day] = min(began, self.began.get((mix, task, day), began))

    def copied(self) -> Waiting:
        """Return the same, to be drawn on independently."""
        return Waiting(defaultdict(int, self.units), dict(self.began), self.steps)


def in_turn(book: FarmBook, mix: Mix) -> list[tuple[str, str]]:
    """Return each two tasks that follow on another before a cook, the later one first."""
    leads: dict[str, float] = {}
    for step in steps_of(book, mix):
        for each in step.preparations:
            leads[each.task] = max(leads.get(each.task, 0.0), each.lead_hours)
    cook = leads.pop("cook", 0.0)
    tasks = sorted((task for task in leads if leads[task] > cook), key=leads.__getitem__)
    return [pair for pair in combinations(tasks, 2) if leads[pair[0]] < leads[pair[1]]]


def mix_of(step: Step) -> Mix:
    """Return what the vessels of a step are prepared as."""
    return (f"{step.mix} {step.vessel}", step.fill_moisture)


def step_of(book: FarmBook, mix: Mix) -> Step | None:
    """Return a step whose vessels are prepared as that and cooked; None if there is none."""
    return next(iter(steps_of(book, mix)), None)


def steps_of(book: FarmBook, mix: Mix) -> tuple[Step, ...]:
    """Return the steps whose vessels are prepared as that and cooked."""
    steps = (step for route in book.routes for step in route.steps)
    return tuple(step for step in steps if step.cook and mix_of(step) == mix)


def is_left_out(done: float, whole: float) -> bool:
    """Say whether a task was done to so few of so many that the rest stands without it."""
    return whole > done and not is_lost(whole - done, whole)


def is_lost(fewer: float, whole: float) -> bool:
    """Say whether so many fewer than a task before were lost on the way, and not left out."""
    return 0 < fewer <= max(1.0, SMALL_PART * whole)
