"""Grow rooms: their places, and the one climate at a time of a room that can give several."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from pinset.planning.model.columns import Model, limit
from pinset.planning.model.limits_places import PLACE_PRICE, check_days, days_with_less
from pinset.planning.problem import InRoom, Problem
from pinset.planning.resources import GrowRoom

Moves = dict[str, list[tuple[int, int, int, float]]]
"""Of each climate: first day, first day after, column and places of one unit."""


def room_groups(problem: Problem) -> dict[str, tuple[GrowRoom, ...]]:
    """Return grow rooms that can stand for each other under one name each.

    Rooms that give the same single climate are one to the model: units are spread over them
    afterwards, which always works, since whoever moves in stays to the end. A room that must be
    kept for one climate or another stands alone, and so does one that is out of use for some days.
    """
    found: dict[str, list[GrowRoom]] = {}
    for room in problem.resources.rooms:
        is_alone = len(climates_wanted(problem, room)) > 1 or room.by_day
        name = room.code if is_alone else f"climate {' '.join(room.climates)}"
        found.setdefault(name, []).append(room)
    return {
        rooms[0].code if len(rooms) == 1 else name: tuple(rooms) for name, rooms in found.items()
    }


def climates_wanted(problem: Problem, room: GrowRoom) -> tuple[str, ...]:
    """Return the climates that a room can give and something needs, by name."""
    moving = {
        recipe.fruiting.climate
        for recipe in problem.recipes
        if recipe.fruiting is not None and room.code in recipe.fruiting.rooms
    }
    inside = {lot.climate for lot in problem.in_rooms if lot.room == room.code}
    return tuple(sorted(each for each in moving | inside if each and room.can_give(each)))


def limit_rooms(model: Model) -> None:
    """Grow rooms (9): places, and one climate at a time where a room can give several."""
    problem = model.problem
    for name, rooms in model.groups.items():
        codes = {room.code for room in rooms}
        inside = [lot for lot in problem.in_rooms if lot.room in codes]
        moves: Moves = {}
        users: set[str] = set()
        for (r, group, t), v in model.v.items():
            recipe = problem.recipes[r]
            if group == name and recipe.fruiting is not None:
                fruiting = recipe.fruiting
                moves.setdefault(fruiting.climate, []).append(
                    (t, t + fruiting.room_days_on(t), v, fruiting.places)
                )
                users.add(recipe.variety)
        less = sorted({day for room in rooms for day in days_with_less(room, problem.days)})
        enters = (entry[0] for each in moves.values() for entry in each)
        days = check_days(model, enters, less)
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
        if len(rooms) == 1:
            _one_climate(model, rooms[0], moves, inside, users)


def _one_climate(
    model: Model, room: GrowRoom, moves: Moves, inside: list[InRoom], users: set[str]
) -> None:
    """Choose a climate for every day on which something may come in; a far week has one.

    Between two such days units only leave, so what holds on them holds on all days.
    """
    lp = model.programme
    wanted = climates_wanted(model.problem, room)
    climates = [each for each in wanted if each in moves]
    if len(wanted) < 2 or not climates:  # noqa: PLR2004  (one needs no choice)
        return
    enters = sorted({entry[0] for climate in climates for entry in moves[climate]})
    shortest = min(entry[1] - entry[0] for climate in climates for entry in moves[climate])
    for first, days in _spans(model, enters, shortest):
        stands = {lot.climate for lot in inside if first < lot.leaves_day} & set(wanted)
        chosen = []
        for climate in climates:
            is_out = bool(stands) and climate not in stands
            column = lp.column(upper=0.0 if is_out else 1.0, whole=True)
            model.climate[room.code, climate, first] = column
            chosen.append((column, 1.0))
        lp.at_most(chosen, 1.0)
        for climate in climates:
            for day in days:
                terms = [
                    (v, taken)
                    for enters_on, leaves, v, taken in moves[climate]
                    if enters_on <= day < leaves
                ]
                limit(
                    model,
                    [*terms, (model.climate[room.code, climate, first], -room.places)],
                    0.0,
                    resource=f"grow room {room.code} in climate {climate}",
                    day=day,
                    unit="places",
                    price=PLACE_PRICE,
                    varieties=users,
                    climate_of=(room.code, climate),
                )


def _spans(model: Model, enters: Iterable[int], shortest: int) -> Iterator[tuple[int, list[int]]]:
    """Yield the first day of each choice and the days to look at: near days one by one.

    Of a far week the first and the last day do, since whoever comes in stays from one to the other.
    """
    weeks: dict[int, list[int]] = {}
    whole = model.problem.whole_days
    for day in enters:
        first = day if day < whole else model.week_of(day, whole)
        weeks.setdefault(first, []).append(day)
    for first, days in sorted(weeks.items()):
        is_bridged = days[-1] - days[0] < shortest
        yield first, sorted({days[0], days[-1]}) if is_bridged else days
