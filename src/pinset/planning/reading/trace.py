"""The solver's numbers, cleaned, with every use traced oldest first through the whole chain."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from math import ceil, floor
from typing import Any, TypeVar

from numpy import float64
from numpy.typing import NDArray

from pinset.planning.model.columns import (
    GRAMS_PER_KG,
    MEAN_ROUNDING,
    Model,
    batch_share,
    picked_for,
    sold,
)
from pinset.planning.plan import Filled
from pinset.planning.problem import IN_STORE
from pinset.planning.reading.pegging import (
    NOTHING,
    Batch,
    Key,
    Service,
    Use,
    service_of,
    take_oldest_first,
)


@dataclass(slots=True)
class Trace:
    """What is decided, and what comes from what."""

    starts: dict[tuple[int, int, int], float] = field(default_factory=dict)
    parents: dict[tuple[int, int, int, int], float] = field(default_factory=dict)
    moves: dict[tuple[int, str, int], float] = field(default_factory=dict)
    cooks: dict[tuple[str, str, int], float] = field(default_factory=dict)
    filled: dict[tuple[str, str, int], tuple[Filled, ...]] = field(default_factory=dict)  # by cooks
    short: dict[Key, float] = field(default_factory=dict)  # grams or units
    uses: dict[tuple[int, int, int, int], Use] = field(default_factory=dict)  # by parents key
    move_uses: dict[tuple[int, str, int], Use] = field(default_factory=dict)
    batches: dict[tuple[int, int], list[Batch]] = field(default_factory=dict)
    chilled: dict[int, float] = field(default_factory=dict)  # units of the stock that go into cold
    start_service: dict[tuple[int, int, int], Service] = field(default_factory=dict)
    move_service: dict[tuple[int, str, int], Service] = field(default_factory=dict)


def trace(model: Model, values: NDArray[float64]) -> Trace:
    """Return the decisions of a solution, traced through the chain."""
    found = Trace(
        starts=_decided(model, model.x, values),
        moves=into_rooms(model, _decided(model, model.v, values)),
        cooks=_decided(model, model.n, values),
        short={
            key: max(0.0, float(values[b])) * (GRAMS_PER_KG if key[1] == "picked" else 1.0)
            for key, b in model.short.items()
        },
    )
    found.filled = _filled(model, values)
    found.chilled = {number: float(values[each]) for number, each in model.chill.items()}
    _parents(model, values, found)
    for r, recipe in enumerate(model.problem.recipes):
        for k in range(len(recipe.makings)):
            _stock(model, r, k, found)
            if _only_what_the_cold_saves(model, r, k, found):
                _stock(model, r, k, found)
        _picked(model, r, found)
        totals = _totals(found, r, len(recipe.makings))
        for k in range(len(recipe.makings) - 1, -1, -1):
            for batch in found.batches[r, k]:
                if batch.start is not None:
                    found.start_service[batch.start] = service_of(
                        batch, found.move_service, found.start_service, totals
                    )
    return found


def into_rooms(
    model: Model, moves: Mapping[tuple[int, str, int], float]
) -> dict[tuple[int, str, int], float]:
    """Spread moves over the rooms of their group, the fullest room that still has places first."""
    problem = model.problem
    standing: dict[str, list[tuple[int, float]]] = {
        room.code: [
            (lot.leaves_day, lot.places) for lot in problem.in_rooms if lot.room == room.code
        ]
        for room in problem.resources.rooms
    }
    found: dict[tuple[int, str, int], float] = {}
    for (r, group, t), units in sorted(moves.items(), key=lambda item: (item[0][2], item[0])):
        fruiting = problem.recipes[r].fruiting
        if fruiting is None:
            continue
        free = {
            room.code: room.places
            - sum(places for leaves, places in standing[room.code] if t < leaves)
            for room in model.groups[group]
        }
        left = units
        rooms = sorted(free, key=lambda code: (free[code], code))
        enough = [code for code in rooms if free[code] >= units * fruiting.places - NOTHING]
        for code in enough or reversed(rooms):
            fits = max(0.0, free[code]) / max(fruiting.places, NOTHING)
            part = min(left, float(floor(fits + NOTHING)) if model.is_whole(t) else fits)
            if part > NOTHING:
                found[r, code, t] = part
                standing[code].append((t + fruiting.room_days_on(t), part * fruiting.places))
                left -= part
            if left <= NOTHING:
                break
        if left > NOTHING:  # places left over as fractions: one room takes what remains
            code = rooms[-1]
            found[r, code, t] = found.get((r, code, t), 0.0) + left
            standing[code].append((t + fruiting.room_days_on(t), left * fruiting.places))
    return found


K = TypeVar("K", bound=tuple[Any, Any, int])


def _decided(model: Model, columns: Mapping[K, int], values: NDArray[float64]) -> dict[K, float]:
    """Return what is not zero, near days as whole numbers; the day is the last of each key."""
    found = {}
    for key, column in columns.items():
        value = float(values[column])
        value = float(round(value)) if model.is_whole(key[2]) else value
        if value > NOTHING:
            found[key] = value
    return found


def _filled(
    model: Model, values: NDArray[float64]
) -> dict[tuple[str, str, int], tuple[Filled, ...]]:
    """Return what cooks are filled with, of the vessels that are counted."""
    litres: dict[tuple[str, str, int], dict[str, float]] = defaultdict(dict)
    for each in (each for each in model.fills if each.vessel):
        own = litres[each.steriliser, each.kind, each.day]
        own[each.vessel] = own.get(each.vessel, 0.0) + float(values[each.column])
    return {
        cooks: tuple(Filled(vessel, own[vessel]) for vessel in sorted(own))
        for cooks, own in litres.items()
    }


def _parents(model: Model, values: NDArray[float64], found: Trace) -> None:
    """Keep no more parents than each start needs; the solver may open idle ones for nothing."""
    problem = model.problem
    for (r, k, t), units in found.starts.items():
        making = problem.recipes[r].makings[k]
        exact = t < problem.whole_parent_days
        wanted = units
        if making.arcs and not exact:
            batch, share = batch_share(model, r, k, t)
            wanted += (
                share
                * float(values[batch])
                * min(
                    0.0 if arc.part_use else MEAN_ROUNDING * arc.units_per_parent
                    for arc in making.arcs
                )
            )
        for a, arc in enumerate(making.arcs):
            given = float(values[model.p[r, k, a, t]])
            needed = wanted / arc.units_per_parent
            if exact and model.is_whole(t) and not arc.part_use:
                needed = float(ceil(needed - NOTHING))
                given = float(round(given))
            parents = min(given, needed)
            wanted -= parents * arc.units_per_parent
            if parents > NOTHING:
                found.parents[r, k, a, t] = parents


def _stock(model: Model, r: int, k: int, found: Trace) -> None:
    problem = model.problem
    recipe = problem.recipes[r]
    making = recipe.makings[k]
    batches = _alive(model, r, k, found)
    for (owner, place, t), units in found.starts.items():
        if (owner, place) == (r, k):
            ready = making.ready(t)
            last = ready + making.window_days - 1
            batches.append(Batch(units * making.usable, ready, last, start=(r, k, t)))
    uses: list[Use] = []
    for key, units in found.parents.items():
        owner, child, a, t = key
        if owner == r and recipe.makings[child].arcs[a].parent == making.step:
            found.uses[key] = Use(t, units, start=(r, child, t))
            uses.append(found.uses[key])
    fruiting = recipe.fruiting
    if fruiting is not None and fruiting.parent == making.step:
        for move, units in found.moves.items():
            if move[0] == r:
                found.move_uses[move] = Use(move[2], units, move=move)
                uses.append(found.move_uses[move])
    for day, amount in sold(problem, recipe, making.step).items():
        group = (r, making.step, day, day)
        uses.append(Use(day, max(0.0, amount - found.short.get(group, 0.0)), sale=group))
    take_oldest_first(batches, uses)
    found.batches[r, k] = batches


def _alive(model: Model, r: int, k: int, found: Trace) -> list[Batch]:
    """Return the living lots of a making; what goes into the cold stands beside the rest."""
    recipe = model.problem.recipes[r]
    batches = []
    for number, lot in enumerate(model.problem.stock):
        if (lot.variety, lot.step) != (recipe.variety, recipe.makings[k].step):
            continue
        ready, cold = max(0, lot.ready_day), found.chilled.get(number, 0.0)
        batches.append(
            Batch(
                lot.units - cold,
                ready,
                lot.last_day,
                lot.lot,
                lot.place,
                really_keeps=lot.really_keeps,
                is_first=lot.is_first,
            )
        )
        if cold > NOTHING and lot.cold is not None:
            last = lot.cold.last_day
            chilled = Batch(cold, ready, last, lot.lot, lot.place, is_cold=True)
            batches.append(replace(chilled, is_first=lot.is_first))
    return batches


def _only_what_the_cold_saves(model: Model, r: int, k: int, found: Trace) -> bool:
    """Leave what is used in time without the cold where it stands; say whether any was to go.

    The solver may carry more than it uses where that costs next to nothing.
    """
    stock, changed = model.problem.stock, False
    recipe = model.problem.recipes[r]
    for number, units in found.chilled.items():
        lot = stock[number]
        if (lot.variety, lot.step) != (recipe.variety, recipe.makings[k].step):
            continue
        saved = sum(
            taken
            for batch in found.batches[r, k]
            if batch.is_cold and (batch.lot, batch.place) == (lot.lot, lot.place)
            for use in batch.uses
            if use.day > lot.last_day
            for each, taken in use.taken
            if each is batch
        )
        kept = min(lot.units, float(ceil(saved - NOTHING)), units + 1.0)
        changed = changed or abs(kept - units) > NOTHING
        found.chilled[number] = kept
    return changed


def _picked(model: Model, r: int, found: Trace) -> None:
    """Trace what is sold on each day to the moves it was picked from."""
    problem = model.problem
    recipe = problem.recipes[r]
    keeps = recipe.picked_keeps_days
    pickings = [
        Batch(pick.grams, day, day + keeps, lot=lot.lot)
        for lot in problem.in_rooms
        if lot.variety == recipe.variety
        for day, pick in problem.gathered(lot.picks)
    ]
    pickings += [
        Batch(each.grams, IN_STORE, each.last_day, lot="store")
        for each in problem.store
        if each.variety == recipe.variety
    ]
    origin: list[tuple[Batch, tuple[int, str, int]]] = []
    if recipe.fruiting is not None:
        for move, units in found.moves.items():
            if move[0] != r:
                continue
            for day, each in problem.gathered(recipe.fruiting.borne(move[2]), move[2]):
                batch = Batch(units * each.grams, day, day + keeps)
                pickings.append(batch)
                origin.append((batch, move))
    # what is there is handed over as it falls due; the solver, to which two days are alike, may
    # have held it back for a later one
    sales = [
        Use(day, amount, sale=(r, "picked", day, due), until=due)
        for (day, due), amount in picked_for(problem, recipe).items()
    ]
    take_oldest_first(pickings, sales)
    for sale in sales:
        if sale.sale is not None:
            found.short[sale.sale] = max(0.0, sale.wanted - sale.units)
    for batch, move in origin:
        service = found.move_service.setdefault(move, Service())
        for use in batch.uses:
            if use.sale is not None:
                grams = sum(taken for each, taken in use.taken if each is batch)
                service.add(Service({use.sale: grams}, 0), 1.0, use.day - batch.ready_day)
                service.first_use = min(service.first_use or batch.ready_day, batch.ready_day)


def _totals(found: Trace, r: int, makings: int) -> dict[int, float]:
    """Return what each use of a recipe takes in all; a start may open parents of two kinds."""
    of_start: dict[tuple[int, int, int], float] = {}
    for key, use in found.uses.items():
        if key[0] == r and use.start is not None:
            of_start[use.start] = of_start.get(use.start, 0.0) + use.units
    totals = {
        id(use): of_start[use.start]
        for key, use in found.uses.items()
        if key[0] == r and use.start is not None
    }
    totals.update({id(use): use.units for move, use in found.move_uses.items() if move[0] == r})
    for k in range(makings):
        for batch in found.batches.get((r, k), []):
            for use in batch.uses:
                totals.setdefault(id(use), use.units)
    return totals
