"""Why something promised is short: biology or a resource, and which one on which days."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

from numpy import float64
from numpy.typing import NDArray

from pinset.chain.stages import units_in_words
from pinset.planning.columns import GRAMS_PER_KG, Model
from pinset.planning.explain import day_in_words, orders_of, weight_in_words
from pinset.planning.pegging import Key
from pinset.planning.plan import Short
from pinset.planning.problem import Recipe
from pinset.planning.programme import Change, run

LEAST_GRAMS = 10.0  # less is not worth a line
LEAST_UNITS = 0.01
TOLERANCE = 1e-6  # above the shortage found, so that rounding cannot make a pass impossible
LEAST_LACK = 1e-4  # of any unit
DEARER = 20.0  # a shortage costs so many times its price while resources are for hire
NAMED_DAYS = 3
NAMED_RESOURCES = 2


@dataclass(frozen=True, slots=True)
class Lack:
    """More of a resource that would be needed on a day."""

    resource: str
    day: int
    amount: float
    unit: str
    worth: float
    varieties: frozenset[str]


@dataclass(slots=True)
class Shortfall:
    """What is short and how much of it no resource could mend."""

    unavoidable: dict[Key, float] = field(default_factory=dict)
    lacks: list[Lack] = field(default_factory=list)


def is_worth_saying(key: Key, amount: float) -> bool:
    """Whether a shortage is more than a rounding error of the solver."""
    return amount > (LEAST_GRAMS if key[1] == "picked" else LEAST_UNITS)


def shortfall(
    model: Model,
    short: Mapping[Key, float],
    *,
    time_limit_s: float,
    threads: int,
) -> Shortfall:
    """Return which part of a shortage is unavoidable, and what the rest lacks.

    First pass: all capacities unlimited, nothing shorter than before: what is still short is
    biology. Second pass: capacities for hire at a price, a shortage much dearer: what is hired is
    what was lacking. Both are relaxed to fractions, so they take a fraction of a second.
    """
    found = Shortfall()
    grave = {key: amount for key, amount in short.items() if is_worth_saying(key, amount)}
    if not grave:
        return found
    columns = {model.short[key]: short[key] / _scale(key) + TOLERANCE for key in model.short}
    free = {each.row: float("inf") for each in model.capacities}
    dear = {column: DEARER * model.programme.cost[column] for column in columns}
    opened = run(
        model.programme,
        time_limit_s=time_limit_s / 2,
        threads=threads,
        change=Change(row_upper=free, upper=columns, cost=dear, is_relaxed=True),
    )
    if opened.values is None:
        return found
    for key, amount in grave.items():
        left = float(opened.values[model.short[key]]) * _scale(key)
        found.unavoidable[key] = min(amount, max(0.0, left))
    avoidable = [
        key
        for key, amount in grave.items()
        if is_worth_saying(key, amount - found.unavoidable[key])
    ]
    if not avoidable:
        return found
    hired = run(
        model.programme,
        time_limit_s=time_limit_s / 2,
        threads=threads,
        change=Change(
            upper=columns,
            cost=dear,
            slack={each.row: each.price for each in model.capacities},
            is_relaxed=True,
        ),
    )
    if hired.values is not None:
        found.lacks = _lacks(model, hired.values)
    return found


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
                    capacity.varieties,
                )
            )
    return sorted(lacks, key=lambda lack: -lack.worth)


def shorts_of(model: Model, short: Mapping[Key, float], found: Shortfall) -> list[Short]:
    """Return the shortages promise by promise, each with its reason.

    A day's shortage falls on its largest promise first, so that the fewest buyers are touched.
    """
    problem = model.problem
    said: list[Short] = []
    for key in sorted(short, key=lambda each: (each[2], each[0])):
        total = short[key]
        if not is_worth_saying(key, total):
            continue
        recipe = problem.recipes[key[0]]
        fixed = found.unavoidable.get(key, 0.0)
        parts = [(fixed, True), (total - fixed, False)]
        orders = sorted(orders_of(problem, key), key=lambda order: -order.amount)
        room = {index: order.amount for index, order in enumerate(orders)}
        for amount, is_unavoidable in parts:
            left = amount
            for index, order in enumerate(orders):
                share = min(left, room[index])
                left -= share
                room[index] -= share
                if not is_worth_saying(key, share):
                    continue
                said.append(
                    Short(
                        promise=order.promise,
                        day=problem.date_of(order.day),
                        variety=order.variety,
                        amount=share,
                        measure=order.measure,
                        promised=order.promised or order.amount,
                        reason=(
                            _biology(model, recipe, key)
                            if is_unavoidable
                            else _resource(model, recipe, key, share, found.lacks)
                        ),
                        is_unavoidable=is_unavoidable,
                    )
                )
    said += _without_recipe(model)
    return said


def _without_recipe(model: Model) -> list[Short]:
    problem = model.problem
    planned = {
        (r, order.step, order.day)
        for r, recipe in enumerate(problem.recipes)
        for order in problem.orders
        if order.variety == recipe.variety
    }
    known = {recipe.variety: r for r, recipe in enumerate(problem.recipes)}
    said = []
    for order in problem.orders:
        key = (known.get(order.variety, -1), order.step, order.day)
        if key in planned and key in model.short:
            continue
        reason = (
            f"There is no route for {order.variety}, so none of it can be planned."
            if order.variety not in known
            else f"The route of {order.variety} does not make {order.step}."
        )
        said.append(
            Short(
                promise=order.promise,
                day=problem.date_of(order.day),
                variety=order.variety,
                amount=order.amount,
                measure=order.measure,
                promised=order.promised or order.amount,
                reason=reason,
                is_unavoidable=True,
            )
        )
    return said


def _biology(model: Model, recipe: Recipe, key: Key) -> str:
    problem = model.problem
    fruiting = recipe.fruiting
    when = day_in_words(problem.date_of(key[2]))
    code = fruiting.parent if key[1] == "picked" and fruiting is not None else key[1]
    making = recipe.making(code)
    if making is None or not making.start_days:
        return f"Nothing alive now gives more {recipe.name} by {when}, and no more can be started."
    first = making.ready(making.start_days[0])
    ends = "is ready"
    if key[1] == "picked" and fruiting is not None and fruiting.curve:
        first += fruiting.curve[0].day
        ends = "can be picked"
    new = day_in_words(problem.date_of(first))
    noun = units_in_words(making.stage, 2).split(" ", 1)[1]
    return (
        f"What is alive now gives no more {recipe.name} by {when}, whatever is done; "
        f"a new batch of {noun} {ends} on {new} at the earliest."
    )


def _resource(model: Model, recipe: Recipe, key: Key, amount: float, lacks: list[Lack]) -> str:
    problem = model.problem
    fruiting = recipe.fruiting
    if key[1] == "picked" and fruiting is not None and fruiting.grams > 0:
        making = recipe.making(fruiting.parent)
        count = amount / fruiting.grams
    else:
        making = recipe.making(key[1])
        count = amount
    what = (
        units_in_words(making.stage, max(1, round(count)))
        if making is not None
        else weight_in_words(amount)
    )
    mine = [lack for lack in lacks if recipe.variety in lack.varieties and lack.day <= key[2]]
    if not mine:
        return (
            f"Short of {what}: whole units, least batches and fixed weekdays leave this much over."
        )
    worth: dict[str, float] = {}
    for lack in mine:
        worth[lack.resource] = worth.get(lack.resource, 0.0) + lack.worth
    named = sorted(worth, key=lambda resource: -worth[resource])[:NAMED_RESOURCES]
    parts = []
    for resource in named:
        days = sorted({lack.day for lack in mine if lack.resource == resource})
        said = ", ".join(day_in_words(problem.date_of(day)) for day in days[:NAMED_DAYS])
        more = f" and {len(days) - NAMED_DAYS} more days" if len(days) > NAMED_DAYS else ""
        parts.append(f"{_full(resource)} on {said}{more}")
    return f"Short of {what} because {' and '.join(parts)}."


def _full(resource: str) -> str:
    if resource == "hands":
        return "all hands are busy"
    if resource == "laboratory hands":
        return "everybody who may work in the laboratory is busy"
    if resource.startswith(("places", "vessels")):
        kind, _, rest = resource.partition(" ")
        return f"all {kind} {rest} are taken" if kind == "places" else f"all {rest} are in use"
    if resource.startswith("cooks of kind"):
        return f"the steriliser has no time for {resource.rsplit(' ', 1)[1]} cooks"
    return f"the {resource} is full"
