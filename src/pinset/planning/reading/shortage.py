"""Why something promised is short: biology or a resource, and which one on which days."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, field, replace

from numpy import float64
from numpy.typing import NDArray

from pinset.planning.model.columns import GRAMS_PER_KG, Capacity, Model
from pinset.planning.model.model import build_model
from pinset.planning.model.programme import INFINITY, Change, Outcome, run
from pinset.planning.reading.biology import Wanting, needs_parents
from pinset.planning.reading.closed_days import Unpicked, unpicked_for
from pinset.planning.reading.pegging import Key
from pinset.planning.reading.room_climates import RoomClimates
from pinset.planning.search.any_day import OtherDay, charge_other_days, on_any_day, used_other_days

LEAST_GRAMS = 10.0  # less is not worth a line
LEAST_UNITS = 0.01
TOLERANCE = 1e-6  # above the shortage found, so that rounding cannot make a pass impossible
LEAST_LACK = 1e-4  # of any unit
DEARER = 20.0  # a shortage costs so many times its price while resources are for hire
PASSES = 4
NOT_FOR_SALE = 1e6


@dataclass(frozen=True, slots=True)
class Lack:
    """More of a resource that would be needed on a day."""

    resource: str
    day: int
    amount: float
    unit: str
    worth: float
    capacity: Capacity


@dataclass(slots=True)
class Shortfall:
    """What is short, how much of it nobody could mend, and how much only the farm's own days."""

    unavoidable: dict[Key, float] = field(default_factory=dict)
    shared: dict[Key, float] = field(default_factory=dict)  # of it, what serves another promise
    by_days: dict[Key, float] = field(default_factory=dict)  # more would be there on other days
    pinned: dict[Key, float] = field(default_factory=dict)  # it would be there but for the pins
    untold: dict[Key, float] = field(default_factory=dict)  # nobody had time to find out why
    closed: dict[Key, Unpicked] = field(default_factory=dict)  # what of it ripens on closed days
    any_day: Model | None = None
    other_days: list[OtherDay] = field(default_factory=list)
    lacks: list[Lack] = field(default_factory=list)
    wanting: list[Wanting] = field(default_factory=list)
    climates: RoomClimates | None = None


def is_worth_saying(key: Key, amount: float) -> bool:
    """Whether a shortage is more than a rounding error of the solver."""
    return amount > (LEAST_GRAMS if key[1] == "picked" else LEAST_UNITS)


def shortfall(
    model: Model,
    short: Mapping[Key, float],
    *,
    climates: RoomClimates,
    time_limit_s: float,
    threads: int,
) -> Shortfall:
    """Return which part of a shortage is unavoidable, and what the rest lacks.

    First pass: all capacities and batches unlimited on every day of the calendar, nothing shorter
    than before: what is still short is biology. What a pass without the grower's pins does not lack
    is for the pins, and never called unavoidable. If a new batch could be there in time, a pass
    with parents for sale tells which are too few. Then the same on the farm's own days: what is
    short beyond biology is for want of days. Last pass: capacities for hire at a price, a shortage
    much dearer: what is hired is what was lacking; rooms keep the climates they have in the plan.
    All are relaxed to fractions, so they take a fraction of a second. Where the time is over before
    a pass has an answer, no reason is claimed.
    """
    found = Shortfall(climates=climates)
    grave = {key: amount for key, amount in short.items() if is_worth_saying(key, amount)}
    if not grave:
        return found

    def passed(of: Model, change: Change) -> Outcome:
        return run(of.programme, time_limit_s=time_limit_s / PASSES, threads=threads, change=change)

    by_own_days = passed(model, _unlimited(model, short))
    if by_own_days.values is None:
        found.untold = grave
        return found
    left = {
        key: min(amount, max(0.0, float(by_own_days.values[model.short[key]]) * _scale(key)))
        for key, amount in grave.items()
    }
    by_work = {key: grave[key] - left[key] for key in grave}
    if model.problem.pins and any(is_worth_saying(key, amount) for key, amount in left.items()):
        _tell_pins(model, short, left, found, passed)
    if any(is_worth_saying(key, amount) for key, amount in left.items()):
        _tell_days_from_nature(model, short, left, found, passed)
    if any(is_worth_saying(key, amount) for key, amount in by_work.items()):
        hire = {each.row: each.price for each in model.capacities}
        held = climates.holding(model)
        change = replace(_unlimited(model, short), row_upper=held.row_upper, slack=hire)
        upper = {**_no_shorter(model, short), **held.upper}
        hired = passed(model, replace(change, upper=upper))
        if hired.values is not None:
            found.lacks = _lacks(model, hired.values)
        else:
            found.untold = {key: found.untold.get(key, 0.0) + by_work[key] for key in grave}
    return found


def _tell_pins(
    model: Model,
    short: Mapping[Key, float],
    left: dict[Key, float],
    found: Shortfall,
    passed: Callable[[Model, Change], Outcome],
) -> None:
    """Take out of what is left what would be there without the pins."""
    free = build_model(replace(model.problem, pins=()))
    opened = passed(free, _unlimited(free, short))
    if opened.values is None:
        return  # what is left is told from nature with the pins, as far as the time goes
    for key, amount in left.items():
        still = min(amount, max(0.0, float(opened.values[free.short[key]]) * _scale(key)))
        if is_worth_saying(key, amount - still):
            found.pinned[key], left[key] = amount - still, still


def _tell_days_from_nature(
    model: Model,
    short: Mapping[Key, float],
    left: Mapping[Key, float],
    found: Shortfall,
    passed: Callable[[Model, Change], Outcome],
) -> None:
    """Split what is short without any limit: by nature on every day, the rest for want of days."""
    own = model.problem
    found.any_day = build_model(on_any_day(own))
    change = _unlimited(found.any_day, short)
    change = replace(change, cost={**change.cost, **charge_other_days(found.any_day, own)})
    opened = passed(found.any_day, change)
    if opened.values is None:
        found.any_day = None
        found.untold = dict(left)
        return
    for key, amount in left.items():
        still = float(opened.values[found.any_day.short[key]]) * _scale(key)
        found.unavoidable[key] = min(amount, max(0.0, still))
        found.by_days[key] = amount - found.unavoidable[key]
    scarce = [key for key, amount in found.by_days.items() if is_worth_saying(key, amount)]
    found.other_days = used_other_days(found.any_day, own, opened.values, scarce)
    for key in scarce:
        closed = unpicked_for(found.any_day, own, opened.values, key, found.by_days[key])
        if closed is not None:
            found.closed[key] = closed
    fixed = [key for key, amount in found.unavoidable.items() if is_worth_saying(key, amount)]
    for form in sorted({key[:2] for key in fixed}):
        rivals = _rivals(found.any_day, form)
        alone = (
            passed(found.any_day, _without(found.any_day, change, rivals)).values
            if rivals
            else None
        )
        if alone is not None:
            for key in (each for each in fixed if each[:2] == form):
                still = float(alone[found.any_day.short[key]]) * _scale(key)
                found.shared[key] = max(0.0, found.unavoidable[key] - still)
    if any(needs_parents(found.any_day, key) for key in fixed):
        more = {row: _price_of_parent(model, at) for at, row in found.any_day.supply.items()}
        found.wanting = _wanting(found.any_day, passed(found.any_day, replace(change, slack=more)))


def _rivals(model: Model, form: tuple[int, str]) -> list[int]:
    """Return the shortages of the same variety sold in another form: units beside a weight."""
    return [
        column for key, column in model.short.items() if key[0] == form[0] and key[1] != form[1]
    ]


def _without(model: Model, change: Change, shorts: Iterable[int]) -> Change:
    """Return the change in which these promises may be left out whole for nothing.

    No more than what is promised: a shortage above it would put units there out of nothing.
    """
    free = list(shorts)
    return replace(
        change,
        upper={**change.upper, **{column: model.programme.upper[column] for column in free}},
        cost={**change.cost, **dict.fromkeys(free, 0.0)},
    )


def _no_shorter(model: Model, short: Mapping[Key, float]) -> dict[int, float]:
    return {model.short[key]: short[key] / _scale(key) + TOLERANCE for key in model.short}


def _unlimited(model: Model, short: Mapping[Key, float]) -> Change:
    """Return the change in which no capacity and no batch is limited, and nothing is shorter."""
    no_shorter = _no_shorter(model, short)
    cost = {column: DEARER * model.programme.cost[column] for column in no_shorter}
    return Change(
        row_upper={each.row: INFINITY for each in model.capacities},
        upper=no_shorter | dict.fromkeys((*model.x.values(), *model.s.values()), INFINITY),
        cost=cost | dict.fromkeys(model.wishes, 0.0),  # nothing for the end or for cultures
        is_relaxed=True,
    )


def _price_of_parent(model: Model, at: tuple[int, int, int]) -> float:
    """Return the price of one more unit of a step; what is sold or fruits itself is not for sale.

    Otherwise the answer to too few blocks would be more blocks.
    """
    r, k, _ = at
    recipe = model.problem.recipes[r]
    step = recipe.makings[k].step
    is_last = recipe.fruiting is not None and recipe.fruiting.parent == step
    return NOT_FOR_SALE if is_last else max(0.01, model.needs[r][k].unit_cost)


def _wanting(model: Model, outcome: Outcome) -> list[Wanting]:
    if outcome.values is None:
        return []
    first = len(model.programme.cost)
    return [
        Wanting(r, k, day, float(outcome.values[first + place]))
        for place, (r, k, day) in enumerate(model.supply)
        if float(outcome.values[first + place]) > LEAST_LACK
    ]


def _scale(key: Key) -> float:
    return GRAMS_PER_KG if key[1] == "picked" else 1.0


def _lacks(model: Model, values: NDArray[float64]) -> list[Lack]:
    first = len(model.programme.cost)
    lacks = []
    for place, capacity in enumerate(model.capacities):
        amount = float(values[first + place])
        if amount > LEAST_LACK:
            lacks.append(
                Lack(
                    capacity.resource,
                    capacity.day,
                    amount,
                    capacity.unit,
                    amount * capacity.price,
                    capacity,
                )
            )
    return sorted(lacks, key=lambda lack: -lack.worth)
