"""One season lived through with plans made anew from what is alive, as a farm does it.

It stands beside the quick policy of :mod:`pinset.planning.season.season`, to check that against.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field, replace
from datetime import timedelta

import numpy as np
from numpy.typing import NDArray

from pinset.planning.plan import Plan
from pinset.planning.problem import InRoom, InStore, Problem, Stock
from pinset.planning.recipes import Fruiting, Making, Picking, Recipe
from pinset.planning.resources import Resources
from pinset.planning.season.draws import ByChance, seeded
from pinset.planning.season.farm import SeasonFarm
from pinset.planning.season.odds import Odds
from pinset.planning.season.plan import planned_days
from pinset.planning.season.targets import Key, Targets
from pinset.planning.season.vessels import Vessels

LEAST_GRAMS = 1.0

Solve = Callable[[Problem, Plan | None], Plan]


@dataclass(slots=True)
class Life:
    """What came of a season, and the plans it was lived by."""

    delivered: NDArray[np.float32]  # of each order, grams or units
    plans: list[Plan] = field(default_factory=list)


def live(
    problem: Problem,
    plan: Plan,
    odds: Odds,
    *,
    seed: int,
    until: int,
    solve: Solve,
    every_days: int = 7,
) -> Life:
    """Live through one season that is planned anew every few days.

    Parameters
    ----------
    problem, plan, odds : Problem, Plan, Odds
        The farm on its first day, with the plan of that day.
    seed : int
        Of the season's luck.
    until : int
        First day that is not lived through.
    solve : callable
        From a problem and the plan before to the new plan.
    every_days : int
        Days between plans; 1 plans every morning.
    """
    farm = SeasonFarm(
        problem,
        planned_days(problem, plan),
        odds,
        ByChance(seeded(seed), 1),
        Targets(),
        follows=True,
    )
    life = Life(farm.delivered[:, 0], [plan])
    vessels = Vessels(problem)
    vessels.follow(plan)
    for day in range(until):
        if day and day % every_days == 0:
            now = problem_on(problem, farm, day)
            now = replace(now, resources=vessels.counted(now.resources, day))
            plan = solve(now, plan)
            life.plans.append(plan)
            vessels.follow(plan)
            farm.planned = planned_days(problem, plan)
            for row in farm.still_to_move:
                row[:] = 0.0  # the new plan reckons with what was late
        farm.live(day)
        vessels.live(day, _started(farm, day))
    life.delivered = farm.delivered[:, 0]
    return life


def _started(farm: SeasonFarm, day: int) -> dict[Key, tuple[float, float]]:
    """Return what was planned of each batch of a day, and what came of it."""
    return {
        key: (planned, farm.started.get(key, 0.0))
        for key, planned in farm.planned.starts.items()
        if key[-1] == day
    }


def problem_on(problem: Problem, farm: SeasonFarm, day: int) -> Problem:
    """Return the problem of a later day, from what stands, hangs and lies there then."""
    return replace(
        problem,
        start=problem.start + timedelta(days=day),
        days=problem.days - day,
        recipes=tuple(_recipe(recipe, day) for recipe in problem.recipes),
        orders=tuple(
            replace(order, day=order.day - day) for order in problem.orders if order.day >= day
        ),
        stock=tuple(_stock(problem, farm, day)),
        in_rooms=tuple(_in_rooms(problem, farm, day)),
        store=tuple(_in_store(problem, farm, day)),
        resources=_resources(problem.resources, day),
    )


def _recipe(recipe: Recipe, day: int) -> Recipe:
    return replace(
        recipe,
        days=recipe.days - day,
        makings=tuple(_making(making, day) for making in recipe.makings),
        fruiting=_fruiting(recipe.fruiting, day) if recipe.fruiting is not None else None,
    )


def _making(making: Making, day: int) -> Making:
    kept = [i for i, each in enumerate(making.start_days) if each >= day]
    return replace(
        making,
        start_days=tuple(making.start_days[i] - day for i in kept),
        ready_days=tuple(making.ready_days[i] - day for i in kept) if making.ready_days else (),
        missed=(),
        open_days=_later(making.open_days, day),
        batch_cost_by_day=making.batch_cost_by_day[day:],
        months=making.months[day:] or making.months[-1:],
    )


def _fruiting(fruiting: Fruiting, day: int) -> Fruiting:
    return replace(
        fruiting,
        move_days=_later(fruiting.move_days, day),
        open_days=_later(fruiting.open_days, day),
        season=fruiting.season[day:] or fruiting.season[-1:],
        pick_days=fruiting.pick_days[day:] or fruiting.pick_days[-1:],
    )


def _later(days: tuple[int, ...], day: int) -> tuple[int, ...]:
    return tuple(each - day for each in days if each >= day)


def _stock(problem: Problem, farm: SeasonFarm, day: int) -> list[Stock]:
    """Return the living lots as a person sees them: late ones are expected any day."""
    found = []
    for (r, k), store in farm.stores.items():
        making = problem.recipes[r].makings[k]
        for number, cohort in enumerate(store.cohorts):
            seen = day >= cohort.seen_on
            units = float(cohort.units[0]) if seen else float(cohort.expected[0])
            ready, last = float(cohort.ready[0]), float(cohort.last[0])
            if ready > day:
                late = max(0, day + 1 - cohort.planned_ready)
                ready = cohort.planned_ready + late
                last = last - float(cohort.ready[0]) + ready
            if units > 0 and last >= day:
                found.append(
                    Stock(
                        f"{problem.recipes[r].variety}:{making.step}:{number}",
                        problem.recipes[r].variety,
                        making.step,
                        units,
                        int(ready) - day,
                        int(last) - day,
                        alive=units,
                    )
                )
    return found


def _in_rooms(problem: Problem, farm: SeasonFarm, day: int) -> list[InRoom]:
    """Return what hangs in the rooms with what it is expected to bear still."""
    found = []
    full: dict[str, float] = {room.code: 0.0 for room in problem.resources.rooms}
    places = {room.code: room.places for room in problem.resources.rooms}
    for number, hung in enumerate(farm.harvest.hung):
        recipe = problem.recipes[hung.r]
        fruiting = recipe.fruiting
        if fruiting is None or not hung.days or hung.days[-1] < day or hung.units <= 0:
            continue
        planned = [hung.entered + pick.day for pick in hung.curve]
        seen = [real - plan for real, plan in zip(hung.days, planned, strict=True) if real < day]
        late = seen[-1] if seen else max(0, day - planned[0])
        picks = tuple(
            Picking(max(0, int(planned[i] + late) - day), pick.grams * hung.units, pick.flush)
            for i, pick in enumerate(hung.curve)
            if hung.days[i] >= day
        )
        known = [code for code in fruiting.rooms if code in full] or list(full)
        room = min(known, key=lambda code: full[code] - places[code], default="")
        taken = hung.places or hung.units * fruiting.places
        if room:
            full[room] += taken
        found.append(
            InRoom(
                f"hung-{number}", recipe.variety, room, hung.units, taken,
                max((pick.day for pick in picks), default=0) + 1, picks, fruiting.climate,
            )
        )  # fmt: skip
    return found


def _in_store(problem: Problem, farm: SeasonFarm, day: int) -> list[InStore]:
    return [
        InStore(recipe.variety, float(grams[0]), last - day)
        for r, recipe in enumerate(problem.recipes)
        for last, grams in farm.harvest.lying(r)
        if float(grams[0]) >= LEAST_GRAMS and last >= day
    ]


def _resources(resources: Resources, day: int) -> Resources:
    return replace(
        resources,
        bench_minutes=resources.bench_minutes[day:],
        laboratory_minutes=resources.laboratory_minutes[day:],
        hands_minutes=resources.hands_minutes[day:],
        works=resources.works[day:],
        sterilisers=tuple(
            replace(each, hours=each.hours[day:], count=each.count[day:])
            for each in resources.sterilisers
        ),
        ready=tuple(
            replace(
                each,
                first=tuple(one - day if one is not None else None for one in each.first[day:]),
                last=tuple(one - day if one is not None else None for one in each.last[day:]),
            )
            for each in resources.ready
        ),
        too_wet=tuple(each.later(day) for each in resources.too_wet),
        loadings=tuple(replace(each, minutes=each.minutes[day:]) for each in resources.loadings),
        sterile=(),
        begun=(),
        is_sterile_counted=False,
    )
