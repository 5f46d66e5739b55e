"""Where units can stand: shelf places, grow rooms with their climates, vessels in circulation."""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Iterable

from pinset.chain.register import RoomKind
from pinset.planning.model.columns import Model, limit, stock_of
from pinset.planning.model.programme import Term
from pinset.planning.problem import Problem, Recipe
from pinset.planning.resources import GrowRoom, RoomPlaces

# prices of one more unit of a resource, assumed; used to name what is lacking
PLACE_PRICE = 0.5  # per place and day
VESSEL_PRICE = 1.0


def _less(room: GrowRoom | RoomPlaces, days: int) -> list[int]:
    """Return the days on which a room holds less than it does otherwise."""
    return [day for day in range(min(days, len(room.by_day))) if room.on(day) < room.places]


def _check_days(model: Model, days: Iterable[int], less: Iterable[int] = ()) -> list[int]:
    """Return the days a slow-moving limit is written for: all near ones, weekly later.

    All days with ``less`` room than on others are among them.
    """
    chosen: dict[int, int] = {}
    near = []
    for day in sorted(set(days)):
        if day < model.problem.whole_days:
            near.append(day)
        else:
            chosen[day // 7] = day
    return sorted({*near, *chosen.values(), *less})


def _standing(model: Model, r: int, k: int, day: int) -> tuple[list[Term], float, float]:
    """Return units of a making that are usable and wait on a day: kept, and arrived since.

    Beside the terms: living lots that arrived since, and how much of what is kept stands in any
    case, used or not, because it is there today.
    """
    recipe = model.problem.recipes[r]
    making = recipe.makings[k]
    events = model.events[r, k]
    place = bisect_right(events, day)
    since = events[place - 1] if place else -1
    terms: list[Term] = [(model.kept[r, k, since], 1.0)] if place else []
    terms += [
        (model.x[r, k, t], making.usable)
        for t in making.start_days
        if (r, k, t) in model.x and since < making.ready(t) <= day
    ]
    known = sum(
        lot.units
        for lot in stock_of(model.problem, recipe, making)
        if since < max(0, lot.ready_day) <= day <= lot.last_day
    )
    return terms, known, model.stays.get((r, k, since), 0.0)


def limit_places(model: Model) -> None:
    """Shelf places (8) by kind of room: under way, and waiting to be used."""
    problem = model.problem
    for kind in problem.resources.places:
        days = {
            t
            for (r, k, t) in model.x
            if any(stay.room is kind.room for stay in problem.recipes[r].makings[k].stays)
            or problem.recipes[r].makings[k].waits_in is kind.room
        }
        for day in _check_days(model, days, _less(kind, problem.days)):
            terms: list[Term] = []
            known = least = 0.0
            users: set[str] = set()
            for r, recipe in enumerate(problem.recipes):
                more, fixed, stays = _places_of_recipe(model, r, recipe, kind.room, day)
                if more:
                    users.add(recipe.variety)
                terms += more
                known += fixed
                least += stays
            if terms:
                limit(
                    model,
                    terms,
                    kind.on(day),
                    taken=known,
                    least=least,
                    resource=f"places in {kind.room.value}",
                    day=day,
                    unit="places",
                    price=PLACE_PRICE,
                    varieties=users,
                )


def _places_of_recipe(
    model: Model, r: int, recipe: Recipe, room: RoomKind, day: int
) -> tuple[list[Term], float, float]:
    terms: list[Term] = []
    known = least = 0.0
    for k, making in enumerate(recipe.makings):
        for t in making.start_days:
            if t > day or (r, k, t) not in model.x:
                continue
            terms += [
                (model.x[r, k, t], stay.places)
                for stay in making.stays_on(t)
                if stay.room is room and t + stay.from_day <= day < t + stay.until_day
            ]
        for lot in stock_of(model.problem, recipe, making):
            known += sum(
                lot.units * stay.places
                for stay in lot.stays
                if stay.room is room and stay.from_day <= day < stay.until_day
            )
        if making.waits_in is room and making.waits_places > 0:
            waiting, arrived, stays = _standing(model, r, k, day)
            terms += [(column, value * making.waits_places) for column, value in waiting]
            known += arrived * making.waits_places
            least += stays * making.waits_places
    return terms, known, least


def room_groups(problem: Problem) -> dict[str, tuple[GrowRoom, ...]]:
    """Return grow rooms that can stand for each other under one name each.

    Rooms that give the same single climate are one to the model: units are spread over them
    afterwards, which always works, since whoever moves in stays to the end. A room that can give
    several climates stands alone, and so does one that is out of use for some days.
    """
    found: dict[str, list[GrowRoom]] = {}
    for room in problem.resources.rooms:
        is_alone = len(room.climates) > 1 or room.by_day
        name = room.code if is_alone else f"climate {' '.join(room.climates)}"
        found.setdefault(name, []).append(room)
    return {
        rooms[0].code if len(rooms) == 1 else name: tuple(rooms) for name, rooms in found.items()
    }


def limit_rooms(model: Model) -> None:
    """Grow rooms (9): places, and one climate a week where a room can give several."""
    problem = model.problem
    for name, rooms in model.groups.items():
        codes = {room.code for room in rooms}
        inside = [lot for lot in problem.in_rooms if lot.room in codes]
        moves: dict[str, list[tuple[int, int, int, float]]] = {}
        users: set[str] = set()
        for (r, group, t), v in model.v.items():
            recipe = problem.recipes[r]
            if group == name and recipe.fruiting is not None:
                fruiting = recipe.fruiting
                moves.setdefault(fruiting.climate, []).append(
                    (t, t + fruiting.room_days_on(t), v, fruiting.places)
                )
                users.add(recipe.variety)
        less = sorted({day for room in rooms for day in _less(room, problem.days)})
        enters = (entry[0] for each in moves.values() for entry in each)
        days = _check_days(model, enters, less)
        for day in days:
            known = sum(lot.places for lot in inside if day < lot.leaves_day)
            terms = [
                (v, places)
                for each in moves.values()
                for enters, leaves, v, places in each
                if enters <= day < leaves
            ]
            limit(
                model,
                terms,
                sum(room.on(day) for room in rooms),
                taken=known,
                resource=f"grow room {' + '.join(sorted(codes))}",
                day=day,
                unit="places",
                price=PLACE_PRICE,
                varieties=users,
            )
        climates = [climate for climate in moves if climate]
        if len(climates) > 1:
            _climates(model, rooms[0], moves, days, users)


def _climates(
    model: Model,
    grow_room: GrowRoom,
    moves: dict[str, list[tuple[int, int, int, float]]],
    days: list[int],
    users: set[str],
) -> None:
    problem, lp = model.problem, model.programme
    room, places = grow_room.code, grow_room.places
    inside = [lot for lot in problem.in_rooms if lot.room == room and lot.climate]
    climates = sorted(climate for climate in moves if climate)
    for week in range(1 + problem.days // 7):
        standing = {lot.climate for lot in inside if 7 * week < lot.leaves_day}
        chosen = []
        for climate in climates:
            is_out = len(standing) == 1 and climate not in standing
            column = lp.column(upper=0.0 if is_out else 1.0, whole=True)
            model.climate[room, climate, week] = column
            chosen.append(column)
        lp.at_most([(column, 1.0) for column in chosen], 1.0)
    for climate in climates:
        checked = sorted({*days, *(7 * week for week in range(1 + problem.days // 7))})
        for day in checked:
            terms = [
                (v, taken) for enters, leaves, v, taken in moves[climate] if enters <= day < leaves
            ]
            if terms:
                limit(
                    model,
                    [*terms, (model.climate[room, climate, day // 7], -places)],
                    0.0,
                    resource=f"grow room {room} in climate {climate}",
                    day=day,
                    unit="places",
                    price=PLACE_PRICE,
                    varieties=users,
                )


def limit_vessels(model: Model) -> None:
    """Reusable vessels in circulation: filled for a cook, under way, waiting, and fruiting."""
    problem = model.problem
    for vessel in problem.resources.vessels:
        owners = [
            (r, k)
            for r, recipe in enumerate(problem.recipes)
            for k, making in enumerate(recipe.makings)
            if making.vessel == vessel.code
        ]
        days = {
            day
            for (r, k, t) in model.x
            if (r, k) in owners
            for day in (t, max(0, t - problem.recipes[r].makings[k].cook_days_before))
        }
        for day in _check_days(model, days):
            terms: list[Term] = []
            known = sum(
                lot.units
                for lot in problem.in_rooms
                if lot.vessel == vessel.code and day < lot.leaves_day
            )
            least = 0.0
            for r, k in owners:
                recipe = problem.recipes[r]
                making = recipe.makings[k]
                terms += [
                    (model.x[r, k, t], 1.0)
                    for t in making.start_days
                    if (r, k, t) in model.x and t - making.cook_days_before <= day < making.ready(t)
                ]
                known += sum(
                    lot.units
                    for lot in stock_of(problem, recipe, making)
                    if lot.ready_day > max(0, day)
                )
                waiting, arrived, stays = _standing(model, r, k, day)
                terms += waiting
                known += arrived
                least += stays
                fruiting = recipe.fruiting
                if fruiting is not None and fruiting.parent == making.step:
                    terms += [
                        (v, 1.0)
                        for (owner, _, t), v in model.v.items()
                        if owner == r and t <= day < t + fruiting.room_days_on(t)
                    ]
            limit(
                model,
                terms,
                vessel.count,
                taken=known,
                least=least,
                resource=f"vessels {vessel.code}",
                day=day,
                unit="vessels",
                price=VESSEL_PRICE,
                varieties=[problem.recipes[r].variety for r, _ in owners],
            )
