"""One variety's chain in a steady week: which units are begun on which weekday, and how long kept.

Every week is like every other. Units wanted on a weekday come of the start that is ready for them
last before it; so they wait as short as the farm's weekdays allow. Numbers are averages over many
weeks: a fraction of a unit means a unit every few weeks.
"""

from __future__ import annotations

from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass
from math import ceil

from pinset.planning.model.columns import MEAN_ROUNDING
from pinset.planning.model.need import LEAST_USUAL
from pinset.planning.recipes import Fruiting, Making, Recipe
from pinset.planning.unpicked import STANDS_DAYS, is_spoilt

WEEK = 7
STEADY_FROM = 28  # day of a plan that begins on a Monday; by then every rhythm keeps its weekdays
NO_FLOW = 1e-12
NOTHING_LOST = 1.0 - 1e-6
Days = tuple[float, ...]
"""An amount for each weekday, Monday first."""


@dataclass(frozen=True, slots=True)
class Cohort:
    """Units begun on one weekday of every week and used on one other."""

    weekday: int  # Monday 0
    lead_days: int  # from the start until usable [d]
    wait_days: int  # from usable until used [d]
    started: float  # [units a week]
    usable: float  # [units a week]


@dataclass(frozen=True, slots=True)
class StepFlow:
    """One making in a steady week."""

    making: Making
    cohorts: tuple[Cohort, ...]
    batches: float  # [a week]; 0 in pure proportion, which knows none

    @property
    def started(self) -> float:
        """Units begun, units a week."""
        return sum(cohort.started for cohort in self.cohorts)

    @property
    def usable(self) -> float:
        """Units that become usable, and are used; units a week."""
        return sum(cohort.usable for cohort in self.cohorts)

    def by_start(self) -> Days:
        """Return the units begun on each weekday."""
        days = [0.0] * WEEK
        for cohort in self.cohorts:
            days[cohort.weekday] += cohort.started
        return tuple(days)


@dataclass(frozen=True, slots=True)
class Flow:
    """One variety in a steady week."""

    recipe: Recipe
    steps: tuple[StepFlow, ...]  # in the order of the makings
    moves: Days  # units into a grow room
    picks: Days  # saleable grams, on days when somebody works
    remarks: tuple[str, ...] = ()


def on_weekday(weekday: int, amount: float, from_day: int, until_day: int) -> Days:
    """Return how much of an amount that comes every week stands on each weekday.

    Parameters
    ----------
    weekday : int
        On which it comes, Monday 0.
    amount : float
        A week. [units]
    from_day, until_day : int
        Between which ages it stands: the first included, the last not. [d]

    Examples
    --------
    >>> on_weekday(0, 2.0, 0, 10)
    (4.0, 4.0, 4.0, 2.0, 2.0, 2.0, 2.0)
    """
    days = [0.0] * WEEK
    for day in range(WEEK):
        first = from_day + (day - weekday - from_day) % WEEK
        if first < until_day:
            days[day] = amount * ceil((until_day - first) / WEEK)
    return tuple(days)


def added(rows: Collection[Sequence[float]]) -> Days:
    """Return amounts by weekday summed up."""
    return tuple(sum(row[day] for row in rows) for day in range(WEEK))


def flow_of(
    recipe: Recipe,
    grams: float,
    units: Mapping[str, float],
    working: Collection[int],
    *,
    is_whole: bool,
) -> Flow:
    """Return the steady week of one variety.

    Parameters
    ----------
    recipe : Recipe
        Reckoned for a plan that begins on a Monday.
    grams : float
        Saleable mushrooms. [g a week]
    units : mapping
        Units handed over, by the step of their making. [units a week]
    working : collection of int
        Weekdays on which somebody works, Monday 0.
    is_whole : bool
        Add what whole parents and least batches cost on average; else pure proportion.

    Returns
    -------
    Flow
        By weekday.
    """
    remarks: list[str] = []
    used: dict[str, list[float]] = {making.step: [0.0] * WEEK for making in recipe.makings}
    for step, amount in units.items():
        _share(used[step], amount, working)
    moves = [0.0] * WEEK
    fruiting = recipe.fruiting
    if fruiting is not None and fruiting.grams > 0.0 and grams > 0.0:
        weekdays = _weekdays(fruiting.move_days) or working
        picked = _share_picked(fruiting, weekdays, working)
        if picked < NOTHING_LOST:
            remarks.append(
                f"{recipe.name}: {1.0 - picked:.0%} of what it bears ripens more than "
                f"{STANDS_DAYS} days before somebody works, and is spoilt; put the weekdays on "
                "which it is moved elsewhere."
            )
        _share(moves, grams / fruiting.grams / (picked or 1.0), weekdays)
        _add(used[fruiting.parent], moves)
    found: dict[str, StepFlow] = {}
    for making in reversed(recipe.makings):
        made = _step(recipe, making, used[making.step], working, remarks, is_whole=is_whole)
        found[making.step] = made
        if making.arcs:
            arc = making.arcs[0]
            rounding = MEAN_ROUNDING if is_whole and not arc.part_use else 0.0
            parents = made.started / arc.units_per_parent + rounding * made.batches
            if made.started > NO_FLOW:
                _add(used[arc.parent], made.by_start(), parents / made.started)
    return Flow(
        recipe,
        tuple(found[making.step] for making in recipe.makings),
        tuple(moves),
        _picks(fruiting, moves, working),
        tuple(dict.fromkeys(remarks)),
    )


def _step(
    recipe: Recipe,
    making: Making,
    used: list[float],
    working: Collection[int],
    remarks: list[str],
    *,
    is_whole: bool,
) -> StepFlow:
    starts = _starts(making, working)
    least = making.minimum_batch * making.usable * WEEK / max(1, making.window_days)
    total = sum(used)
    factor = 1.0
    if is_whole and making.culture_stock > 0.0 and NO_FLOW < total < least:
        factor = least / total  # a culture that is not renewed before its time is lost
    cohorts = []
    for weekday, amount in enumerate(used):
        if amount <= NO_FLOW:
            continue
        wait, lead, start = min(
            ((weekday - begun - lead) % WEEK, lead, begun) for begun, lead in starts
        )
        usable = factor * amount
        cohorts.append(Cohort(start, lead, wait, usable / making.usable, usable))
        if wait >= making.window_days:
            remarks.append(
                f"{recipe.name}: {making.step} keeps {making.window_days - 1} days once ready and "
                f"would wait {wait} for its next use; put its weekdays closer to it."
            )
    started = sum(cohort.started for cohort in cohorts)
    smallest = max(float(making.minimum_batch), LEAST_USUAL if making.culture_stock else 1.0)
    batches = min(float(len({cohort.weekday for cohort in cohorts})), started / smallest)
    if not is_whole:
        batches = 0.0
    kept = max(1, making.window_days) / WEEK * started
    is_kept_anyway = making.culture_stock > 0.0
    if is_whole and not is_kept_anyway and NO_FLOW < kept < making.minimum_batch:
        remarks.append(
            f"{recipe.name}: the least batch of {making.minimum_batch} {making.step} is more than "
            f"is used while it keeps ({kept:.1f}); the rest would be thrown out."
        )
    return StepFlow(making, tuple(cohorts), batches)


def _starts(making: Making, working: Collection[int]) -> list[tuple[int, int]]:
    """Return the weekdays on which a making starts, with the lead of each."""
    days = [day for day in making.start_days if STEADY_FROM <= day < STEADY_FROM + WEEK]
    if not days:
        return [(day, making.lead_days) for day in sorted(working)]
    return [(day % WEEK, making.ready(day) - day) for day in days]


def _weekdays(days: Sequence[int]) -> list[int]:
    return [day % WEEK for day in days if STEADY_FROM <= day < STEADY_FROM + WEEK]


def _share(row: list[float], amount: float, weekdays: Collection[int]) -> None:
    for weekday in weekdays:
        row[weekday] += amount / len(weekdays)


def _add(row: list[float], other: Sequence[float], factor: float = 1.0) -> None:
    for day, amount in enumerate(other):
        row[day] += factor * amount


def next_working(day: int, working: Collection[int], step: int = 1) -> int:
    """Return the weekday itself, or the next (or last, with step -1) on which somebody works."""
    return next((day + step * n) % WEEK for n in range(WEEK) if (day + step * n) % WEEK in working)


def _share_picked(fruiting: Fruiting, weekdays: Collection[int], working: Collection[int]) -> float:
    """Return the share of the yield that is picked before it is spoilt, moved on these weekdays."""
    row = [float(day in weekdays) for day in range(WEEK)]
    return sum(_picks(fruiting, row, working)) / (fruiting.grams * sum(row))


def _picks(fruiting: Fruiting | None, moves: Sequence[float], working: Collection[int]) -> Days:
    days = [0.0] * WEEK
    for weekday, moved in enumerate(moves):
        for picking in fruiting.curve if fruiting is not None and moved > NO_FLOW else ():
            ripe = (weekday + picking.day) % WEEK
            picked = next_working(ripe, working)
            if not is_spoilt((picked - ripe) % WEEK):
                days[picked] += moved * picking.grams
    return tuple(days)
