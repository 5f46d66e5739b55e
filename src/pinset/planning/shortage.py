"""Why something promised is short: biology or a resource, and which one on which days."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field, replace

from numpy import float64
from numpy.typing import NDArray

from pinset.chain.stages import units_in_words
from pinset.planning.biology import Wanting, needs_parents, why_unavoidable
from pinset.planning.columns import GRAMS_PER_KG, Capacity, Model
from pinset.planning.explain import day_in_words, orders_of, weight_in_words
from pinset.planning.pegging import Key
from pinset.planning.plan import Short
from pinset.planning.problem import Recipe
from pinset.planning.programme import INFINITY, Change, Outcome, run
from pinset.planning.reach import Causes

LEAST_GRAMS = 10.0  # less is not worth a line
LEAST_UNITS = 0.01
TOLERANCE = 1e-6  # above the shortage found, so that rounding cannot make a pass impossible
LEAST_LACK = 1e-4  # of any unit
DEARER = 20.0  # a shortage costs so many times its price while resources are for hire
NAMED_DAYS = 3
NAMED_RESOURCES = 2
MINOR = 0.25  # of the worth of the resource that mends most: less is not named
PASSES = 3
NOT_FOR_SALE = 1e6
UNIT_WORDS = {
    "h": "h more",
    "cooks": "more cooks",
    "L": "L more of prepared vessels",
    "min": "min more",
    "places": "more places",
    "vessels": "more vessels",
}


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
    """What is short and how much of it no resource could mend."""

    unavoidable: dict[Key, float] = field(default_factory=dict)
    lacks: list[Lack] = field(default_factory=list)
    wanting: list[Wanting] = field(default_factory=list)


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

    First pass: all capacities and batches unlimited, nothing shorter than before: what is still
    short is biology. If a new batch could be there in time, a pass with parents for sale tells
    which are too few. Last pass: capacities for hire at a price, a shortage much dearer: what is
    hired is what was lacking. All are relaxed to fractions, so they take a fraction of a second.
    """
    found = Shortfall()
    grave = {key: amount for key, amount in short.items() if is_worth_saying(key, amount)}
    if not grave:
        return found
    columns = {model.short[key]: short[key] / _scale(key) + TOLERANCE for key in model.short}
    cost = {column: DEARER * model.programme.cost[column] for column in columns}
    cost |= dict.fromkeys(model.wishes, 0.0)  # nothing is hired for the end or for cultures
    free = {each.row: INFINITY for each in model.capacities}
    any_batch = dict.fromkeys((*model.x.values(), *model.s.values()), INFINITY)

    def passed(change: Change) -> Outcome:
        return run(
            model.programme, time_limit_s=time_limit_s / PASSES, threads=threads, change=change
        )

    nature = Change(row_upper=free, upper=columns | any_batch, cost=cost, is_relaxed=True)
    opened = passed(nature)
    if opened.values is None:
        return found
    for key, amount in grave.items():
        left = float(opened.values[model.short[key]]) * _scale(key)
        found.unavoidable[key] = min(amount, max(0.0, left))
    fixed = [key for key in grave if is_worth_saying(key, found.unavoidable[key])]
    if any(needs_parents(model, key) for key in fixed):
        more = {row: _price_of_parent(model, at) for at, row in model.supply.items()}
        found.wanting = _wanting(model, passed(replace(nature, slack=more)))
    if any(is_worth_saying(key, grave[key] - found.unavoidable[key]) for key in grave):
        hire = {each.row: each.price for each in model.capacities}
        hired = passed(Change(upper=columns, cost=cost, slack=hire, is_relaxed=True))
        if hired.values is not None:
            found.lacks = _lacks(model, hired.values)
    return found


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


def shorts_of(model: Model, short: Mapping[Key, float], found: Shortfall) -> list[Short]:
    """Return the shortages promise by promise, each with its reason.

    A day's shortage falls on its largest promise first, so that the fewest buyers are touched.
    """
    problem = model.problem
    causes = Causes(model)
    said: list[Short] = []
    for key in sorted(short, key=lambda each: (each[2], each[0])):
        total = short[key]
        if not is_worth_saying(key, total):
            continue
        recipe = problem.recipes[key[0]]
        fixed = found.unavoidable.get(key, 0.0)
        mine = [
            lack
            for lack in found.lacks
            if lack.day <= key[2] and causes.can_help(lack.capacity, key)
        ]
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
                        day=problem.date_of(order.due),
                        variety=order.variety,
                        amount=share,
                        measure=order.measure,
                        promised=order.promised or order.amount,
                        reason=(
                            why_unavoidable(model, causes, key, found.wanting)
                            if is_unavoidable
                            else _resource(model, recipe, key, share, mine)
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
                day=problem.date_of(order.due),
                variety=order.variety,
                amount=order.amount,
                measure=order.measure,
                promised=order.promised or order.amount,
                reason=reason,
                is_unavoidable=True,
            )
        )
    return said


def _resource(model: Model, recipe: Recipe, key: Key, amount: float, lacks: list[Lack]) -> str:
    """Return which resource is lacking, on which days, and how much more of it would mend it.

    ``lacks`` are only those from which what is short can come in time.
    """
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
    if not lacks:
        return (
            f"Short of {what}: whole units, the least and largest batches and fixed weekdays leave "
            "this much over."
        )
    worth: dict[str, float] = {}
    for lack in lacks:
        worth[lack.resource] = worth.get(lack.resource, 0.0) + lack.worth
    ranked = sorted(worth, key=lambda resource: -worth[resource])[:NAMED_RESOURCES]
    named = [resource for resource in ranked if worth[resource] >= MINOR * worth[ranked[0]]]
    parts, mends = [], []
    for resource in named:
        own = [lack for lack in lacks if lack.resource == resource]
        days = sorted({lack.day for lack in own})
        said = ", ".join(day_in_words(problem.date_of(day)) for day in days[:NAMED_DAYS])
        rest = len(days) - NAMED_DAYS
        more = f" and {rest} more day{'s' if rest > 1 else ''}" if rest > 0 else ""
        parts.append(f"{_full(resource)} on {said}{more}")
        mends.append(_mend(own))
    return f"Short of {what} because {' and '.join(parts)}; {' and '.join(mends)} would mend it."


def _mend(lacks: list[Lack]) -> str:
    """Return how much more of one resource is wanted; places are the most on any one day."""
    units = {lack.unit for lack in lacks}
    unit = "cooks" if "cooks" in units else lacks[0].unit
    amounts = [lack.amount for lack in lacks if lack.unit == unit]
    amount = max(amounts) if unit in {"places", "vessels"} else sum(amounts)
    number = f"{amount:.1f}" if unit in {"h", "cooks"} else str(max(1, round(amount)))
    words = UNIT_WORDS[unit]
    return f"about {number} {words}"


def _full(resource: str) -> str:
    kind, _, rest = resource.partition(" of kind ")
    room, _, climate = resource.partition(" in climate ")
    if rest:
        said = {
            "cooks": f"the steriliser has no time for {rest} cooks",
            "prepared vessels": f"no more {rest} vessels stand prepared",
        }[kind]
    elif climate:
        said = f"the {room} cannot be {climate} as well"
    elif resource == "hands":
        said = "all hands are busy"
    elif resource == "laboratory hands":
        said = "everybody who may work in the laboratory is busy"
    elif resource.startswith("places "):
        said = f"all {resource} are taken"
    elif resource.startswith("vessels "):
        said = f"all {resource.removeprefix('vessels ')} are in use"
    else:
        said = f"the {resource} is full"
    return said
