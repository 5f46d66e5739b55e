"""What breaks at once if starts or moves of a plan are changed by hand and nothing else is.

No search is made: the plan is taken with what is pinned, its days are added up, and it is carried
out. What a new plan would do about it is not in this.
"""

from __future__ import annotations

from bisect import bisect_right
from collections import defaultdict
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from math import sqrt

from pinset.planning.plan import Move, Plan, Start
from pinset.planning.problem import Pinned, Problem
from pinset.planning.season.chances import JUDGED_DAYS, is_met
from pinset.planning.season.draws import ByChance, Expected, seeded
from pinset.planning.season.farm import SeasonFarm
from pinset.planning.season.odds import Odds
from pinset.planning.season.plan import planned_days
from pinset.planning.season.season import Seasons, carry_out
from pinset.planning.season.targets import Targets

SEASONS = 400
LEAST_FALL = 0.05  # of a chance; less is not worth a word
LEAST_ERRORS = 3.0  # standard errors: a smaller fall may be luck, which is not the same for both
SLACK = {"min": 5.0, "places": 0.5, "L": 0.5}
"""Less over a limit is rounding."""
LEAST_UNITS = 0.5
GRAMS_PER_KG = 1000.0

Begun = Mapping[tuple[int, int, int], tuple[float, float]]
"""Planned units and those that can be begun, by recipe, making and day."""
Used = dict[tuple[str, int], float]
"""What is used of a resource on a day."""


@dataclass(frozen=True, slots=True)
class Over:
    """A resource of which a day would need more than there is."""

    resource: str  # clean bench, laboratory hands, hands, grow room CODE, cooked KIND
    day: int
    used: float
    capacity: float
    unit: str  # min, places, L
    more: float  # over what there is, and over what was too much before already


@dataclass(frozen=True, slots=True)
class Fewer:
    """A start for which parents would be missing."""

    variety: str
    step: str
    day: int
    planned: float
    begun: float


@dataclass(frozen=True, slots=True)
class Fallen:
    """A promise that would be less sure."""

    order: int  # its number in the problem
    before: float
    after: float
    less: float  # grams or units, on average


@dataclass(frozen=True, slots=True)
class Breaks:
    """All that breaks at once."""

    over: tuple[Over, ...] = ()
    fewer: tuple[Fewer, ...] = ()
    fallen: tuple[Fallen, ...] = ()  # the worst first


def with_pins(problem: Problem, plan: Plan, pins: Iterable[Pinned]) -> Plan:
    """Return a plan with as many units started, or moved, as is pinned; cooks stay as they are."""
    starts, moves = list(plan.starts), list(plan.moves)
    for pin in pins:
        day = problem.date_of(pin.day)
        fruiting = next((r.fruiting for r in problem.recipes if r.variety == pin.variety), None)
        if pin.steriliser:
            continue
        if fruiting is not None and fruiting.step == pin.step:
            of_step = [m for m in moves if (m.variety, m.step) == (pin.variety, pin.step)]
            here = [move for move in of_step if move.day == day]
            moves = [move for move in moves if move not in here]
            moves += _so_many(here, of_step, pin, problem)
            continue
        own = [s for s in starts if (s.variety, s.step) == (pin.variety, pin.step)]
        there = [start for start in own if start.day == day]
        starts = [start for start in starts if start not in there]
        starts += _started(there, own, pin, problem)
    return replace(plan, starts=tuple(starts), moves=tuple(moves))


def _so_many(
    here: Sequence[Move], like: Sequence[Move], pin: Pinned, problem: Problem
) -> list[Move]:
    now = sum(move.count for move in here)
    if pin.count <= 0 or not like:
        return []
    if here:
        return [replace(move, count=move.count * pin.count / now) for move in here]
    nearest = min(like, key=lambda move: abs((move.day - problem.start).days - pin.day))
    return [replace(nearest, day=problem.date_of(pin.day), count=pin.count)]


def _started(
    here: Sequence[Start], like: Sequence[Start], pin: Pinned, problem: Problem
) -> list[Start]:
    if pin.count <= 0 or not like:
        return []
    nearest = (
        here[0]
        if here
        else min(like, key=lambda start: abs((start.day - problem.start).days - pin.day))
    )
    share = pin.count / max(nearest.count, LEAST_UNITS)
    parents = tuple(replace(each, units=each.units * share) for each in nearest.parents)
    day = problem.date_of(pin.day)
    return [replace(nearest, day=day, count=pin.count, parents=parents)]


def breaks_between(problem: Problem, before: Plan, after: Plan, odds: Odds, seed: int) -> Breaks:
    """Return what breaks in a plan that was changed by hand.

    Parameters
    ----------
    problem : Problem
        The farm of today.
    before, after : Plan
        Made for it; and changed.
    odds : Odds
        The chances behind its numbers.
    seed : int
        Of the luck.
    """
    until = min(problem.days, JUDGED_DAYS)
    begun, seasons = [], []
    for plan in (before, after):
        targets = carry_out(problem, plan, odds, Expected(), until=until).reached
        luck = ByChance(seeded(seed), SEASONS)
        begun.append(begun_of(problem, plan, odds, targets))
        seasons.append(carry_out(problem, plan, odds, luck, until=until, targets=targets))
    return Breaks(
        over=overflows(problem, before, after),
        fewer=fewer_between(problem, *begun),
        fallen=_fallen(problem, *seasons),
    )


def overflows(problem: Problem, before: Plan, after: Plan) -> tuple[Over, ...]:
    """Return the resources of which near days need more than there is, and more than before."""
    was, now = _used(problem, before), _used(problem, after)
    found: list[Over] = []
    for (resource, day), used in sorted(now.items(), key=lambda item: (item[0][1], item[0][0])):
        capacity, unit = _capacity(problem, after, resource, day)
        if capacity is None or day >= problem.whole_days:
            continue
        more = used - max(capacity, was.get((resource, day), 0.0))
        if more > SLACK[unit]:
            over = Over(resource, day, used, capacity, unit, more)
            known = next((each for each in found if each.resource == resource), None)
            if known is None or unit == "min":
                found.append(over)
    return tuple(found)


def _capacity(problem: Problem, plan: Plan, resource: str, day: int) -> tuple[float | None, str]:
    resources = problem.resources
    rows = {
        "clean bench": resources.bench_minutes,
        "laboratory hands": resources.laboratory_minutes,
        "hands": resources.hands_minutes,
    }
    if resource in rows:
        return (rows[resource][day] if day < len(rows[resource]) else None), "min"
    what, code = resource.rsplit(" ", 1)
    if what == "cooked":
        return _cooked(problem, plan, code, day), "L"
    room = next((each for each in resources.rooms if each.code == code), None)
    return (room.on(day) if room is not None else None), "places"


def _cooked(problem: Problem, plan: Plan, kind: str, day: int) -> float | None:
    """Return the litres of a kind that are cooked for starts up to a day; None: nobody counts."""
    before = [
        making.cook_days_before
        for recipe in problem.recipes
        for making in recipe.makings
        if making.cook == kind
    ]
    if not before or not problem.resources.is_sterile_counted:
        return None
    standing = sum(each.litres for each in problem.resources.sterile if each.cook == kind)
    return standing + sum(
        cook.litres
        for cook in plan.cooks
        if cook.kind == kind and (cook.day - problem.start).days + min(before) <= day
    )


def _used(problem: Problem, plan: Plan) -> Used:
    """Return what the near days of a plan use of what it can be held against."""
    used: Used = defaultdict(float)
    working = [d for d, minutes in enumerate(problem.resources.hands_minutes) if minutes > 0]
    cooked: dict[str, dict[int, float]] = defaultdict(lambda: defaultdict(float))
    makings = {
        (recipe.variety, making.step): making
        for recipe in problem.recipes
        for making in recipe.makings
    }
    for start in plan.starts:
        making = makings.get((start.variety, start.step))
        day = (start.day - problem.start).days
        if making is None or not 0 <= day < problem.whole_days:
            continue
        bench = making.bench_minutes * start.count + making.bench_setup_minutes
        if making.bench_minutes or making.bench_setup_minutes:
            used["clean bench", day] += bench
            used["laboratory hands", day] += bench
        used["hands", day] += bench + making.hands_minutes * start.count
        for each in making.preparations:
            place = bisect_right(working, day - each.days_before)
            if place:
                minutes = each.minutes_per_unit * start.count + each.minutes_fixed
                used["hands", working[place - 1]] += minutes
        if making.cook:
            cooked[making.cook][day] += making.litres * start.count
    for kind, litres in cooked.items():
        total = 0.0
        for day in range(problem.whole_days):
            total += litres.get(day, 0.0)
            used[f"cooked {kind}", day] = total
    _minutes_of_cooks_and_picks(problem, plan, used)
    _use_of_rooms(problem, plan, used)
    return used


def _minutes_of_cooks_and_picks(problem: Problem, plan: Plan, used: Used) -> None:
    fruits = {recipe.variety: recipe.fruiting for recipe in problem.recipes}
    hands = {
        (steriliser.code, option.kind): option.hands_minutes
        for steriliser in problem.resources.sterilisers
        for option in steriliser.cooks
    }
    for cook in plan.cooks:
        minutes = hands.get((cook.steriliser, cook.kind), 0.0)
        used["hands", (cook.day - problem.start).days] += minutes * cook.cooks
    for pick in plan.picks:
        fruiting = fruits.get(pick.variety)
        if fruiting is not None:
            minutes = fruiting.pick_minutes_per_kg * pick.grams / GRAMS_PER_KG
            used["hands", (pick.day - problem.start).days] += minutes


def _use_of_rooms(problem: Problem, plan: Plan, used: Used) -> None:
    fruits = {recipe.variety: recipe.fruiting for recipe in problem.recipes}
    stands: dict[str, dict[int, float]] = defaultdict(lambda: defaultdict(float))
    for lot in problem.in_rooms:
        for day in range(min(lot.leaves_day, problem.whole_days)):
            stands[lot.room][day] += lot.places
    for move in plan.moves:
        fruiting, day = fruits.get(move.variety), (move.day - problem.start).days
        if fruiting is None or fruiting.step != move.step or day < 0:
            continue
        used["hands", day] += fruiting.hands_minutes * move.count
        for later in range(day, min(day + fruiting.room_days_on(day), problem.whole_days)):
            stands[move.room][later] += fruiting.places * move.count
    for room, days in stands.items():
        for day, places in days.items():
            used[f"grow room {room}", day] = places


def fewer_between(problem: Problem, was: Begun, now: Begun) -> tuple[Fewer, ...]:
    """Return the near starts for which parents are missing if all comes as expected."""
    found = []
    for (r, k, day), (planned, begun) in sorted(now.items(), key=lambda item: item[0][2]):
        before, begun_before = was.get((r, k, day), (0.0, 0.0))
        if planned - begun > max(0.0, before - begun_before) + LEAST_UNITS:
            recipe = problem.recipes[r]
            found.append(Fewer(recipe.variety, recipe.makings[k].step, day, planned, begun))
    return tuple(found)


def begun_of(problem: Problem, plan: Plan, odds: Odds, targets: Targets) -> Begun:
    """Return what is planned and what can be begun of each near start, if all comes as expected."""
    luck = ByChance(seeded(0), 1, with_days=False, with_losses=False, with_yields=False)
    days = planned_days(problem, plan)
    farm = SeasonFarm(problem, days, odds, luck, targets, follows=True)
    until = min(problem.days, problem.whole_days)
    for day in range(until):
        farm.live(day)
    return {
        key: (planned, farm.started.get(key, 0.0))
        for key, planned in days.starts.items()
        if key[2] < until
    }


def _fallen(problem: Problem, was: Seasons, now: Seasons) -> tuple[Fallen, ...]:
    before, after = (is_met(problem, each).mean(axis=1).tolist() for each in (was, now))
    less = (was.delivered - now.delivered).mean(axis=1)
    found = [
        Fallen(number, before[number], after[number], float(less[number]))
        for number in range(len(problem.orders))
        if before[number] - after[number] >= max(LEAST_FALL, luck_of(before[number], after[number]))
    ]
    return tuple(sorted(found, key=lambda each: each.after - each.before))


def luck_of(before: float, after: float) -> float:
    """Return the change of a chance that luck alone hardly makes."""
    spread = before * (1.0 - before) + after * (1.0 - after)
    return LEAST_ERRORS * sqrt(spread / SEASONS)
