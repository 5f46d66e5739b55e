"""Keeping a new plan close to the one before: start values, frozen days, a price on change."""

from __future__ import annotations

from math import ceil

from pinset.planning.model.columns import WEEK, Model
from pinset.planning.plan import Plan
from pinset.planning.reading.pegging import NOTHING

FROZEN_PRICE = 50.0  # per unit changed within the frozen days, in unit costs: soft, never a wall


def previous_counts(
    model: Model, previous: Plan
) -> tuple[dict[tuple[int, int, int], float], dict[tuple[int, str, int], float]]:
    """Return what the previous plan starts and moves, by the keys of this model."""
    problem = model.problem
    shift = (previous.start - problem.start).days
    places = {
        (recipe.variety, making.step): (r, k)
        for r, recipe in enumerate(problem.recipes)
        for k, making in enumerate(recipe.makings)
    }
    fruits = {
        (recipe.variety, recipe.fruiting.step): r
        for r, recipe in enumerate(problem.recipes)
        if recipe.fruiting is not None
    }
    groups = {room.code: name for name, rooms in model.groups.items() for room in rooms}
    starts: dict[tuple[int, int, int], float] = {}
    for start in previous.starts:
        at = places.get((start.variety, start.step))
        day = (start.day - previous.start).days + shift
        if at is not None and (*at, day) in model.x:
            starts[*at, day] = start.count
    moves: dict[tuple[int, str, int], float] = {}
    for move in previous.moves:
        owner = fruits.get((move.variety, move.step))
        day = (move.day - previous.start).days + shift
        group = groups.get(move.room)
        if owner is not None and group is not None and (owner, group, day) in model.v:
            moves[owner, group, day] = moves.get((owner, group, day), 0.0) + move.count
    return starts, moves


def start_values(model: Model, previous: Plan) -> dict[int, float]:
    """Return the previous plan's near whole numbers as a start for the search.

    Only decisions both plans have in whole numbers are given; the solver completes the rest.
    """
    starts, moves = previous_counts(model, previous)
    horizon = (previous.start - model.problem.start).days + previous.whole_days
    near = min(horizon, model.problem.whole_days)
    values: dict[int, float] = {}
    for key, x in model.x.items():
        if key[2] < near:
            count = float(round(starts.get(key, 0.0)))
            values[x] = count
            values[model.s[key]] = 1.0 if count > 0 else 0.0
    for move, v in model.v.items():
        if move[2] < near:
            values[v] = float(round(moves.get(move, 0.0)))
            if move in model.made:
                values[model.made[move]] = min(1.0, values[v])
    shift = (previous.start - model.problem.start).days
    cooks = {
        (cook.steriliser, cook.kind, (cook.day - previous.start).days + shift): cook.cooks
        for cook in previous.cooks
    }
    for cook_key, n in model.n.items():
        if cook_key[2] < near:
            values[n] = float(round(cooks.get(cook_key, 0.0)))
    values |= _parents(model, starts)
    values |= _climates(model, previous)
    return values


def _climates(model: Model, previous: Plan) -> dict[int, float]:
    """Return the climates that the previous plan keeps rooms in, far weeks too.

    A room that cannot be kept so any more is left to the solver, and so is a far week with two.
    """
    problem, lp = model.problem, model.programme
    found: dict[str, dict[int, float]] = {}
    lost = set()
    for (room, climate, first), column in model.climate.items():
        days = 1 if model.is_whole(first) else WEEK
        since, until = problem.date_of(first), problem.date_of(first + days - 1)
        kept = {
            spell.climate
            for spell in previous.climates
            if spell.room == room and spell.since <= until and since <= spell.until
        }
        if len(kept) > 1:
            continue
        value = found.setdefault(room, {})[column] = float(climate in kept)
        if value > lp.upper[column]:
            lost.add(room)
    return {
        column: value
        for room, values in found.items()
        if room not in lost
        for column, value in values.items()
    }


def _parents(model: Model, starts: dict[tuple[int, int, int], float]) -> dict[int, float]:
    """Return the whole parents that the previous starts need, where they have one kind only."""
    found = {}
    for (r, k, a, t), p in model.p.items():
        arcs = model.problem.recipes[r].makings[k].arcs
        if model.programme.whole[p] and len(arcs) == 1:
            units = round(starts.get((r, k, t), 0.0)) / arcs[a].units_per_parent
            found[p] = float(ceil(units - NOTHING))
    return found


def charge_changes(model: Model, previous: Plan, *, freeze_days: int, change_cost: float) -> None:
    """Add a price on every unit that near starts differ from the previous plan.

    ``change_cost`` is a share of a unit's own cost (0.1 to 0.3 keeps a plan still); within the
    frozen days the price is prohibitive, yet not a wall, since a lost parent may forbid the old
    start.
    """
    starts, _ = previous_counts(model, previous)
    lp = model.programme
    horizon = (previous.start - model.problem.start).days + previous.whole_days
    for key, x in model.x.items():
        r, k, t = key
        if t >= min(horizon, model.problem.whole_days):
            continue
        share = FROZEN_PRICE if t < freeze_days else change_cost
        if share <= 0:
            continue
        price = share * max(model.needs[r][k].unit_cost, 0.01)
        more, less = lp.column(price), lp.column(price)
        old = starts.get(key, 0.0)
        lp.row([(x, 1.0), (more, -1.0), (less, 1.0)], old, old)
